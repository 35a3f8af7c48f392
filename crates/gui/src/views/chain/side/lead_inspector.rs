//! The selected lead: how long, of what, and what can be done on it.

use egui::{ComboBox, Grid, RichText, Ui};
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{Edit, Lead, LeadId};
use rigwright_core::units::{
    Dimension, Farads, FaradsPerMetre, HenriesPerMetre, LossTangent, Metres, OhmsPerMetre, OutOfRange, engineering,
};

use crate::command::Command;
use crate::state::Change;
use crate::theme::{Tokens, text};
use crate::views::{Facts, Intent};
use crate::widgets::panel;
use crate::widgets::quantity::{self, Typed};

/// The lead inspector's own state.
#[derive(Debug, Default)]
pub struct LeadInspector {
    /// What is wrong with what was typed last, and of which lead.
    wrong: Option<(LeadId, String)>,
}

type Setter = fn(&mut Lead, f64) -> Result<(), OutOfRange>;

/// Label, path in the catalogue, what kind of number, unit, how to read it, how to set it.
type FieldRow = (&'static str, &'static str, Dimension, &'static str, fn(&Lead) -> f64, Setter);

const ROWS: [FieldRow; 6] = [
    ("length", "", Dimension::Length, "m", |lead| lead.length.get(), |lead, v| Metres::new(v).map(|v| lead.length = v)),
    (
        "capacitance a metre",
        "capacitance",
        Dimension::CapacitancePerLength,
        "F/m",
        |lead| lead.cable.capacitance.get(),
        |lead, v| FaradsPerMetre::new(v).map(|v| lead.cable.capacitance = v),
    ),
    (
        "one plug",
        "plug",
        Dimension::Capacitance,
        "F",
        |lead| lead.cable.plug.get(),
        |lead, v| Farads::new(v).map(|v| lead.cable.plug = v),
    ),
    (
        "resistance a metre",
        "resistance",
        Dimension::ResistancePerLength,
        "Ω/m",
        |lead| lead.cable.resistance.get(),
        |lead, v| OhmsPerMetre::new(v).map(|v| lead.cable.resistance = v),
    ),
    (
        "inductance a metre",
        "inductance",
        Dimension::InductancePerLength,
        "H/m",
        |lead| lead.cable.inductance.get(),
        |lead, v| HenriesPerMetre::new(v).map(|v| lead.cable.inductance = v),
    ),
    (
        "loss tangent",
        "loss_tangent",
        Dimension::Number,
        "",
        |lead| lead.cable.loss_tangent.get(),
        |lead, v| LossTangent::new(v).map(|v| lead.cable.loss_tangent = v),
    ),
];

impl LeadInspector {
    /// The selected lead.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, lead: &Lead, out: &mut Vec<Intent>) {
        let tokens = Tokens::of(ui);
        let rig = &facts.variant.rig;
        let name = |id| rig.device(id).map_or("nothing", |device| device.name.as_str());
        let title = format!("Lead from {} to {}", name(lead.from.device), name(lead.to.device));
        panel::heading(ui, &title);
        panel::quiet(ui, format!("{} in all, both plugs counted", engineering(lead.capacitance(), "F", 3)));
        let set = |lead: Lead, step: &str| {
            Intent::Change(Change::new(step, Edit::SetLead { variant: facts.variant.id, lead: Box::new(lead) }))
        };
        ui.horizontal(|ui| {
            ui.label("made of");
            let combo = ComboBox::from_id_salt("cable").selected_text(lead.cable.name.as_str()).show_ui(ui, |ui| {
                for part in &catalogue().cables {
                    let chosen = part.cable == lead.cable;
                    if ui.selectable_label(chosen, &part.name).on_hover_text(&part.about).clicked() && !chosen {
                        out.push(set(
                            Lead { cable: part.cable.clone(), ..lead.clone() },
                            "change what a lead is made of",
                        ));
                    }
                }
            });
            combo.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "made of"));
        });
        let part = catalogue().cables.iter().find(|part| part.cable.name == lead.cable.name);
        Grid::new("lead fields").num_columns(3).spacing([10.0, 4.0]).show(ui, |ui| {
            for (label, path, dimension, unit, get, put) in ROWS {
                ui.label(label);
                let value = get(lead);
                let (_, typed) = quantity::edit(ui, &format!("{label} of the lead"), value, dimension, unit);
                let model = part.map(|part| Lead { cable: part.cable.clone(), ..lead.clone() });
                let default = !path.is_empty() && model.is_some_and(|model| get(&model) == value);
                let source = part.filter(|_| default).and_then(|part| part.source(path));
                let words = match (path, source) {
                    ("", _) => "",
                    (_, Some(source)) => source.label.short(),
                    (_, None) => "set by you",
                };
                ui.add(egui::Label::new(RichText::new(words).font(text::small()).color(tokens.quiet)).truncate());
                ui.end_row();
                match typed {
                    Typed::Nothing => {}
                    Typed::GaveUp => self.wrong = None,
                    Typed::Wrong(words) => self.wrong = Some((lead.id, words)),
                    Typed::Value(value) => {
                        let mut changed = lead.clone();
                        match put(&mut changed, value) {
                            Ok(()) => {
                                self.wrong = None;
                                out.push(set(changed, &format!("change the {label} of a lead")));
                            }
                            Err(error) => self.wrong = Some((lead.id, error.to_string())),
                        }
                    }
                }
            }
        });
        if let Some((_, words)) = self.wrong.as_ref().filter(|(id, _)| *id == lead.id) {
            ui.label(RichText::new(words).color(tokens.alarm));
        }
        ui.add_space(6.0);
        ui.horizontal_wrapped(|ui| {
            for command in [Command::Insert, Command::TestPoint, Command::Delete] {
                let words = if command == Command::Delete { "Unplug" } else { command.text() };
                if ui.button(words).on_hover_text(command.tooltip()).clicked() {
                    out.push(Intent::Command(command));
                }
            }
        });
    }
}
