//! The directions of dependencies: who may know of whom.

mod floors;
mod manifest;
mod search;
mod sentences;
mod source;
mod window;
