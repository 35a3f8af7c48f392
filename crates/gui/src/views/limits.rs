//! From where on findings speak, for the player to set: those of the tone on
//! one screen, that of supplies on the other.

use egui::{Grid, Label, RichText, Ui};
use rigwright_core::rig::{Edit, LimitField, Limits};

use crate::state::Change;
use crate::theme::{Tokens, text};
use crate::views::{Facts, Intent};
use crate::widgets::quantity::{self, Typed};
use crate::widgets::small;

/// Which limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitsOf {
    /// All that findings of the signal ask.
    Tone,
    /// How much of a rating may be used, and how far a voltage may be off.
    Power,
}

impl LimitsOf {
    fn has(self, field: &LimitField) -> bool {
        ["headroom", "voltage", "over_voltage"].contains(&field.key) == (self == Self::Power)
    }
}

/// The fields' own state: what is wrong with what was typed last.
#[derive(Debug, Default)]
pub struct LimitFields {
    wrong: Option<String>,
}

impl LimitFields {
    /// A field for each limit, and where its value comes from.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, which: LimitsOf, out: &mut Vec<Intent>) {
        let tokens = Tokens::of(ui);
        let limits = facts.project.limits;
        let fields = limits.fields().into_iter().zip(Limits::default().fields());
        let fields: Vec<_> = fields.filter(|(field, _)| which.has(field)).collect();
        Grid::new("limits").num_columns(3).spacing([8.0, 4.0]).show(ui, |ui| {
            for (field, usual) in &fields {
                ui.label(RichText::new(field.label).font(text::small()));
                let (response, typed) = quantity::edit(ui, field.label, field.value, field.dimension, field.unit);
                response.on_hover_text(usual.source);
                let words = if field.value == usual.value { short(field.source) } else { "set by you" };
                ui.add(Label::new(RichText::new(words).font(text::small()).color(tokens.quiet)).truncate());
                ui.end_row();
                self.take(limits, field, typed, out);
            }
        });
        if let Some(wrong) = &self.wrong {
            ui.add(Label::new(RichText::new(wrong).font(text::small()).color(tokens.alarm)).wrap());
        }
        let changed = |(field, usual): &&(LimitField, LimitField)| field.value != usual.value;
        if fields.iter().any(|pair| changed(&pair)) && ui.add(small::button("As usual")).clicked() {
            let mut usual = limits;
            for (_, field) in &fields {
                // What is usual is in its range.
                let _ = usual.set(field.key, field.value);
            }
            out.push(Intent::Change(Change::new("set limits as usual", Edit::SetLimits(Box::new(usual)))));
        }
    }

    fn take(&mut self, mut limits: Limits, field: &LimitField, typed: Typed, out: &mut Vec<Intent>) {
        match typed {
            Typed::Nothing => {}
            Typed::GaveUp => self.wrong = None,
            Typed::Wrong(sentence) => self.wrong = Some(sentence),
            Typed::Value(value) => match limits.set(field.key, value) {
                Ok(_) => {
                    self.wrong = None;
                    let change = Change::new(format!("set {}", field.label), Edit::SetLimits(Box::new(limits)));
                    out.push(Intent::Change(change));
                }
                Err(error) => self.wrong = Some(format!("{error}.")),
            },
        }
    }
}

/// What kind of source it is; the rest is in the tooltip.
fn short(source: &'static str) -> &'static str {
    source.split([':', '(']).next().unwrap_or(source).trim()
}
