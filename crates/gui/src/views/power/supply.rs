//! The selected supply: its figures, its outlets one by one, and what can be done with it.

use egui::Ui;
use rigwright_core::rig::{Connector, Device, Edit, Form, Kind, Outlet, Power, Setting, Supply, ZeroVolt};
use rigwright_core::units::{Amperes, Volts, trimmed};

use super::canvas::Scene;
use super::needs::{Needs, set};
use super::words;
use crate::command::Command;
use crate::state::Change;
use crate::views::picker::REPLACE;
use crate::views::{Intent, Purpose};
use crate::widgets::choose::choose;
use crate::widgets::{panel, small};

/// The panel's own state.
#[derive(Debug, Default)]
pub struct SupplyPanel {
    needs: Needs,
}

impl SupplyPanel {
    /// A supply or module.
    pub fn ui(&mut self, ui: &mut Ui, scene: &Scene<'_>, device: &Device, out: &mut Vec<Intent>) {
        let Some(supply) = device.kind.supply() else { return };
        ui.add_space(6.0);
        panel::heading(ui, "What it gives");
        figures(ui, scene, device);
        let general = |path: &str| !path.starts_with("power.") && !path.starts_with("outlets.");
        self.needs.numbers(ui, scene, device, &|field| general(&field.path), out);
        let mut changed = supply.clone();
        for (number, outlet) in (1..).zip(&mut changed.outlets) {
            ui.push_id(("outlet", number), |ui| {
                let head = egui::CollapsingHeader::new(format!("Outlet {number}")).default_open(false);
                head.show(ui, |ui| {
                    choices(ui, device, number, outlet);
                    let prefix = format!("outlets.{number}.");
                    self.needs.numbers(ui, scene, device, &|field| field.path.starts_with(&prefix), out);
                });
            });
        }
        ui.horizontal_wrapped(|ui| more(ui, &mut changed));
        if changed != *supply {
            let next = Device { kind: Kind::Supply(changed), ..device.clone() };
            out.push(set(scene, device, next, format!("change {}", device.name)));
        }
        name(ui, scene, device, out);
        ui.horizontal_wrapped(|ui| {
            if ui.button(format!("{REPLACE}…")).clicked() {
                out.push(Intent::OpenPicker(Purpose::Replace(device.id)));
            }
            if ui.button("Take out").on_hover_text("Takes it out; what it feeds is not fed then (Delete)").clicked() {
                out.push(Intent::Command(Command::Delete));
            }
        });
    }
}

fn figures(ui: &mut Ui, scene: &Scene<'_>, device: &Device) {
    let Some(figures) = scene.answer.and_then(|answer| answer.check.supply(device.id)) else { return };
    let unit = match &device.power {
        Power::Mains(_) if figures.volt_amperes > figures.taken + 0.005 => {
            format!("W of the mains ({} VA)", trimmed(figures.volt_amperes, 3))
        }
        Power::Mains(_) => "W of the mains".to_owned(),
        _ => "W".to_owned(),
    };
    let total = match figures.total.limit {
        Some(limit) => format!("Gives {} in all", words::load(figures.total.running, limit, "W")),
        None => format!("Gives {} W in all", trimmed(figures.total.running, 3)),
    };
    panel::quiet(ui, format!("{total}; takes {} {unit}.", trimmed(figures.taken, 3)));
    for group in &figures.groups {
        if let Some(limit) = group.load.limit {
            let load = words::load(group.load.running, limit, "W");
            panel::quiet(ui, format!("Outlets whose 0 V is {}: {load}.", words::zero_volt(group.zero_volt, device)));
        }
    }
}

fn choices(ui: &mut Ui, device: &Device, number: u8, outlet: &mut Outlet) {
    let of = |what: &str| format!("{what} of {}, outlet {number}", device.name);
    if outlet.settings.len() > 1 {
        let volts = |setting: &Setting| format!("{} V", trimmed(setting.volts.get(), 4));
        let options: Vec<(u8, String)> = (1..=u8::MAX).zip(&outlet.settings).map(|(n, s)| (n, volts(s))).collect();
        ui.horizontal(|ui| {
            ui.label("set to");
            choose(ui, &of("Setting"), &mut outlet.chosen, &options);
        });
    }
    let forms: Vec<(Form, String)> = Form::ALL.map(|form| (form, form.name().to_owned())).to_vec();
    let mut form = outlet.setting().map_or(Form::CentreNegative, |setting| setting.form);
    if choose(ui, &of("Kind of current"), &mut form, &forms) {
        outlet.settings.iter_mut().for_each(|setting| setting.form = form);
    }
    let sockets: Vec<(Connector, String)> = Connector::ALL.map(|each| (each, each.name().to_owned())).to_vec();
    choose(ui, &of("Socket"), &mut outlet.connector, &sockets);
    let groups = (1..=16).map(ZeroVolt::Group);
    let zero_volts: Vec<(ZeroVolt, String)> = std::iter::once(ZeroVolt::Inlet)
        .chain(groups)
        .map(|each| (each, format!("0 V: {}", words::zero_volt(each, device))))
        .collect();
    choose(ui, &of("0 V"), &mut outlet.zero_volt, &zero_volts);
    ui.checkbox(&mut outlet.parallel, "May be put in parallel with another");
    let mut no_load = outlet.settings.iter().any(|setting| setting.no_load.is_some());
    if ui.checkbox(&mut no_load, "Unregulated: more volts while little is drawn").clicked() {
        for setting in &mut outlet.settings {
            // One that was marked 9 V read 13.6 V. [page, S: no-load]
            let high = Volts::clamped(setting.volts.get() * 13.6 / 9.0);
            setting.no_load = no_load.then_some(high);
        }
    }
}

/// One more outlet like the last, or one fewer.
fn more(ui: &mut Ui, supply: &mut Supply) {
    if ui.add(small::button("One more outlet")).clicked() {
        let highest = supply.outlets.iter().filter_map(|outlet| match outlet.zero_volt {
            ZeroVolt::Group(number) => Some(number),
            ZeroVolt::Inlet => None,
        });
        let zero_volt = ZeroVolt::Group(highest.max().unwrap_or(0).saturating_add(1));
        let usual = Outlet {
            settings: vec![Setting {
                volts: Volts::of(9.0),
                limit: Amperes::of(0.1),
                form: Form::CentreNegative,
                no_load: None,
            }],
            chosen: 1,
            connector: Connector::Barrel21,
            zero_volt,
            parallel: false,
        };
        let last = supply.outlets.last().cloned().unwrap_or(usual);
        let zero_volt = if last.zero_volt == ZeroVolt::Inlet { ZeroVolt::Inlet } else { zero_volt };
        supply.outlets.push(Outlet { zero_volt, ..last });
    }
}

fn name(ui: &mut Ui, scene: &Scene<'_>, device: &Device, out: &mut Vec<Intent>) {
    ui.add_space(4.0);
    let id = egui::Id::unique(("name of a supply", device.id.0));
    let named =
        crate::widgets::name_field::edit(ui, id, "Name of the supply", &device.name, |edit| edit.desired_width(220.0));
    if let Some(name) = named.name {
        let changed = Device { name, ..device.clone() };
        let edit = Edit::SetDevice { variant: scene.variant, device: Box::new(changed) };
        let change = Change::new(format!("rename {}", device.name), edit);
        out.push(Intent::Change(change.in_gesture(crate::state::Gesture(id.value()))));
    }
    if named.response.lost_focus() {
        out.push(Intent::EndGesture);
    }
}
