//! Stepping on a switch: by the mouse, by the keyboard, in the panel; the figures follow.

use egui::Key;

use super::{device_id, is_on, peak_lines, shown_peaks};
use crate::window::Window;

#[track_caller]
fn figures_are_the_cores(window: &Window) -> Vec<String> {
    let shown = shown_peaks(window);
    assert_eq!(shown, peak_lines(&window.project()));
    shown
}

#[test]
fn the_demo_opens_with_the_figures_of_both_rigs() {
    let mut window = Window::demo();
    window.click("Figures");
    assert_eq!(window.project().title, "Pit rig, spring tour");
    assert_eq!(figures_are_the_cores(&window).len(), 2);
    window.assert_says("Everything off, 12 switches");
    window.assert_idle();
}

#[test]
fn a_compressor_switched_on_moves_the_peak_on_the_screen() {
    let mut window = Window::demo();
    window.click("Figures");
    let before = figures_are_the_cores(&window);
    window.click("Switch of Compressor");
    let compressor = device_id(&window.variant(0).rig, "Compressor");
    assert!(is_on(&window.project(), compressor));
    let on = figures_are_the_cores(&window);
    assert_ne!(on[0], before[0], "what stands behind it no longer loads the guitar");
    window.assert_says("On: Compressor");
    window.click("Switch of Compressor");
    assert_eq!(figures_are_the_cores(&window), before);
    window.assert_idle();
}

#[test]
fn a_tuner_that_mutes_says_that_nothing_comes_through() {
    let mut window = Window::demo();
    window.click("Figures");
    window.click("Switch of Tuner");
    let shown = figures_are_the_cores(&window);
    assert_eq!(shown, ["No peak: nothing comes through"; 2]);
    window.assert_says("On: Tuner");
    window.command(Key::Z);
    assert!(window.project().state.positions.is_empty());
    assert!(figures_are_the_cores(&window)[0].starts_with("Peak at "));
    window.assert_idle();
}

#[test]
fn a_switch_is_stepped_on_by_the_keyboard_alone() {
    let mut window = Window::demo();
    let compressor = device_id(&window.variant(0).rig, "Compressor");
    let on = |window: &Window| is_on(&window.project(), compressor);
    // The switch itself has the focus, then the symbol, then nothing but the selection.
    window.focus("Switch of Compressor");
    window.press(Key::Space);
    assert!(on(&window));
    window.focus("Compressor, 3 of 18");
    window.press(Key::Space);
    assert!(!on(&window));
    window.press(Key::Enter);
    assert!(window.has("Name of the device"), "Enter selects what has the focus");
    window.press(Key::Space);
    assert!(on(&window), "once, not twice");
    window.assert_idle();
}

#[test]
fn a_selected_unit_is_switched_in_its_panel_and_by_space() {
    let mut window = Window::demo();
    let wah = device_id(&window.variant(0).rig, "Wah");
    window.click_device("Wah");
    window.press(Key::Space);
    assert!(is_on(&window.project(), wah));
    window.click("On");
    assert!(!is_on(&window.project(), wah));
    window.assert_idle();
}

#[test]
fn tab_comes_to_every_device_lead_and_switch() {
    let mut window = Window::demo();
    let mut wanted: Vec<String> = ["Lead from ", "Insert a part on ", "Switch of "]
        .iter()
        .flat_map(|start| window.texts_from(start))
        .chain(window.texts().into_iter().filter(|text| text.split(", ").any(|part| part.ends_with(" of 18"))))
        .collect();
    assert_eq!(wanted.len(), 17 + 17 + 12 + 18);
    for _ in 0..150 {
        window.press(Key::Tab);
        let focused = window.focused();
        wanted.retain(|name| Some(name) != focused.as_ref());
    }
    assert!(wanted.is_empty(), "Tab never comes to {wanted:?}");
}
