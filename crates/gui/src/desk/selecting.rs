//! What is selected, and what is done to all of it: walking along, nudging, copying, taking out.

use egui::{Context, Event};

use super::Desk;
use super::bars::Notice;
use crate::command::{Command, Way};
use crate::state::{Change, Gesture, Piece, Selected, Selection, noting, several};
use crate::views::{Intent, Subject};

impl Desk {
    /// Copies, cuts and pastes by the desktop's own keys, which no text field and no marked
    /// text of a label wants.
    pub(super) fn take_clipboard_keys(&mut self, ctx: &Context) {
        let marked = ctx.plugin::<egui::text_selection::LabelSelectionState>().lock().has_selection();
        if ctx.text_edit_focused() || marked {
            return;
        }
        let mut pasted = Vec::new();
        ctx.input_mut(|input| {
            input.events.retain(|event| {
                match event {
                    Event::Copy => self.intents.push(Intent::Command(Command::Copy)),
                    Event::Cut => self.intents.push(Intent::Command(Command::Cut)),
                    Event::Paste(text) => pasted.push(text.clone()),
                    _ => return true,
                }
                false
            });
        });
        pasted.iter().for_each(|text| self.paste(text));
    }

    /// What is selected as a piece; without a device or a note there is none.
    fn selected_piece(&self) -> Option<Piece> {
        let variant = self.showing()?;
        Piece::of(variant, &self.document.project().state, &self.selection.devices(), &self.selection.notes())
    }

    /// Puts what is selected on the clipboard; whether that was done.
    fn put_on_clipboard(&mut self, ctx: &Context) -> bool {
        let Some(piece) = self.selected_piece() else {
            self.notice =
                Some(Notice::word("Select a device or a note first; a lead goes along with the devices at its ends."));
            return false;
        };
        match piece.text() {
            Ok(text) => {
                ctx.copy_text(text);
                true
            }
            Err(error) => {
                self.notice = Some(Notice::trouble(format!("That can't be copied: {error}.")));
                false
            }
        }
    }

    pub(super) fn copy(&mut self, ctx: &Context) {
        if self.put_on_clipboard(ctx) {
            let (devices, notes) = (self.selection.devices().len(), self.selection.notes().len());
            let verb = if devices + notes == 1 { "is" } else { "are" };
            let words = several::counts(devices, 0, notes);
            self.notice = Some(Notice::word(format!("{words} {verb} copied.")));
        }
    }

    pub(super) fn cut(&mut self, ctx: &Context) {
        if self.put_on_clipboard(ctx) {
            self.take_out();
        }
    }

    /// Puts what a text holds into the rig in hand.
    fn paste(&mut self, text: &str) {
        match Piece::read(text) {
            Ok(piece) => {
                let Some(variant) = self.showing().cloned() else { return };
                let change = piece.put_in(&variant, self.selection.lead());
                self.push(change);
                self.screen_mut().reveal();
            }
            Err(why) => {
                let why = why.to_string();
                let words = format!("What is on the clipboard can't be put into a rig: {}.", why.trim_end_matches('.'));
                self.notice = Some(Notice::trouble(words));
            }
        }
    }

    pub(super) fn duplicate(&mut self) {
        let (Some(piece), Some(variant)) = (self.selected_piece(), self.showing().cloned()) else { return };
        let change = piece.put_in(&variant, None);
        let name = change.name.replacen("paste", "duplicate", 1);
        self.push(Change { name, ..change });
        self.screen_mut().reveal();
    }

    pub(super) fn select_all(&mut self) {
        let Some(variant) = self.showing() else { return };
        let rig = &variant.rig;
        let leads = rig.leads.iter().map(|lead| Selected::Lead(lead.id));
        let devices = rig.devices.iter().map(|device| Selected::Device(device.id));
        let notes = variant.notes.iter().map(|note| Selected::Note(note.id));
        self.selection = Selection::of_all(notes.chain(leads).chain(devices));
    }

    /// The selection goes on to what is beside it.
    pub(super) fn walk(&mut self, way: Way) {
        let Some(variant) = self.showing() else { return };
        if let Some(next) = self.screen().beside(&self.selection, variant, way) {
            self.selection = Selection::of(Some(next));
        }
    }

    /// Selected symbols a little to one side; several of these are one step of undo.
    pub(super) fn nudge(&mut self, way: Way) {
        let Some(variant) = self.showing() else { return };
        let Some(edit) = self.screen().nudged(&self.selection, variant, way) else { return };
        let name = format!("nudge {}", several::called(variant, &self.selection));
        let devices = self.selection.devices();
        let gesture = Gesture(egui::Id::unique(("nudge", variant.id.0, devices)).value());
        self.push(Change::new(name, edit).in_gesture(gesture));
    }

    /// A new note on the sheet, to be typed at once.
    pub(super) fn add_note(&mut self) {
        let place = self.screen_mut().note_place();
        if let (Some(at), Some(variant)) = (place, self.showing().cloned()) {
            self.push(noting::add(&variant, at));
            self.screen_mut().type_over();
        }
    }

    /// Takes out or unplugs all that is selected.
    pub(super) fn take_out(&mut self) {
        let change = self.showing().and_then(|variant| several::take_out(variant, &self.selection));
        change.into_iter().for_each(|change| self.push(change));
    }

    /// Steps on the footswitch of the selected device, or on those of several.
    pub(super) fn toggle_selected(&mut self) {
        if self.screen().subject() != Subject::Signal {
            return;
        }
        if let Some(device) = self.selection.device() {
            self.toggle(device);
            return;
        }
        let (state, devices) = (&self.document.project().state, self.selection.devices());
        let change = self.showing().and_then(|variant| several::switch(variant, state, &devices));
        change.into_iter().for_each(|change| self.push(change));
    }
}
