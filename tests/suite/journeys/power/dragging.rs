//! Units dragged from rail to rail, pulled off, and put right again.

use std::sync::Arc;

use egui::{Key, vec2};
use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, Response, respond};
use rigwright_core::rig::Edit;

use super::*;

#[test]
fn a_9_v_unit_dragged_to_18_v_is_found_at_once_mended_and_undone() {
    let mut window = demo();
    let before = window.project();
    assert_eq!(dangers(&window), 0);
    window.drag(unit(&window, "Mild drive"), rail(&window, "Isolated supply, outlet 4"));
    assert_eq!(fed_by(&window.variant(0).rig, "Mild drive"), Some(("Isolated supply".to_owned(), 4)));
    // 18 V where 9 V is the most: told at once, loudest first, on the sheet too.
    assert_eq!(dangers(&window), 1);
    window.assert_says("Mild drive wants 9 V at most and gets 18 V.");
    window.assert_says("Don't switch it on like this");
    window.assert_says("Don't switch on as it is drawn");
    assert!(window.has("Mild drive, fed by Isolated supply, outlet 4, 18.00 V, wants 9 V"));
    assert!(window.painted().iter().any(|text| text == "18.00 V, wants 9 V"), "{:?}", window.painted());
    let broken = window.project();
    window.click("Move Mild drive to outlet 5 of Isolated supply");
    assert_eq!(dangers(&window), 0);
    assert_eq!(fed_by(&window.variant(0).rig, "Mild drive"), Some(("Isolated supply".to_owned(), 5)));
    assert!(!window.says("Don't switch"));
    window.command(Key::Z);
    window.assert_is(&broken); // the mend was one step
    window.command(Key::Z);
    window.assert_is(&before); // and so was the drag
    window.assert_idle();
}

/// How much was worked out of the signal, and what is kept of it.
fn signal(window: &Window) -> (u64, Arc<Response>) {
    let desk = window.harness.state();
    let variant = window.variant(0).id;
    (desk.answers().computed(), Arc::clone(desk.answers().get(variant).expect("the demo sounds")))
}

#[test]
fn dragging_a_feed_works_out_power_and_nothing_of_the_signal() {
    let mut window = demo();
    let (computed, response) = signal(&window);
    let of_power = window.harness.state().power_answers().computed();
    let next_id = window.project().next_id;
    window.drag(unit(&window, "Mild drive"), rail(&window, "Isolated supply, outlet 4"));
    assert_eq!(fed_by(&window.variant(0).rig, "Mild drive"), Some(("Isolated supply".to_owned(), 4)));
    let shelf = window.from("Not fed").rect().center();
    window.drag(unit(&window, "Chorus"), shelf);
    window.drag(unit(&window, "Chorus"), rail(&window, "Isolated supply, outlet 5"));
    assert!(window.harness.state().power_answers().computed() > of_power);
    // A voltage, and what a unit takes, are power as well.
    window.click("Voltage of Isolated supply, outlet 4");
    window.click("12 V, up to 400 mA");
    let (later, same) = signal(&window);
    // A drive gives as much as its supply lets it: at 18 V and at 12 V it is another finding.
    assert_eq!(later, computed + 2, "no curve and no states, and findings for each voltage");
    assert!(Arc::ptr_eq(&same, &response));
    // Leads of its own were new: the fixes that are kept bring in what they bring in under ids above them.
    let free = window.project().next_id;
    assert!(free > next_id, "nothing was new");
    let findings = Arc::clone(window.harness.state().answers().findings().expect("the demo has some").answer);
    let fixes = findings.iter().flat_map(|finding| &finding.remedies);
    let new: Vec<u64> = fixes
        .filter_map(|fix| match &fix.edit {
            Some(Edit::Insert { device, .. }) => Some(device.id.0),
            _ => None,
        })
        .collect();
    assert!(!new.is_empty() && new.iter().all(|id| *id >= free), "{new:?} from {free} on");
    assert!(!window.harness.state().answers().findings().unwrap().old);
    window.assert_idle();
}

#[test]
fn a_change_of_a_lead_works_out_the_curve_anew() {
    let mut window = demo();
    window.drag(unit(&window, "Mild drive"), rail(&window, "Isolated supply, outlet 4"));
    let (computed, response) = signal(&window);
    window.click("Chain");
    let rig = Arc::clone(&window.variant(0).rig);
    window.click_lead("Guitar", "Tuner");
    window.fill("length of the lead", "9 m");
    assert_ne!(window.variant(0).rig.leads, rig.leads);
    assert_eq!(window.variant(0).rig.feeds, rig.feeds);
    let (later, new) = signal(&window);
    assert!(later > computed && *new != *response, "curve, states and findings");
    let really = respond(&Request::of(&window.project(), &window.variant(0)), &mut LineCache::new(Sweep::audio()));
    assert_eq!(*new, really);
}

