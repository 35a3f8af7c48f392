//! What the selected unit takes: every number with where it comes from, and what can be chosen.

use egui::Ui;
use rigwright_core::rig::{
    Apart, Battery, Connector, Device, Edit, Field, Form, Mains, Need, Power, PowerEdit, Way, power_fields, set_field,
};
use rigwright_core::units::{AmpereHours, Amperes, Turn, Volts, Watts};
use rigwright_core::words::capital;

use super::canvas::Scene;
use super::menus;
use super::words;
use crate::state::Change;
use crate::views::Intent;
use crate::views::numbers::{Numbers, Origin, Row};
use crate::widgets::choose::choose;
use crate::widgets::quantity::Quantity;
use crate::widgets::{panel, small};

/// The inspector's own state.
#[derive(Debug, Default)]
pub struct Needs {
    numbers: Numbers,
}

/// What most units take. [page, memory, S: usual-supply]
pub fn usual() -> Power {
    Power::Low(Need { ways: vec![usual_way()], ..Need::default() })
}

fn usual_way() -> Way {
    Way {
        least: Volts::of(9.0),
        most: Volts::of(9.0),
        form: Form::CentreNegative,
        running: Amperes::of(0.02),
        start_up: Amperes::of(0.02),
    }
}

/// A mains inlet to begin with. [memory, S: usual-supply]
pub fn mains() -> Power {
    Power::Mains(Mains {
        least: Volts::of(100.0),
        most: Volts::of(240.0),
        earthed: true,
        plug_top: false,
        draw: Watts::of(50.0),
        power_factor: Turn::FULL,
    })
}

/// A 9 V block to begin with. [page, S: block]
pub fn battery() -> Power {
    Power::Battery(Battery { volts: Volts::of(9.0), capacity: AmpereHours::of(0.55), draw: Amperes::of(0.01) })
}

impl Needs {
    /// What a device takes.
    pub fn ui(&mut self, ui: &mut Ui, scene: &Scene<'_>, device: &Device, out: &mut Vec<Intent>) {
        ui.add_space(6.0);
        panel::heading(ui, if device.kind.supply().is_some() { "What comes in" } else { "What it takes" });
        kind(ui, scene, device, out);
        let mut power = device.power.clone();
        match &mut power {
            Power::Low(need) => low(ui, device, need),
            Power::Mains(mains) => {
                ui.checkbox(&mut mains.earthed, "Earthed: three wires in its mains lead");
                ui.checkbox(&mut mains.plug_top, "A plug-top: no mains lead of its own");
            }
            _ => {}
        }
        if power != device.power {
            out.push(menus::set_power(scene, device, power));
        }
        self.numbers(ui, scene, device, &|field| field.path.starts_with("power."), out);
        if let Power::Low(need) = &device.power {
            ways(ui, scene, device, need, out);
        }
    }

    /// A table of those numbers of a device.
    pub fn numbers(
        &mut self,
        ui: &mut Ui,
        scene: &Scene<'_>,
        device: &Device,
        wanted: &dyn Fn(&Field) -> bool,
        out: &mut Vec<Intent>,
    ) {
        let fields: Vec<Field> = power_fields(device).into_iter().filter(|field| wanted(field)).collect();
        let Some(first) = fields.first() else { return };
        let seconds = ["ways.2.", "settings.2.", "groups.2."];
        let several = fields.iter().any(|field| seconds.iter().any(|second| field.path.contains(second)));
        let names: Vec<(String, String)> = fields.iter().map(|field| names(device, field, several)).collect();
        let each = fields.iter().zip(&names).zip(Origin::of_fields(device, &fields, scene.own_parts));
        let rows: Vec<Row<'_>> = each
            .map(|((field, (label, name)), origin)| Row {
                label: label.into(),
                quantity: Quantity::of(field, name),
                origin,
            })
            .collect();
        let change = |at: usize, value: f64| {
            let (mut changed, field) = (device.clone(), &fields[at]);
            set_field(&mut changed, &field.path, value)?;
            Ok(change(scene, device, changed, format!("change {} of {}", field.label, device.name)))
        };
        // What power takes changes no curve.
        self.numbers.ui(ui, None, (device.id.0, &first.path), &rows, &change, out);
    }
}

/// What stands before a field, and what the field is called where it is read out.
fn names(device: &Device, field: &Field, several: bool) -> (String, String) {
    let label = label(field, several);
    let name = match field.path.strip_prefix("outlets.").and_then(|rest| rest.split('.').next()) {
        Some(number) => format!("{label} of {}, outlet {number}", device.name),
        None => format!("{label} of {}", device.name),
    };
    (label, name)
}

