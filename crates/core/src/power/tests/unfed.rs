//! Who gets power over feeds, modules, pairs and circles, and what is said of those that get none.

use super::*;
use crate::diagnosis::Severity;
use crate::power::mend::Mend;
use crate::power::{Headroom, Mender, PowerProblem, check};
use crate::rig::{Bypass, Feeding, Pedal, PowerEdit, Rig, unfed_devices};

fn unfed(rig: &Rig) -> Vec<u64> {
    unfed_devices(rig).into_iter().map(|id| id.0).collect()
}

/// A supply on the mains with two outlets of 9 V.
fn wall() -> Device {
    supply(1, mains(false), isolated(&[setting(9.0, 500.0, CentreNegative), setting(9.0, 500.0, CentreNegative)]))
}

/// A module on a low voltage with one outlet.
fn module(id: u64) -> Device {
    supply(id, Power::Low(nine(10.0)), isolated(&[setting(9.0, 200.0, CentreNegative)]))
}

fn pedal(id: u64, bypass: Bypass) -> Device {
    let stage = Stage::of(Input::of(Ohms::of(1e6), Farads::of(0.0)), Ohms::of(1e3), Decibels::of(0.0));
    device(id, Power::Low(nine(10.0)), Kind::Pedal(Pedal::of(bypass, stage, stage, Farads::of(0.0))))
}

fn told(rig: &Rig) -> Vec<PowerProblem> {
    check(rig, &Headroom::default()).problems.into_iter().filter(|p| p.what.key() == "unfed").collect()
}

fn mends(rig: &Rig) -> Vec<Mend> {
    let headroom = Headroom::default();
    let found = check(rig, &headroom);
    let problem = found.problems.iter().find(|problem| problem.what.key() == "unfed").unwrap();
    Mender::new(rig, &headroom, &found).mends(problem)
}

#[test]
fn power_is_followed_from_its_source_to_every_plug() {
    // Unit 11 on the wall's supply, 12 on a module on it, 13 nowhere.
    let devices = || vec![wall(), module(2), unit(11, nine(5.0)), unit(12, nine(5.0)), unit(13, nine(5.0))];
    let feeds = vec![straight(50, at(1, 1), 11), straight(51, at(1, 2), 2), straight(52, at(2, 1), 12)];
    let whole = rig(devices(), feeds);
    assert_eq!(unfed(&whole), [13]);
    // The module unplugged, what hangs on it goes with it.
    assert_eq!(unfed(&with(whole.clone(), |rig| drop(rig.feeds.remove(1)))), [2, 12, 13]);
    // A lead from an outlet that isn't there brings nothing.
    assert_eq!(unfed(&with(whole.clone(), |rig| rig.feeds[0] = straight(50, at(1, 3), 11))), [11, 13]);
    // A battery's own unit, one of which nobody has said anything, one on the mains: all count as fed.
    for power in [Power::Unknown, Power::Nothing, mains(true)] {
        assert!(unfed(&with(whole.clone(), |rig| rig.devices[4].power = power)).is_empty());
    }
}

#[test]
fn modules_in_a_circle_feed_nobody() {
    let devices = vec![wall(), module(2), module(3), unit(11, nine(5.0))];
    let feeds = vec![straight(50, at(2, 1), 3), daisy(51, at(3, 1), &[2, 11])];
    assert_eq!(unfed(&rig(devices, feeds)), [2, 3, 11]);
}

#[test]
fn a_pair_wants_both_of_its_outlets() {
    let devices = vec![wall(), module(2), unit(11, needs(vec![way(18.0, 18.0, CentreNegative, 5.0, 5.0)]))];
    let pair = rig(devices, vec![series(50, at(1, 1), at(2, 1), 11)]);
    assert_eq!(unfed(&pair), [2, 11]);
    assert!(unfed(&with(pair, |rig| rig.feeds.push(straight(51, at(1, 2), 2)))).is_empty());
}

#[test]
fn each_kind_of_bypass_says_what_the_signal_meets() {
    // Without power a buffer's amplifier gives nothing, a mechanical switch is as it was. [S: dead-run]
    for (bypass, then) in [
        (Bypass::True, "its true bypass lets the signal pass, and it can't be switched on"),
        (Bypass::Buffered, "the buffer of its bypass is silent, so nothing comes through"),
        (
            Bypass::AlwaysLoading,
            "its bypass lets the signal pass and its input still loads it, and it can't be switched on",
        ),
    ] {
        let rig = rig(vec![wall(), pedal(10, bypass)], Vec::new());
        let problems = told(&rig);
        assert_eq!(problems.len(), 1);
        assert_eq!(problems[0].severity, Severity::Act);
        assert_eq!(problems[0].words(&rig), format!("Unit 10 is not fed: {then}."));
        assert!(problems[0].why().contains("relay"), "which of the two a relay does nobody can know");
    }
}

#[test]
fn where_nobody_drew_a_supply_nobody_forgot_to_plug_in() {
    let rig = rig(vec![pedal(10, Bypass::Buffered)], Vec::new());
    assert!(told(&rig).is_empty());
    // Who gets power is another question.
    assert_eq!(Feeding::AsDrawn.unfed(&rig).len(), 1);
    assert!(Feeding::AllFed.unfed(&rig).is_empty());
}

#[test]
fn an_unfed_unit_is_plugged_in_where_it_fits() {
    let devices = vec![wall(), unit(11, nine(5.0)), pedal(10, Bypass::Buffered)];
    let rig = rig(devices, vec![straight(50, at(1, 1), 11)]);
    let found = mends(&rig);
    assert_eq!(found[0].words, "Plug Unit 10 in at outlet 2");
    let after = PowerEdit::tried(&found[0].edits, &rig).unwrap();
    assert!(check(&after, &Headroom::default()).problems.is_empty());
}

#[test]
fn a_unit_on_a_dead_module_is_moved_to_what_is_fed() {
    let devices = vec![wall(), module(2), unit(11, nine(5.0))];
    let rig = rig(devices, vec![straight(50, at(2, 1), 11)]);
    assert_eq!(
        told(&rig)[0].words(&rig),
        "Unit 11 hangs on Unit 2, to which no power comes: its electronics are silent, so nothing comes through."
    );
    let found = mends(&rig);
    assert!(found[0].words.starts_with("Move Unit 11 to outlet 1 of Unit 1"), "{found:?}");
}
