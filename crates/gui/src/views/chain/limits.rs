//! From where on findings speak, for the player to set.

use egui::Ui;

use super::side::nothing;
use crate::views::{Facts, Intent};

/// A field for each limit, and where its value comes from.
pub fn ui(ui: &mut Ui, _facts: &Facts<'_>, _out: &mut Vec<Intent>) {
    nothing(ui, "");
}
