//! Symbols, leads and jacks under the mouse.

use egui::{Key, Pos2, vec2};

use super::{chain, device_id, is_on};
use crate::window::Window;

fn middle(window: &Window, device: &str) -> Pos2 {
    window.device(device).rect().center()
}

/// Free sheet, right at the bottom on the left.
fn nowhere(window: &Window) -> Pos2 {
    window.sheet().left_bottom() + vec2(120.0, -40.0)
}

#[test]
fn a_device_dropped_on_another_lead_is_plugged_in_there() {
    let mut window = Window::demo();
    let before = window.project();
    let onto = window.lead("Fuzz", "Octave").rect().center();
    window.drag(middle(&window, "Compressor"), onto);
    let rig = &window.variant(0).rig;
    assert_eq!(chain(rig)[..8], ["Guitar", "Tuner", "Wah", "Mild drive", "Hard drive", "Fuzz", "Compressor", "Octave"]);
    assert!(window.variant(0).places.is_empty(), "it stands where the drawing puts it");
    assert_eq!(rig.leads.len(), before.variants[0].rig.leads.len());
    window.command(Key::Z);
    window.assert_is(&before); // one step
    assert!(!is_on(&window.project(), device_id(&window.variant(0).rig, "Compressor")));
    window.assert_idle();
}

#[test]
fn a_device_dropped_beside_the_leads_stands_there_and_nothing_is_computed() {
    let mut window = Window::demo();
    let before = window.project();
    let computed = window.harness.state().answers().computed();
    let goal = nowhere(&window);
    window.drag(middle(&window, "Chorus"), goal);
    let variant = window.variant(0);
    let chorus = device_id(&variant.rig, "Chorus");
    assert_eq!(variant.places.keys().copied().collect::<Vec<_>>(), [chorus]);
    assert_eq!(variant.rig, before.variants[0].rig);
    assert_eq!(window.harness.state().answers().computed(), computed);
    window.command(Key::Z);
    window.assert_is(&before); // one step
    assert_eq!(window.harness.state().answers().computed(), computed);
    window.assert_idle();
}

#[test]
fn a_device_lands_under_the_pointer() {
    let mut window = Window::demo();
    // From the middle of the sheet to near it, so that the rest of the drawing keeps its size.
    let start = middle(&window, "Chorus");
    let goal = start + vec2(0.0, 130.0);
    window.drag(start, goal);
    let landed = middle(&window, "Chorus");
    assert!(landed.distance(goal) < 12.0, "{landed} for {goal}");
}

#[test]
fn a_drag_that_is_given_up_outside_changes_nothing() {
    let mut window = Window::demo();
    let before = window.project();
    let outside = window.sheet().center_bottom() + vec2(0.0, 200.0);
    window.drag(middle(&window, "Chorus"), outside);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn escape_gives_a_drag_up() {
    let mut window = Window::demo();
    let before = window.project();
    let goal = nowhere(&window);
    window.hold(middle(&window, "Chorus"), goal);
    window.press(Key::Escape);
    window.harness.drop_at(goal);
    window.run();
    window.assert_is(&before);
}

#[test]
fn a_guitar_has_no_way_through_and_the_window_says_so() {
    let mut window = Window::demo();
    let before = window.project();
    let onto = window.lead("Fuzz", "Octave").rect().center();
    window.drag(middle(&window, "Guitar"), onto);
    assert_eq!(window.variant(0).rig, before.variants[0].rig, "the rig is as it was");
    window.assert_says("Guitar has no input and output to plug a lead through");
    window.click("Put this away");
    assert!(!window.says("no input and output"));
}

#[test]
fn a_lead_is_pulled_from_one_free_jack_to_another() {
    let mut window = Window::demo();
    let before = window.project();
    window.click_lead("Splitter", "Amp left");
    window.press(Key::Delete);
    assert_eq!(window.variant(0).rig.leads.len(), 16);
    window.assert_says("no signal reaches Amp left");
    let from = window.named("Free jack: out of Splitter").rect().center();
    let to = window.named("Free jack: in of Amp left").rect().center();
    window.drag(from, to);
    let rig = &window.variant(0).rig;
    assert_eq!(rig.leads.len(), 17);
    let (splitter, amp) = (device_id(rig, "Splitter"), device_id(rig, "Amp left"));
    assert!(rig.leads.iter().any(|lead| lead.from.device == splitter && lead.to.device == amp));
    assert!(rig.leads.last().unwrap().length.get() >= 3.0, "to an amp off the board it is a long one");
    window.command(Key::Z);
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_free_jack_is_joined_from_the_panel_too() {
    let mut window = Window::demo();
    window.click_lead("Splitter", "Amp left");
    window.press(Key::Delete);
    window.click_device("Amp left");
    window.assert_says("“in” is free");
    window.find_and_click(|window| window.list("join it to"));
    window.click("“out” of Splitter");
    assert_eq!(window.variant(0).rig.leads.len(), 17);
    assert!(!window.says("To fix"));
}

/// Whether the sheet can still be panned: something that hangs on the mouse forbids it.
fn pans(window: &mut Window) -> bool {
    let before = middle(window, "Fuzz");
    let free = window.sheet().left_bottom() + vec2(40.0, -20.0);
    window.drag(free, free + vec2(60.0, 0.0));
    middle(window, "Fuzz") != before
}

#[test]
fn what_is_taken_out_in_the_middle_of_a_drag_no_longer_hangs_on_the_mouse() {
    let mut window = Window::demo();
    let goal = nowhere(&window);
    window.hold(middle(&window, "Chorus"), goal);
    window.press(Key::Delete);
    window.harness.drop_at(goal);
    window.run();
    assert_eq!(window.variant(0).rig.devices.len(), 19);
    assert!(pans(&mut window));
    window.assert_idle();
}

#[test]
fn a_lead_whose_jack_is_taken_in_the_middle_of_a_drag_is_let_go() {
    let mut window = Window::demo();
    window.click_lead("Splitter", "Amp left");
    window.press(Key::Delete);
    let from = window.named("Free jack: out of Splitter").rect().center();
    let goal = nowhere(&window);
    window.hold(from, goal);
    window.command(Key::Z);
    window.harness.drop_at(goal);
    window.run();
    assert_eq!(window.variant(0).rig.leads.len(), 17);
    assert!(pans(&mut window));
}

#[test]
fn the_sheet_is_panned_zoomed_and_fitted_again() {
    let mut window = Window::demo();
    let fitted = window.device("Chorus").rect();
    window.drag(nowhere(&window), nowhere(&window) + vec2(90.0, -30.0));
    let panned = window.device("Chorus").rect();
    assert!((panned.center() - fitted.center() - vec2(90.0, -30.0)).length() < 9.0);
    window.press(Key::Plus);
    assert!(window.device("Chorus").rect().width() > 1.2 * fitted.width());
    window.press(Key::Minus);
    window.press(Key::F);
    assert!(window.device("Chorus").rect().center().distance(fitted.center()) < 0.5);
    window.assert_is(&rigwright_core::file::demo().unwrap()); // looking changes nothing
    window.assert_idle();
}
