//! From where on findings speak, for the player to set: those of the tone on
//! one screen, that of supplies on the other.

use egui::{RichText, Ui};
use rigwright_core::rig::{Edit, LimitField, Limits};

use crate::state::Change;
use crate::theme::text;
use crate::views::numbers::{DefaultNumber, Numbers, Origin, Row};
use crate::views::{Facts, Intent};
use crate::widgets::quantity::Quantity;
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

/// The fields' own state.
#[derive(Debug, Default)]
pub struct LimitFields {
    numbers: Numbers,
}

impl LimitFields {
    /// A field for each limit, and where its value comes from.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, which: LimitsOf, out: &mut Vec<Intent>) {
        let limits = facts.project.limits;
        let fields = limits.fields().into_iter().zip(Limits::default().fields());
        let fields: Vec<_> = fields.filter(|(field, _)| which.has(field)).collect();
        let rows: Vec<Row<'_>> = fields
            .iter()
            .map(|(field, usual)| Row {
                label: RichText::new(field.label).font(text::small()),
                quantity: Quantity {
                    name: field.label,
                    value: field.value,
                    dimension: field.dimension,
                    unit: field.unit,
                },
                origin: Origin::Default(DefaultNumber {
                    value: usual.value,
                    short: short(usual.source).to_owned(),
                    source: usual.source.to_owned(),
                }),
            })
            .collect();
        let change = |at: usize, value: f64| {
            let (mut limits, (field, _)) = (limits, &fields[at]);
            limits.set(field.key, value)?;
            Ok(Change::new(format!("set {}", field.label), Edit::SetLimits(Box::new(limits))))
        };
        self.numbers.ui(ui, Some(facts), "limits", &rows, &change, out);
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
}

/// What kind of source it is; the rest is in the tooltip.
fn short(source: &'static str) -> &'static str {
    source.split([':', '(']).next().unwrap_or(source).trim()
}
