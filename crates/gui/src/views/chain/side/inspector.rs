//! What is selected: every number of it, where each comes from, and what can be done with it.

use egui::{ComboBox, RichText, Role, Slider, Ui, WidgetInfo};
use rigwright_core::power::Caution;
use rigwright_core::rig::{Control, Device, Edit, Jack, JackRef, Kind, Knob, Tuner, fields, may_join, set_field};
use rigwright_core::units::{Farads, Ohms, Turn, engineering, hertz};

use super::choices::choices;
use super::orders::orders;
use super::patches::patches;
use super::pickups;
use super::presets;
use super::switches;
use crate::command::Command;
use crate::state::plugging;
use crate::state::{Change, Gesture};
use crate::theme::{Tokens, text};
use crate::views::numbers::{Numbers, Origin, Row};
use crate::views::picker::REPLACE;
use crate::views::{Facts, Intent, OwnAsk, Purpose};
use crate::widgets::quantity::Quantity;
use crate::widgets::{name_field, panel};

/// The inspector's own state.
#[derive(Debug, Default)]
pub struct Inspector {
    numbers: Numbers,
}

impl Inspector {
    /// The selected device.
    pub fn device(&mut self, ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
        name(ui, facts, device, out);
        panel::quiet(ui, device.kind.noun());
        match facts.own_parts.part(&device.part) {
            Some(part) => panel::quiet(ui, part.about.as_str()),
            None if device.part.is_empty() => {}
            None => panel::quiet(ui, PART_NOT_HERE),
        }
        ui.add_space(4.0);
        if device.has_switch() {
            let mut on = device.is_on(&facts.project.state);
            if ui.checkbox(&mut on, "On").clicked() {
                out.push(Intent::Toggle(device.id));
            }
        }
        stays_on(ui, facts, device, out);
        switches::positions(ui, facts, device, out);
        for control in device.kind.controls() {
            knob(ui, facts, device, control, out);
        }
        choices(ui, facts, device, out);
        pickups::pickups(ui, facts, device, out);
        switches::channels(ui, facts, device, out);
        patches(ui, facts, device, out);
        presets::presets(ui, facts, device, out);
        presets::order(ui, facts, device, out);
        presets::empty_loops(ui, facts, device, out);
        self.numbers(ui, facts, device, out);
        if let Kind::Amp(amp) = &device.kind
            && let Some(grid) = amp.grid
        {
            panel::quiet(ui, miller_words(grid.stopper, grid.miller()));
            let caution = Caution::Valves.words();
            ui.add(egui::Label::new(RichText::new(caution).font(text::small()).color(Tokens::of(ui).copper)).wrap());
        }
        switches::habits(ui, facts, device, out);
        jacks(ui, facts, device, out);
        elsewhere(ui, facts, device, out);
        orders(ui, facts, device, out);
        ui.add_space(6.0);
        ui.horizontal_wrapped(|ui| {
            let swap = ui.button(format!("{REPLACE}…"));
            if swap.on_hover_text("Picks another part; its leads stay plugged in").clicked() {
                out.push(Intent::OpenPicker(Purpose::Replace(device.id)));
            }
            let keep = ui.button(Command::KeepPart.text()).on_hover_text(Command::KeepPart.tooltip());
            if keep.clicked() {
                out.push(Intent::AskOwnPart(OwnAsk::Keep(device.id)));
            }
            if ui.button("Take out").on_hover_text("Takes it out of the rig and closes the gap (Delete)").clicked() {
                out.push(Intent::Command(Command::Delete));
            }
        });
    }

    fn numbers(&mut self, ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
        let fields = fields(device);
        let names: Vec<String> = fields.iter().map(|field| format!("{} of {}", field.label, device.name)).collect();
        let each = fields.iter().zip(&names).zip(Origin::of_fields(device, &fields, facts.own_parts));
        let rows: Vec<Row<'_>> = each
            .map(|((field, name), origin)| Row {
                label: field.label.into(),
                quantity: Quantity::of(field, name),
                origin,
            })
            .collect();
        let change = |at: usize, value: f64| {
            let (mut changed, field) = (device.clone(), &fields[at]);
            set_field(&mut changed, &field.path, value)?;
            let edit = Edit::SetDevice { variant: facts.variant.id, device: Box::new(changed) };
            Ok(Change::new(format!("change {} of {}", field.label, device.name), edit))
        };
        self.numbers.ui(ui, Some(facts), device.id.0, &rows, &change, out);
    }
}