#[test]
fn a_unit_pulled_off_every_rail_is_unplugged() {
    let mut window = demo();
    let before = window.project();
    let shelf = window.from("Not fed").rect().center();
    window.drag(unit(&window, "Chorus"), shelf);
    assert_eq!(fed_by(&window.variant(0).rig, "Chorus"), None);
    window.assert_says("Chorus is not fed: its true bypass lets the signal pass, and it can't be switched on.");
    assert!(window.has("Chorus, not fed, wants 9 V"));
    window.command(Key::Z);
    window.assert_is(&before);
    // Beside the rails is off the rails too.
    let beside = window.from("Rail of Isolated supply, outlet 1").rect().left_center() - vec2(20.0, -14.0);
    window.drag(unit(&window, "Chorus"), beside);
    assert_eq!(fed_by(&window.variant(0).rig, "Chorus"), None);
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn what_is_not_fed_is_plugged_in_where_it_fits() {
    let mut window = demo();
    let shelf = window.from("Not fed").rect().center();
    window.drag(unit(&window, "Chorus"), shelf);
    window.click("Plug Chorus in at outlet 5 of Isolated supply");
    assert_eq!(fed_by(&window.variant(0).rig, "Chorus"), Some(("Isolated supply".to_owned(), 5)));
    assert!(!window.says("is not fed"));
}

#[test]
fn a_drag_that_is_given_up_changes_nothing() {
    let mut window = demo();
    let before = window.project();
    let outside = window.named("Power").rect().center();
    window.drag(unit(&window, "Chorus"), outside);
    window.assert_is(&before);
    window.hold(unit(&window, "Chorus"), rail(&window, "Isolated supply, outlet 5"));
    window.press(Key::Escape);
    window.harness.drop_at(rail(&window, "Isolated supply, outlet 5"));
    window.run();
    window.assert_is(&before);
    // On its own rail, where it was, nothing happens either.
    let at = unit(&window, "Chorus");
    window.drag(at, at + vec2(12.0, 4.0));
    window.assert_is(&before);
}

#[test]
fn a_unit_changes_its_plug_on_a_daisy_lead() {
    let mut window = demo();
    let before = window.project();
    let order = |window: &Window| {
        let rig = &window.variant(0).rig;
        let feed = rig.feed_to(device_id(rig, "Wah")).unwrap();
        let names = feed.taps.iter().map(|tap| rig.device(tap.device).unwrap().name.clone());
        (names.collect::<Vec<_>>(), feed.taps.iter().map(|tap| tap.length.get()).collect::<Vec<_>>())
    };
    assert_eq!(order(&window).0, ["Tuner", "Compressor", "Wah", "Mild drive", "Fuzz", "Octave"]);
    let lengths = order(&window).1;
    let (from, to) = (unit(&window, "Tuner"), unit(&window, "Mild drive"));
    window.drag(from, to + vec2(20.0, 0.0));
    assert_eq!(order(&window).0, ["Compressor", "Wah", "Mild drive", "Tuner", "Fuzz", "Octave"]);
    assert_eq!(order(&window).1, lengths, "the lead is as it was");
    window.command(Key::Z);
    window.assert_is(&before);
}

#[test]
fn a_voltage_is_chosen_at_the_rail() {
    let mut window = demo();
    let before = window.project();
    let four = outlet(&window.variant(0).rig, "Isolated supply", 4);
    let volts = |window: &Window| window.variant(0).rig.outlet(four).unwrap().setting().unwrap().volts.get();
    assert_eq!(volts(&window), 18.0);
    assert_eq!(window.value("Voltage of Isolated supply, outlet 4"), "18 V");
    window.click("Voltage of Isolated supply, outlet 4");
    window.click("12 V, up to 400 mA");
    assert_eq!(volts(&window), 12.0);
    assert!(window.has("Hard drive, fed by Isolated supply, outlet 4, 12.00 V, wants 9-18 V"));
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_module_is_plugged_into_another_rail() {
    let mut window = Setup { size: [1440.0, 3400.0], ..Setup::demo() }.open();
    window.click("Rig");
    window.click("Other invented rigs");
    window.click("A large board on a modular supply");
    window.click("Power");
    let before = window.project();
    let symbol = window.from("Isolator, module").rect().center();
    window.drag(symbol, rail(&window, "Module digital, outlet 1"));
    assert_eq!(fed_by(&window.variant(0).rig, "Isolator"), Some(("Module digital".to_owned(), 1)));
    window.command(Key::Z);
    window.assert_is(&before);
}
