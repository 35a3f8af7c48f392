//! Pointing: at what a state makes, and its units light up; at a unit, and the curve
//! with its switch the other way is there.

use std::sync::Arc;

use egui::Key;
use rigwright_core::file;
use rigwright_core::rig::{Edit, SwitchSetting, Variant, apply};

use super::{answers, device_id};
use crate::rigs;
use crate::window::{Setup, Window};

/// How often a word is painted.
fn painted(window: &Window, word: &str) -> usize {
    window.painted().iter().filter(|text| *text == word).count()
}

#[test]
fn pointing_at_a_jump_lights_the_units_that_make_it() {
    let mut window = Setup { size: [1440.0, 1600.0], ..Setup::demo() }.open();
    window.click("Switches");
    let said = window.texts().into_iter().find(|text| text.contains(" dB up at ") && text.contains("with Fuzz on"));
    let said = said.unwrap();
    let before = window.project();
    let computed = window.harness.state().answers().computed();
    assert_eq!((painted(&window, "on"), painted(&window, "this switch")), (0, 0));
    let at = window.named(&said).rect().center();
    window.harness.hover_at(at);
    window.run();
    assert_eq!((painted(&window, "on"), painted(&window, "this switch")), (1, 1), "{:?}", window.painted());
    window.assert_is(&before);
    assert_eq!(window.harness.state().answers().computed(), computed, "nothing is worked out for it");
    window.harness.remove_cursor();
    window.run();
    assert_eq!((painted(&window, "on"), painted(&window, "this switch")), (0, 0));
    window.assert_idle();
}

#[test]
fn a_unit_that_is_on_but_not_in_that_state_is_told_to_be_off() {
    let mut window = Setup { size: [1440.0, 1600.0], ..Setup::demo() }.open();
    window.click("Switches");
    let said = window.texts().into_iter().find(|text| text.contains(" dB up at ") && text.contains("with Fuzz on"));
    let said = said.unwrap();
    window.click("Switch of Chorus");
    assert_eq!(painted(&window, "off"), 0);
    let at = window.named(&said).rect().center();
    window.harness.hover_at(at);
    window.run();
    assert_eq!(painted(&window, "off"), 1, "{:?}", window.painted());
}

#[test]
fn pointing_at_a_jump_lights_the_loops_that_make_it() {
    let mut project = file::blank().unwrap();
    let variant = (*project.variants[0]).clone();
    project.variants = vec![Arc::new(Variant { rig: Arc::new(rigs::looped(2, 1)), ..variant })];
    project.next_id = 10_000;
    let bytes = file::write(&project).unwrap();
    let mut window = Setup { size: [1440.0, 1600.0], ..Setup::file("/rigs/loops.ron", bytes) }.open();
    window.click("Switches");
    let said = window.texts().into_iter().find(|text| text.ends_with("with unit 11 on and loop 2 of switcher in"));
    let said = said.unwrap_or_else(|| panic!("{:?}", window.texts()));
    let count = |window: &Window| ["this switch", "in", "on"].map(|word| painted(window, word));
    assert_eq!(count(&window), [0, 0, 0]);
    let at = window.named(&said).rect().center();
    window.harness.hover_at(at);
    window.run();
    assert_eq!(count(&window), [1, 1, 1], "{said}: {:?}", window.painted());
    window.harness.remove_cursor();
    window.run();
    assert_eq!(count(&window), [0, 0, 0]);
    window.assert_idle();
}

#[test]
fn pointing_at_a_unit_gives_the_curve_with_its_switch_the_other_way() {
    let mut window = Window::demo();
    let before = window.project();
    assert!(window.harness.state().ghost().is_none());
    let at = window.device("Compressor").rect().center();
    window.harness.hover_at(at);
    window.run();
    let ghost = window.harness.state().ghost().unwrap().clone();
    assert_eq!(ghost.words, "Compressor on");
    let compressor = device_id(&before.variants[0].rig, "Compressor");
    let switched = apply(&before, &Edit::Switch(SwitchSetting::on(compressor))).unwrap();
    assert_eq!(*ghost.response, answers(&switched)[0]);
    // Its switch is a part of it.
    let at = window.named("Switch of Compressor").rect().center();
    window.harness.hover_at(at);
    window.run();
    assert!(window.harness.state().ghost().is_some());
    // A guitar has none, and nothing is left when the pointer goes.
    let guitar = window.device("Guitar").rect().center();
    window.harness.hover_at(guitar);
    window.run();
    assert!(window.harness.state().ghost().is_none());
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn what_stays_on_has_no_other_way() {
    let mut window = Window::demo();
    window.click_device("Compressor");
    window.click("Stays on in every state");
    window.press(Key::Escape);
    let at = window.device("Compressor").rect().center();
    window.harness.hover_at(at);
    window.run();
    assert!(window.harness.state().ghost().is_none());
}
