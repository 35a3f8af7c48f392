//! Several things that are selected: what they have in common, changed in all of them at once.

use egui::{ComboBox, Ui};
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{Bypass, Device, Field, Lead, fields, set_field};
use rigwright_core::units::{Dimension, Metres};

use crate::command::Command;
use crate::state::{Change, Selected, several};
use crate::views::numbers::{Numbers, Origin, Row};
use crate::views::{Facts, Intent};
use crate::widgets::panel;
use crate::widgets::quantity::Quantity;
use crate::widgets::small;

/// The inspector's own state.
#[derive(Debug, Default)]
pub struct SeveralInspector {
    devices: Numbers,
    leads: Numbers,
}

impl SeveralInspector {
    /// All that is selected.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let rig = &facts.variant.rig;
        let (devices, leads) = (facts.selection.devices(), facts.selection.leads());
        let devices: Vec<&Device> = rig.devices.iter().filter(|device| devices.contains(&device.id)).collect();
        let leads: Vec<&Lead> = rig.leads.iter().filter(|lead| leads.contains(&lead.id)).collect();
        let notes = facts.selection.notes().len();
        panel::heading(ui, &several::counts(devices.len(), leads.len(), notes));
        if !devices.is_empty() || !leads.is_empty() {
            panel::quiet(ui, "What is changed here is changed in all of them, in one step.");
        }
        ui.horizontal_wrapped(|ui| {
            for device in &devices {
                let button = ui.add(small::button(device.name.as_str()));
                if button.on_hover_text("Selects this one alone").clicked() {
                    out.push(Intent::Select(Some(Selected::Device(device.id))));
                }
            }
        });
        ui.add_space(4.0);
        switched(ui, facts, &devices, out);
        bypass(ui, facts, &devices, out);
        self.numbers(ui, facts, &devices, out);
        if !leads.is_empty() {
            panel::heading(ui, "Leads");
            made_of(ui, facts, &leads, out);
            self.lengths(ui, facts, &leads, out);
        }
        ui.add_space(6.0);
        ui.horizontal_wrapped(|ui| {
            let are_leads = devices.is_empty() && notes == 0;
            let to_copy = [Command::Copy, Command::Cut, Command::Duplicate];
            let shown = to_copy.into_iter().filter(|_| !are_leads);
            for command in shown.chain([Command::FitSelected, Command::Delete]) {
                let words = match command {
                    Command::Delete if are_leads => "Unplug",
                    command => command.text(),
                };
                if ui.button(words).on_hover_text(command.tooltip()).clicked() {
                    out.push(Intent::Command(command));
                }
            }
        });
    }

    /// The numbers that all of the devices have.
    fn numbers(&mut self, ui: &mut Ui, facts: &Facts<'_>, devices: &[&Device], out: &mut Vec<Intent>) {
        let (common, differing) = common(devices);
        let names: Vec<String> = common.iter().map(|field| format!("{} of all selected", field.label)).collect();
        let rows: Vec<Row<'_>> = common
            .iter()
            .zip(&names)
            .zip(&differing)
            .map(|((field, name), differ)| Row {
                label: if *differ {
                    format!("{}, not the same in all", field.label).into()
                } else {
                    field.label.into()
                },
                quantity: Quantity::of(field, name),
                origin: Origin::Unsaid,
            })
            .collect();
        let chosen = facts.selection.devices();
        let change = |at: usize, value: f64| {
            let field = &common[at];
            // All of them take the same range; what one can't have none gets.
            for device in devices {
                set_field(&mut (*device).clone(), &field.path, value)?;
            }
            let what = format!("change {}", field.label);
            let set = |device: &mut Device| _ = set_field(device, &field.path, value);
            Ok(several::set_devices(facts.variant, &chosen, &what, set).unwrap_or_else(nothing))
        };
        self.devices.ui(ui, Some(facts), ("several devices", facts.variant.id.0), &rows, &change, out);
    }

    fn lengths(&mut self, ui: &mut Ui, facts: &Facts<'_>, leads: &[&Lead], out: &mut Vec<Intent>) {
        let Some(first) = leads.first() else { return };
        let differ = leads.iter().any(|lead| lead.length != first.length);
        let label = if differ { "length, not the same in all" } else { "length" };
        let quantity = Quantity {
            name: "length of all selected leads",
            value: first.length.get(),
            dimension: Dimension::Length,
            unit: "m",
        };
        let rows = [Row { label: label.into(), quantity, origin: Origin::Unsaid }];
        let chosen = facts.selection.leads();
        let change = |_: usize, value: f64| {
            let length = Metres::new(value)?;
            let set = |lead: &mut Lead| lead.length = length;
            Ok(several::set_leads(facts.variant, &chosen, "change the length", set).unwrap_or_else(nothing))
        };
        self.leads.ui(ui, Some(facts), ("several leads", facts.variant.id.0), &rows, &change, out);
    }
}

