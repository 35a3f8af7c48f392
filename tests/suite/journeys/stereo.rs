//! Stereo by hand: a unit gets a second side, two amps are compared, a selector and a channel are
//! stepped on where they stand, and what nobody says of a sign is answered.

use egui::Key;
use rigwright_core::file;
use rigwright_core::rig::{Jack, JackRef, Kind, Polarity, Position, SwitchKey, SwitchRef};

use super::{device_id, insert};
use crate::window::{Setup, Window};

/// High enough for all that is said of a device.
fn tall() -> Window {
    Setup { size: [1440.0, 1600.0], ..Setup::file("/rigs/blank.ron", file::BLANK_BYTES) }.open()
}

/// Opens the rig again with another amp on a device's second output.
fn second_amp(window: &mut Window, from: &str) {
    let rig = window.variant(0).rig.clone();
    let (id, amp) = (device_id(&rig, from), device_id(&rig, "Amp"));
    let lead = rig.lead_to(JackRef::new(amp, Jack::In)).expect("a lead").clone();
    let project = window.project();
    let mut second = rig.device(amp).expect("an amp").clone();
    second.id = rigwright_core::rig::DeviceId(project.next_id);
    second.name = "Second amp".to_owned();
    let lead = rigwright_core::rig::Lead {
        id: rigwright_core::rig::LeadId(project.next_id + 1),
        from: JackRef::new(id, Jack::SecondOut),
        to: JackRef::new(second.id, Jack::In),
        ..lead
    };
    let mut changed = (*project).clone();
    let variant = std::sync::Arc::make_mut(&mut changed.variants[0]);
    let rig = std::sync::Arc::make_mut(&mut variant.rig);
    rig.devices.push(second);
    rig.leads.push(lead);
    changed.next_id += 2;
    let text = file::write(&changed).expect("a file");
    *window = Setup { size: [1440.0, 1600.0], ..Setup::file("/rigs/two.ron", text) }.open();
}

fn polarity_of(window: &Window, name: &str) -> Polarity {
    let rig = &window.variant(0).rig;
    rig.device(device_id(rig, name)).expect("it is there").kind.stereo().expect("two sides").right
}

#[test]
fn a_unit_gets_a_second_side_and_its_answers() {
    let mut window = tall();
    let name = insert(&mut window, "Guitar", "Amp", "hall reverb");
    window.click_device(&name);
    window.click("Polarity, delay, left and right");
    window.click("left and right out");
    let jacks = |window: &Window| {
        let rig = &window.variant(0).rig;
        rig.device(device_id(rig, &name)).expect("it is there").kind.jacks()
    };
    assert_eq!(jacks(&window), [Jack::In, Jack::Out, Jack::SecondOut]);
    window.click("left and right in");
    assert_eq!(jacks(&window), [Jack::In, Jack::SecondIn, Jack::Out, Jack::SecondOut]);
    window.assert_says("Both sides in one are +6.0 dB beside the left alone.");
    window.click("the right side to the left");
    window.click("uncorrelated");
    window.assert_says("Both sides in one add up as powers: +3.0 dB beside the left alone.");
    window.click("Findings");
    window.assert_says("Only 1 of the 2 sides");
    window.assert_idle();
}

#[test]
fn two_amps_are_compared_and_a_sign_that_nobody_says_is_answered() {
    let mut window = tall();
    let name = insert(&mut window, "Guitar", "Amp", "stereo chorus");
    second_amp(&mut window, &name);
    window.click_device(&name);
    window.click("the right side to the left");
    // The unit's own polarity has the same choices, above in the list.
    window.click("nobody says");
    assert_eq!(polarity_of(&window, &name), Polarity::Unknown);
    window.click("Findings");
    window.assert_says("nobody says whether");
    window.click(&format!("It does: {name} has inverted polarity"));
    assert_eq!(polarity_of(&window, &name), Polarity::Inverted);
    window.assert_says("are against each other");
    // The second amp's curve beside the first one's.
    window.click("where the level is taken");
    window.click("the others beside it");
    assert!(window.has("Line of the end Second amp"));
    window.assert_idle();
}

#[test]
fn a_selector_is_stepped_on_where_it_stands_and_by_space() {
    let mut window = tall();
    let name = insert(&mut window, "Guitar", "Amp", "A/B/Y box");
    let rig = window.variant(0).rig.clone();
    let switch = SwitchRef { device: device_id(&rig, &name), key: SwitchKey::Selector };
    assert!(matches!(rig.device(switch.device).expect("a selector").kind, Kind::Selector(_)));
    let at = |window: &Window| window.project().state.positions.get(&switch).copied().unwrap_or_default();
    window.click(&format!("Switch of {name}"));
    assert_eq!(at(&window), Position(1));
    window.click_device(&name);
    window.press(Key::Space);
    assert_eq!(at(&window), Position(2));
    window.press(Key::Space);
    assert_eq!(at(&window), Position(0));
    window.command(Key::Z);
    assert_eq!(at(&window), Position(2));
    window.assert_idle();
}

#[test]
fn an_amps_channel_is_stepped_on_at_the_amp() {
    let mut window = tall();
    window.click_device("Amp");
    window.click("has channels to switch between");
    window.click("Switch of Amp");
    let amp = device_id(&window.variant(0).rig, "Amp");
    let switch = SwitchRef { device: amp, key: SwitchKey::Channel };
    assert_eq!(window.project().state.positions.get(&switch), Some(&Position(1)));
    window.click("loudspeaker to input in “lead”");
    window.click("inverted polarity");
    let variant = window.variant(0);
    let Kind::Amp(inside) = &variant.rig.device(amp).expect("an amp").kind else { panic!("no amp") };
    assert_eq!(inside.polarity_at(Position(1)), Polarity::Inverted);
    window.assert_idle();
}
