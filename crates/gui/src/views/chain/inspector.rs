//! What is selected: every number of it, where each comes from, and what can be done with it.

use egui::{ComboBox, Grid, RichText, Slider, TextEdit, Ui};
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{Control, Device, Edit, Field, Jack, JackRef, Kind, Knob, fields, set_field};
use rigwright_core::units::{Farads, Ohms, Turn, engineering, hertz};

use super::choices::choices;
use crate::command::Command;
use crate::state::{Change, Gesture};
use crate::theme::{Tokens, text};
use crate::views::{Facts, Intent, Purpose};
use crate::widgets::panel;
use crate::widgets::quantity::{self, Typed};

/// The inspector's own state.
#[derive(Debug, Default)]
pub struct Inspector {
    wrong: Option<String>,
}

impl Inspector {
    /// The selected device.
    pub fn device(&mut self, ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
        let tokens = Tokens::of(ui);
        name(ui, facts, device, out);
        let part = catalogue().part(&device.part);
        panel::quiet(ui, device.kind.noun());
        if let Some(part) = part {
            panel::quiet(ui, part.about.as_str());
        }
        ui.add_space(4.0);
        if device.kind.pedal().is_some() {
            let mut on = facts.project.state.on.contains(&device.id);
            if ui.checkbox(&mut on, "On").clicked() {
                out.push(Intent::Toggle(device.id));
            }
        }
        for control in device.kind.controls() {
            knob(ui, facts, device, control, out);
        }
        choices(ui, facts, device, out);
        Grid::new("fields").num_columns(3).spacing([10.0, 4.0]).show(ui, |ui| {
            for field in fields(device) {
                ui.label(field.label);
                let (_, typed) = quantity::edit(
                    ui,
                    &format!("{} of {}", field.label, device.name),
                    field.value,
                    field.dimension,
                    field.unit,
                );
                let source = part.filter(|part| is_default(part, &field)).and_then(|part| part.source(&field.path));
                let words = source.map_or_else(|| "set by you".to_owned(), |source| source.label.name().to_owned());
                let words = RichText::new(words).font(text::small()).color(tokens.quiet);
                let label = ui.add(egui::Label::new(words).truncate());
                if let Some(source) = source {
                    label.on_hover_text(source.to_string());
                }
                ui.end_row();
                self.take(facts, device, &field, typed, out);
            }
        });
        if let Some(words) = &self.wrong {
            ui.label(RichText::new(words).color(tokens.alarm));
        }
        if let Kind::Amp(amp) = &device.kind
            && let Some(grid) = amp.grid
        {
            panel::quiet(ui, miller_words(grid.stopper, grid.miller()));
        }
        jacks(ui, facts, device, out);
        elsewhere(ui, facts, device, out);
        ui.add_space(6.0);
        ui.horizontal_wrapped(|ui| {
            let swap = ui.button("Another part in its place…");
            if swap.on_hover_text("Picks another part; its leads stay plugged in").clicked() {
                out.push(Intent::OpenPicker(Purpose::Replace(device.id)));
            }
            if ui.button("Take out").on_hover_text("Takes it out of the rig and closes the gap (Delete)").clicked() {
                out.push(Intent::Command(Command::Delete));
            }
        });
    }

    fn take(&mut self, facts: &Facts<'_>, device: &Device, field: &Field, typed: Typed, out: &mut Vec<Intent>) {
        match typed {
            Typed::Nothing => {}
            Typed::Wrong(words) => self.wrong = Some(words),
            Typed::Value(value) => {
                let mut changed = device.clone();
                match set_field(&mut changed, &field.path, value) {
                    Ok(_) => {
                        self.wrong = None;
                        out.push(set(facts, changed, format!("change {} of {}", field.label, device.name)));
                    }
                    Err(error) => self.wrong = Some(error.to_string()),
                }
            }
        }
    }
}

/// What the grid stopper and the Miller capacitance do together.
fn miller_words(stopper: Ohms, capacitance: Farads) -> String {
    let corner = 1.0 / (std::f64::consts::TAU * stopper.get() * capacitance.get());
    let farads = engineering(capacitance.get(), "F", 3);
    if corner.is_finite() {
        format!("Miller capacitance {farads}; with the grid stopper 3 dB down at {}.", hertz(corner))
    } else {
        format!("Miller capacitance {farads}.")
    }
}

/// The change that makes a device as given.
pub fn set(facts: &Facts<'_>, device: Device, step: String) -> Intent {
    Intent::Change(Change::new(step, Edit::SetDevice { variant: facts.variant.id, device: Box::new(device) }))
}

