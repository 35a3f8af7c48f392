//! What is selected: every number of it, where each comes from, and what can be done with it.

use egui::{ComboBox, Grid, RichText, Slider, TextEdit, Ui};
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{
    Bypass, Control, Device, Edit, Field, Jack, JackRef, Kind, Knob, Taper, Tone, ToneOrder, TrebleBleed, Tuner,
    fields, set_field,
};
use rigwright_core::units::{Farads, Ohms, Turn, engineering, hertz};

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
        panel::quiet(ui, format!("{}; {}", device.kind.noun(), device.body.size.describe()));
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

fn set(facts: &Facts<'_>, device: Device, step: String) -> Intent {
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

/// What is chosen from a list: kind of bypass, tapers, tone order, treble bleed.
fn choices(ui: &mut Ui, facts: &Facts<'_>, device: &Device, out: &mut Vec<Intent>) {
    let mut changed = device.clone();
    if let Some(pedal) = changed.kind.pedal_mut() {
        let kinds = if pedal.selectable.is_empty() {
            vec![Bypass::True, Bypass::Buffered, Bypass::AlwaysLoading]
        } else {
            pedal.selectable.clone()
        };
        let options: Vec<(Bypass, &str)> = kinds.into_iter().map(|kind| (kind, kind.name())).collect();
        choose(ui, "bypass", &mut pedal.bypass, &options);
    }
    match &mut changed.kind {
        Kind::Guitar(guitar) => {
            if let Some(volume) = &mut guitar.volume {
                taper(ui, "volume taper", &mut volume.taper);
            }
            if let Some(Tone { pot, order, .. }) = &mut guitar.tone {
                taper(ui, "tone taper", &mut pot.taper);
                choose(
                    ui,
                    "tone wired to",
                    order,
                    &[(ToneOrder::OnInput, "the volume's input"), (ToneOrder::OnWiper, "the volume's wiper (older)")],
                );
            }
            if guitar.volume.is_some() {
                bleed(ui, &mut guitar.treble_bleed);
            }
        }
        Kind::Treadle(rigwright_core::rig::Treadle::PassiveVolume { pot, .. }) => taper(ui, "taper", &mut pot.taper),
        Kind::Treadle(rigwright_core::rig::Treadle::BufferedVolume { taper: law, .. }) => taper(ui, "taper", law),
        Kind::Tuner(Tuner::Through { mutes, .. }) => {
            ui.checkbox(mutes, "mutes while on");
        }
        _ => {}
    }
    if changed != *device {
        out.push(set(facts, changed, format!("change {}", device.name)));
    }
}

fn choose<T: PartialEq + Copy>(ui: &mut Ui, label: &str, value: &mut T, options: &[(T, &str)]) {
    let shown = options.iter().find(|(option, _)| option == value).map_or("another", |(_, words)| words);
    ui.horizontal(|ui| {
        ui.label(label);
        let combo = ComboBox::from_id_salt(label).selected_text(shown).show_ui(ui, |ui| {
            for (option, words) in options {
                ui.selectable_value(value, *option, *words);
            }
        });
        combo.response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::ComboBox, true, label));
    });
}

fn taper(ui: &mut Ui, label: &str, taper: &mut Taper) {
    let half = match taper {
        Taper::Linear => Turn::of(0.15),
        Taper::TwoSegments { half } | Taper::Exponential { half } => *half,
    };
    choose(
        ui,
        label,
        taper,
        &[
            (Taper::Linear, "linear"),
            (Taper::TwoSegments { half }, "audio, two straight segments"),
            (Taper::Exponential { half }, "audio, smooth"),
        ],
    );
}

fn bleed(ui: &mut Ui, bleed: &mut Option<TrebleBleed>) {
    // The usual values. [page: wiring articles]
    const CAPACITOR: Farads = Farads::of(1e-9);
    let keep = *bleed;
    let form = |form: Option<TrebleBleed>| match form {
        None => 0,
        Some(TrebleBleed::Capacitor { .. }) => 1,
        Some(TrebleBleed::Parallel { .. }) => 2,
        Some(TrebleBleed::Series { .. }) => 3,
    };
    let mut chosen = form(keep);
    let options = [
        (0, "none"),
        (1, "capacitor alone"),
        (2, "capacitor and resistor side by side"),
        (3, "capacitor and resistor in series"),
    ];
    choose(ui, "treble bleed", &mut chosen, &options);
    if chosen != form(keep) {
        *bleed = match chosen {
            1 => Some(TrebleBleed::Capacitor { capacitance: CAPACITOR }),
            2 => Some(TrebleBleed::Parallel { capacitance: CAPACITOR, resistance: Ohms::of(150e3) }),
            3 => Some(TrebleBleed::Series { capacitance: Farads::of(680e-12), resistance: Ohms::of(130e3) }),
            _ => None,
        };
    }
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
