//! Saying what a unit takes: numbers, kinds, and what nobody has said.

use super::*;

use std::sync::Arc;

use egui::Key;
use rigwright_core::rig::{Country, Form, Power, Venue, apply};
use rigwright_core::units::Volts;

use crate::generator::{Dice, edits, healthy};

#[test]
fn numbers_of_a_unit_are_typed_and_told_where_they_come_from() {
    let mut window = demo();
    let before = window.project();
    let at = unit(&window, "Delay");
    window.click_at(at);
    assert_eq!(window.value("draws of Delay"), "100 mA");
    window.assert_says("from memory");
    window.fill("draws of Delay", "600mA");
    let rig = window.variant(0).rig.clone();
    let need = rig.device(device_id(&rig, "Delay")).unwrap().power.need().unwrap().clone();
    assert_eq!(need.ways[0].running.get(), 0.6);
    // 600 and 150 mA on an outlet of 500 mA.
    window.press(Key::Escape);
    window.assert_says("Outlet 1 of Isolated supply is over its rating: 750 of 500 mA.");
    window.command(Key::Z);
    window.assert_is(&before);
}

#[test]
fn polarity_and_adapter_are_chosen_from_lists() {
    let mut window = demo();
    let at = unit(&window, "Phaser");
    window.click_at(at);
    window.click("Kind of current of Phaser");
    window.click("DC, centre positive");
    let rig = window.variant(0).rig.clone();
    let phaser = device_id(&rig, "Phaser");
    assert_eq!(rig.device(phaser).unwrap().power.need().unwrap().ways[0].form, Form::CentrePositive);
    window.assert_says("Phaser gets its two poles the wrong way round.");
    window.click("An adapter that reverses the polarity");
    assert_eq!(dangers(&window), 0);
    assert!(window.variant(0).rig.feed_to(phaser).unwrap().taps[0].adapter.swaps_poles);
}

#[test]
fn what_nobody_has_said_is_asked_for() {
    let mut window = demo();
    let at = unit(&window, "Octave");
    window.click_at(at);
    window.click("Say what Octave takes");
    window.click("Nothing");
    let rig = window.variant(0).rig.clone();
    let octave = device_id(&rig, "Octave");
    assert_eq!(rig.device(octave).unwrap().power, Power::Nothing);
    assert!(rig.feed_to(octave).is_none(), "what takes nothing has no plug in it");
}

#[test]
fn a_rig_of_the_first_version_is_asked_about_and_helped_by_the_catalogue() {
    let old = include_bytes!("../../../files/demo-v1.ron");
    let mut window = Setup { size: [1440.0, 1500.0], ..Setup::file("/rigs/old.ron", &old[..]) }.open();
    window.click("Power");
    window.assert_says("Nobody has said what");
    window.click("Take what the catalogue says");
    assert!(!window.says("Nobody has said what"));
}

#[test]
fn a_lead_from_an_outlet_that_is_gone_is_told_and_taken_away() {
    let mut window = demo();
    // A box with one outlet in the place of the one with five.
    window.focus("Isolated supply, supply, 5 outlets, 4.48 W");
    window.click("Another part in its place…");
    window.type_text("9 V wall adaptor");
    window.press(Key::Enter);
    window.press(Key::Escape);
    window.assert_says("which has no such outlet");
    let before = window.variant(0).rig.feeds.len();
    let shelf = window.from("Not fed").rect();
    assert!(shelf.contains(unit(&window, "Hard drive")), "it hangs on nothing");
    window.click("Take this lead away");
    assert_eq!(window.variant(0).rig.feeds.len(), before - 1);
    window.command(Key::Z);
    window.command(Key::Z);
    assert!(!window.says("which has no such outlet"));
}

#[test]
fn energy_is_told_for_the_hours_that_are_typed() {
    let mut window = demo();
    let found = checked(&window).mains;
    // Amps of 150 and 90 W, and what the two supplies take.
    assert!((found.watts() - 245.8).abs() < 0.01, "{found:?}");
    window.assert_says("246 W at 4 wall sockets: 983 Wh at most.");
    window.find_and_click(|window| window.named("Hours switched on"));
    window.command(Key::A);
    window.type_text("10");
    window.press(Key::Enter);
    window.assert_says("246 W at 4 wall sockets: 2460 Wh at most.");
}

#[test]
fn a_tour_is_put_together_and_what_it_does_to_the_amps_is_told() {
    let mut window = Setup { size: [1440.0, 1800.0], ..Setup::demo() }.open();
    window.click("Power");
    let before = window.project();
    window.find_and_click(|window| window.named("Add a country of the tour…"));
    window.find_and_click(|window| window.named("Japan, 100 V"));
    assert_eq!(window.project().mains.tour, [Venue::of(Country::Japan)]);
    window.assert_says("Amp left takes 220 V of the mains at least and gets 100 V in Japan.");
    // The hall says otherwise.
    window.find_and_click(|window| window.named("Mains voltage, Japan, stop 1"));
    window.command(Key::A);
    window.type_text("200");
    window.press(Key::Enter);
    assert_eq!(window.project().mains.tour[0].volts, Volts::of(200.0));
    assert!(!window.says("in Japan."));
    window.find_and_click(|window| window.named("Mains voltage at home"));
    window.command(Key::A);
    window.type_text("275");
    window.press(Key::Enter);
    window.assert_says("Amp left takes 240 V of the mains at most and gets 275 V at home.");
    window.assert_says("Don't switch it on like this");
    window.assert_says("Don't switch on as it is drawn");
    // In that hall only it is another matter: at home the rig can be switched on.
    window.command(Key::Z);
    window.find_and_click(|window| window.named("Mains voltage, Japan, stop 1"));
    window.command(Key::A);
    window.type_text("300");
    window.press(Key::Enter);
    window.assert_says("Amp left takes 240 V of the mains at most and gets 300 V in Japan.");
    window.assert_says("Don't plug it in there");
    assert!(!window.says("Don't switch on as it is drawn"));
    window.find_and_click(|window| window.named("Drop Japan, stop 1"));
    assert!(window.project().mains.tour.is_empty());
    for _ in 0..4 {
        window.command(Key::Z);
    }
    window.assert_is(&before);
}

/// Whatever is plugged in wherever: shorts, circles of modules, outlets that aren't there.
#[test]
fn any_rig_is_drawn_on_rails_and_rests() {
    for seed in 0..12 {
        let mut dice = Dice::new(seed);
        let mut project = rigwright_core::file::blank().unwrap();
        Arc::make_mut(&mut project.variants[0]).rig = Arc::new(healthy(seed, 6).rig);
        project.next_id = 10_000;
        for _ in 0..60 {
            let edit = dice.clone().pick(&edits(&project, project.next_id, &mut dice));
            project = apply(&project, &edit).unwrap_or(project);
        }
        let mut window = Window::of(&project);
        window.click("Power");
        window.assert_idle();
    }
}
