//! The directions of dependencies: who may know of whom.

mod floors;
mod manifest;
mod source;
mod window;
