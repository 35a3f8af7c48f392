//! Sounds made of presets or patches, under their numbers.

use egui::Ui;
use rigwright_core::rig::{Device, Edit, SoundEdit, numbered_sounds};
use rigwright_core::units::counted;

use crate::state::Change;
use crate::views::{Facts, Intent};
use crate::widgets::small;

/// A button that keeps a sound for each preset or patch of a device that no sound calls yet.
pub fn sounds(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let Some(key) = device.calls() else { return };
    let sounds = numbered_sounds(facts.project, facts.variant, device);
    if sounds.is_empty() {
        return;
    }
    let words = format!("Keep a sound for each {key}");
    let tip = format!(
        "{} more, under their numbers; all other switches and controls stand in them as they stand now.",
        counted(sounds.len())
    );
    if ui.add(small::button(words)).on_hover_text(tip).clicked() {
        let step = format!("keep a sound for each {key} of {}", device.name);
        let adds = sounds.into_iter().map(|sound| Edit::Sound(SoundEdit::Add(Box::new(sound))));
        out.push(Intent::Change(Change::new(step, Edit::Batch(adds.collect()))));
    }
}
