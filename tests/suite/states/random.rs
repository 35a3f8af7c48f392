//! Random rigs of every kind of device, all targets, against brute force.

use std::collections::BTreeSet;
use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{Bypass, JackRef, Rig, TestPoint};
use rigwright_core::states::{Question, Target};
use rigwright_core::units::Turn;

use super::brute::switches;
use super::compare::{Tally, compare};
use crate::generator::{Case, Dice, healthy, without_power};

/// The most switches that are tried one by one.
const MOST: usize = 12;

fn line_cache() -> LineCache {
    LineCache::new(Sweep::logarithmic(20.0, 20_000.0, 12))
}

/// Every endpoint, and points on three leads: their ends and anywhere between.
fn targets(rig: &Rig, dice: &mut Dice) -> Vec<Target> {
    let jacks = rig.devices.iter().flat_map(|device| device.kind.jacks().iter().map(move |jack| (device, *jack)));
    let ends = jacks.filter(|(device, jack)| device.kind.is_endpoint(*jack));
    let mut found: Vec<Target> = ends.map(|(device, jack)| Target::Endpoint(JackRef::new(device.id, jack))).collect();
    for _ in 0..3 {
        if rig.leads.is_empty() {
            break;
        }
        let lead = rig.leads[dice.below(rig.leads.len())].id;
        let along = if dice.chance(0.5) { dice.unit() } else { dice.pick(&[0.0, 1.0]) };
        found.push(Target::Point(TestPoint { lead, along: Turn::of(along) }));
    }
    found
}

#[derive(Default)]
struct Seen {
    rigs: usize,
    most_switches: usize,
    /// Units that stay on.
    staying: usize,
    kinds: BTreeSet<&'static str>,
    bypasses: BTreeSet<Bypass>,
    /// Devices that got no power.
    unfed: usize,
    tally: Tally,
}

/// `unfed` is how likely a device is without power.
fn look_at(seed: u64, case: &Case, unfed: f64, seen: &mut Seen) {
    let many = switches(&case.rig).len();
    if many > MOST {
        return;
    }
    seen.rigs += 1;
    seen.most_switches = seen.most_switches.max(many);
    for device in &case.rig.devices {
        seen.kinds.insert(device.kind.noun());
        seen.staying += usize::from(device.stays_on && device.kind.pedal().is_some());
        seen.bypasses.extend(device.kind.pedal().map(|pedal| pedal.bypass));
    }
    let mut dice = Dice::new(seed ^ 0x57a7e5);
    let rig = Arc::new(case.rig.clone());
    let mut line_cache = line_cache();
    let targets = targets(&rig, &mut dice);
    let unfed = without_power(&rig, unfed, &mut dice);
    seen.unfed += unfed.len();
    for target in targets {
        let question = Question { rig: Arc::clone(&rig), controls: case.state.clone(), target, unfed: unfed.clone() };
        compare(&format!("seed {seed}, {target:?}"), &question, &mut line_cache, &mut seen.tally);
    }
}

fn look_at_all(seeds: std::ops::Range<u64>, sizes: &[usize], unfed: f64) -> Seen {
    let mut seen = Seen::default();
    for (seed, size) in seeds.zip(sizes.iter().cycle()) {
        look_at(seed, &healthy(seed, *size), unfed, &mut seen);
    }
    seen
}

#[test]
fn five_hundred_small_rigs_agree_with_brute_force() {
    let seen = look_at_all(20_000..20_500, &[1, 2, 3, 4, 5, 6, 8, 9, 10, 11], 0.0);
    let tally = &seen.tally;
    assert_eq!(seen.rigs, 500);
    assert_eq!(seen.kinds.len(), 19, "{:?}", seen.kinds);
    assert_eq!(seen.bypasses.len(), 3);
    assert!(seen.staying > 50, "{}", seen.staying);
    assert!(tally.answers > 1000 && tally.silent > 50 && tally.mutes > 10, "{tally:?}");
    assert!(tally.jumps.0 > 1500 && tally.jumps.1 > 300 && tally.unheard > 300, "{tally:?}");
    assert!(tally.alone.0 > 1500 && tally.alone.0 + tally.alone.1 == tally.jumps.0 + tally.jumps.1, "{tally:?}");
}

#[test]
fn larger_rigs_agree_with_brute_force() {
    let seen = look_at_all(30_000..30_120, &[14, 16, 18, 20], 0.0);
    let tally = &seen.tally;
    assert!(seen.rigs > 60, "{}", seen.rigs);
    assert_eq!(seen.most_switches, MOST);
    assert!(tally.answers > 150 && tally.states > 50_000, "{tally:?}");
}

#[test]
fn rigs_with_units_out_of_power_agree_with_brute_force() {
    let seen = look_at_all(40_000..40_300, &[2, 3, 4, 5, 6, 8, 10, 12], 0.12);
    let tally = &seen.tally;
    assert!(seen.rigs > 280 && seen.unfed > 150, "{} rigs, {} devices unfed", seen.rigs, seen.unfed);
    assert!(tally.answers > 300 && tally.silent > 100 && tally.jumps.0 > 300 && tally.jumps.1 > 50, "{tally:?}");
}
