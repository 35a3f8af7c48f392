//! A list of numbers, the same on every screen: each with its field, where it comes from,
//! a way back to its default, and below it what a number that is being typed would do to
//! the peak.

use std::fmt::Debug;
use std::hash::Hash;

use egui::{Color32, Grid, Id, Label, Rangef, Rect, RichText, Ui, UiBuilder, WidgetInfo, pos2, vec2};
use rigwright_core::parts::Source;
use rigwright_core::parts::usual::usual;
use rigwright_core::response::words::peak_change;
use rigwright_core::rig::{Device, Field};
use rigwright_core::units::OutOfRange;

use super::{Facts, Intent, Pointed};
use crate::state::{Change, Gesture, OwnParts, Preview};
use crate::theme::{Tokens, text};
use crate::widgets::quantity::{self, Quantity, Typed};
use crate::widgets::small;

/// Where a number comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Origin {
    /// Nobody wants to know.
    Unsaid,
    /// The player's own: there is no default.
    Own,
    /// There is a default, which the number is or was.
    Default(DefaultNumber),
}

/// The number that stands where nobody sets another.
#[derive(Debug, Clone, PartialEq)]
pub struct DefaultNumber {
    /// The number, in the SI unit.
    pub value: f64,
    /// Where it comes from, in a word or two.
    pub short: String,
    /// The same in full.
    pub source: String,
}

impl Origin {
    /// A default with its source, if there is one.
    #[must_use]
    pub fn of(value: Option<f64>, source: Option<&Source>) -> Self {
        let default = value.zip(source).map(|(value, source)| DefaultNumber {
            value,
            short: source.label.short().to_owned(),
            source: source.to_string(),
        });
        default.map_or(Self::Own, Self::Default)
    }

    /// Where the numbers of a device come from, in the order of `fields`: from the part that
    /// the device was made of, or what it has besides begins with; or else they are the player's.
    #[must_use]
    pub fn of_fields(device: &Device, fields: &[Field], parts: &OwnParts) -> Vec<Self> {
        let part = parts.part(&device.part);
        let defaults = part.map(|part| part.defaults(device)).unwrap_or_default();
        let besides = usual(device);
        let of = |field: &Field| {
            let default = defaults.iter().find(|default| default.path == field.path);
            let own = default.zip(part.and_then(|part| part.source(&field.path)));
            let other = || besides.iter().find(|(other, _)| other.path == field.path);
            let (default, source) = own.or_else(|| other().map(|(default, source)| (default, source))).unzip();
            Self::of(default.map(|default| default.value), source)
        };
        fields.iter().map(of).collect()
    }
}

/// One number of a list.
#[derive(Debug, Clone)]
pub struct Row<'a> {
    /// What stands before the field.
    pub label: RichText,
    /// The field.
    pub quantity: Quantity<'a>,
    /// Where the number comes from.
    pub origin: Origin,
}

/// The list's own state: what is wrong with what was typed last, and in which field.
#[derive(Debug, Default)]
pub struct Numbers {
    wrong: Option<(Id, String)>,
}

/// What a number would change: the place of its row, and the number.
pub type MakeChange<'a> = &'a dyn Fn(usize, f64) -> Result<Change, OutOfRange>;

impl Numbers {
    /// The rows. `about` tells one list from another; without `facts` no curve is shown of
    /// what is looked at.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        facts: Option<&Facts<'_>>,
        about: impl Hash + Debug,
        rows: &[Row<'_>],
        change: MakeChange<'_>,
        out: &mut Vec<Intent>,
    ) {
        let list = Id::unique(("numbers", about));
        let across = ui.max_rect().x_range();
        // A line below a field is as high as its words.
        Grid::new(list).num_columns(3).spacing([10.0, 4.0]).min_col_width(0.0).min_row_height(0.0).show(ui, |ui| {
            for (at, row) in rows.iter().enumerate() {
                let field = list.with(row.quantity.name);
                ui.label(row.label.clone());
                let change = |value| change(at, value);
                let mut edited = ui
                    .horizontal(|ui| {
                        ui.spacing_mut().item_spacing.x = BESIDE;
                        let width = quantity::WIDTH - if differs(row) { BACK + BESIDE } else { 0.0 };
                        let mut edited = quantity::alone(ui, &row.quantity, &told(row), width);
                        if let Some(typed) = back(ui, row, &change, out) {
                            edited.typed = typed;
                        }
                        edited
                    })
                    .inner;
                if edited.response.lost_focus() {
                    out.push(Intent::EndGesture);
                }
                origin(ui, row);
                ui.end_row();
                if edited.asks() {
                    below(ui, across, |ui| edited.ask(ui, &row.quantity));
                }
                let looked = self.take(edited.typed, field, &change, out);
                let line = looked.and_then(|(value, change)| look(facts?, row, value, change, out));
                let tokens = Tokens::of(ui);
                if let Some((_, wrong)) = self.wrong.as_ref().filter(|(at, _)| *at == field) {
                    below(ui, across, |ui| sentence(ui, wrong, tokens.alarm));
                } else if let Some(line) = line {
                    below(ui, across, |ui| sentence(ui, &line, tokens.teal));
                }
            }
        });
    }

