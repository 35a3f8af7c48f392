//! What is offered to mend a problem, and that it does.

use super::*;
use crate::diagnosis::Severity;
use crate::power::mend::Mend;
use crate::power::{Check, Headroom, Mender, PowerProblem, check};
use crate::rig::{PowerEdit, Rig};

fn mends(rig: &Rig, key: &str) -> (PowerProblem, Vec<Mend>) {
    let headroom = Headroom::default();
    let found = check(rig, &headroom);
    let problem = *found.problems.iter().find(|problem| problem.what.key() == key).unwrap();
    let mends = Mender::new(rig, &headroom, &found).mends(&problem);
    (problem, mends)
}

fn after(rig: &Rig, mend: &Mend) -> Check {
    check(&PowerEdit::tried(&mend.edits, rig).unwrap(), &Headroom::default())
}

fn words(mends: &[Mend]) -> Vec<&str> {
    mends.iter().map(|mend| mend.words.as_str()).collect()
}

#[test]
fn a_unit_on_too_many_volts_is_moved_to_a_free_outlet_that_fits() {
    let outlets = isolated(&[
        setting(18.0, 100.0, CentreNegative),
        setting(9.0, 100.0, CentreNegative),
        setting(9.0, 100.0, CentreNegative),
    ]);
    let devices = vec![supply(1, mains(false), outlets), unit(2, nine(10.0)), unit(3, nine(10.0))];
    let rig = rig(devices, vec![straight(10, at(1, 1), 2), straight(11, at(1, 2), 3)]);
    let (_, mends) = mends(&rig, "voltage-too-high");
    assert_eq!(words(&mends)[0], "Move Unit 2 to outlet 3", "nothing is on that one");
    assert!(after(&rig, &mends[0]).problems.is_empty());
}

#[test]
fn where_no_outlet_fits_it_is_unplugged() {
    let devices = vec![supply(1, mains(false), isolated(&[setting(18.0, 100.0, CentreNegative)])), unit(2, nine(10.0))];
    let rig = rig(devices, vec![straight(10, at(1, 1), 2)]);
    let (problem, mends) = mends(&rig, "voltage-too-high");
    assert_eq!(problem.severity, Severity::Danger);
    assert_eq!(words(&mends), ["Unplug Unit 2"]);
}

#[test]
fn an_outlet_with_a_choice_is_set_to_what_fits() {
    let nine_or_18 = vec![setting(18.0, 100.0, CentreNegative), setting(9.0, 100.0, CentreNegative)];
    let devices = vec![supply(1, mains(false), vec![outlet(ZeroVolt::Group(1), nine_or_18)]), unit(2, nine(10.0))];
    let rig = rig(devices, vec![straight(10, at(1, 1), 2)]);
    let (_, mends) = mends(&rig, "voltage-too-high");
    assert_eq!(words(&mends)[0], "Set outlet 1 to 9 V");
    assert!(after(&rig, &mends[0]).problems.is_empty());
}

#[test]
fn reversed_poles_get_an_adapter_that_swaps_them() {
    let need = needs(vec![way(9.0, 9.0, CentrePositive, 5.0, 5.0)]);
    let devices = vec![supply(1, mains(false), isolated(&[setting(9.0, 100.0, CentreNegative)])), unit(2, need)];
    let rig = rig(devices, vec![straight(10, at(1, 1), 2)]);
    let (_, mends) = mends(&rig, "polarity-reversed");
    assert_eq!(words(&mends)[0], "Put an adapter that swaps the poles before Unit 2");
    assert!(after(&rig, &mends[0]).problems.is_empty());
}

#[test]
fn an_outlet_over_its_rating_gives_a_unit_away() {
    let two = isolated(&[setting(9.0, 100.0, CentreNegative), setting(9.0, 100.0, CentreNegative)]);
    let devices = vec![supply(1, mains(false), two), unit(2, nine(60.0)), unit(3, nine(20.0)), unit(4, nine(30.0))];
    let rig = rig(devices, vec![daisy(10, at(1, 1), &[2, 3, 4])]);
    let (_, mends) = mends(&rig, "over-rating");
    // 60 mA and 50 mA are both under 80 %: the evener of the two, with one unit alone.
    assert_eq!(words(&mends)[0], "Move Unit 2 to outlet 2");
    assert!(mends.iter().all(|mend| after(&rig, mend).problems.is_empty()));
}

#[test]
fn a_unit_that_is_not_fed_is_plugged_in_where_it_fits() {
    let two = isolated(&[setting(18.0, 100.0, CentreNegative), setting(9.0, 100.0, CentreNegative)]);
    let rig = rig(vec![supply(1, mains(false), two), unit(2, nine(60.0))], Vec::new());
    let headroom = Headroom::default();
    let found = check(&rig, &headroom);
    let mends = Mender::new(&rig, &headroom, &found).feeds(DeviceId(2));
    assert_eq!(words(&mends), ["Plug Unit 2 in at outlet 2"]);
}
