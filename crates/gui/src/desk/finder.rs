//! Doing what was found in the list that finds anything, and how large all of the window is.

use egui::Context;
use rigwright_core::diagnosis::Diagnosis;
use rigwright_core::rig::Jack;

use super::Desk;
use crate::command::Command;
use crate::state::{Amendment, Scale, Selected, Selection, plugging};
use crate::views::{Purpose, Subject};

impl Desk {
    /// Selects something, on a screen that has it, and sees to it that it is in sight.
    pub(super) fn find(&mut self, item: Selected) {
        let Some(variant) = self.showing().cloned() else { return };
        let screen = match item {
            Selected::Lead(_) | Selected::Note(_) => Some(Command::ShowChain),
            Selected::Device(id) => variant.rig.device(id).and_then(|device| {
                let on_supplies = self.screen().subject() == Subject::Supplies;
                match (device.kind.jacks().is_empty(), device.power.need().is_some()) {
                    (true, _) => Some(Command::ShowPower),
                    // It is on both screens.
                    (false, true) if on_supplies => None,
                    (false, _) => Some(Command::ShowChain),
                }
            }),
        };
        if let Some(screen) = screen {
            self.show_screen(screen);
        }
        self.selection = Selection::of(Some(item));
        self.screen_mut().reveal();
    }

    /// Shows a diagnosis in the list of all of them.
    pub(super) fn show_diagnosis(&mut self, told: &Diagnosis) {
        self.show_screen(Command::ShowChain);
        self.selection = Selection::default();
        self.screen_mut().show_diagnosis(told);
    }

    /// Plugs a new part in on the selected lead or behind the selected device, if it has a way
    /// through, or else puts it on the sheet where parts of its kind are.
    pub(super) fn insert_part(&mut self, key: &str) {
        let Some(part) = self.own_parts.part(key).cloned() else { return };
        let jacks = part.kind.jacks();
        let screen = if jacks.is_empty() { Command::ShowPower } else { Command::ShowChain };
        self.show_screen(screen);
        let Some(variant) = self.showing().cloned() else { return };
        let has_input = jacks.contains(&Jack::In);
        let change = match self.screen().insertion(&self.selection, &variant) {
            Purpose::Lead(lead) if has_input && jacks.contains(&Jack::Out) => plugging::insert(&variant, lead, &part),
            Purpose::Behind(output) if has_input => plugging::add_behind(&variant, output, &part),
            _ => Some(plugging::add(&variant, &part, None)),
        };
        change.into_iter().for_each(|change| self.push(change));
    }

    /// Shows all of the window in another size, and remembers that.
    pub(super) fn scale(&mut self, scale: Option<Scale>, ctx: &Context) {
        if let Some(scale) = scale {
            self.amend(Amendment::Scale(scale));
            ctx.set_zoom_factor(self.settings.zoom);
        }
    }
}
