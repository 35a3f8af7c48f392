//! The program's answers against an independent nodal solve of the whole rig.

use std::collections::BTreeSet;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::response::{PointAnswer, Request, respond};
use rigwright_core::rig::{Device, JackRef, Position, Problem, problems};
use rigwright_core::units::Level;

use crate::generator::{
    Case, Dice, choices, healthy, joined, sends, several, stereo, wider, with_pickups, without_power,
};
use crate::oracle::{Heard, Netlist};

/// Allowed error of a voltage, relative to the largest in its part of the rig.
const ALLOWED: f64 = 1e-9;

/// What was compared, so that the test can't pass on nothing.
#[derive(Default)]
struct Tally {
    sounding: usize,
    silent: usize,
    points: usize,
    /// Worst error against the largest voltage, and against the voltage itself.
    worst: (f64, f64),
    kinds: BTreeSet<&'static str>,
    on_kinds: BTreeSet<&'static str>,
    /// Units that were on for no other reason than that they stay on.
    staying: usize,
    /// Devices that got no power.
    unfed: usize,
}

fn sizes() -> impl Iterator<Item = usize> {
    [1, 2, 3, 5, 8, 12, 20].into_iter().cycle()
}

#[test]
fn two_hundred_and_eighty_random_rigs_agree() {
    let mut tally = Tally::default();
    for (seed, size) in (0..280).zip(sizes()) {
        compare(seed, size, 0.0, &mut tally);
    }
    let Tally { sounding, silent, points, worst, kinds, on_kinds, staying, unfed } = tally;
    assert!(sounding > 1500, "only {sounding} levels sounded");
    assert!(silent > 100, "only {silent} were silent");
    assert!(points > 500, "only {points} were at a test point");
    assert!(worst.0 <= ALLOWED, "worst {worst:?}");
    // Every kind of device took part, and every kind with a switch both ways.
    assert_eq!(kinds.len(), 19, "{kinds:?}");
    assert_eq!(on_kinds.len(), 3, "{on_kinds:?}");
    assert!(staying > 30, "only {staying} units stayed on");
    assert_eq!(unfed, 0);
}

#[test]
fn a_hundred_and_forty_random_rigs_with_units_out_of_power_agree() {
    let mut tally = Tally::default();
    for (seed, size) in (2000..2140).zip(sizes()) {
        compare(seed, size, 0.15, &mut tally);
    }
    let Tally { sounding, silent, unfed, .. } = tally;
    assert!(sounding > 300 && silent > 300 && unfed > 80, "{sounding} sounded, {silent} were silent, {unfed} unfed");
}

#[test]
fn sixty_four_devices_agree() {
    let mut tally = Tally::default();
    for seed in 1000..1012 {
        compare(seed, 64, 0.0, &mut tally);
    }
    assert!(tally.sounding > 50, "only {} levels sounded", tally.sounding);
}

/// Loop switchers in any setting, loops in loops and plugged across, units in them with and without power.
#[test]
fn three_hundred_wider_rigs_agree() {
    let (tally, unreached) =
        compare_all((60_000..60_300).zip(sizes()).map(|(seed, size)| (seed, wider(seed, size + 3))));
    assert!(tally.sounding > 1500 && tally.silent > 200 && unreached > 100, "{} {unreached}", tally.sounding);
}

/// Mixers, one behind another, inside another or crossed, in loops; a second instrument.
#[test]
fn three_hundred_rigs_with_several_ways_at_once_agree() {
    let cases = (70_000..70_300).zip(sizes()).map(|(seed, size)| (seed, several(seed, size + 3)));
    let (tally, unreached) = compare_all(cases);
    assert!(tally.sounding > 1500 && tally.silent > 200, "{} {} {unreached}", tally.sounding, tally.silent);
}

/// Selectors of outputs, one or both, and of inputs and instruments.
#[test]
fn two_hundred_rigs_with_selectors_agree() {
    let cases = (150_000..150_200).zip(sizes()).map(|(seed, size)| (seed, choices(seed, size + 3)));
    let (tally, unreached) = compare_all(cases);
    assert!(tally.sounding > 800 && tally.silent > 200, "{} {} {unreached}", tally.sounding, tally.silent);
}

