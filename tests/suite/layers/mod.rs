//! The directions of dependencies: who may know of whom.

mod floors;
mod manifest;
mod search;
mod source;
mod window;
