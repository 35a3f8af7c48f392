//! Ground loops lit on both screens, and the cautions.

use super::*;
use rigwright_core::ground::ground_loops;

#[test]
fn a_loop_is_lit_on_both_screens_until_it_is_hidden_or_gone() {
    let mut window = demo();
    let loops = ground_loops(&window.variant(0).rig);
    window.assert_says(&format!("{} possible causes of hum", loops.len()));
    // The strip says it, and so nothing else does.
    assert_eq!(window.texts_from("Never lift a mains earth").len(), 1, "{:?}", window.texts());
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
fn what_is_no_loop_stands_first_and_a_daisy_lead_is_told_once() {
    let mut window = demo();
    window.assert_says("Does it hum with the guitar's volume at 0?");
    window.assert_says("that lead's screen is open");
    window.assert_says("Tuner, Compressor, Wah and 3 more share a daisy lead of Daisy adaptor with a digital unit");
    window.assert_idle();
}

#[test]
fn a_cure_is_a_button_and_undo_takes_it_back() {
    let mut window = demo();
    let before = window.project();
    let count = |window: &Window| ground_loops(&window.variant(0).rig).len();
    let all = count(&window);
    for cure in [
        "Set the ground lift of DI box",
        "Put an isolating transformer in the lead from DI box to Amp right",
        "Move Tuner to outlet 5 of Isolated supply: 1 of the 5 loops gone",
    ] {
        window.find_and_click(|window| window.named(cure));
        assert_eq!(count(&window), all - 1, "{cure}");
        window.command(egui::Key::Z);
        window.assert_is(&before);
    }
    window.assert_idle();
}

#[test]
fn a_di_box_is_plugged_into_a_desk_and_lifted_by_its_inspector() {
    let mut window = demo();
    let loops = ground_loops(&window.variant(0).rig).len();
    window.click("Chain");
    window.click_device("DI box");
    window.find_and_click(|window| window.from("ground lift set"));
    assert_eq!(ground_loops(&window.variant(0).rig).len(), loops - 1);
    window.assert_idle();
}

#[test]
fn the_cautions_are_one_click_away_and_put_away_by_escape() {
    let mut window = demo();
    window.find_and_click(|window| window.all_from("Cautions").pop().unwrap());
    window.assert_says("Never lift a mains earth to cure hum: no cut pin");
    // The demo's valve amps call for it; at length it is said once on the page, beside the sheet's own.
    window.assert_says("Valve amps (this rig calls for it)");
    assert_eq!(window.texts_from("A valve amp holds several hundred volts").len(), 2);
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
