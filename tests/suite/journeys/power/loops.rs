//! Ground loops lit on both screens, and the cautions.

use super::*;
use rigwright_core::ground::ground_loops;

#[test]
fn a_loop_is_lit_on_both_screens_until_it_is_hidden_or_gone() {
    let mut window = demo();
    let loops = ground_loops(&window.variant(0).rig);
    window.assert_says(&format!("{} possible causes of hum", loops.len()));
    assert!(window.says("Never lift a mains earth to break one."));
    let show = format!("Show the loop: {}", loops[0].path);
    window.find_and_click(|window| window.named(&show));
    let lit = format!("Ground loop: {}", loops[0].path);
    window.click("Chain");
    assert!(window.painted().contains(&lit), "{:?}", window.painted());
    // With an amp's lead gone there is no such loop, and none is lit.
    window.click_lead("Splitter", "Amp left");
    window.press(egui::Key::Delete);
    assert!(!window.painted().contains(&lit));
    window.command(egui::Key::Z);
    window.click("Power");
    window.find_and_click(|window| window.named(&show));
    let hide = format!("Hide the loop: {}", loops[0].path);
    window.find_and_click(|window| window.named(&hide));
    window.click("Chain");
    assert!(!window.painted().contains(&lit));
    window.assert_idle();
}

#[test]
fn the_cautions_are_one_click_away_and_put_away_by_escape() {
    let mut window = demo();
    window.find_and_click(|window| window.all_from("Cautions").pop().unwrap());
    window.assert_says("Never lift a mains earth to cure hum: no cut pin");
    window.assert_says("a licensed electrician come first, always");
    window.press(egui::Key::Escape);
    assert!(!window.says("no cut pin"));
    window.menu("Cautions…");
    window.assert_says("A tingle from strings or a microphone");
    window.click("Back to the rig");
    assert!(!window.says("A tingle from strings"));
    window.assert_idle();
}

#[test]
fn the_sheet_says_what_the_rig_calls_for() {
    let mut window = demo();
    window.assert_says("A valve amp holds several hundred volts");
    window.assert_says("Never lift a mains earth to cure hum: it is what keeps");
    // Without mains there is nothing of the kind to say.
    window.menu("New rig");
    window.click("Chain");
    window.click_device("Amp");
    window.press(egui::Key::Delete);
    window.click("Power");
    assert!(!window.says("several hundred volts"));
}
