//! The selected lead: how long, of what, and what can be done on it.

use egui::{ComboBox, Ui};
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{Edit, Lead};
use rigwright_core::units::{
    Dimension, Farads, FaradsPerMetre, HenriesPerMetre, LossTangent, Metres, OhmsPerMetre, OutOfRange, engineering,
};

use crate::command::Command;
use crate::state::Change;
use crate::views::numbers::{Numbers, Origin, Row};
use crate::views::{Facts, Intent};
use crate::widgets::panel;
use crate::widgets::quantity::Quantity;

/// The lead inspector's own state.
#[derive(Debug, Default)]
pub struct LeadInspector {
    numbers: Numbers,
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
        self.numbers(ui, facts, lead, out);
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
    fn numbers(&mut self, ui: &mut Ui, facts: &Facts<'_>, lead: &Lead, out: &mut Vec<Intent>) {
        let part = catalogue().cables.iter().find(|part| part.cable.name == lead.cable.name);
        let model = part.map(|part| Lead { cable: part.cable.clone(), ..lead.clone() });
        let names = ROWS.map(|(label, ..)| format!("{label} of the lead"));
        let rows: Vec<Row<'_>> = ROWS
            .iter()
            .zip(&names)
            .map(|((label, path, dimension, unit, get, _), name)| Row {
                label: (*label).into(),
                quantity: Quantity { name, value: get(lead), dimension: *dimension, unit },
                // A lead is as long as the player has it.
                origin: match path.is_empty() {
                    true => Origin::Unsaid,
                    false => Origin::of(model.as_ref().map(get), part.and_then(|part| part.source(path))),
                },
            })
            .collect();
        let change = |at: usize, value: f64| {
            let (label, .., put) = ROWS[at];
            let mut changed = lead.clone();
            put(&mut changed, value)?;
            let edit = Edit::SetLead { variant: facts.variant.id, lead: Box::new(changed) };
            Ok(Change::new(format!("change the {label} of a lead"), edit))
        };
        self.numbers.ui(ui, Some(facts), ("lead", lead.id.0), &rows, &change, out);
    }
}
