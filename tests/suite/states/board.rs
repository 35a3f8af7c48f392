//! What the first footswitch of a board does to the tone, among all states.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind, Rig, State};
use rigwright_core::states::{Question, States, Target, explore};

use super::brute::Brute;
use super::compare::{Tally, compare};
use crate::printed::{agrees, near};
use crate::rigs::{HB, Reference, SC, amp, bare_cable, chain, true_bypass};

const KHZ: [f64; 6] = [1.0, 2.0, 3.0, 4.0, 5.0, 8.0];

fn line_cache() -> LineCache {
    LineCache::new(Sweep::at(&KHZ.map(|khz| khz * 1e3)))
}

/// [S: tone-jump]: 500 pF lead; 20 pF a unit; 45 pF a patch; 600 pF lead; amp 1 MΩ ∥ 100 pF.
fn board(guitar: Reference) -> Question {
    let mut kinds = vec![("guitar", Kind::Guitar(guitar.guitar()))];
    kinds.extend(["first", "second", "third", "fourth", "fifth"].map(|name| (name, true_bypass(20e-12))));
    kinds.push(("amp", amp(1e6, 100e-12)));
    ask(chain(kinds, &[5.0, 0.45, 0.45, 0.45, 0.45, 6.0], &bare_cable()), 7)
}

fn ask(rig: Rig, amp: u64) -> Question {
    let target = Target::Endpoint(JackRef::new(DeviceId(amp), Jack::In));
    Question { rig: Arc::new(rig), controls: State::default(), target, unfed: Default::default() }
}

fn explored(question: &Question) -> States {
    explore(question, &mut line_cache()).expect("the guitar is heard")
}

fn check(guitar: Reference, printed: [&str; 6]) {
    let question = board(guitar);
    let brute = Brute::force(&question, &mut line_cache()).expect("a way");
    let alone = brute.difference(DeviceId(2), 0).expect("both sound");
    for (alone, printed) in alone.iter().zip(printed) {
        agrees(*alone, printed);
    }
    let states = explored(&question);
    let jump = &states.jumps[0];
    assert_eq!(jump.device(), DeviceId(2));
    for (alone, printed) in jump.alone_db.as_ref().expect("both sound").iter().zip(printed) {
        agrees(*alone, printed);
    }
    for (at, alone) in alone.iter().enumerate() {
        let (low, high) = (jump.lowest_db[at], jump.highest_db[at]);
        assert!(low <= alone + 1e-9 && *alone <= high + 1e-9, "{alone} dB isn't within {low} to {high} dB");
    }
    // It falls as well as it rises.
    assert!(jump.rise.db >= alone[4] - 1e-9 && jump.fall.db <= alone[1] + 1e-9, "{jump:?}");
    only_context(guitar, &alone);
    let mut tally = Tally::default();
    compare("the board", &question, &mut line_cache(), &mut tally);
    assert_eq!((tally.states, tally.jumps, tally.alone), (32, (5, 0), (5, 0)));
}

/// With the other four units' switches taken away there is one context, and its
/// jump is the board's.
fn only_context(guitar: Reference, alone: &[f64]) {
    let mut kinds = vec![("guitar", Kind::Guitar(guitar.guitar())), ("first", true_bypass(20e-12))];
    kinds.push(("amp", amp(1e6, 100e-12)));
    // The same capacitance behind it: 4 patches of 45 pF, 4 units of 20 pF, 600 pF.
    let question = ask(chain(kinds, &[5.0, 8.6], &bare_cable()), 3);
    let states = explored(&question);
    assert_eq!(states.switch_states.to_string(), "2");
    let jump = &states.jumps[0];
    for ((alone, low), high) in alone.iter().zip(&jump.lowest_db).zip(&jump.highest_db) {
        near(*low, *alone, 1e-9);
        near(*high, *alone, 1e-9);
    }
}

#[test]
fn single_coil_among_all_states() {
    check(SC, ["−0.787", "−3.439", "−0.089", "7.915", "10.01", "9.161"]);
}

#[test]
fn humbucker_among_all_states() {
    check(HB, ["−1.568", "−3.508", "10.05", "10.79", "9.764", "8.604"]);
}
