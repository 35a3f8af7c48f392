//! Somebody pulls a supply lead and looks what that does to the tone.

use egui::Key;
use egui_kittest::kittest::NodeT;

use crate::window::{Setup, Window};

/// What the plot says in place of a curve.
fn silence(window: &Window) -> Option<String> {
    let other = |text: &str| text.starts_with("It needs power") || text.contains(" is not fed: ");
    let said = |text: &String| text.contains("othing comes through.") && !other(text);
    window.painted().into_iter().find(said)
}

/// What the plot is called, figures and all.
fn plot(window: &Window) -> Vec<String> {
    window.texts_from("Level plot ")
}

/// The demo with its delay, whose bypass is buffered, off its supply.
fn unplugged() -> Window {
    let mut window = Setup { size: [1440.0, 1500.0], ..Setup::demo() }.open();
    assert!(!window.says("As if all were fed"), "in the demo everybody is fed");
    window.command(Key::Num2);
    let at = window.from("Delay, fed by ").rect().center();
    window.click_at(at);
    window.press(Key::U);
    window.command(Key::Num1);
    window
}

#[test]
fn a_buffered_unit_without_a_feed_is_silence_once_that_counts() {
    let mut window = unplugged();
    let peaks = plot(&window);
    // At first the tone is shown as if all were fed, and that is said.
    window.assert_says("Delay has no feed");
    assert!(window.from("Delay, ").accesskit_node().label().is_some_and(|name| name.ends_with(", no feed")));
    assert_eq!(silence(&window), None);
    window.click("As if all were fed");
    assert_eq!(silence(&window).as_deref(), Some("All true bypass: nothing comes through. Delay has no feed."));
    assert_ne!(plot(&window), peaks);
    window.press(Key::Escape);
    window.assert_says("Nothing comes through in any footswitch state: Delay has no feed.");
    // What the power calls for is told here too, and what remedies it.
    window.assert_says("Delay is not fed: the buffer of its bypass is silent, so nothing comes through.");
    assert!(window.has("Plug Delay in at outlet 1 of Isolated supply"));
    // By key, there and back.
    window.press(Key::E);
    assert_eq!(silence(&window), None);
    assert_eq!(plot(&window), peaks);
    window.press(Key::E);
    assert!(silence(&window).is_some());
    // Plugged in again it sounds, and everything is said to be fed.
    window.command(Key::Z);
    assert_eq!(silence(&window), None);
    window.assert_says("Everything is fed");
    assert_eq!(plot(&window), peaks);
    window.press(Key::E);
    assert!(!window.says("As if all were fed"));
    window.assert_idle();
}

#[test]
fn what_the_signal_meets_without_power_can_be_said_of_a_unit() {
    let mut window = unplugged();
    window.press(Key::E);
    assert!(silence(&window).is_some());
    // Its maker says that a relay joins its jacks when power fails.
    let at = window.device("Delay").rect().center();
    window.click_at(at);
    window.click("without power");
    window.click("lets the signal pass");
    assert_eq!(silence(&window), None);
    window.click("without power");
    window.click("a relay, nobody says");
    assert!(silence(&window).is_some(), "what isn't known is taken as silence");
}

/// Puts the demo's drive that takes 9 V on outlet 4, which gives 18 V for another drive.
pub fn feed_the_mild_drive_18_volts(window: &mut Window) {
    window.command(Key::Num2);
    let from = window.from("Mild drive, fed by ").rect().center();
    let to = window.from("Rail of Isolated supply, outlet 4, ").rect().center();
    window.drag(from, to);
    window.command(Key::Num1);
    window.press(Key::Escape);
}

#[test]
fn a_danger_of_power_is_told_where_the_tone_is_looked_at() {
    let mut window = Setup { size: [1440.0, 1500.0], ..Setup::demo() }.open();
    assert!(!window.says("can destroy something"), "the demo's power is in order");
    feed_the_mild_drive_18_volts(&mut window);
    window.assert_says("Don't switch it on like this");
    window.assert_says("Mild drive wants 9 V at most and gets 18 V.");
    window.assert_says("Unplug it before you switch on: over-voltage can destroy it.");
    window.assert_says("1 can destroy something, ");
    // What remedies it is a button here as there.
    let before = window.project();
    window.click("Move Mild drive to outlet 5 of Isolated supply");
    assert!(!window.says("Don't switch it on like this"));
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_says("Don't switch it on like this");
    window.command(Key::Z);
    assert!(!window.says("Don't switch it on like this"));
    window.assert_idle();
}

/// What is only to know of power and of ground loops stands under a line of its own.
#[test]
fn power_and_ground_loops_are_listed_with_the_signal() {
    let mut window = Setup { size: [1440.0, 6000.0], ..Setup::demo() }.open();
    let loop_text = "the desk are both earthed";
    assert!(!window.says(loop_text), "it is only to know");
    window.click("Of power and ground loops: 9 to know …");
    window.assert_says(loop_text);
    window.assert_says("Tuner has a clock inside and hangs on one daisy lead with Compressor.");
    let before = window.project();
    window.click("Set the ground lift of DI box");
    assert!(!window.says(loop_text), "the loop is broken");
    window.command(Key::Z);
    window.assert_is(&before);
    window.click("Hide what there is to know of power and ground loops");
    assert!(!window.says(loop_text));
    window.assert_idle();
}