/// A change that leaves everything as it is.
fn nothing() -> Change {
    Change::new("leave everything as it is", rigwright_core::rig::Edit::Batch(Vec::new()))
}

/// The numbers that all devices have, as the first has them, and whether they differ.
fn common(devices: &[&Device]) -> (Vec<Field>, Vec<bool>) {
    let mut each = devices.iter().map(|device| fields(device));
    let Some(mut common) = each.next() else { return Default::default() };
    let mut differing = vec![false; common.len()];
    for others in each {
        let found = |field: &Field| others.iter().find(|other| other.path == field.path && other.label == field.label);
        let mut kept = Vec::new();
        for (field, differ) in common.into_iter().zip(differing) {
            if let Some(other) = found(&field) {
                let differ = differ || other.value != field.value;
                kept.push((field, differ));
            }
        }
        (common, differing) = kept.into_iter().unzip();
    }
    (common, differing)
}

/// Whether they are on, and whether that stays so.
fn switched(ui: &mut Ui, facts: &Facts<'_>, devices: &[&Device], out: &mut Vec<Intent>) {
    let state = &facts.project.state;
    let switched: Vec<&&Device> = devices.iter().filter(|device| device.has_switch()).collect();
    if !switched.is_empty() {
        let on = switched.iter().filter(|device| device.is_on(state)).count();
        let mut all = on == switched.len();
        let words = match on {
            0 => "On (none of them)".to_owned(),
            on if all => format!("On (all {on})"),
            on => format!("On ({on} of {})", switched.len()),
        };
        if ui.checkbox(&mut all, words).clicked() {
            out.push(Intent::Command(Command::ToggleSwitch));
        }
    }
    let pedals: Vec<&&Device> = devices.iter().filter(|device| device.kind.pedal().is_some()).collect();
    if !pedals.is_empty() {
        let mut stays = pedals.iter().all(|device| device.stays_on);
        if ui.checkbox(&mut stays, "Stay on in every state").clicked() {
            let set = |device: &mut Device| device.stays_on = stays && device.kind.pedal().is_some();
            let change =
                several::set_devices(facts.variant, &facts.selection.devices(), "change the footswitches", set);
            out.extend(change.map(Intent::Change));
        }
    }
}

/// The bypass that all pedals of them can have.
fn bypass(ui: &mut Ui, facts: &Facts<'_>, devices: &[&Device], out: &mut Vec<Intent>) {
    let pedals: Vec<_> = devices.iter().filter_map(|device| device.kind.pedal()).collect();
    let Some(first) = pedals.first() else { return };
    let can_all =
        |bypass: &Bypass| pedals.iter().all(|pedal| pedal.selectable.is_empty() || pedal.selectable.contains(bypass));
    let options: Vec<Bypass> =
        [Bypass::True, Bypass::Buffered, Bypass::AlwaysLoading].into_iter().filter(can_all).collect();
    let same = pedals.iter().all(|pedal| pedal.bypass == first.bypass);
    let shown = if same { first.bypass.name() } else { "not the same in all" };
    ui.horizontal_wrapped(|ui| {
        ui.label("bypass");
        let combo = ComboBox::from_id_salt("bypass of several").selected_text(shown).show_ui(ui, |ui| {
            for option in options {
                if ui.selectable_label(same && option == first.bypass, option.name()).clicked() {
                    let set = |device: &mut Device| {
                        if let Some(pedal) = device.kind.pedal_mut() {
                            pedal.bypass = option;
                        }
                    };
                    let chosen = facts.selection.devices();
                    let change = several::set_devices(facts.variant, &chosen, "change the bypass", set);
                    out.extend(change.map(Intent::Change));
                }
            }
        });
        combo.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "bypass of all selected"));
    });
}

fn made_of(ui: &mut Ui, facts: &Facts<'_>, leads: &[&Lead], out: &mut Vec<Intent>) {
    let Some(first) = leads.first() else { return };
    let same = leads.iter().all(|lead| lead.cable == first.cable);
    let shown = if same { first.cable.name.as_str() } else { "not the same in all" };
    ui.horizontal_wrapped(|ui| {
        ui.label("made of");
        let combo = ComboBox::from_id_salt("cable of several").selected_text(shown).show_ui(ui, |ui| {
            for part in &catalogue().cables {
                let chosen = same && part.cable == first.cable;
                if ui.selectable_label(chosen, &part.name).on_hover_text(&part.about).clicked() {
                    let leads = facts.selection.leads();
                    let set = |lead: &mut Lead| lead.cable.clone_from(&part.cable);
                    let change = several::set_leads(facts.variant, &leads, "change the make", set);
                    out.extend(change.map(Intent::Change));
                }
            }
        });
        let named = || egui::WidgetInfo::labeled(egui::Role::ComboBox, true, "what all selected leads are made of");
        combo.response.widget_info(named);
    });
}