/// The change that makes a device as given; what it takes by the edit that unplugs what takes nothing.
pub fn set(scene: &Scene<'_>, device: &Device, changed: Device, step: String) -> Intent {
    Intent::Change(change(scene, device, changed, step))
}

fn change(scene: &Scene<'_>, device: &Device, changed: Device, step: String) -> Change {
    let variant = scene.variant;
    let edit = if changed.kind == device.kind {
        let edit = PowerEdit::SetPower { device: device.id, power: Box::new(changed.power) };
        Edit::Power { variant, edit }
    } else {
        Edit::SetDevice { variant, device: Box::new(changed) }
    };
    Change::new(step, edit)
}

/// "voltage from", and of which way or setting where there are several.
fn label(field: &Field, several: bool) -> String {
    let number = |within: &str| field.path.split_once(within).and_then(|(_, rest)| rest.split('.').next());
    match (number("ways.").or_else(|| number("settings.")).or_else(|| number("groups.")), several) {
        (Some(number), true) => format!("{} ({number})", field.label),
        _ => field.label.to_owned(),
    }
}

/// From what it takes power at all.
fn kind(ui: &mut Ui, scene: &Scene<'_>, device: &Device, out: &mut Vec<Intent>) {
    let own = format!("{}.", capital(words::OWN_BATTERY));
    let words = match &device.power {
        Power::Unknown => "Nobody has said yet.",
        Power::Nothing => "Nothing: it works by itself.",
        Power::Mains(_) => "The mains.",
        Power::Low(_) => "Low voltage at a socket.",
        Power::Battery(_) => own.as_str(),
    };
    ui.horizontal(|ui| {
        ui.label(words);
        let button = ui.add(small::button("Say something else…"));
        let named = format!("Say what {} takes", device.name);
        button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, true, &named));
        menus::say(&button, scene, device, out);
    });
}

fn low(ui: &mut Ui, device: &Device, need: &mut Need) {
    let forms: Vec<(Form, String)> = Form::ALL.map(|form| (form, form.name().to_owned())).to_vec();
    let several = need.ways.len() > 1;
    for (at, way) in (1..).zip(&mut need.ways) {
        let name = if several {
            format!("Kind of current {at} of {}", device.name)
        } else {
            format!("Kind of current of {}", device.name)
        };
        choose(ui, &name, &mut way.form, &forms);
    }
    let sockets: Vec<(Connector, String)> =
        Connector::ALL.map(|connector| (connector, connector.name().to_owned())).to_vec();
    ui.horizontal(|ui| {
        ui.label("socket");
        choose(ui, &format!("Socket of {}", device.name), &mut need.connector, &sockets);
    });
    ui.horizontal(|ui| {
        ui.label("shares a 0 V with");
        let apart = [
            (Apart::Nobody, "any other".to_owned()),
            (Apart::OtherKind, if need.digital { "digital units only" } else { "analogue units only" }.to_owned()),
            (Apart::Everybody, "nothing else".to_owned()),
        ];
        choose(ui, &format!("What {} shares a 0 V with", device.name), &mut need.apart, &apart);
    });
    if need.apart != Apart::Nobody {
        ui.checkbox(&mut need.apart_must, "Rather without power than with others on its 0 V");
    }
    let (mut digital, mut heaters) = (need.digital, need.heaters);
    ui.checkbox(&mut digital, "Digital: a clock inside");
    ui.checkbox(&mut heaters, "Valves inside that are heated from this socket");
    if (digital, heaters) != (need.digital, need.heaters) {
        need.set_kind(digital, heaters);
    }
    ui.checkbox(&mut need.positive_ground, "Positive ground, as some old fuzzes");
    if need.ways.iter().any(|way| way.form == Form::Alternating) {
        ui.checkbox(&mut need.transformer, "Its AC goes into a transformer of its own");
        ui.checkbox(&mut need.shares_winding, "Its maker lets it share a winding");
    }
}

/// One more way to feed it, or one fewer.
fn ways(ui: &mut Ui, scene: &Scene<'_>, device: &Device, need: &Need, out: &mut Vec<Intent>) {
    ui.horizontal_wrapped(|ui| {
        if ui.add(small::button("It takes another voltage too")).clicked() {
            let mut ways = need.ways.clone();
            ways.push(ways.last().copied().unwrap_or_else(usual_way));
            out.push(menus::set_power(scene, device, Power::Low(Need { ways, ..need.clone() })));
        }
        if need.ways.len() > 1 && ui.add(small::button("Drop the last one")).clicked() {
            let mut ways = need.ways.clone();
            ways.pop();
            out.push(menus::set_power(scene, device, Power::Low(Need { ways, ..need.clone() })));
        }
    });
}
