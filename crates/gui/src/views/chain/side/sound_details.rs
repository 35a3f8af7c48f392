//! The details of a sound: its name, its notes, its place in the list.

use egui::{Id, Role, TextEdit, Ui, WidgetInfo};
use rigwright_core::rig::{Edit, Project, Sound, SoundEdit};

use super::sounds::{change, moved};
use crate::state::{Change, Gesture};
use crate::theme::text;
use crate::views::Intent;
use crate::widgets::{name_field, small};

/// Everything of the sound at a place of the list that can be changed but its switches.
pub fn ui(ui: &mut Ui, project: &Project, at: usize, out: &mut Vec<Intent>) {
    let sound = &project.sounds[at];
    let id = Id::unique(("name of a sound", sound.id.0));
    let named = name_field::edit(ui, id, "Name of the sound", &sound.name, |edit| edit.desired_width(f32::INFINITY));
    if let Some(name) = named.name {
        let step = format!("rename the sound {}", sound.name);
        out.push(set(Sound { name, ..sound.clone() }, step, id));
    }
    if named.response.lost_focus() {
        out.push(Intent::EndGesture);
    }
    let id = Id::unique(("notes of a sound", sound.id.0));
    let mut notes = sound.notes.clone();
    let edit = TextEdit::multiline(&mut notes).id(id).desired_rows(2).desired_width(f32::INFINITY).font(text::small());
    let field = ui.add(edit.hint_text("Settings of knobs, patch number, amp channel"));
    let label = format!("Notes of the sound {}", sound.name);
    field.widget_info(|| WidgetInfo::labeled(Role::MultilineTextInput, true, &label));
    if field.changed() {
        let step = format!("change the notes of {}", sound.name);
        out.push(set(Sound { notes, ..sound.clone() }, step, id));
    }
    if field.lost_focus() {
        out.push(Intent::EndGesture);
    }
    ui.horizontal_wrapped(|ui| {
        let ends = [("Move up", at.checked_sub(1)), ("Move down", (at + 1 < project.sounds.len()).then_some(at + 1))];
        for (words, to) in ends {
            let button = ui.add_enabled(to.is_some(), small::button(words));
            if let Some(to) = to.filter(|_| button.clicked()) {
                out.push(moved(sound, to));
            }
        }
        if ui.add(small::button("Remove it")).on_hover_text("Takes this sound out of the list").clicked() {
            out.push(change(SoundEdit::Remove(sound.id), format!("remove the sound {}", sound.name)));
        }
    });
}

fn set(sound: Sound, step: String, id: Id) -> Intent {
    let edit = Edit::Sound(SoundEdit::Set(Box::new(sound)));
    Intent::Change(Change::new(step, edit).in_gesture(Gesture(id.value())))
}
