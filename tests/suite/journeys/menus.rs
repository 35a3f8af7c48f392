//! Right clicks on the sheet, and double clicks.

use egui::vec2;

use super::{device_id, is_on};
use crate::window::Window;

#[test]
fn a_right_click_says_what_can_be_done_with_a_device_and_does_it() {
    let mut window = Window::demo();
    let before = window.project();
    let at = window.device("Compressor").rect().center();
    window.right_click_at(at);
    assert_eq!(window.value("Name of the device"), "Compressor", "it is selected with that");
    window.find_and_click(|window| window.named("Switch on Space"));
    let compressor = device_id(&window.variant(0).rig, "Compressor");
    assert!(is_on(&window.project(), compressor));
    window.right_click_at(at);
    window.find_and_click(|window| window.named("Take out Delete"));
    assert!(window.variant(0).rig.device(compressor).is_none());
    window.command(egui::Key::Z);
    window.command(egui::Key::Z);
    window.assert_is(&before);
    window.right_click_at(at);
    window.find_and_click(|window| window.from("Put another part in its place"));
    assert!(window.has("Find a part"));
}

#[test]
fn a_right_click_on_a_lead_and_on_the_paper() {
    let mut window = Window::demo();
    let lead = window.lead("Fuzz", "Octave").rect();
    window.right_click_at(lead.left_center().lerp(lead.center(), 0.5));
    window.find_and_click(|window| window.named("Put a test point here T"));
    assert!(window.project().test_point.is_some());
    let lead = window.lead("Mild drive", "Hard drive").rect();
    window.right_click_at(lead.left_center().lerp(lead.center(), 0.5));
    window.find_and_click(|window| window.named("Unplug this lead Delete"));
    assert_eq!(window.variant(0).rig.leads.len(), 16);
    window.right_click_at(window.sheet().left_bottom() + vec2(60.0, -20.0));
    window.find_and_click(|window| window.named("Insert a part… I"));
    window.assert_says("Put a part on the sheet");
}

#[test]
fn a_double_click_opens_the_equivalent_circuit_of_a_unit() {
    let mut window = Window::demo();
    let small = window.device("Compressor").rect();
    window.double_click_at(small.center());
    let large = window.device("Compressor").rect();
    assert!(large.width() > 2.0 * small.width());
    assert!(large.center().distance(window.sheet().center()) < 40.0);
    assert!(window.painted().iter().any(|text| text.ends_with("kΩ") || text.ends_with("MΩ")), "its values are shown");
    window.press(egui::Key::F);
    assert!(window.device("Compressor").rect().width() < 1.2 * small.width());
}
