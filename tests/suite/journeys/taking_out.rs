//! Taking a device out closes the gap, and undo brings exactly what was there.

use egui::Key;

use super::{chain, lead_between};
use crate::window::Window;

#[test]
fn delete_takes_a_pedal_out_and_joins_its_neighbours() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_device("Wah");
    window.press(Key::Delete);
    let rig = &window.variant(0).rig;
    assert_eq!(chain(rig)[..4], ["Guitar", "Tuner", "Compressor", "Mild drive"]);
    assert_eq!((rig.devices.len(), rig.leads.len()), (19, 16));
    assert!(!window.texts().iter().any(|text| text == "To fix"));
    assert!(!window.has("Name of the device"), "nothing is selected any more");
    assert_eq!(window.variant(1).rig, before.variants[1].rig, "the other rig keeps its wah");
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn the_unit_behind_the_guitar_leaves_the_guitar_its_long_lead() {
    let mut window = Window::demo();
    window.click_device("Tuner");
    window.find_and_click(|window| window.named("Take out"));
    let rig = &window.variant(0).rig;
    assert_eq!(lead_between(rig, "Guitar", "Compressor").1, 6.0);
}

#[test]
fn unplugging_a_lead_leaves_a_gap_that_is_named() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_lead("Fuzz", "Octave");
    window.click("Unplug");
    assert_eq!(window.variant(0).rig.leads.len(), 16);
    window.assert_says("the signal of Guitar ends at Fuzz");
    window.assert_says("No signal gets to an amp, a DI box or an interface yet.");
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn in_a_text_field_delete_and_backspace_are_the_fields() {
    let mut window = Window::demo();
    window.click_device("Wah");
    window.focus("Name of the device");
    window.command(Key::A);
    window.type_text("Sweep");
    window.press(Key::Backspace);
    window.press(Key::Delete);
    assert_eq!(window.variant(0).rig.devices.len(), 20);
    assert_eq!(window.value("Name of the device"), "Swee");
}

#[test]
fn with_nothing_selected_delete_does_nothing() {
    let mut window = Window::demo();
    let before = window.project();
    window.press(Key::Delete);
    window.press(Key::Backspace);
    window.assert_is(&before);
    window.assert_idle();
}
