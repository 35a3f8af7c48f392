//! Long work says how far it is, and may be told to stop.
//!
//! Nothing here has threads or a clock: who calls it brings a [`Watch`], and the
//! work asks it every few milliseconds.

use std::fmt;

/// How long work says how far it is, and is told to stop.
pub trait Watch {
    /// `done` from 0 to 1, never less than the time before; false to stop.
    fn go_on(&self, done: f64) -> bool;
}

/// Nobody watches: the work always goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Unwatched;

impl Watch for Unwatched {
    fn go_on(&self, _done: f64) -> bool {
        true
    }
}

/// The work was told to stop, and has no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stopped;

impl fmt::Display for Stopped {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("it was told to stop")
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

impl<'a> Part<'a> {
    /// One of so many equal parts, counted from 0.
    #[must_use]
    pub fn of(whole: &'a dyn Watch, at: usize, count: usize) -> Self {
        Self { whole, from: at as f64 / count as f64, to: (at + 1) as f64 / count as f64 }
    }
}

impl Watch for Part<'_> {
    fn go_on(&self, done: f64) -> bool {
        self.whole.go_on(self.from + (self.to - self.from) * done.clamp(0.0, 1.0))
    }
}

/// Work that tells no progress of its own, yet can be stopped.
#[derive(Clone, Copy)]
pub struct Still<'a> {
    /// Who looks on at the whole.
    pub whole: &'a dyn Watch,
    /// How far the whole is meanwhile.
    pub done: f64,
}

impl Watch for Still<'_> {
    fn go_on(&self, _done: f64) -> bool {
        self.whole.go_on(self.done)
    }
}
