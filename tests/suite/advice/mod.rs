//! Advice against rigs that are really edited, one by one.

mod cuts;
mod demo;
mod edited;
