//! Long work says how far it is, and may be told to stop.
//!
//! The core has no threads and no clock: who calls it brings a [`Watch`], and
//! the work asks it every few milliseconds.

use std::cell::Cell;
use std::fmt;

pub use rigwright_search::{Part, Still, Stopped, Unwatched, Watch};

/// Never says less than it said before, where parts of a work overlap.
pub struct Rising<'a> {
    whole: &'a dyn Watch,
    most: Cell<f64>,
}

impl<'a> Rising<'a> {
    /// For who looks on at the whole.
    #[must_use]
    pub fn new(whole: &'a dyn Watch) -> Self {
        Self { whole, most: Cell::new(0.0) }
    }
}

impl Watch for Rising<'_> {
    fn go_on(&self, done: f64) -> bool {
        self.most.set(self.most.get().max(done));
        self.whole.go_on(self.most.get())
    }
}

/// After so many steps the watch is asked again: a millisecond or so, where a
/// step is one multiplication and its company at one frequency.
const GRAIN: u64 = 1 << 19;

/// Counts the steps of some work, and asks the watch now and then.
pub struct Pace<'w> {
    watch: &'w dyn Watch,
    total: u64,
    done: u64,
    due: u64,
}

impl<'w> Pace<'w> {
    /// Work of about `total` steps. The watch is asked at its first step.
    #[must_use]
    pub fn new(watch: &'w dyn Watch, total: u64) -> Self {
        Self { watch, total, done: 0, due: 0 }
    }

    /// So many more steps are done; `Err` if that is all there will be.
    pub fn did(&mut self, steps: u64) -> Result<(), Stopped> {
        self.done = self.done.saturating_add(steps);
        if self.done < self.due {
            return Ok(());
        }
        self.due = self.done.saturating_add(GRAIN);
        // The total is an estimate, and more may turn out to be done.
        let part = self.done as f64 / self.total.max(self.done).max(1) as f64;
        if self.watch.go_on(part) { Ok(()) } else { Err(Stopped) }
    }
}

impl fmt::Debug for Pace<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} of about {} steps", self.done, self.total)
    }
}

#[cfg(test)]
mod tests {
    use std::cell::RefCell;

    use super::*;

    /// Keeps what it was told, and stops at the so-manieth time.
    struct Told(RefCell<Vec<f64>>, usize);

    impl Watch for Told {
        fn go_on(&self, done: f64) -> bool {
            self.0.borrow_mut().push(done);
            self.0.borrow().len() < self.1
        }
    }

    #[test]
    fn the_watch_is_asked_at_once_and_then_once_a_grain() {
        let told = Told(RefCell::default(), usize::MAX);
        let mut pace = Pace::new(&told, 4 * GRAIN);
        for _ in 0..=8 {
            pace.did(GRAIN / 2).unwrap();
        }
        // At half a grain, then each time when another whole one is done [S: by-hand].
        assert_eq!(*told.0.borrow(), [0.125, 0.375, 0.625, 0.875, 1.0]);
        // Past the estimate it stays whole.
        pace.did(10 * GRAIN).unwrap();
        assert_eq!(told.0.borrow().last(), Some(&1.0));
    }

    #[test]
    fn it_stops_when_told() {
        let told = Told(RefCell::default(), 2);
        let mut pace = Pace::new(&told, 1);
        assert_eq!(pace.did(0), Ok(()));
        assert_eq!(pace.did(GRAIN), Err(Stopped));
        assert_eq!(Pace::new(&Unwatched, 0).did(u64::MAX), Ok(()));
    }
}
