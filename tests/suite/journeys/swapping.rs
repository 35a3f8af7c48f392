//! Another part in a device's place, another place for a device without a drag, and notes.

use egui::Key;

use super::{chain, device_id, is_on};
use crate::window::Window;

const SWAP: &str = "Another part in its place…";

fn swap(window: &mut Window, device: &str, part: &str) {
    window.click_device(device);
    window.find_and_click(|window| window.named(SWAP));
    window.type_text(part);
    window.press(Key::Enter);
}

#[test]
fn another_part_takes_over_leads_and_place() {
    let mut window = Window::demo();
    let before = window.project();
    window.click("Switch of Fuzz");
    swap(&mut window, "Fuzz", "delay");
    let (rig, old) = (&window.variant(0).rig, &before.variants[0].rig);
    assert_eq!(rig.leads, old.leads);
    let fuzz = device_id(old, "Fuzz");
    assert_ne!(rig.device(fuzz).unwrap().kind, old.device(fuzz).unwrap().kind);
    assert!(is_on(&window.project(), fuzz), "it stays on");
    assert_eq!(window.variant(1).rig, before.variants[1].rig);
    window.command(Key::Z);
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn two_devices_never_come_to_the_same_name_by_a_swap() {
    let mut window = Window::demo();
    window.click("Insert a part on the lead from Guitar to Tuner");
    window.type_text("buffer");
    window.press(Key::Enter);
    // Its name is the catalogue's, and goes with the part; there is a wah of that name already.
    swap(&mut window, "Buffer", "wah");
    let rig = window.variant(0).rig.clone();
    let mut names: Vec<&str> = rig.devices.iter().map(|device| device.name.as_str()).collect();
    names.sort_unstable();
    let all = names.len();
    names.dedup();
    assert_eq!(names.len(), all, "{names:?}");
}

#[test]
fn escape_leaves_the_part_as_it_is() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_device("Fuzz");
    window.find_and_click(|window| window.named(SWAP));
    window.type_text("delay");
    window.press(Key::Escape);
    window.assert_is(&before);
    assert_eq!(window.value("Name of the device"), "Fuzz", "it is still selected");
}

#[test]
fn a_device_goes_to_another_lead_by_a_list() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_device("Compressor");
    window.find_and_click(|window| window.list("move it to the lead"));
    window.find_and_click(|window| window.named("from Fuzz to Octave"));
    let names = ["Guitar", "Tuner", "Wah", "Mild drive", "Hard drive", "Fuzz", "Compressor", "Octave"];
    assert_eq!(chain(&window.variant(0).rig)[..8], names);
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn notes_are_typed_and_one_visit_is_one_step() {
    let mut window = Window::blank();
    window.click("Figures");
    let before = window.project();
    window.focus("Notes of the project");
    for letter in ["l", "o", "u", "d"] {
        window.type_text(letter);
    }
    assert_eq!(window.project().notes, "loud");
    let lead = window.named("Notes of the project").rect();
    assert!(lead.width() > 100.0);
    window.click_device("Amp");
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}
