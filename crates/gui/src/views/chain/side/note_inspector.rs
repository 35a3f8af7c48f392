//! The selected note: what it says, and its arrow.

use egui::{TextEdit, Ui, WidgetInfo};
use rigwright_core::rig::{LONGEST_NAME, Note};

use crate::command::Command;
use crate::state::{Gesture, noting};
use crate::views::{Facts, Intent};
use crate::widgets::panel;

/// The selected note.
pub fn ui(ui: &mut Ui, facts: &Facts<'_>, note: &Note, out: &mut Vec<Intent>) {
    panel::heading(ui, "Note");
    panel::quiet(ui, "Words on the sheet, for you alone: nothing is computed from them.");
    let mut text = note.text.clone();
    let id = egui::Id::unique(("text of a note", note.id.0));
    let field = ui.add(
        TextEdit::multiline(&mut text).id(id).char_limit(LONGEST_NAME).desired_rows(3).desired_width(f32::INFINITY),
    );
    let current = text.clone();
    field.widget_info(|| {
        let mut info = WidgetInfo::labeled(egui::Role::MultilineTextInput, true, "Text of the note");
        info.current_text_value = Some(current.clone());
        info
    });
    if field.changed() {
        let change = noting::put(facts.variant, Note { text, ..note.clone() }, "change a note");
        out.push(Intent::Change(change.in_gesture(Gesture(id.value()))));
    }
    if field.lost_focus() {
        out.push(Intent::EndGesture);
    }
    let mut has_arrow = note.arrow.is_some();
    if ui.checkbox(&mut has_arrow, "An arrow").on_hover_text("Drag its head to what the note is about").clicked() {
        out.push(Intent::Change(noting::with_arrow(facts.variant, note, has_arrow)));
    }
    ui.add_space(6.0);
    if ui.button("Take out").on_hover_text("Takes the note off the sheet (Delete)").clicked() {
        out.push(Intent::Command(Command::Delete));
    }
}