/// Units with two channels: sides apart, mixed, turned over, uncorrelated; one output in use alone.
#[test]
fn three_hundred_rigs_that_turn_stereo_agree() {
    let cases = (170_000..170_300).zip(sizes()).map(|(seed, size)| (seed, stereo(seed, size + 2)));
    let (tally, unreached) = compare_all(cases);
    assert!(tally.sounding > 1200 && tally.silent > 100, "{} {} {unreached}", tally.sounding, tally.silent);
}

/// Sends and returns, in series and in parallel, of units and of amps, and four leads between the two.
#[test]
fn three_hundred_rigs_with_sends_and_returns_agree() {
    let cases = (130_000..130_300).zip(sizes()).map(|(seed, size)| (seed, sends(seed, size + 3)));
    let (tally, unreached) = compare_all(cases);
    assert!(tally.sounding > 1500 && tally.silent > 200, "{} {} {unreached}", tally.sounding, tally.silent);
}

/// The same with mixers of resistors alone: what hangs in one side is felt in the other.
#[test]
fn three_hundred_rigs_whose_ways_feel_each_other_agree() {
    let cases = (110_000..110_300).zip(sizes()).map(|(seed, size)| (seed, joined(seed, size + 3)));
    let (tally, unreached) = compare_all(cases);
    assert!(tally.sounding > 1500 && tally.silent > 100, "{} {} {unreached}", tally.sounding, tally.silent);
}

/// Guitars of several pickups before rigs of all sorts: any selector, own controls, push-pulls, a blend,
/// a preamplifier, fields that are shared.
#[test]
fn three_hundred_rigs_with_guitars_of_several_pickups_agree() {
    let kinds = [wider, several, joined, choices, stereo, sends];
    let cases = (190_000..190_300).zip(sizes()).map(|(seed, size)| {
        let kind = kinds[seed as usize % kinds.len()];
        (seed, with_pickups(kind(seed, size.min(8) + 3), seed))
    });
    let (tally, unreached) = compare_all(cases);
    assert!(tally.sounding > 1500 && tally.silent > 300, "{} {} {unreached}", tally.sounding, tally.silent);
}

/// Every endpoint and the test point in some state; how many endpoints no signal reaches.
fn compare_all(cases: impl Iterator<Item = (u64, Case)>) -> (Tally, usize) {
    let mut tally = Tally::default();
    let mut unreached = 0;
    for (seed, mut case) in cases {
        let mut dice = Dice::new(seed ^ 0xf1);
        // What goes round in a circle has no level.
        if problems(&case.rig).iter().any(|problem| matches!(problem, Problem::Circle { .. })) {
            continue;
        }
        let varying = case.rig.devices.iter().flat_map(Device::all_switches).filter(|switch| switch.locked.is_none());
        let settings = varying.map(|switch| (switch.id, Position(dice.below(switch.positions) as u8)));
        case.state.positions = settings.collect();
        let hz = [20.0, dice.log(20.0, 20e3), dice.log(1e3, 6e3), 20e3];
        let unfed = without_power(&case.rig, if dice.chance(0.3) { 0.15 } else { 0.0 }, &mut dice);
        let answer = respond(&Request { unfed: unfed.clone(), ..case.request() }, &mut LineCache::new(Sweep::at(&hz)));
        let tapped = Netlist::without_power(&case.rig, &case.state, case.point, &unfed);
        for device in &case.rig.devices {
            for jack in device.kind.endpoints() {
                let jack = JackRef::new(device.id, jack);
                let name = format!(
                    "seed {seed}, {} {jack:?}\n{}\n{:?} unfed {:?} {:?}",
                    device.name,
                    crate::states::wider::drawn(&case.rig),
                    case.state,
                    unfed,
                    case.rig
                        .devices
                        .iter()
                        .filter(|d| matches!(d.kind, rigwright_core::rig::Kind::Mixer(_)))
                        .map(|d| (d.id, d.kind.clone()))
                        .collect::<Vec<_>>()
                );
                match answer.endpoints.iter().find(|end| end.jack == jack) {
                    Some(end) => check(&name, &end.at, &hz, |hz| tapped.level_at_jack(jack, hz), &mut tally),
                    None => {
                        unreached += 1;
                        assert!(tapped.level_at_jack(jack, hz[1]).is_none(), "{name} is heard");
                    }
                }
            }
        }
        match &answer.test_point {
            Some(at) => check(&format!("seed {seed}, test point"), at, &hz, |hz| tapped.level_at_point(hz), &mut tally),
            None => assert!(tapped.level_at_point(hz[1]).is_none(), "seed {seed}: the test point is heard"),
        }
    }
    (tally, unreached)
}

