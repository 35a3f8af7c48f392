//! A field in place of a label on the sheet: a device's name, a lead's length.

use egui::text::{CCursor, CCursorRange};
use egui::{Area, Color32, Frame, Id, Key, Label, Margin, Order, Rect, Response, RichText, Stroke, TextEdit, Ui, vec2};
use rigwright_core::rig::{Device, DeviceId, Edit, LONGEST_NAME, Lead, LeadId, Note, NoteId, Variant};
use rigwright_core::units::{Dimension, Metres};

use super::Sheet;
use super::leads::plus_place;
use crate::state::{Change, Selected, noting};
use crate::theme::text;
use crate::views::Intent;
use crate::views::numbers::peak_line;
use crate::widgets::quantity::{self, Quantity, Typed};

/// What a label of the sheet says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Said {
    /// What a device is called.
    Name(DeviceId),
    /// How long a lead is.
    Length(LeadId),
    /// What a note says.
    Note(NoteId),
}

/// A label that is being typed over.
#[derive(Debug, Clone, PartialEq)]
pub struct Typing {
    said: Said,
    /// The name as far as it is typed.
    name: String,
    /// What is wrong with what was typed last.
    wrong: Option<String>,
    /// Whether the field was shown already.
    begun: bool,
}

impl Typing {
    /// A label, from the next frame on.
    #[must_use]
    pub fn of(said: Said, name: &str) -> Self {
        Self { said, name: name.to_owned(), wrong: None, begun: false }
    }
}

impl Typing {
    /// What the sheet says of something that is selected.
    #[must_use]
    pub fn of_item(variant: &Variant, item: Selected) -> Option<Self> {
        match item {
            Selected::Device(id) => variant.rig.device(id).map(|device| Self::of(Said::Name(id), &device.name)),
            Selected::Lead(id) => variant.rig.lead(id).map(|lead| Self::of(Said::Length(lead.id), "")),
            Selected::Note(id) => variant.note(id).map(|note| Self::of(Said::Note(id), &note.text)),
        }
    }
}

/// What came of a frame.
enum Outcome {
    /// It goes on.
    Goes,
    /// It is over, with a change or without.
    Over(Option<Box<Change>>),
}

impl Sheet<'_, '_> {
    /// The field in place of the label that is typed over, if one is.
    pub fn type_over(&mut self, ui: &Ui) {
        let Some(mut typing) = self.canvas.typing.take() else { return };
        let place = self.canvas.labels.iter().find(|(said, _)| *said == typing.said).map(|(_, rect)| *rect);
        let rig = &self.facts.variant.rig;
        // Where it can't be seen, or isn't there any more, there is nothing to type over.
        let Some(place) = place.filter(|place| self.pen.screen.intersects(*place)) else { return };
        let id = Id::unique(("a label that is typed over", self.facts.variant.id.0));
        let width = 190.0;
        let at = place.center_top() + vec2(-0.5 * width, -6.0);
        let area = Area::new(id).fixed_pos(at).order(Order::Foreground).constrain_to(ui.ctx().content_rect());
        let tokens = self.pen.tokens;
        let frame = Frame::new().fill(tokens.panel).stroke(Stroke::new(1.2, tokens.teal)).corner_radius(5);
        let outcome = area.show(ui.ctx(), |ui| {
            frame.inner_margin(Margin::same(6)).show(ui, |ui| {
                ui.set_width(width - 12.0);
                match typing.said {
                    Said::Name(device) => rig
                        .device(device)
                        .map_or(Outcome::Over(None), |device| self.name_field(ui, &mut typing, device)),
                    Said::Note(note) => {
                        let note = self.facts.variant.note(note);
                        note.map_or(Outcome::Over(None), |note| self.note_field(ui, &mut typing, note))
                    }
                    Said::Length(lead) => {
                        rig.lead(lead).map_or(Outcome::Over(None), |lead| self.length_field(ui, &mut typing, lead))
                    }
                }
            })
        });
        match outcome.inner.inner {
            Outcome::Goes => self.canvas.typing = Some(typing),
            Outcome::Over(change) => self.out.extend(change.map(|change| Intent::Change(*change))),
        }
    }

    fn name_field(&self, ui: &mut Ui, typing: &mut Typing, device: &Device) -> Outcome {
        match text_field(ui, typing, 1, &format!("New name of {}", device.name)) {
            Text::Goes => Outcome::Goes,
            Text::Done(name) if name.trim() != device.name => {
                let changed = Device { name: name.trim().to_owned(), ..device.clone() };
                let edit = Edit::SetDevice { variant: self.facts.variant.id, device: Box::new(changed) };
                Outcome::Over(Some(Box::new(Change::new(format!("rename {}", device.name), edit))))
            }
            Text::Done(_) | Text::GivenUp => Outcome::Over(None),
        }
    }

    fn note_field(&self, ui: &mut Ui, typing: &mut Typing, note: &Note) -> Outcome {
        match text_field(ui, typing, 2, "New words of the note") {
            Text::Goes => Outcome::Goes,
            Text::Done(text) if text != note.text => {
                let changed = Note { text, ..note.clone() };
                Outcome::Over(Some(Box::new(noting::put(self.facts.variant, changed, "change a note"))))
            }
            Text::Done(_) | Text::GivenUp => Outcome::Over(None),
        }
    }