/// Of a device whose part is another machine's own, or of another time.
const PART_NOT_HERE: &str = "The part that it was made from isn't in this catalogue: it keeps its own numbers.";

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

fn name(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let id = egui::Id::unique(("name of a device", device.id.0));
    let named = name_field::edit(ui, id, "Name of the device", &device.name, |edit| {
        edit.font(text::heading()).desired_width(f32::INFINITY)
    });
    if let Some(name) = named.name {
        let changed = Device { name, ..device.clone() };
        let edit = Edit::SetDevice { variant: facts.variant.id, device: Box::new(changed) };
        let change = Change::new(format!("rename {}", device.name), edit);
        out.push(Intent::Change(change.in_gesture(Gesture(id.value()))));
    }
    if named.response.lost_focus() {
        out.push(Intent::EndGesture);
    }
}

fn knob(ui: &mut Ui, facts: &Facts<'_>, device: &Device, control: Control, out: &mut Vec<Intent>) {
    // Shown in whole percents, and no change for being shown.
    let shown = (facts.project.state.turn(device.id, control).get() * 100.0).round();
    let mut at = shown;
    let slider =
        Slider::new(&mut at, 0.0..=100.0).suffix(" %").fixed_decimals(0).text(device.kind.control_name(control));
    let response = ui.add(slider);
    if response.changed() && at != shown {
        let knob = Knob { device: device.id, control };
        let change = Change::new(
            match control {
                Control::Treadle => format!("move {}", device.name),
                control => format!("turn the {} of {}", device.kind.control_name(control), device.name),
            },
            Edit::Turn { knob, to: Turn::clamped(at / 100.0) },
        );
        out.push(Intent::Change(change.in_gesture(Gesture(response.id.value() ^ device.id.0))));
    }
    if response.drag_stopped() || response.lost_focus() {
        out.push(Intent::EndGesture);
    }
}

/// Whether its footswitch counts at all.
fn stays_on(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    if device.kind.pedal().is_none() {
        return;
    }
    let mut stays_on = device.stays_on;
    let tip = "Its footswitch is left alone: it is on in every state, in every sound";
    if ui.checkbox(&mut stays_on, "Stays on in every state").on_hover_text(tip).clicked() {
        let step = match stays_on {
            true => format!("keep {} on in every state", device.name),
            false => format!("let {} be switched", device.name),
        };
        out.push(set(facts, Device { stays_on, ..device.clone() }, step));
    }
    if device.stays_on && matches!(device.kind, Kind::Tuner(Tuner::Through { mutes: true, .. })) {
        let words = format!("{} mutes while it is on, so that nothing ever comes through.", device.name);
        ui.add(egui::Label::new(RichText::new(words).color(Tokens::of(ui).alarm)).wrap());
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
    let combo =
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
    let words = format!("Move {} to the lead", device.name);
    combo.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, &words));
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
        let others: Vec<JackRef> =
            free.iter().copied().filter(|other| may_join(rig, at, *other, None).is_ok()).collect();
        ui.horizontal(|ui| {
            let words = device.kind.jack_name(jack);
            ui.label(format!("“{words}” is free"));
            let combo =
                ComboBox::from_id_salt(("join", jack_number(jack))).selected_text("join it to…").show_ui(ui, |ui| {
                    if others.is_empty() {
                        ui.label("No other jack is free.");
                    }
                    for other in &others {
                        let Some(there) = rig.device(other.device) else { continue };
                        let (jack_name, name) = (there.kind.jack_name(other.jack), &there.name);
                        if ui.button(format!("“{jack_name}” of {name}")).clicked() {
                            let (from, to) = if jack.is_output() { (at, *other) } else { (*other, at) };
                            out.extend(plugging::join(facts.variant, from, to).map(Intent::Change));
                            ui.close();
                        }
                    }
                });
            let words = format!("Join “{words}” of {} to", device.name);
            combo.response.widget_info(|| WidgetInfo::labeled(Role::ComboBox, true, &words));
        });
    }
}

fn jack_number(jack: Jack) -> u16 {
    match jack {
        Jack::In => 0,
        Jack::Out => 1,
        Jack::SecondIn => 2,
        Jack::SecondOut => 3,
        Jack::PowerStage => 4,
        Jack::Send(n) => 256 + u16::from(n),
        Jack::Return(n) => 512 + u16::from(n),
    }
}
