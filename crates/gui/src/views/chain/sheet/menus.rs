//! What can be done with something on the sheet, by a right click on it.

use egui::{Button, Response, Ui};
use rigwright_core::rig::{Device, LeadId};

use super::Sheet;
use super::camera::Camera;
use super::drawing::DeviceShape;
use crate::command::Command;
use crate::state::Selected;
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

impl Sheet<'_, '_> {
    /// The menu of a device; a double click opens its equivalent circuit.
    pub fn device_menu(&mut self, hit: &Response, shape: &DeviceShape, device: &Device) {
        let mut asked = Vec::new();
        let mut opened = hit.double_clicked();
        hit.context_menu(|ui| {
            if device.has_switch() {
                let on = device.is_on(&self.facts.project.state);
                let words = if on { "Switch off" } else { "Switch on" };
                if entry(ui, words, Some(Command::ToggleSwitch)) {
                    asked.push(Intent::Toggle(device.id));
                }
            }
            for command in [Command::Insert, Command::Delete, Command::KeepPart] {
                if entry(ui, command.text(), Some(command)) {
                    asked.push(Intent::Command(command));
                }
            }
            if entry(ui, "Put another part in its place…", None) {
                asked.push(Intent::OpenPicker(Purpose::Replace(device.id)));
            }
            if entry(ui, "Show its equivalent circuit", None) {
                opened = true;
            }
            let is_dragged = self.facts.variant.places.contains_key(&device.id);
            if is_dragged && entry(ui, Command::Tidy.text(), Some(Command::Tidy)) {
                asked.push(Intent::Command(Command::Tidy));
            }
        });
        if opened {
            self.canvas.look_at(Camera { zoom: OPENED, centre: shape.at });
        }
        self.menu_of(hit, Selected::Device(device.id), asked);
    }

    /// The menu of a lead.
    pub fn lead_menu(&mut self, hit: &Response, lead: LeadId) {
        let mut asked = Vec::new();
        hit.context_menu(|ui| {
            for command in [Command::Insert, Command::TestPoint] {
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
    pub fn paper_menu(&mut self) {
        let mut asked = Vec::new();
        let ground = self.ground;
        ground.context_menu(|ui| {
            for command in [Command::Insert, Command::Fit, Command::Tidy, Command::Undo, Command::Redo] {
                if entry(ui, command.text(), Some(command)) {
                    asked.push(Intent::Command(command));
                }
            }
        });
        if ground.secondary_clicked() {
            self.out.push(Intent::Select(None));
        }
        self.out.extend(asked);
    }

    /// What the menu is about is selected with it, and then done to.
    fn menu_of(&mut self, hit: &Response, item: Selected, asked: Vec<Intent>) {
        if hit.secondary_clicked() || !asked.is_empty() {
            self.out.push(Intent::Select(Some(item)));
        }
        self.out.extend(asked);
    }
}
