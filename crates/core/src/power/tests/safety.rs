//! What destroys, and what only wears: windings, poles, volts, clocks.

use super::*;
use crate::diagnosis::Severity;
use crate::power::{Headroom, Mender, PowerProblem, check};

fn problems(rig: &Rig) -> Vec<PowerProblem> {
    check(rig, &Headroom::default()).problems
}

fn told(rig: &Rig) -> Vec<(&'static str, Severity)> {
    problems(rig).iter().map(|problem| (problem.what.key(), problem.severity)).collect()
}

fn said(rig: &Rig) -> Vec<String> {
    problems(rig).iter().map(|problem| problem.words(rig)).collect()
}

fn ac(ma: f64) -> Need {
    needs(vec![way(9.0, 9.0, Alternating, ma, ma)])
}

fn one(outlet: Setting, need: Need) -> Rig {
    rig(vec![supply(1, mains(false), isolated(&[outlet])), unit(10, need)], vec![straight(50, at(1, 1), 10)])
}

/// Two units on one winding short through their rectifiers and the patch leads' screens. [S: winding]
#[test]
fn a_winding_is_for_one_unit_unless_both_makers_allow_it() {
    let adaptor = || supply(1, mains(false), isolated(&[setting(9.0, 1000.0, Alternating)]));
    let two = |first: Need, second: Need| {
        rig(vec![adaptor(), unit(10, first), unit(11, second)], vec![daisy(50, at(1, 1), &[10, 11])])
    };
    let allows = || with(ac(100.0), |need| need.shares_winding = true);
    let danger = [("ac-winding-shared", Severity::Danger)];
    assert_eq!(told(&two(ac(100.0), ac(100.0))), danger);
    assert_eq!(said(&two(ac(100.0), ac(100.0))), ["Unit 10 and Unit 11 hang on one AC winding."]);
    assert_eq!(told(&two(ac(100.0), allows())), danger);
    assert_eq!(told(&two(allows(), ac(100.0))), danger);
    assert!(told(&two(allows(), allows())).is_empty());
    // Two sockets are one winding where they have one 0 V, and two where each has its own.
    let sockets = |second| {
        let outlets = [ZeroVolt::Group(1), second].map(|zero| outlet(zero, vec![setting(9.0, 500.0, Alternating)]));
        let devices = vec![supply(1, mains(false), outlets.to_vec()), unit(10, ac(100.0)), unit(11, ac(100.0))];
        rig(devices, vec![straight(50, at(1, 1), 10), straight(51, at(1, 2), 11)])
    };
    assert_eq!(told(&sockets(ZeroVolt::Group(1))), danger);
    assert!(told(&sockets(ZeroVolt::Group(2))).is_empty());
    // What mends it is an outlet of its own, or the plug out.
    let mut three = sockets(ZeroVolt::Group(2));
    three.feeds = vec![daisy(50, at(1, 1), &[10, 11])];
    let headroom = Headroom::default();
    let figures = check(&three, &headroom);
    let mends = Mender::new(&three, &headroom, &figures).mends(&figures.problems[0]);
    assert_eq!(mends[0].words, "Move Unit 10 to outlet 2");
}

#[test]
fn a_winding_shares_its_0_v_with_neither_earth_nor_dc_units() {
    let of = |zero_volts: [ZeroVolt; 2], earthed| {
        let [first, second] = zero_volts;
        let outlets = vec![
            outlet(first, vec![setting(9.0, 500.0, Alternating)]),
            outlet(second, vec![setting(9.0, 500.0, CentreNegative)]),
        ];
        let devices = vec![supply(1, mains(earthed), outlets), unit(10, ac(100.0)), unit(11, nine(5.0))];
        rig(devices, vec![straight(50, at(1, 1), 10), straight(51, at(1, 2), 11)])
    };
    use ZeroVolt::{Group, Inlet};
    assert!(told(&of([Group(1), Group(2)], true)).is_empty());
    assert_eq!(said(&of([Group(1), Group(1)], false)), ["Unit 10 takes AC and shares its winding's 0 V with Unit 11."]);
    assert_eq!(
        said(&of([Inlet, Group(2)], true)),
        ["Unit 10 takes AC from a winding that is joined to the mains earth."]
    );
    assert!(told(&of([Inlet, Group(2)], false)).is_empty());
}

