//! The name of one of several things of a device: a channel, a preset, a patch.

use egui::{Id, Ui};

use crate::state::{Change, Gesture};
use crate::views::Intent;
use crate::widgets::name_field;

/// A field for it, so wide; each stroke is a change, all of them together one step of undo.
pub fn name(
    ui: &mut Ui,
    (id, label, value): (Id, &str, &str),
    width: f32,
    change: impl FnOnce(String) -> Change,
    out: &mut Vec<Intent>,
) {
    let named = name_field::edit(ui, id, label, value, |edit| edit.desired_width(width));
    if let Some(name) = named.name {
        out.push(Intent::Change(change(name).in_gesture(Gesture(id.value()))));
    }
    if named.response.lost_focus() {
        out.push(Intent::EndGesture);
    }
}
