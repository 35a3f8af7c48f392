//! Advice against rigs that are really edited, one by one.

mod advise;
mod cuts;
mod edited;
mod into_the_loop;
mod several;