/// DC into a unit with a transformer of its own can burn it. [S: winding]
#[test]
fn direct_current_burns_a_transformer() {
    let direct = setting(9.0, 500.0, CentreNegative);
    assert_eq!(told(&one(direct, ac(50.0))), [("dc-into-ac", Severity::Danger)]);
    let without = with(ac(50.0), |need| need.transformer = false);
    assert_eq!(told(&one(direct, without)), [("dc-into-ac", Severity::Act)]);
}

/// To +10 % fine, to +25 % act, above or digital danger. Both are settable. [S: headroom]
#[test]
fn too_many_volts_are_told_in_tiers() {
    let digital = || with(nine(10.0), |need| need.digital = true);
    let at_volts = |volts, need: Need| {
        let found = told(&one(setting(volts, 500.0, CentreNegative), need));
        assert!(found.iter().all(|(key, _)| *key == "voltage-too-high") && found.len() < 2, "{found:?}");
        found.first().map(|(_, severity)| *severity)
    };
    use Severity::{Act, Danger};
    for (volts, analogue, with_clock) in [
        (9.9, None, None),
        (9.95, Some(Act), Some(Danger)),
        (11.25, Some(Act), Some(Danger)),
        (11.3, Some(Danger), Some(Danger)),
        (18.0, Some(Danger), Some(Danger)),
    ] {
        assert_eq!(at_volts(volts, nine(10.0)), analogue, "{volts} V");
        assert_eq!(at_volts(volts, digital()), with_clock, "{volts} V, digital");
    }
    // Both limits are the player's.
    let rig = one(setting(12.0, 500.0, CentreNegative), nine(10.0));
    let limits = |voltage, over_voltage| {
        let mut limits = crate::rig::Limits::default();
        assert_eq!(limits.set("voltage", voltage).and(limits.set("over_voltage", over_voltage)), Ok(true));
        check(&rig, &Headroom::of(&limits)).problems.first().map(|problem| problem.severity)
    };
    assert_eq!((limits(0.1, 0.25), limits(0.1, 0.4), limits(0.35, 0.4)), (Some(Danger), Some(Act), None));
}

/// Two positive-ground units alone on one outlet are fine: the plus is their common ground. [S: positive-ground]
#[test]
fn units_of_positive_ground_get_on_with_each_other() {
    let positive = || with(nine(1.0), |need| need.positive_ground = true);
    let on = |zero_volt, earthed, units: Vec<Need>| {
        let mut devices =
            vec![supply(1, mains(earthed), vec![outlet(zero_volt, vec![setting(9.0, 500.0, CentreNegative)])])];
        let ids: Vec<u64> = (10..).take(units.len()).collect();
        devices.extend(ids.iter().zip(units).map(|(id, need)| unit(*id, need)));
        told(&rig(devices, vec![daisy(50, at(1, 1), &ids)]))
    };
    let danger = ("positive-ground-shared", Severity::Danger);
    let group = ZeroVolt::Group(1);
    assert!(on(group, false, vec![positive(), positive()]).is_empty());
    // As old files have it: they asked to be kept apart from everybody for this only.
    let apart = || with(positive(), |need| need.apart = Apart::Everybody);
    assert!(on(group, false, vec![apart(), apart()]).is_empty());
    assert_eq!(on(ZeroVolt::Inlet, true, vec![positive(), positive()]), [danger, danger]);
    assert_eq!(on(group, false, vec![positive(), positive(), nine(5.0)]), [danger, danger]);
    assert_eq!(on(group, false, vec![nine(5.0), positive()]), [danger]);
}