/// Whether a number is still the catalogue's.
fn is_default(part: &rigwright_core::parts::Part, field: &Field) -> bool {
    let model = part.device(rigwright_core::rig::DeviceId(0));
    // A part's own bypass hides some fields; under the device's they may still be its defaults.
    fields(&model).iter().find(|f| f.path == field.path).is_none_or(|f| f.value == field.value)
}

fn name(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let mut typed = device.name.clone();
    let edit = TextEdit::singleline(&mut typed).font(text::heading()).desired_width(f32::INFINITY);
    let response = ui.add(edit);
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::TextInput, true, "Name of the device"));
    if response.changed() && !typed.trim().is_empty() {
        let edit =
            Edit::SetDevice { variant: facts.variant.id, device: Box::new(Device { name: typed, ..device.clone() }) };
        let change = Change::new(format!("rename {}", device.name), edit);
        out.push(Intent::Change(change.in_gesture(Gesture(response.id.value() ^ device.id.0))));
    }
    if response.lost_focus() {
        out.push(Intent::EndGesture);
    }
}

fn knob(ui: &mut Ui, facts: &Facts<'_>, device: &Device, control: Control, out: &mut Vec<Intent>) {
    let mut at = facts.project.state.turn(device.id, control).get() * 100.0;
    let slider = Slider::new(&mut at, 0.0..=100.0).suffix(" %").fixed_decimals(0).text(control.name());
    let response = ui.add(slider);
    if response.changed() {
        let knob = Knob { device: device.id, control };
        let change = Change::new(
            format!("turn the {} of {}", control.name(), device.name),
            Edit::Turn { knob, to: Turn::clamped(at / 100.0) },
        );
        out.push(Intent::Change(change.in_gesture(Gesture(response.id.value() ^ device.id.0))));
    }
    if response.drag_stopped() || response.lost_focus() {
        out.push(Intent::EndGesture);
    }
}

/// Another lead to stand on, for those who don't drag.
fn elsewhere(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let jacks = device.kind.jacks();
    if !(jacks.contains(&Jack::In) && jacks.contains(&Jack::Out)) {
        return;
    }
    let rig = &facts.variant.rig;
    let name = |jack: JackRef| rig.device(jack.device).map_or("nothing", |d| d.name.as_str());
    ComboBox::from_id_salt("elsewhere").selected_text("move it to the lead…").width(200.0).show_ui(ui, |ui| {
        for lead in rig.leads.iter().filter(|lead| lead.from.device != device.id && lead.to.device != device.id) {
            let between = format!("from {} to {}", name(lead.from), name(lead.to));
            if ui.button(&between).clicked() {
                let step = format!("move {} to the lead {between}", device.name);
                let edit = Edit::Move { variant: facts.variant.id, device: device.id, onto: lead.id };
                out.push(Intent::Change(Change::new(step, edit)));
                ui.close();
            }
        }
    });
}

/// What is plugged into each jack, and a list to join a free one.
fn jacks(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let rig = &facts.variant.rig;
    let free = rig.free_jacks();
    for &jack in device.kind.jacks() {
        let at = JackRef::new(device.id, jack);
        if !free.contains(&at) {
            continue;
        }
        let others: Vec<JackRef> = free
            .iter()
            .copied()
            .filter(|other| other.device != device.id && other.jack.is_output() != jack.is_output())
            .collect();
        ui.horizontal(|ui| {
            ui.label(format!("“{jack}” is free"));
            ComboBox::from_id_salt(("join", jack_number(jack))).selected_text("join it to…").show_ui(ui, |ui| {
                if others.is_empty() {
                    ui.label("No other jack is free.");
                }
                for other in &others {
                    let name = rig.device(other.device).map_or("", |d| d.name.as_str());
                    if ui.button(format!("“{}” of {name}", other.jack)).clicked() {
                        let (from, to) = if jack.is_output() { (at, *other) } else { (*other, at) };
                        out.push(Intent::Join { from, to });
                        ui.close();
                    }
                }
            });
        });
    }
}

fn jack_number(jack: Jack) -> u16 {
    match jack {
        Jack::In => 0,
        Jack::Out => 1,
        Jack::SecondIn => 2,
        Jack::SecondOut => 3,
        Jack::Send(n) => 256 + u16::from(n),
        Jack::Return(n) => 512 + u16::from(n),
    }
}
