//! The test point: by a key, by the mouse, from a panel; the plot says where it is taken.

use egui::{Key, Modifiers, vec2};

use super::{answers, lead_between, peak_line};
use crate::window::Window;

const HEADING: &str = "Level at the test point, dB from the pickup";

#[test]
fn t_on_a_selected_lead_moves_the_curves_there() {
    let mut window = Window::demo();
    window.click("Figures");
    assert!(!window.says(HEADING));
    window.click_lead("DI box", "Amp right");
    window.press(Key::T);
    let (lead, _) = lead_between(&window.variant(0).rig, "DI box", "Amp right");
    assert_eq!(window.project().test_point.unwrap().lead, lead);
    window.assert_says(HEADING);
    assert!(window.has("Test point on the lead from DI box to Amp right"));
    let free = window.sheet().left_bottom() + vec2(60.0, -30.0);
    window.click_at(free);
    let expected = answers(&window.project());
    let expected: Vec<_> = expected.iter().map(|answer| peak_line(answer.test_point.as_ref().unwrap())).collect();
    assert_eq!(window.texts_from("Peak at "), expected);

    window.press_with(Modifiers::SHIFT, Key::T);
    assert_eq!(window.project().test_point, None);
    assert!(!window.says(HEADING));
    window.assert_idle();
}

#[test]
fn the_badge_is_dragged_onto_a_lead_to_another_one_and_away() {
    let mut window = Window::demo();
    let badge = window.named("Test point, not set").rect().center();
    let first = window.lead("Guitar", "Tuner").rect().center();
    window.drag(badge, first);
    let point = window.project().test_point.unwrap();
    assert_eq!(point.lead, lead_between(&window.variant(0).rig, "Guitar", "Tuner").0);
    assert!((point.along.get() - 0.5).abs() < 0.1, "{:?}", point.along);
    window.assert_says(HEADING);

    let badge = window.named("Test point on the lead from Guitar to Tuner").rect().center();
    let second = window.lead("Fuzz", "Octave").rect().center();
    window.drag(badge, second);
    let point = window.project().test_point.unwrap();
    assert_eq!(point.lead, lead_between(&window.variant(0).rig, "Fuzz", "Octave").0);

    let badge = window.named("Test point on the lead from Fuzz to Octave").rect().center();
    let nowhere = window.sheet().left_bottom() + vec2(60.0, -30.0);
    window.drag(badge, nowhere);
    assert_eq!(window.project().test_point, None);
    assert!(window.has("Test point, not set"));
    for _ in 0..3 {
        window.command(Key::Z);
    }
    window.assert_is(&rigwright_core::file::demo().unwrap()); // each drag was one step
    window.assert_idle();
}

#[test]
fn the_panel_of_a_lead_puts_it_too() {
    let mut window = Window::demo();
    window.click_lead("Guitar", "Tuner");
    window.click("Put a test point here");
    window.assert_says(HEADING);
    window.menu("Remove the test point");
    assert!(!window.says(HEADING));
}

#[test]
fn with_no_lead_selected_the_key_says_what_to_do() {
    let mut window = Window::demo();
    window.press(Key::T);
    assert_eq!(window.project().test_point, None);
    window.assert_says("Select a lead first; the test point goes there.");
    window.assert_idle();
}

#[test]
fn a_test_point_whose_lead_goes_is_not_a_wrong_answer() {
    let mut window = Window::demo();
    window.click("Figures");
    window.click_lead("Fuzz", "Octave");
    window.press(Key::T);
    // In one rig the lead is gone, in the other it is still there.
    window.click_lead("Fuzz", "Octave");
    window.press(Key::Delete);
    assert!(window.texts_from("Peak at ").len() == 1, "only the other rig has an answer: {:?}", window.texts());
    window.assert_says("The test point's lead isn't in this rig");
    window.assert_idle();
}
