//! A long list is shown a stretch at a time: thousands of lines in a frame are slow and help nobody.

use egui::Ui;
use rigwright_core::units::counted;

use super::small;

/// So many lines at a time.
pub const STRETCH: usize = 40;

/// How much of a list is shown.
#[derive(Debug, Clone, Copy)]
pub struct More {
    shown: usize,
}

impl Default for More {
    fn default() -> Self {
        Self { shown: STRETCH }
    }
}

impl More {
    /// So many lines are shown.
    #[must_use]
    pub fn shown(&self) -> usize {
        self.shown
    }

    /// Shows as much that the line at this place is among it.
    pub fn reveal(&mut self, at: usize) {
        while self.shown <= at {
            self.shown += STRETCH;
        }
    }

    /// Below a list of `count` lines: how many more there are, and a button for the next.
    pub fn ui(&mut self, ui: &mut Ui, count: usize) {
        let left = count.saturating_sub(self.shown);
        if left > 0 && ui.add(small::button(format!("Show more: {} left", counted(left)))).clicked() {
            self.shown += STRETCH;
        }
    }
}
