//! What helps: the first start, rigs to start from, the legend, the marks of effects.

use std::sync::Arc;

use egui::Key;
use rigwright_core::file;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{DeviceId, Effect, Jack, JackRef, Lead, LeadId, Position, Project, SwitchKey, SwitchRef};
use rigwright_core::units::Metres;

use crate::pictures::{both, demo, own, steps};
use crate::window::{Setup, Window};

#[test]
fn what_a_first_start_shows() {
    both("first", demo, |window| {
        // A look was chosen and nothing else: the strip of other starts is still there.
        let settings = window.host.settings().unwrap().replace("starts_dismissed: true", "starts_dismissed: false");
        let host = Arc::clone(&window.host);
        host.put_settings(&settings);
        *window = Setup { host, ..demo() }.open();
    });
}

#[test]
fn rigs_to_start_from() {
    both("starts", demo, |window| window.menu("Start from…"));
}

#[test]
fn rigs_to_start_from_in_a_large_window() {
    both("starts-large", Setup::demo, |window| window.menu("Start from…"));
}

fn legend(window: &mut Window, from: &str) {
    window.press(Key::F1);
    window.type_text("legend");
    window.press(Key::Enter);
    window.named(from).scroll_to_me();
    steps(window);
}

#[test]
fn the_signs_of_the_drawing() {
    both("legend", demo, |window| legend(window, "Thick copper line"));
}

#[test]
fn the_marks_of_effects() {
    both("legend-marks", Setup::demo, |window| legend(window, "Wave cut flat"));
}

#[test]
fn the_signs_of_plot_and_power() {
    both("legend-power", demo, |window| legend(window, "Broad line"));
}

#[test]
fn a_mark_that_explains_itself() {
    both("mark", demo, |window| {
        let at = window.device("Hard drive").rect().center();
        window.harness.hover_at(at);
        steps(window);
    });
}

/// All that the catalogue has with a box, one behind another, half of it on.
#[test]
fn every_mark_on_the_sheet() {
    both("marks", || own(&every_effect()), |_| {});
}

fn every_effect() -> Project {
    let mut project = file::blank().unwrap();
    let mut variant = (*project.variants[0]).clone();
    let rig = Arc::make_mut(&mut variant.rig);
    let (last, patch) = (rig.leads.remove(0), catalogue().cable("patch-lead").unwrap());
    let mut from = last.from;
    for (effect, id) in Effect::ALL.into_iter().zip(100..) {
        let part = catalogue().parts.iter().find(|part| part.effect == Some(effect));
        let part = part.or(catalogue().part("phaser")).unwrap();
        let mut device = part.device(DeviceId(id));
        (device.effect, device.name) = (Some(effect), effect.name().to_owned());
        let (to, out) = (JackRef::new(device.id, Jack::In), JackRef::new(device.id, Jack::Out));
        rig.devices.push(device);
        let lead = Lead { id: LeadId(id + 100), from, to, length: Metres::of(0.2), cable: patch.cable.clone() };
        rig.leads.push(lead);
        from = out;
        if id % 2 == 0 {
            let switch = SwitchRef { device: DeviceId(id), key: SwitchKey::Bypass };
            project.state.positions.insert(switch, Position::ON);
        }
    }
    rig.leads.push(Lead { from, ..last });
    project.variants = vec![Arc::new(variant)];
    project.next_id = 400;
    project
}
