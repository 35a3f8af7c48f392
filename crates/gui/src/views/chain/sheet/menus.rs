//! What can be done with something on the sheet, by a right click on it.

use egui::{Button, Pos2, Response, Ui};
use rigwright_core::rig::{Device, LeadId, Note, State, SwitchKey, SwitchSetting};

use super::Sheet;
use super::drawing::DeviceShape;
use super::opened;
use super::typing::{Said, Typing};
use crate::command::Command;
use crate::state::{Selected, noting};
use crate::views::{Intent, Purpose};

/// The zoom at which a device that is opened shows its equivalent circuit.
const OPENED: f32 = 2.3;

/// An entry, with its key if the command has one; closes the menu when it is chosen.
fn entry(ui: &mut Ui, words: &str, command: Option<Command>) -> bool {
    let mut button = Button::new(words);
    if let Some(keys) = command.and_then(Command::shortcut_text) {
        button = button.shortcut_text(keys);
    }
    let chosen = ui.add(button).clicked();
    if chosen {
        ui.close();
    }
    chosen
}

/// What can be done to devices and notes, one or several.
const COPIED_OR_TAKEN_OUT: [Command; 4] = [Command::Copy, Command::Cut, Command::Duplicate, Command::Delete];

/// "Switch on", "Switch to “lead”": what a step on its main switch does, if it has one.
pub fn next_words(device: &Device, state: &State) -> Option<String> {
    let SwitchSetting { switch, to } = device.stepped_on(state)?;
    let name = device.position_name(switch.key, to);
    Some(match switch.key {
        SwitchKey::Bypass | SwitchKey::Mute => format!("Switch {name}"),
        SwitchKey::Loop(_) => format!("Switch the loop {name}"),
        _ => format!("Switch to “{name}”"),
    })
}

impl Sheet<'_, '_> {
    /// The menu of a device; a double click opens its equivalent circuit.
    pub fn device_menu(&mut self, hit: &Response, shape: &DeviceShape, device: &Device) {
        let mut asked = Vec::new();
        let on_name = hit.double_clicked() && self.is_on_name(device.id, hit.interact_pointer_pos());
        let mut renamed = on_name;
        let mut opened = hit.double_clicked() && !on_name;
        hit.context_menu(|ui| {
            if let Some(words) = next_words(device, &self.facts.project.state)
                && entry(ui, &words, Some(Command::ToggleSwitch))
            {
                asked.push(Intent::Command(Command::ToggleSwitch));
            }
            let of_one = [Command::Insert, Command::KeepPart];
            let of_one = of_one.into_iter().filter(|_| !self.facts.selection.is_several());
            for command in of_one.chain(COPIED_OR_TAKEN_OUT) {
                if entry(ui, command.text(), Some(command)) {
                    asked.push(Intent::Command(command));
                }
            }
            if entry(ui, "Put another part in its place…", None) {
                asked.push(Intent::OpenPicker(Purpose::Replace(device.id)));
            }
            if entry(ui, "Rename", Some(Command::TypeOver)) {
                renamed = true;
            }
            if entry(ui, "Show its equivalent circuit", None) {
                opened = true;
            }
            let is_dragged = self.facts.variant.places.contains_key(&device.id);
            if is_dragged && entry(ui, Command::Tidy.text(), Some(Command::Tidy)) {
                asked.push(Intent::Command(Command::Tidy));
            }
        });
        if renamed {
            self.canvas.typing = Some(Typing::of(Said::Name(device.id), &device.name));
        }
        if opened {
            self.canvas.look_at(opened::camera(shape, device, self.pen.screen, OPENED));
        }
        self.menu_of(hit, Selected::Device(device.id), asked);
    }

    /// The menu of a lead.
    pub fn lead_menu(&mut self, hit: &Response, lead: LeadId) {
        let mut asked = Vec::new();
        hit.context_menu(|ui| {
            for command in [Command::Insert, Command::Paste, Command::TestPoint] {
                if entry(ui, command.text(), Some(command)) {
                    asked.push(Intent::Command(command));
                }
            }
            if entry(ui, "Unplug this lead", Some(Command::Delete)) {
                asked.push(Intent::Command(Command::Delete));
            }
        });
        self.menu_of(hit, Selected::Lead(lead), asked);
    }

    /// The menu of the paper around everything.
    pub fn paper_menu(&mut self, pointer: Option<Pos2>) {
        let mut asked = Vec::new();
        let ground = self.ground;
        ground.context_menu(|ui| {
            let edits =
                [Command::Insert, Command::AddNote, Command::Paste, Command::SelectAll, Command::Undo, Command::Redo];
            for command in edits.into_iter().chain([Command::Fit, Command::Tidy, Command::Dots, Command::DragOnPaper]) {
                if entry(ui, command.text(), Some(command)) {
                    asked.push(Intent::Command(command));
                }
            }
        });
        if ground.secondary_clicked() {
            self.out.push(Intent::Select(None));
            self.canvas.menu_at = pointer;
        }
        self.out.extend(asked);
    }

    /// The menu of a note.
    pub fn note_menu(&mut self, hit: &Response, note: &Note) {
        let (mut asked, mut typed) = (Vec::new(), false);
        hit.context_menu(|ui| {
            typed = entry(ui, "Change the words", Some(Command::TypeOver));
            let words = if note.arrow.is_some() { "Take the arrow away" } else { "Add an arrow" };
            if entry(ui, words, None) {
                let change = noting::with_arrow(self.facts.variant, note, note.arrow.is_none());
                asked.push(Intent::Change(change));
            }
            for command in COPIED_OR_TAKEN_OUT {
                if entry(ui, command.text(), Some(command)) {
                    asked.push(Intent::Command(command));
                }
            }
        });
        if typed {
            self.canvas.typing = Some(Typing::of(Said::Note(note.id), &note.text));
        }
        self.menu_of(hit, Selected::Note(note.id), asked);
    }

    /// What the menu is about is selected with it, and then done to.
    fn menu_of(&mut self, hit: &Response, item: Selected, asked: Vec<Intent>) {
        // One of several stands for all of them.
        if (hit.secondary_clicked() || !asked.is_empty()) && !self.facts.selection.contains(item) {
            self.out.push(Intent::Select(Some(item)));
        }
        self.out.extend(asked);
    }
}
