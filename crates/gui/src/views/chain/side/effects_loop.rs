//! A send and a return in the middle of a unit or an amp: what is chosen of them.

use egui::Ui;
use rigwright_core::parts::usual::{DRY, EFFECTS_LOOP};
use rigwright_core::rig::{EffectsLoop, LineLevel, Polarity};

use super::choices::{choose, have};
use super::stereo;
use crate::widgets::panel;

/// Whether there is a loop, and how it is wired; what works it are the patches, if there are any.
pub fn choices(ui: &mut Ui, effects_loop: &mut Option<EffectsLoop>, patches: bool) {
    have(ui, "a send and a return", effects_loop, EFFECTS_LOOP);
    let Some(way) = effects_loop else { return };
    have(ui, "its dry signal stays beside the loop: parallel", &mut way.dry, DRY);
    if !patches {
        ui.checkbox(&mut way.has_switch, "a switch takes the loop out");
    }
    if way.mixes_inside() {
        stereo::polarity(ui, "what comes back", &mut way.back_polarity, &Polarity::OF_A_UNIT);
    }
    level(ui, "the send gives", &mut way.send_gives);
    level(ui, "the return expects", &mut way.back_expects);
    let apart = way.mismatch_db();
    if apart.abs() >= 0.05 {
        let words = if apart > 0.0 { "quieter" } else { "louder" };
        panel::quiet(ui, format!("What goes through the loop comes back {:.1} dB {words}.", apart.abs()));
    }
}

/// The level that something is made for, or that nobody says.
pub fn level(ui: &mut Ui, label: &str, value: &mut Option<LineLevel>) {
    let levels = LineLevel::ALL.map(|level| (Some(level), level.name()));
    let options: Vec<(Option<LineLevel>, &str)> = [(None, "nobody says")].into_iter().chain(levels).collect();
    choose(ui, label, value, &options);
}
