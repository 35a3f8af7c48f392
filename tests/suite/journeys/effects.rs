//! Kinds of effect: what a pedal's name, its tip and its panel say, and what becomes of that in files.

use egui::Key;
use rigwright::help::{Line, Topic};
use rigwright_core::file;
use rigwright_core::parts::effect;
use rigwright_core::rig::Effect;

use super::device_id;
use crate::window::{Setup, Window};

/// Rests the pointer on a device until what it says has come up.
fn rest_on(window: &mut Window, device: &str) {
    let at = window.device(device).rect().center();
    window.harness.hover_at(at);
    for _ in 0..8 {
        window.harness.step();
    }
}

fn effect_of(window: &Window, device: &str) -> Option<Effect> {
    let rig = &window.variant(0).rig;
    effect(rig.device(device_id(rig, device)).unwrap())
}

#[test]
fn a_unit_says_what_kind_of_effect_it_is() {
    let mut window = Window::demo();
    // The demo's file doesn't say; the parts that its units were made from do.
    assert!(window.has("Hard drive, 6 of 18, distortion"), "{:?}", window.texts());
    assert!(window.has("Compressor, 3 of 18"), "not said twice");
    rest_on(&mut window, "Hard drive");
    let says = |window: &Window, words: &str| window.painted().iter().any(|text| text == words);
    assert!(says(&window, "Distortion") && says(&window, Effect::Distortion.what()), "{:?}", window.painted());
    assert!(says(&window, "Its mark: wave cut flat."));
    window.harness.remove_cursor();
    (0..4).for_each(|_| window.harness.step());
    assert!(!says(&window, Effect::Distortion.what()));
    window.assert_idle();
}

#[test]
fn another_kind_of_effect_is_chosen_kept_and_undone() {
    let mut window = Setup::file("/rigs/pub.ron", file::DEMO_BYTES).open();
    let before = window.project();
    window.click_device("Phaser");
    let list = |window: &Window| window.named("kind of effect").rect().center();
    let at = list(&window);
    assert_eq!(window.named("kind of effect").value().as_deref(), Some("phaser"));
    window.click_at(at);
    window.find_and_click(|window| window.named("flanger"));
    assert_eq!(effect_of(&window, "Phaser"), Some(Effect::Flanger));
    assert!(window.has("Phaser, 9 of 18, flanger"), "{:?}", window.texts());
    window.command(Key::S);
    assert_eq!(window.file("/rigs/pub.ron").unwrap().matches("effect: Flanger").count(), 1);
    window.command(Key::Z);
    window.assert_is(&before);
    assert_eq!(effect_of(&window, "Phaser"), Some(Effect::Phaser));
    window.assert_idle();
}

#[test]
fn a_part_that_is_put_in_brings_its_kind_of_effect() {
    let mut window = Window::blank();
    window.click("Insert a part on the lead from Guitar to Amp");
    window.type_text("looper");
    window.press(Key::Enter);
    let rig = &window.variant(0).rig;
    assert_eq!(rig.device(device_id(rig, "Looper")).unwrap().effect, Some(Effect::Looper));
}

/// Each row of the legend has its sign, named by what it looks like.
#[test]
fn the_legend_shows_every_sign() {
    let mut window = Window::demo();
    window.press(Key::F1);
    window.type_text("legend");
    window.press(Key::Enter);
    window.assert_says(Topic::Legend.title());
    let page = Topic::Legend.page();
    let mut signs = 0;
    for line in page.sections.iter().flat_map(|section| &section.lines) {
        let Line::Sign(_, looks, words) = line else { panic!("{line:?} has no sign") };
        assert!(window.has(looks), "{looks}");
        window.assert_says(words);
        signs += 1;
    }
    assert!(signs > 50, "{signs}");
    window.press(Key::Escape);
    window.assert_idle();
}
