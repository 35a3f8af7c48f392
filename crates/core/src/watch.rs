//! How long work says how far it is, and is told to stop.

use std::fmt;

/// Looks on while something is worked out. A window shows how far it is and
/// may call it off; a command line lets it go on.
pub trait Watch {
    /// Told now and then how much is done, from 0 to 1; false to stop.
    fn go_on(&self, done: f64) -> bool;
}

/// Nobody looks on: it always goes on.
#[derive(Debug, Clone, Copy, Default)]
pub struct Unwatched;

impl Watch for Unwatched {
    fn go_on(&self, _done: f64) -> bool {
        true
    }
}

/// It was told to stop, so there is no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stopped;

impl fmt::Display for Stopped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("it was stopped before it was done")
    }
}

impl std::error::Error for Stopped {}

/// A part of a longer work: its own 0 to 1 lies between two marks of the whole.
#[derive(Clone, Copy)]
pub struct Part<'a> {
    /// Who looks on at the whole.
    pub whole: &'a dyn Watch,
    /// Where this part begins, from 0 to 1.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
}

impl Watch for Part<'_> {
    fn go_on(&self, done: f64) -> bool {
        self.whole.go_on(self.from + (self.to - self.from) * done.clamp(0.0, 1.0))
    }
}
