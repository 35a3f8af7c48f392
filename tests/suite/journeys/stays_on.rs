//! Units that stay on in every state, and orders that are kept.

use egui::Key;
use rigwright_core::rig::KeptOrder;

use super::{answers, device_id};
use crate::window::{Setup, Window};

fn tall() -> Window {
    Setup { size: [1440.0, 1600.0], ..Setup::demo() }.open()
}

#[test]
fn a_unit_that_stays_on_has_no_switch_and_the_states_are_half_as_many() {
    let mut window = tall();
    let before = window.project();
    let states = |window: &mut Window| {
        window.press(Key::Escape);
        window.click("Switches");
        let said = window.texts().into_iter().find(|text| text.contains(" footswitch states")).unwrap();
        said.split(' ').next().unwrap().parse::<u32>().unwrap()
    };
    assert_eq!(states(&mut window), 2048);
    window.click_device("Reverb");
    window.click("Stays on in every state");
    assert!(!window.has("Switch of Reverb") && !window.has("On"), "nothing to step on");
    assert!(window.has("Reverb, 13 of 18, stays on"), "{:?}", window.texts());
    assert!(window.painted().iter().any(|text| text == "buffered bypass, stays on"), "{:?}", window.painted());
    window.assert_says("All 11 switches off; stays on: Reverb");
    window.press(Key::Space);
    assert!(window.project().state.positions.is_empty(), "its switch is left alone");
    let shown = window.harness.state().answers().get(before.variants[0].id).unwrap();
    assert_eq!(**shown, answers(&window.project())[0]);
    assert_eq!(states(&mut window), 1024);

    // One step back, and one forth again.
    window.command(Key::Z);
    window.assert_is(&before);
    assert!(window.has("Switch of Reverb"));
    window.assert_idle();
}

#[test]
fn what_stays_on_in_one_rig_may_be_switched_in_another() {
    let mut window = tall();
    window.click_device("Reverb");
    window.click("Stays on in every state");
    window.click("Variant Buffer after the guitar");
    window.click("Switch of Reverb");
    window.assert_says("On: Reverb");
    window.click("Variant All true bypass");
    window.assert_says("All 11 switches off; stays on: Reverb");
    window.assert_idle();
}

#[test]
fn a_tuner_that_mutes_and_stays_on_mutes_for_good() {
    let mut window = tall();
    window.click_device("Tuner");
    window.click("Stays on in every state");
    window.assert_says("Tuner mutes while it is on, so that nothing ever comes through.");
    window.press(Key::Escape);
    window.click("Figures");
    window.assert_says("Tuner mutes while it is on, and it stays on.");
    window.click_device("Tuner");
    window.click("mutes while on");
    assert!(!window.says("nothing ever comes through"));
    window.assert_idle();
}

#[test]
fn another_part_in_the_place_of_one_that_stays_on_stays_on() {
    let mut window = tall();
    window.click_device("Fuzz");
    window.click("Stays on in every state");
    window.click("Another part in its place…");
    window.type_text("tremolo");
    window.press(Key::Enter);
    let fuzz = window.variant(0).rig.devices[6].clone();
    assert!(fuzz.stays_on, "{fuzz:?}");
    window.assert_idle();
}

#[test]
fn an_order_is_kept_and_let_go_of_each_in_one_step() {
    let mut window = tall();
    let before = window.project();
    let rig = &before.variants[0].rig;
    let (fuzz, wah) = (device_id(rig, "Fuzz"), device_id(rig, "Wah"));
    window.click_device("Fuzz");
    window.find_and_click(|window| window.named("Order"));
    window.find_and_click(|window| window.named("Keep Fuzz before"));
    window.click("Wah");
    let kept: Vec<KeptOrder> = window.variant(0).kept_orders.iter().copied().collect();
    assert_eq!(kept, [KeptOrder { before: fuzz, behind: wah }]);
    window.assert_says("Fuzz before Wah (the other way round now)");
    assert_eq!(window.variant(0).rig, before.variants[0].rig, "nothing is moved");

    // The other way round takes its place.
    window.find_and_click(|window| window.named("Keep Fuzz behind"));
    window.click("Wah");
    let kept: Vec<KeptOrder> = window.variant(0).kept_orders.iter().copied().collect();
    assert_eq!(kept, [KeptOrder { before: wah, behind: fuzz }]);
    let turned = window.project();
    window.find_and_click(|window| window.named("Let go of the order: Wah before Fuzz"));
    window.assert_is(&before);
    window.command(Key::Z);
    window.assert_is(&turned);
    window.command(Key::Z);
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_guitar_and_an_amp_have_no_order_to_keep_and_no_switch_to_leave_on() {
    let mut window = tall();
    for device in ["Guitar", "Amp left", "Volume pedal"] {
        window.click_device(device);
        assert!(!window.has("Stays on in every state"), "{device}");
    }
    window.click_device("Guitar");
    assert!(!window.has("Order"));
}
