//! Questions about parts of the player's own: what one is to be called, what it costs,
//! whether it goes.

use egui::{Key, RichText, TextEdit, Ui};
use rigwright_core::rig::LONGEST_NAME;
use rigwright_core::units::{Dimension, Parsed, Price, parse, trimmed};

use crate::command::Command;
use crate::state::OwnParts;
use crate::theme::Tokens;
use crate::views::OwnAsk;
use crate::widgets::panel;

/// A question about an own part.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnQuestion {
    /// What is to be done.
    pub ask: OwnAsk,
    /// What the part is called now.
    pub name: String,
    /// What was typed so far.
    pub typed: String,
    /// What is wrong with it.
    pub wrong: Option<String>,
}

/// What a person answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OwnAnswer {
    /// It is to be done.
    Do,
    /// It isn't.
    Leave,
}

impl OwnQuestion {
    /// The question, and what was answered.
    pub fn ui(&mut self, ui: &mut Ui, own: &OwnParts, currency: &str) -> Option<OwnAnswer> {
        let name = &self.name;
        let (heading, about, action) = match &self.ask {
            OwnAsk::Keep(_) => (
                Command::KeepPart.name().to_owned(),
                "All its numbers are kept, with its price and its mass, and the catalogue offers it in every rig.",
                "Keep it",
            ),
            OwnAsk::Rename(_) => (
                format!("Rename “{name}”"),
                "The catalogue has it under the new name. Devices that were made from it keep theirs.",
                "Rename it",
            ),
            OwnAsk::SetPrice(_) => (
                format!("What does “{name}” cost?"),
                "What is made from it from now on costs that. Devices that are there keep their prices.",
                "Set the price",
            ),
            OwnAsk::Remove(_) => (
                format!("Remove “{name}” from my own parts?"),
                "Devices that were made from it stay as they are. This can't be undone.",
                "Remove it",
            ),
        };
        panel::heading(ui, &heading);
        panel::quiet(ui, about);
        let entered = match &self.ask {
            OwnAsk::Remove(_) => false,
            OwnAsk::SetPrice(_) => ui.horizontal(|ui| (self.field(ui), ui.label(currency)).0).inner,
            OwnAsk::Keep(_) | OwnAsk::Rename(_) => self.field(ui),
        };
        if let Some(note) = self.note(own) {
            panel::quiet(ui, note);
        }
        if let Some(wrong) = &self.wrong {
            ui.label(RichText::new(wrong).color(Tokens::of(ui).alarm));
        }
        ui.add_space(8.0);
        let mut answer = entered.then_some(OwnAnswer::Do);
        ui.horizontal_wrapped(|ui| {
            if ui.button(action).clicked() {
                answer = Some(OwnAnswer::Do);
            }
            let leave = if matches!(self.ask, OwnAsk::Remove(_)) { "Keep it" } else { "Cancel" };
            if ui.button(leave).clicked() {
                answer = Some(OwnAnswer::Leave);
            }
        });
        answer
    }

    /// The field, and whether Enter was pressed in it.
    fn field(&mut self, ui: &mut Ui) -> bool {
        let is_price = matches!(self.ask, OwnAsk::SetPrice(_));
        let width = if is_price { 120.0 } else { f32::INFINITY };
        let edit = TextEdit::singleline(&mut self.typed).desired_width(width).char_limit(LONGEST_NAME);
        let response = ui.add(edit);
        let (label, value) = (if is_price { "Price of the part" } else { "Name of the part" }, self.typed.clone());
        response.widget_info(|| {
            let mut info = egui::WidgetInfo::labeled(egui::Role::TextInput, true, label);
            info.current_text_value = Some(value.clone());
            info
        });
        // Once only: Tab goes on from there.
        let (id, now) = (response.id.with("was shown"), ui.ctx().cumulative_pass_nr());
        let last: Option<u64> = ui.data(|data| data.get_temp(id));
        ui.data_mut(|data| data.insert_temp(id, now));
        if last.is_none_or(|last| last + 1 < now) {
            response.request_focus();
        }
        if response.changed() {
            self.wrong = None;
        }
        response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter))
    }

    /// Which name it gets where another part has the one that was typed.
    fn note(&self, own: &OwnParts) -> Option<String> {
        let itself = match &self.ask {
            OwnAsk::Keep(_) => None,
            OwnAsk::Rename(key) => Some(key),
            OwnAsk::SetPrice(_) | OwnAsk::Remove(_) => return None,
        };
        let typed = self.typed.trim();
        let taken = own.kept().iter().any(|part| part.name == typed && Some(&part.key) != itself);
        taken.then(|| format!("There is one of that name, which stays: this one becomes “{}”.", own.free_name(typed)))
    }

    /// The name that was typed, or what is wrong with it.
    pub fn typed_name(&self) -> Result<String, String> {
        match self.typed.trim() {
            "" => Err("Type a name first.".to_owned()),
            name => Ok(name.to_owned()),
        }
    }

    /// The price that was typed, or what is wrong with it.
    pub fn typed_price(&self) -> Result<Price, String> {
        match parse(&self.typed, Dimension::Number).map_err(|error| format!("{error}."))? {
            Parsed::Value(value) => Price::new(value).map_err(|error| format!("{error}.")),
            Parsed::Ambiguous([one, other]) => Err(format!(
                "“{}” can be {} or {}: type one of these.",
                self.typed.trim(),
                trimmed(one, 6),
                trimmed(other, 6)
            )),
        }
    }
}
