//! Lists that open on the sheet: where to plug in, which voltage, what a unit takes.

use egui::{Popup, Response, Ui};
use rigwright_core::rig::{Device, Edit, OutletRef, Power, PowerEdit};
use rigwright_core::words::capital;

use super::canvas::Scene;
use super::needs;
use super::words;
use crate::command::Command;
use crate::state::{Change, Selected};
use crate::views::picker::REPLACE;
use crate::views::{Intent, Purpose};

/// Outlets that something can be plugged in at, with their words.
pub fn outlets(scene: &Scene<'_>, device: &Device) -> Vec<(OutletRef, String)> {
    let check = scene.answer.map(|answer| &answer.check);
    let mut found = Vec::new();
    for (supply, inside) in scene.rig.supplies().filter(|(supply, _)| supply.id != device.id) {
        for number in (1..=u8::MAX).take(inside.outlets.len()) {
            let outlet = OutletRef::new(supply.id, number);
            found.push((outlet, words::place_volts(scene.rig, check, outlet)));
        }
    }
    found
}

/// The change that unplugs a device.
pub fn unplug(scene: &Scene<'_>, device: &Device) -> Intent {
    let edit = Edit::Power { variant: scene.variant, edit: PowerEdit::Unplug(device.id) };
    Intent::Change(Change::new(format!("unplug {}", device.name), edit))
}

/// What a right click on a unit offers.
pub fn unit(ui: &mut Ui, scene: &Scene<'_>, device: &Device, out: &mut Vec<Intent>) {
    if device.power.need().is_some() {
        plug_in(ui, scene, device, out);
        if scene.rig.feed_to(device.id).is_some() {
            ui.separator();
            if ui.button("Unplug").clicked() {
                out.push(unplug(scene, device));
                ui.close();
            }
        }
    } else {
        takes(ui, scene, device, out);
    }
}

fn plug_in(ui: &mut Ui, scene: &Scene<'_>, device: &Device, out: &mut Vec<Intent>) {
    let now = scene.rig.feed_to(device.id);
    let outlets = outlets(scene, device);
    if outlets.is_empty() {
        ui.label("There is no supply yet.");
    }
    egui::ScrollArea::vertical().max_height(360.0).show(ui, |ui| {
        for (outlet, place) in outlets {
            let here = now.is_some_and(|feed| feed.from.outlets().any(|from| from == outlet));
            let button = egui::Button::selectable(here, format!("Plug in at {place}"));
            if ui.add(button).clicked() {
                if !here {
                    out.push(Intent::PlugIn { device: device.id, outlet });
                }
                ui.close();
            }
        }
    });
}

/// What a right click on a supply offers.
pub fn supply(ui: &mut Ui, scene: &Scene<'_>, device: &Device, out: &mut Vec<Intent>) {
    if device.power.need().is_some() {
        unit(ui, scene, device, out);
        ui.separator();
    }
    if ui.button(format!("{REPLACE}…")).clicked() {
        out.push(Intent::OpenPicker(Purpose::Replace(device.id)));
        ui.close();
    }
    if ui.button("Take out").clicked() {
        out.push(Intent::Select(Some(Selected::Device(device.id))));
        out.push(Intent::Command(Command::Delete));
        ui.close();
    }
}

/// The voltages that an outlet can be set to, under its title.
pub fn voltages(hit: &Response, scene: &Scene<'_>, at: OutletRef, out: &mut Vec<Intent>) {
    let Some(outlet) = scene.rig.outlet(at) else { return };
    Popup::menu(hit).show(|ui| {
        for (number, setting) in (1..=u8::MAX).zip(&outlet.settings) {
            let volts = format!("{} V", rigwright_core::units::trimmed(setting.volts.get(), 4));
            let words = format!("{volts}, up to {}", words::current(setting.limit.get()));
            if ui.add(egui::Button::selectable(number == outlet.chosen, words)).clicked() {
                if number != outlet.chosen {
                    let edit = PowerEdit::Choose { outlet: at, setting: number };
                    let step = format!("set {} to {volts}", words::place(scene.rig, at));
                    out.push(Intent::Change(Change::new(step, Edit::Power { variant: scene.variant, edit })));
                }
                ui.close();
            }
        }
    });
}

/// What a unit can take, under a button.
pub fn say(hit: &Response, scene: &Scene<'_>, device: &Device, out: &mut Vec<Intent>) {
    Popup::menu(hit).show(|ui| takes(ui, scene, device, out));
}

/// Kinds of power to say for a unit.
pub fn takes(ui: &mut Ui, scene: &Scene<'_>, device: &Device, out: &mut Vec<Intent>) {
    for (words, power) in kinds(scene, device) {
        if ui.button(words).clicked() {
            out.push(set_power(scene, device, power));
            ui.close();
        }
    }
}

/// What can be said of what a device takes: first as the catalogue has it.
pub fn kinds(scene: &Scene<'_>, device: &Device) -> Vec<(String, Power)> {
    let mut found = Vec::new();
    if let Some(part) = scene.own_parts.part(&device.part).filter(|part| part.power != Power::Unknown) {
        found.push((format!("As the catalogue says: {}", in_words(&part.power)), part.power.clone()));
    }
    for power in [needs::usual(), needs::mains(), needs::battery(), Power::Nothing] {
        found.push((in_words(&power), power));
    }
    found
}

fn in_words(power: &Power) -> String {
    match power {
        Power::Low(need) => format!("{} from a supply", words::wants(need)),
        Power::Mains(_) => "The mains, by its own lead".to_owned(),
        Power::Battery(_) => capital(words::OWN_BATTERY),
        Power::Nothing => "Nothing".to_owned(),
        Power::Unknown => "Unknown".to_owned(),
    }
}

/// The change after which a device takes something else.
pub fn set_power(scene: &Scene<'_>, device: &Device, power: Power) -> Intent {
    let edit = PowerEdit::SetPower { device: device.id, power: Box::new(power) };
    let step = format!("say what {} takes", device.name);
    Intent::Change(Change::new(step, Edit::Power { variant: scene.variant, edit }))
}
