//! Asking now and then whether to go on.

use crate::watch::{Stopped, Watch};

/// After so many steps of an inner loop it is asked; they take a few milliseconds.
const STEPS: usize = 2_000_000;

/// Counts steps of a work whose whole is known roughly.
pub struct Pace<'a> {
    watch: &'a dyn Watch,
    whole: usize,
    done: usize,
    asked: usize,
}

impl<'a> Pace<'a> {
    /// Of a work of about `whole` steps; asks at once.
    pub fn of(watch: &'a dyn Watch, whole: usize) -> Result<Self, Stopped> {
        if watch.go_on(0.0) { Ok(Self { watch, whole: whole.max(1), done: 0, asked: 0 }) } else { Err(Stopped) }
    }

    /// So many steps more are done.
    pub fn steps(&mut self, more: usize) -> Result<(), Stopped> {
        self.done += more;
        if self.done - self.asked < STEPS {
            return Ok(());
        }
        self.asked = self.done;
        let done = self.done as f64 / self.whole as f64;
        if self.watch.go_on(done.min(1.0)) { Ok(()) } else { Err(Stopped) }
    }
}