/// Digital units draw 3-10 times as much for milliseconds. [S: start-up]
#[test]
fn milliseconds_over_a_rating_are_to_be_known_and_told_once() {
    let digital = |ma: f64| {
        let mut need = nine(ma);
        need.set_kind(true, false);
        need
    };
    let two = isolated(&[setting(9.0, 300.0, CentreNegative); 2]);
    let units = vec![supply(1, mains(false), two.clone()), unit(10, digital(100.0)), unit(11, digital(150.0))];
    let here = rig(units, vec![straight(50, at(1, 1), 10), straight(51, at(1, 2), 11)]);
    assert_eq!(told(&here), [("start-up-surge", Severity::Know)]);
    assert_eq!(
        said(&here),
        [
            "Outlet 2 of Unit 1 is over its rating for some milliseconds at start-up: 750 of 300 mA; so is another rating of that supply."
        ]
    );
    // Heaters are over it for long enough to act on.
    let mut valves = nine(150.0);
    valves.set_kind(false, true);
    let hot = rig(vec![supply(1, mains(false), two), unit(10, valves)], vec![straight(50, at(1, 1), 10)]);
    assert_eq!(said(&hot), ["Outlet 1 of Unit 1 is over its rating at start-up: 450 of 300 mA."]);
    assert_eq!(told(&hot), [("start-up", Severity::Act)]);
}

/// Small doublers are charge pumps: 0 V goes through, 10-20 mA. [S: charge-pump]
#[test]
fn a_doubler_passes_its_0_v_on_and_may_whine() {
    let part = |key: &str, id| crate::parts::catalogue().part(key).unwrap().device(DeviceId(id));
    let doubler = part("voltage-doubler", 2);
    let inside = doubler.kind.supply().unwrap();
    assert!((0.01..=0.02).contains(&inside.outlets[0].settings[0].limit.get()));
    let high = |ma| unit(10, needs(vec![way(18.0, 18.0, CentreNegative, ma, ma)]));
    let of = |ma| {
        let two = isolated(&[setting(9.0, 300.0, CentreNegative); 2]);
        let devices = vec![supply(1, mains(false), two), doubler.clone(), high(ma), unit(11, nine(5.0))];
        rig(devices, vec![straight(50, at(1, 1), 2), straight(51, at(2, 1), 10), straight(52, at(1, 2), 11)])
    };
    let quiet = of(10.0);
    assert_eq!(told(&quiet), [("clock-on-0-v", Severity::Know)]);
    assert_eq!(said(&quiet), ["Doubler, 9 V to 18 V has a clock inside and shares its 0 V with Unit 10."]);
    // On a lead with another unit, that one shares the 0 V, and hangs on the clock's lead.
    let shared = with(of(10.0), |rig| {
        rig.feeds.remove(2);
        rig.feeds[0] = daisy(50, at(1, 1), &[2, 11]);
    });
    assert_eq!(told(&shared), [("daisy-digital", Severity::Know), ("clock-on-0-v", Severity::Know)]);
    assert_eq!(check(&shared, &Headroom::default()).zero_volts.all().count(), 1);
    // 30 mA are too much for a charge pump.
    assert_eq!(told(&of(30.0))[0], ("over-rating", Severity::Act));
}

#[test]
fn figures_that_differ_are_seen_to_differ() {
    let tight = one(setting(9.0, 100.0, CentreNegative), nine(100.04));
    assert_eq!(said(&tight), ["Outlet 1 of Unit 1 is over its rating: 100.04 of 100 mA."]);
    let strong = one(setting(9.0, 1000.0, CentreNegative), nine(900.0));
    assert_eq!(said(&strong), ["Outlet 1 of Unit 1 carries 900 mA of 1 A, more than 80 %."]);
}