    fn length_field(&mut self, ui: &mut Ui, typing: &mut Typing, lead: &Lead) -> Outcome {
        let name = format!("New length of the lead from {}", self.lead_name(lead.id));
        let asked = Quantity { name: &name, value: lead.length.get(), dimension: Dimension::Length, unit: "m" };
        let (field, typed) = quantity::edit(ui, &asked, "");
        if !std::mem::replace(&mut typing.begun, true) {
            take_up(ui, &field, asked.show(asked.value).chars().count());
            return Outcome::Goes;
        }
        let change = |value: f64| {
            let changed = Lead { length: Metres::new(value)?, ..lead.clone() };
            let edit = Edit::SetLead { variant: self.facts.variant.id, lead: Box::new(changed) };
            Ok::<_, rigwright_core::units::OutOfRange>(Change::new("change the length of a lead", edit))
        };
        match typed {
            Typed::Value(value) | Typed::Stepped(value) => match change(value) {
                Ok(done) => return Outcome::Over(Some(Box::new(done))),
                Err(error) => typing.wrong = Some(error.to_string()),
            },
            Typed::Wrong(words) => typing.wrong = Some(words),
            Typed::Looked(value) => match change(value) {
                Ok(looked) => {
                    typing.wrong = None;
                    let words = format!("length: {}", asked.show(value));
                    if let Some(line) = peak_line(self.facts, words, looked, self.out) {
                        sentence(ui, &line, self.pen.tokens.teal);
                    }
                }
                Err(error) => typing.wrong = Some(error.to_string()),
            },
            // Two readings of what was typed are asked about below the field.
            Typed::GaveUp if !ui.input(|input| input.key_pressed(Key::Escape)) && field.lost_focus() => {}
            Typed::GaveUp => return Outcome::Over(None),
            Typed::Nothing if !field.has_focus() && !ui.memory(|memory| memory.focused().is_some()) => {
                return Outcome::Over(None);
            }
            Typed::Nothing => {}
        }
        if let Some(wrong) = &typing.wrong {
            sentence(ui, wrong, self.pen.tokens.alarm);
        }
        Outcome::Goes
    }

    /// The labels that were found room for: a click on a lead's length types over it.
    pub fn labels(&mut self, ui: &Ui, labels: Vec<(Said, Rect)>) {
        for (said, rect) in &labels {
            let Said::Length(lead) = *said else { continue };
            let id = Id::unique(("length on the sheet", self.facts.variant.id.0, lead.0));
            // The lead itself has the keyboard's stop, and its plus goes before its words.
            let place = self.beside_the_plus(lead, rect.expand(2.0));
            let hit = ui.interact(place, id, egui::Sense::CLICK);
            super::named(&hit, egui::Role::Button, || format!("Length of the lead from {}", self.lead_name(lead)));
            let hit = hit.on_hover_cursor(egui::CursorIcon::Text).on_hover_text("Click to type another length");
            if hit.clicked() {
                self.pick(ui, Selected::Lead(lead));
                self.canvas.typing = Some(Typing::of(*said, ""));
            }
        }
        self.canvas.labels = labels;
    }

    /// What of a place is beside a lead's plus: above or below, or to its left.
    fn beside_the_plus(&self, lead: LeadId, place: Rect) -> Rect {
        let Some(shape) = self.drawing.lead(lead) else { return place };
        let plus = plus_place(self.pen, shape);
        match () {
            () if !plus.intersects(place) => place,
            () if place.center().y < plus.top() => place.with_max_y(plus.top()),
            () if place.center().y > plus.bottom() => place.with_min_y(plus.bottom()),
            () => place.with_max_x(plus.left()),
        }
    }

    /// Whether a place is where a device's name stands.
    pub fn is_on_name(&self, device: DeviceId, at: Option<egui::Pos2>) -> bool {
        let own = self.canvas.labels.iter().find(|(said, _)| *said == Said::Name(device));
        own.is_some_and(|(_, rect)| at.is_some_and(|at| rect.expand(2.0).contains(at)))
    }
}

/// What came of a field for a text.
enum Text {
    /// It is being typed in.
    Goes,
    /// It is over with this text, which is more than blanks.
    Done(String),
    /// It is over, and nothing is wanted.
    GivenUp,
}

/// The field for a text of one row or of several, which takes the keyboard at first; leaving
/// it takes what was typed.
fn text_field(ui: &mut Ui, typing: &mut Typing, rows: usize, label: &str) -> Text {
    let (edit, role) = match rows {
        1 => (TextEdit::singleline(&mut typing.name), egui::Role::TextInput),
        rows => (TextEdit::multiline(&mut typing.name).desired_rows(rows), egui::Role::MultilineTextInput),
    };
    let field = ui.add(edit.char_limit(LONGEST_NAME).desired_width(f32::INFINITY));
    field.widget_info(|| {
        let mut info = egui::WidgetInfo::labeled(role, true, label);
        info.current_text_value = Some(typing.name.clone());
        info
    });
    if !std::mem::replace(&mut typing.begun, true) {
        take_up(ui, &field, typing.name.chars().count());
        return Text::Goes;
    }
    if !field.lost_focus() {
        return Text::Goes;
    }
    let gave_up = ui.input(|input| input.key_pressed(Key::Escape)) || typing.name.trim().is_empty();
    if gave_up { Text::GivenUp } else { Text::Done(typing.name.trim_end().to_owned()) }
}

/// Gives a field the keyboard, with all of its text marked.
fn take_up(ui: &Ui, field: &Response, length: usize) {
    field.request_focus();
    let mut state = TextEdit::load_state(ui.ctx(), field.id).unwrap_or_default();
    state.cursor.set_char_range(Some(CCursorRange::two(CCursor::new(0), CCursor::new(length))));
    TextEdit::store_state(ui.ctx(), field.id, state);
}

fn sentence(ui: &mut Ui, words: &str, ink: Color32) {
    ui.add(Label::new(RichText::new(words).font(text::small()).color(ink)).wrap());
}
