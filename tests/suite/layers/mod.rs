//! The directions of dependencies: who may know of whom (`design.md` §2).

mod floors;
mod manifest;
mod source;
mod window;
