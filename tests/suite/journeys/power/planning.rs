//! The best allocation: looked for, looked at, taken.

use super::*;
use egui::Key;
use rigwright_core::power::PowerFault;

/// Nothing is to be told but currents that flow for milliseconds.
fn nothing_wrong(check: &Check) -> bool {
    check.problems.iter().all(|problem| matches!(problem.what, PowerFault::Surge { .. }))
}

#[test]
fn the_best_allocation_is_previewed_taken_and_undone_in_one_step() {
    let mut window = demo();
    let before = window.project();
    window.find_and_click(|window| window.named("Find the best allocation"));
    window.assert_says("All 14 units are fed");
    window.assert_says("Proved: nothing better is possible");
    window.assert_is(&before);
    window.find_and_click(|window| window.named("Preview of the best allocation"));
    window.assert_says("Preview of the best allocation: nothing is changed yet.");
    window.assert_is(&before);
    window.press(Key::Escape);
    assert!(!window.says("nothing is changed yet"));
    window.find_and_click(|window| window.named("Preview of the best allocation"));
    window.click("Back to the rig as it is");
    assert!(!window.says("nothing is changed yet"));
    window.find_and_click(|window| window.named("Take the best allocation"));
    let found = checked(&window);
    assert!(nothing_wrong(&found) && found.unfed.is_empty(), "{:?}", found.problems);
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn what_cannot_be_fed_is_named_with_what_would_help() {
    let mut window = demo();
    window.focus("Isolated supply, supply, 5 outlets, 4.48 W");
    window.press(Key::Delete);
    window.press(Key::Escape);
    window.find_and_click(|window| window.named("Find the best allocation"));
    // One adaptor of 9 V takes five plugs; fourteen units want to be fed.
    window.assert_says("of 14 units are fed");
    window.assert_says("Or: leave out");
}

#[test]
fn headroom_is_set_beside_the_rules_and_given_up_where_that_helps() {
    let mut window = demo();
    let before = window.project();
    window.find_and_click(|window| window.named("Rules and wishes…"));
    window.fill("load of a supply up to", "10 %");
    assert!((window.project().limits.headroom.get() - 0.1).abs() < 1e-9);
    // Delay draws 100 mA, and no outlet gives more than 500 mA: it works, with less headroom than that.
    window.find_and_click(|window| window.named("Find the best allocation"));
    window.assert_says("All 14 units are fed");
    window.assert_says("more than 10 % of");
    window.find_and_click(|window| window.named("How much it weighs: headroom kept"));
    window.click("always");
    window.find_and_click(|window| window.named("Find the best allocation"));
    assert!(!window.says("All 14 units are fed"));
    window.find_and_click(|window| window.named("Use ratings to the full"));
    window.assert_says("All 14 units are fed");
    assert!((window.project().limits.headroom.get() - 0.1).abs() < 1e-9, "the limit itself stays");
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn a_search_can_be_called_off_and_is_marked_when_the_rig_changes() {
    let mut window = demo();
    window.host.hold_work(true);
    window.find_and_click(|window| window.named("Find the best allocation"));
    window.click("Stop looking");
    window.host.hold_work(false);
    window.run();
    assert!(!window.says("All 14 units are fed"));
    window.find_and_click(|window| window.named("Find the best allocation"));
    window.assert_says("All 14 units are fed");
    window.drag(unit(&window, "Chorus"), rail(&window, "Isolated supply, outlet 5"));
    window.assert_says("about the rig before its last change");
}

#[test]
fn the_least_supply_is_previewed_taken_and_undone_in_one_step() {
    let mut window = demo();
    let before = window.project();
    window.find_and_click(|window| window.named("Find the least supply"));
    window.assert_says("For least money: ");
    window.assert_says("(invented prices)");
    window.assert_says("Proved: nothing less does under these rules.");
    window.find_and_click(|window| window.named("Preview of the least supply"));
    window.assert_says("Preview of the least supply: nothing is changed yet.");
    window.assert_is(&before);
    window.click("Do it");
    let found = checked(&window);
    assert!(found.problems.iter().all(|problem| problem.severity == Severity::Know), "{:?}", found.problems);
    assert!(found.unfed.is_empty());
    assert!(window.variant(0).rig.devices.iter().all(|device| device.name != "Daisy adaptor"), "the old ones are gone");
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

/// A few units on one daisy lead, on the Power screen.
fn student() -> Window {
    let project = rigwright_core::file::few_on_a_daisy().unwrap();
    let file = rigwright_core::file::write(&project).unwrap();
    let mut window = Setup { size: [1440.0, 1500.0], ..Setup::file("/rigs/own.ron", file) }.open();
    window.click("Power");
    window
}

#[test]
fn four_that_work_on_one_adaptor_are_all_fed_and_what_may_be_heard_is_said() {
    let mut window = student();
    window.find_and_click(|window| window.named("Find the best allocation"));
    window.assert_says("All 4 units are fed, with no adapter.");
    window.assert_says("Likely noisy: ");
    window.assert_says("It is plugged in like that already.");
    window.find_and_click(|window| window.named("Rules and wishes…"));
    window.find_and_click(|window| window.named("How much it weighs: digital units apart from analogue ones"));
    window.click("always");
    window.find_and_click(|window| window.named("Find the best allocation"));
    window.assert_says("2 of 4 units are fed");
    window.find_and_click(|window| window.named("Let digital and analogue units share a 0 V"));
    window.assert_says("All 4 units are fed, with no adapter.");
    window.assert_idle();
}

#[test]
fn supplies_that_are_kept_feed_each_unit_by_one_lead_in_the_end() {
    let mut window = student();
    let before = window.project();
    window.find_and_click(|window| window.named("Keep the supplies that are here and add to them"));
    window.find_and_click(|window| window.named("Find the least supply"));
    window.assert_says("For least money: 9 V wall adaptor.");
    window.assert_says("9 V wall adaptor is new");
    window.find_and_click(|window| window.named("Take the least supply"));
    let rig = window.variant(0).rig.clone();
    assert_eq!(rig.supplies().count(), 2);
    let plugs = rig.feeds.iter().flat_map(|feed| &feed.taps);
    assert_eq!(plugs.count(), 4, "four units, one plug each: {:?}", rig.feeds);
    assert!(nothing_wrong(&checked(&window)), "{:?}", checked(&window).problems);
    window.command(Key::Z);
    window.assert_is(&before);
    window.assert_idle();
}

#[test]
fn one_box_feeds_the_student_when_boxes_count() {
    let mut window = student();
    window.find_and_click(|window| window.named("What is to be the least"));
    window.click("fewest boxes");
    window.find_and_click(|window| window.named("Find the least supply"));
    window.assert_says("For fewest boxes: ");
    window.find_and_click(|window| window.named("Take the least supply"));
    assert_eq!(window.variant(0).rig.supplies().count(), 1);
    // Digital and analogue no longer share a 0 V.
    assert!(nothing_wrong(&checked(&window)), "{:?}", checked(&window).problems);
}
