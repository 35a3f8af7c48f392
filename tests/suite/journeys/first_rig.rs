//! A first rig, by somebody who has read nothing.

use egui::Key;

use super::{chain, device_id, is_on, peak_lines};
use crate::window::Window;

#[test]
fn from_the_demo_to_an_own_rig_with_figures_in_four_steps() {
    let mut window = Window::demo();
    window.click("A guitar and an amp");
    window.click("Figures");
    assert_eq!(chain(&window.variant(0).rig), ["Guitar", "Amp"]);
    assert_eq!(window.texts_from("Peak at "), peak_lines(&window.project()), "figures at once");
    window.click("Insert a part on the lead from Guitar to Amp");
    window.type_text("drive");
    window.press(Key::Enter);
    let drive = window.variant(0).rig.devices.last().unwrap().name.clone();
    assert_eq!(chain(&window.variant(0).rig), ["Guitar", &drive, "Amp"]);
    let off = peak_lines(&window.project());
    window.press(Key::Space);
    assert!(is_on(&window.project(), device_id(&window.variant(0).rig, &drive)));
    let on = peak_lines(&window.project());
    assert_ne!(on, off);
    window.press(Key::Escape);
    let free = window.sheet().left_bottom() + egui::vec2(60.0, -30.0);
    window.click_at(free);
    assert_eq!(window.texts_from("Peak at "), on);
    assert!(!window.says("To fix"));
    window.assert_idle();
}

#[test]
fn a_blank_rig_is_not_called_the_demo() {
    let mut window = Window::demo();
    window.click("A guitar and an amp");
    assert!(!window.says("invented demo rig"), "{:?}", window.texts());
}

#[test]
fn a_second_part_of_a_kind_gets_a_name_of_its_own() {
    let mut window = Window::blank();
    for _ in 0..3 {
        let next = chain(&window.variant(0).rig)[1].to_owned();
        window.click_lead("Guitar", &next);
        window.press(Key::I);
        window.type_text("buffer");
        window.press(Key::Enter);
    }
    let rig = &window.variant(0).rig;
    let mut names: Vec<&str> = rig.devices.iter().map(|device| device.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), 5, "{names:?}");
    window.assert_idle();
}

#[test]
fn a_part_joins_the_sheet_loose_and_is_joined_afterwards() {
    let mut window = Window::blank();
    window.press(Key::I);
    window.assert_says("Put a part on the sheet");
    window.type_text("tuner");
    window.press(Key::Enter);
    let rig = window.variant(0).rig.clone();
    assert_eq!((rig.devices.len(), rig.leads.len()), (3, 1));
    let tuner = rig.devices[2].name.clone();
    assert_eq!(window.value("Name of the device"), tuner, "it is selected");
    let onto = window.lead("Guitar", "Amp").rect().center();
    let from = window.device(&tuner).rect().center();
    window.drag(from, onto);
    assert_eq!(chain(&window.variant(0).rig), ["Guitar", &tuner, "Amp"], "dropped on a lead it is plugged in");
    assert!(!window.says("To fix"));
}

#[test]
fn the_demo_is_one_command_away_again() {
    let mut window = Window::blank();
    window.menu("Open the demo");
    window.assert_is(&rigwright_core::file::demo().unwrap());
}
