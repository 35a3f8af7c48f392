//! How far a command is, on a terminal: one short line that goes away again.

use std::cell::{Cell, RefCell};
use std::io::Write;
use std::time::{Duration, Instant};

use rigwright_core::watch::Watch;

/// What is done sooner says nothing.
const SILENT: Duration = Duration::from_secs(1);

/// Writes how far it is, once it has taken longer than a moment.
pub struct Progress<'a> {
    to: RefCell<&'a mut dyn Write>,
    began: Instant,
    silent: Duration,
    /// What stands there, in percent.
    shown: Cell<Option<u32>>,
}

impl<'a> Progress<'a> {
    /// Onto a terminal.
    pub fn new(to: &'a mut dyn Write) -> Self {
        Self { to: RefCell::new(to), began: Instant::now(), silent: SILENT, shown: Cell::new(None) }
    }

    fn write(&self, line: &str) {
        let mut to = self.to.borrow_mut();
        // Where it can't be written nobody reads it.
        let _ = write!(to, "{line}").and_then(|()| to.flush());
    }
}

impl Watch for Progress<'_> {
    fn go_on(&self, done: f64) -> bool {
        let percent = (100.0 * done.clamp(0.0, 1.0)) as u32;
        if self.began.elapsed() >= self.silent && self.shown.get().is_none_or(|shown| percent > shown) {
            self.shown.set(Some(percent));
            self.write(&format!("\r{percent} % done"));
        }
        true
    }
}

impl Drop for Progress<'_> {
    fn drop(&mut self) {
        if self.shown.get().is_some() {
            self.write("\r           \r");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(silent: Duration) -> String {
        let mut line = Vec::new();
        let mut progress = Progress::new(&mut line);
        progress.silent = silent;
        for done in [0.0, 0.5, 0.5, 0.4, 1.0] {
            assert!(progress.go_on(done), "nobody stops it");
        }
        drop(progress);
        String::from_utf8(line).unwrap()
    }

    #[test]
    fn what_takes_long_says_how_far_it_is_and_takes_it_back() {
        assert_eq!(said(Duration::ZERO), "\r0 % done\r50 % done\r100 % done\r           \r");
        assert_eq!(said(Duration::from_secs(3600)), "");
    }
}