/// `unfed` is how likely a device is without power.
fn compare(seed: u64, size: usize, unfed: f64, tally: &mut Tally) {
    let case = healthy(seed, size);
    // One device alone ends nowhere; anything else is fit to play.
    let found = problems(&case.rig);
    assert!(found.is_empty() || size == 1, "seed {seed}, {size}: {found:?}");
    for device in &case.rig.devices {
        tally.kinds.insert(device.kind.noun());
        if device.is_on(&case.state) {
            tally.staying +=
                usize::from(device.stays_on && !case.state.positions.keys().any(|switch| switch.device == device.id));
            tally.on_kinds.insert(device.kind.noun());
        }
    }
    let mut dice = Dice::new(seed ^ 0xf0);
    let hz = [20.0, dice.log(20.0, 20e3), dice.log(1e3, 6e3), 20e3];
    let mut line_cache = LineCache::new(Sweep::at(&hz));
    let unfed = without_power(&case.rig, unfed, &mut dice);
    tally.unfed += unfed.len();
    let answer = respond(&Request { unfed: unfed.clone(), ..case.request() }, &mut line_cache);
    let netlist = Netlist::without_power(&case.rig, &case.state, None, &unfed);
    let tapped = Netlist::without_power(&case.rig, &case.state, case.point, &unfed);
    check_ends(&case, &answer.endpoints.iter().map(|e| e.jack).collect::<Vec<_>>());

    for endpoint in &answer.endpoints {
        let name = format!("seed {seed}, {size} devices, {} {:?}", endpoint.name, endpoint.jack);
        check(&name, &endpoint.at, &hz, |hz| netlist.level_at_jack(endpoint.jack, hz), tally);
        // A test point somewhere on a lead must change nothing at the ends.
        check(&name, &endpoint.at, &hz, |hz| tapped.level_at_jack(endpoint.jack, hz), tally);
    }
    if let Some(at) = &answer.test_point {
        let name = format!("seed {seed}, {size} devices, test point {:?}", case.point);
        check(&name, at, &hz, |hz| tapped.level_at_point(hz), tally);
        tally.points += hz.len();
    } else {
        assert!(case.point.is_none(), "seed {seed}: all leads of a healthy rig carry a signal");
    }
}

/// Every endpoint of a healthy rig that has a lead gets an answer, and nothing else does.
fn check_ends(case: &Case, answered: &[rigwright_core::rig::JackRef]) {
    let expected: BTreeSet<_> = case
        .rig
        .leads
        .iter()
        .map(|lead| lead.to)
        .filter(|jack| case.rig.device(jack.device).is_some_and(|d| d.kind.is_endpoint(jack.jack)))
        .collect();
    assert_eq!(answered.iter().copied().collect::<BTreeSet<_>>(), expected);
    assert_eq!(answered.len(), expected.len(), "an endpoint is listed twice");
}

fn check(name: &str, at: &PointAnswer, hz: &[f64], independent: impl Fn(f64) -> Option<Heard>, tally: &mut Tally) {
    // A comb has points of its own between those that were asked for.
    let swept = |hz: &f64| at.curve.hz().iter().position(|own| own == hz).map(|at_hz| at.curve.levels()[at_hz]);
    for hz in hz {
        let swept = &swept(hz).expect("a frequency that was asked for");
        for level in [*swept, at.level_at(*hz)] {
            match (level, independent(*hz)) {
                (Level::Silent, None) => tally.silent += 1,
                // 200 dB under what it is made of.
                (Level::Silent, Some(heard)) if heard.whole && heard.smallness > 1e10 => tally.silent += 1,
                (Level::Decibels(db), Some(heard)) => {
                    let itself = ((db - heard.db) * std::f64::consts::LN_10 / 20.0).abs();
                    let to_largest = itself / heard.smallness;
                    assert!(
                        to_largest <= ALLOWED,
                        "{name} at {hz} Hz: {db} dB against {} dB, {to_largest:e} of the largest",
                        heard.db
                    );
                    tally.worst.0 = tally.worst.0.max(to_largest);
                    tally.worst.1 = tally.worst.1.max(itself);
                    tally.sounding += 1;
                }
                (ours, theirs) => panic!("{name} at {hz} Hz: {ours:?} against {theirs:?}"),
            }
        }
    }
}