    /// Does what was done in a field; of what is only looked at the number, and what it
    /// would change.
    fn take(
        &mut self,
        typed: Typed,
        field: Id,
        change: &dyn Fn(f64) -> Result<Change, OutOfRange>,
        out: &mut Vec<Intent>,
    ) -> Option<(f64, Change)> {
        let (value, is_step) = match typed {
            Typed::Nothing => return None,
            Typed::GaveUp => {
                self.wrong = None;
                return None;
            }
            Typed::Wrong(words) => {
                self.wrong = Some((field, words));
                return None;
            }
            Typed::Looked(value) => {
                return match change(value) {
                    Ok(change) => {
                        self.wrong = None;
                        Some((value, change))
                    }
                    Err(error) => {
                        self.wrong = Some((field, error.to_string()));
                        None
                    }
                };
            }
            Typed::Value(value) => (value, false),
            Typed::Stepped(value) => (value, true),
        };
        match change(value) {
            Ok(change) => {
                self.wrong = None;
                let change = if is_step { change.in_gesture(Gesture(field.value())) } else { change };
                out.push(Intent::Change(change));
            }
            Err(error) => self.wrong = Some((field, error.to_string())),
        }
        None
    }
}

/// Where the number comes from, as the field's tooltip has it.
fn told(row: &Row<'_>) -> String {
    match &row.origin {
        Origin::Unsaid | Origin::Own => String::new(),
        Origin::Default(default) => default_words(row, default),
    }
}

/// "Default 470 kΩ: common practice, no source: 0.5-1 MΩ."
fn default_words(row: &Row<'_>, default: &DefaultNumber) -> String {
    format!("Default {}: {}.", row.quantity.show(default.value), default.source.trim_end_matches('.'))
}

/// The button that sets a number to its default is so wide, in points, and stands so far
/// from the field.
const BACK: f32 = 20.0;
const BESIDE: f32 = 2.0;

/// Whether a number isn't its default.
fn differs(row: &Row<'_>) -> bool {
    matches!(&row.origin, Origin::Default(default) if default.value != row.quantity.value)
}

/// The button that sets a number to its default, where it is another; what is looked at
/// while the button is pointed at.
fn back(
    ui: &mut Ui,
    row: &Row<'_>,
    change: &dyn Fn(f64) -> Result<Change, OutOfRange>,
    out: &mut Vec<Intent>,
) -> Option<Typed> {
    let Origin::Default(default) = &row.origin else { return None };
    if !differs(row) {
        return None;
    }
    let to = row.quantity.show(default.value);
    let named = format!("Back to the default of {}: {to}", row.quantity.name);
    ui.spacing_mut().button_padding.x = 0.0;
    let button = ui.add(small::button("↺").min_size(vec2(BACK, 0.0)));
    button.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, &named));
    let button = button.on_hover_text(format!("Back to the default. {}", default_words(row, default)));
    if button.clicked() {
        // A default is in its range.
        let change = change(default.value).ok()?;
        let name = format!("{} back to its default", change.name);
        out.push(Intent::Change(Change { name, ..change }));
        return Some(Typed::GaveUp);
    }
    (button.hovered() || button.has_focus()).then_some(Typed::Looked(default.value))
}

/// In less room than this, in points, words say nothing.
const LEAST_WORDS: f32 = 28.0;

/// Where a number comes from, in a narrow column.
fn origin(ui: &mut Ui, row: &Row<'_>) {
    let (words, tip) = match &row.origin {
        Origin::Unsaid => return,
        // The field's tooltip says it as well.
        _ if ui.available_width() < LEAST_WORDS => return,
        Origin::Own => ("set by you", None),
        Origin::Default(default) if default.value == row.quantity.value => {
            (default.short.as_str(), Some(default.source.clone()))
        }
        Origin::Default(default) => ("set by you", Some(default_words(row, default))),
    };
    let words = RichText::new(words).font(text::small()).color(Tokens::of(ui).quiet);
    let label = ui.add(Label::new(words).truncate());
    if let Some(tip) = tip {
        label.on_hover_text(tip);
    }
}

fn look(facts: &Facts<'_>, row: &Row<'_>, value: f64, change: Change, out: &mut Vec<Intent>) -> Option<String> {
    let words = format!("{}: {}", row.label.text(), row.quantity.show(value));
    peak_line(facts, words, change, out)
}

/// Shows the curve of a change that is looked at, under its words; what it does to the peak,
/// once that is known.
pub fn peak_line(facts: &Facts<'_>, words: String, change: Change, out: &mut Vec<Intent>) -> Option<String> {
    let ghost = facts.ghost.filter(|ghost| ghost.words == words);
    out.push(Intent::Point(Pointed::Typed(Preview { words, edit: change.edit })));
    let after = facts.inputs.answer(facts.project, &ghost?.response)?;
    let before = facts.inputs.answer(facts.project, facts.response()?)?;
    Some(peak_change(before, after))
}

fn sentence(ui: &mut Ui, words: &str, ink: Color32) {
    ui.add(Label::new(RichText::new(words).font(text::small()).color(ink)).wrap());
}

/// Contents as wide as the whole list, in a row of their own.
fn below(ui: &mut Ui, across: Rangef, contents: impl FnOnce(&mut Ui)) {
    let top = ui.cursor().top();
    let place = Rect::from_min_max(pos2(across.min, top), pos2(across.max, f32::INFINITY));
    let mut child = ui.new_child(UiBuilder::new().max_rect(place).layout(egui::Layout::top_down(egui::Align::Min)));
    contents(&mut child);
    let height = child.min_rect().height();
    ui.allocate_space(vec2(1.0, height));
    ui.end_row();
}
