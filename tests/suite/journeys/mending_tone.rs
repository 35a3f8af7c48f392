//! From the worst jump in the list to a rig without it: a fix is pointed at, done,
//! seen to help and taken back; a search is asked for what would be better.

use egui::Key;
use egui_kittest::kittest::NodeT;
use rigwright_core::response::Response;

use super::answers;
use crate::window::{Setup, Window};

const JUMP: &str = "Switching Compressor on moves the peak from ";

/// Tall enough to show lists without scrolling.
fn tall() -> Window {
    Setup { size: [1440.0, 3400.0], ..Setup::demo() }.open()
}

/// The names of things to press that begin like this.
fn buttons(window: &Window, start: &str) -> Vec<String> {
    window.all_from(start).iter().filter_map(|node| node.accesskit_node().label()).collect()
}

fn peak_hz(response: &Response) -> f64 {
    response.main().unwrap().peak.unwrap().hz
}

#[test]
fn the_worst_jump_is_mended_by_a_click_and_the_ghost_becomes_the_curve() {
    let mut window = tall();
    let before = window.project();
    window.assert_says(JUMP);
    let fix = buttons(&window, "Move Fuzz behind Tuner and put a buffer behind it: 0.1 dB left").remove(0);
    // Pointed at, its curve is shown and nothing is changed.
    let at = window.named(&fix).rect().center();
    window.harness.hover_at(at);
    window.run();
    window.assert_is(&before);
    let ghost = window.harness.state().ghost().expect("a curve is shown for what is pointed at").response.clone();
    let kept = answers(&before);
    assert!((peak_hz(&ghost) - peak_hz(&kept[0])).abs() > 100.0, "the curve that would be is another one");
    // Done, the curve is that one, and the jump is gone from the list.
    window.click_at(at);
    assert_ne!(window.project().variants[0].rig, before.variants[0].rig);
    assert_eq!(*ghost, answers(&window.project())[0], "what was shown is what came");
    assert!(!window.says(JUMP), "{:?}", window.texts());
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_says(JUMP);
    window.assert_idle();
}

#[test]
fn a_search_offers_what_is_better_and_does_it_in_a_new_variant() {
    let mut window = tall();
    let before = window.project();
    window.click("Look for something better");
    window.assert_says("Proved: Every place for one buffer was tried");
    window.assert_says("as a second opinion");
    let offers = buttons(&window, "Do it in a new variant: ");
    assert!(offers.len() >= 3, "{offers:?}");
    let words = offers[0].strip_prefix("Do it in a new variant: ").unwrap().to_owned();
    window.click(&offers[0]);
    let after = window.project();
    assert_eq!(after.variants.len(), before.variants.len() + 1);
    let new = after.variants.last().unwrap();
    assert_eq!(new.name, words, "it is named after what was done");
    assert_eq!(after.variants[..before.variants.len()], before.variants[..], "the others are as they were");
    assert_ne!(new.rig, before.variants[0].rig);
    // What was found was about the rig before.
    window.assert_says("What follows was found before the last change");
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_search_says_how_far_it_is_and_can_be_called_off() {
    let mut window = tall();
    window.host.hold_work(true);
    window.click("Look for something better");
    assert!(window.has("Stop looking"));
    window.click("Stop looking");
    assert!(!window.has("Stop looking"));
    window.host.hold_work(false);
    window.run();
    assert!(!window.says("Proved: "), "what was called off has no answer");
    window.assert_idle();
}

#[test]
fn a_limit_that_is_set_changes_what_is_told_and_comes_back_by_undo() {
    let mut window = tall();
    let before = window.project();
    window.assert_says(JUMP);
    window.click("When this speaks up …");
    window.fill("tone jump from", "6 dB");
    assert_eq!(window.project().limits.jump.get(), 6.0);
    assert!(!window.says(JUMP), "5.6 dB is no jump to this player");
    window.assert_says("set by you");
    window.fill("tone jump from", "-1");
    window.assert_says("a limit can't be −1 dB");
    window.click("As usual");
    window.assert_is(&before);
    window.assert_says(JUMP);
    window.command(Key::Z);
    window.command(Key::Z);
    window.assert_is(&before);
}

#[test]
fn a_search_keeps_to_what_may_be_changed() {
    let mut window = tall();
    window.click("Variant Buffer after the guitar");
    window.click("What may be changed …");
    window.click("none");
    window.click("Other or shorter leads");
    window.click("Look for something better");
    let offers = buttons(&window, "Do it in a new variant: ");
    assert!(!offers.is_empty());
    let of_those =
        |start: &str| offers.iter().any(|offer| offer.starts_with(&format!("Do it in a new variant: {start}")));
    assert!(!of_those("Put a buffer") && !of_those("Shorten"), "{offers:?}");
    // Other wishes are another question.
    window.click("Other or shorter leads");
    window.fill("shortest lead", "4 m");
    window.assert_says("What follows was found before the last change");
    window.click("Look again");
    if let Some(more) = buttons(&window, "Show all ").last() {
        window.click(more);
    }
    let offers = buttons(&window, "Do it in a new variant: ");
    assert!(offers.iter().any(|offer| offer.contains("to 4 m")), "{offers:?}");
    window.assert_idle();
}
