//! A part is found by what is needed of it, and those that were used last stand first.

use std::sync::Arc;

use egui::Key;

use super::chain;
use crate::window::{Setup, Window};

const PLUS: &str = "Insert a part on the lead from Guitar to Tuner";
const EXAMPLES: &str = "or by need: “18 V”, “under 30 mA”";

/// The names of the catalogue's rows and headings down to one, in their order.
fn listed(window: &Window, first: &str, count: usize) -> Vec<String> {
    let texts = window.texts();
    let start = texts.iter().position(|text| text == first).unwrap_or_else(|| panic!("no {first} in {texts:#?}"));
    texts[start..].iter().take(count).cloned().collect()
}

#[test]
fn needs_and_words_hold_together_and_are_said_as_they_were_understood() {
    let mut window = Window::demo();
    window.click(PLUS);
    window.assert_says(EXAMPLES);
    window.type_text("true-bypass delay <40ma");
    window.assert_says("True bypass, at most 40 mA and “delay”: 1 part");
    assert!(!window.says(EXAMPLES));
    assert!(window.has("Analogue delay") && !window.has("Compact digital delay"));
    window.press(Key::Enter);
    assert_eq!(chain(&window.variant(0).rig)[..3], ["Guitar", "Analogue delay", "Tuner"]);
    window.assert_idle();
}

#[test]
fn what_no_part_meets_is_said() {
    let mut window = Window::demo();
    window.click(PLUS);
    window.type_text("18 V over 5 A");
    window.assert_says("18 V and at least 5 A: 0 parts");
    window.assert_says("No part here meets all of that");
    window.press(Key::Enter);
    assert!(window.has("Find a part"), "Enter on nothing leaves the catalogue open");
    window.assert_idle();
}

#[test]
fn the_list_that_finds_anything_knows_needs_too() {
    let mut window = Window::demo();
    window.click_lead("Guitar", "Tuner");
    window.command(Key::K);
    window.type_text("true bypass delay under 40 mA");
    assert!(window.has("Analogue delay, delay and reverb") && !window.has("Compact digital delay, delay and reverb"));
    window.press(Key::Enter);
    assert_eq!(chain(&window.variant(0).rig)[..3], ["Guitar", "Analogue delay", "Tuner"]);
    window.assert_idle();
}

#[test]
fn the_parts_that_were_used_last_stand_first_however_they_were_put_in() {
    let mut window = Window::demo();
    window.click(PLUS);
    assert!(!window.says("used last"), "none was used yet");
    // One onto a lead,
    window.type_text("flanger");
    window.press(Key::Enter);
    // one from the list that finds anything,
    window.press(Key::Escape);
    window.command(Key::K);
    window.type_text("treble booster");
    window.press(Key::Enter);
    // one that is dragged out of the catalogue,
    window.press(Key::I);
    window.type_text("mild drive");
    let row = window.named("Mild drive").rect().center();
    let goal = window.lead("Fuzz", "Octave").rect().center();
    window.hold(row, goal);
    window.harness.drop_at(goal);
    window.run();
    assert!(chain(&window.variant(0).rig).contains(&"Mild drive 2"));
    // and one in another's place.
    window.click_device("Chorus");
    window.find_and_click(|window| window.named("Another part in its place…"));
    window.type_text("phaser");
    window.press(Key::Enter);
    window.click(&format!("Insert a part on the lead from Guitar to {}", chain(&window.variant(0).rig)[1]));
    let first = |window: &Window| {
        let listed = listed(window, "used last", 40);
        let names = ["Phaser", "Mild drive", "Treble booster", "Flanger"];
        let end = listed.iter().position(|text| text == "tuners").unwrap_or_else(|| panic!("{listed:#?}"));
        listed[..end].iter().filter(|text| names.contains(&text.as_str())).cloned().collect::<Vec<_>>()
    };
    assert_eq!(first(&window), ["Phaser", "Mild drive", "Treble booster", "Flanger"]);
    window.type_text("wah");
    assert!(!window.says("used last"), "a query finds in its own order");
    window.press(Key::Escape);
    // What is changed otherwise puts no part in, and undo forgets none.
    window.command(Key::Z);
    let kept = window.host.settings().unwrap();
    assert_eq!(kept.matches("\"phaser\"").count(), 1, "{kept}");
    // The next window has them, and Enter takes the first.
    let mut again = Setup { host: Arc::clone(&window.host), ..Setup::demo() }.open();
    again.click(PLUS);
    assert_eq!(first(&again), ["Phaser", "Mild drive", "Treble booster", "Flanger"]);
    again.press(Key::Enter);
    assert_eq!(chain(&again.variant(0).rig)[..3], ["Guitar", "Phaser 2", "Tuner"]);
}

#[test]
fn what_was_used_is_offered_only_where_it_fits() {
    let setup = Setup::demo();
    setup.host.put_settings("(used_parts: [\"isolated-four\", \"no-such-part\", \"single-coil-guitar\", \"buffer\"])");
    let mut window = setup.open();
    window.click(PLUS);
    let listed = listed(&window, "used last", 40);
    let end = listed.iter().position(|text| text == "tuners").unwrap();
    assert!(listed[..end].contains(&"Buffer".to_owned()), "{listed:#?}");
    assert!(!listed[..end].iter().any(|text| text.contains("Single-coil") || text.contains("isolated")), "{listed:#?}");
    window.assert_idle();
}
