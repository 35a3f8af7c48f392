//! Ways that part and meet again: what their sum is by hand.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::response::{NoEquivalent, NoPeak, PointAnswer};
use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind, Polarity, Rig, State};
use rigwright_core::states::{Question, States, Target, explore};
use rigwright_core::units::{Level, Seconds};

use crate::printed::near;
use crate::rigs::{db, level_unit, mixed, on, response};

const BOTH: [Polarity; 2] = [Polarity::Same; 2];
const ONE_OVER: [Polarity; 2] = [Polarity::Same, Polarity::Inverted];

fn answer(rig: &Rig, state: &State) -> PointAnswer {
    response(rig, state).endpoints.remove(0).at
}

fn all(rig: &Rig) -> States {
    let target = Target::Endpoint(JackRef::new(DeviceId(2), Jack::In));
    let question =
        Question { rig: Arc::new(rig.clone()), controls: State::default(), target, unfed: Default::default() };
    explore(&question, &mut LineCache::new(Sweep::at(&[100.0, 1000.0, 5000.0]))).expect("the source is heard")
}

/// Two alike ways are 6.02 dB more than one, and nothing where one is turned over [S: sums].
#[test]
fn two_alike_ways() {
    near(db(answer(&mixed(vec![], vec![], BOTH), &State::default()).level_at(1000.0)), 6.02, 0.005);
    let nothing = answer(&mixed(vec![], vec![], ONE_OVER), &State::default());
    assert_eq!(nothing.level_at(1000.0), Level::Silent);
    assert_eq!(nothing.peak, Err(NoPeak::Silent));
}

/// One way at 6.02 dB beside one at 0 dB: 3 and 1 times, 9.54 dB together and 0 dB where one is turned over [S: sums].
#[test]
fn two_ways_at_two_levels() {
    let louder = 20.0 * 2f64.log10();
    let level = |signs| {
        let rig = mixed(vec![level_unit(louder)], vec![], signs);
        db(answer(&rig, &on(&[11])).level_at(1000.0))
    };
    near(level(BOTH), 9.54, 0.005);
    near(level(ONE_OVER), 0.0, 1e-9);
}

/// Of all states the lowest is with both off or one, the highest with both on; a
/// unit in one way is told whole [S: sums].
#[test]
fn all_states_of_two_ways() {
    let times = |factor: f64| 20.0 * factor.log10();
    let rig = mixed(vec![level_unit(times(2.0))], vec![level_unit(times(0.5))], BOTH);
    let states = all(&rig);
    assert!(states.exact);
    // Two switches, all settings heard.
    assert_eq!(states.switch_states, states.different);
    assert_eq!(states.different.to_string(), (1_u64 << 2).to_string());
    for at in 0..3 {
        // 1 + ½ and 2 + 1.
        near(states.lowest_db()[at], 3.52, 0.005);
        near(states.highest_db()[at], 9.54, 0.005);
    }
    assert_eq!(states.lowest_state(0).len(), 1);
    let first = states.jumps.iter().find(|jump| jump.switch.device == DeviceId(11)).expect("it is heard");
    // From 1 + 1 to 2 + 1, and from 1 + ½ to 2 + ½.
    assert!(first.is_whole && first.exact);
    near(first.rise.db, times(2.5 / 1.5), 1e-9);
    near(first.fall.db, times(3.0 / 2.0), 1e-9);
    assert_eq!(first.rise.among.len(), 1);
}

/// A muted way leaves the other; no position silences by itself.
#[test]
fn one_way_that_mutes() {
    let rigwright_core::rig::Kind::Pedal(pedal) = level_unit(0.0) else { panic!("a pedal") };
    let tuner = Kind::Tuner(rigwright_core::rig::Tuner::Through { pedal, mutes: true });
    let states = all(&mixed(vec![tuner], vec![], BOTH));
    assert!(states.mutes.is_empty() && states.exact);
    near(states.lowest_db()[0], 0.0, 1e-9);
    near(states.highest_db()[0], 6.02, 0.005);
}

fn late(seconds: f64) -> Kind {
    let mut kind = level_unit(0.0);
    if let Kind::Pedal(pedal) = &mut kind {
        pedal.on.latency = Seconds::of(seconds);
    }
    kind
}

/// Wet and dry alike 2 ms apart have nulls at 250 Hz, 750 Hz and so on [S: comb].
#[test]
fn two_ways_that_arrive_apart_are_a_comb() {
    let rig = mixed(vec![late(2e-3)], vec![], BOTH);
    let at = answer(&rig, &on(&[11]));
    assert_eq!(at.nulls_hz.len(), 5);
    for (found, expected) in at.nulls_hz.iter().zip([250.0, 750.0, 1250.0, 1750.0, 2250.0]) {
        near(*found, expected, 0.01);
    }
    near(db(at.level_at(500.0)), 6.02, 0.005);
    near(db(at.level_at(125.0)), 3.01, 0.005);
    assert_eq!(at.peak, Err(NoPeak::Comb { apart: 2e-3 }));
    assert_eq!(at.lead_equivalent, Err(NoEquivalent::NoPeak(NoPeak::Comb { apart: 2e-3 })));
    assert!(at.peak.unwrap_err().to_string().contains("2 ms apart"));
    // Eight points a period up to 5 kHz: each half of it is met.
    let hz = at.curve.hz();
    for period in 1..10 {
        let (from, to) = (500.0 * f64::from(period), 500.0 * f64::from(period + 1));
        assert!(hz.iter().filter(|hz| (from..to).contains(*hz)).count() >= 8, "{from} Hz");
    }
    // Off, both arrive at once.
    let together = answer(&rig, &State::default());
    assert!(together.nulls_hz.is_empty() && together.curve.hz().len() == 256);
    near(db(together.level_at(250.0)), 6.02, 0.005);
}

/// Turned over, the same ways have nulls where they had the most [S: comb].
#[test]
fn a_comb_of_one_way_turned_over() {
    let at = answer(&mixed(vec![late(2e-3)], vec![], ONE_OVER), &on(&[11]));
    for (found, expected) in at.nulls_hz.iter().zip([500.0, 1000.0, 1500.0]) {
        near(*found, expected, 0.01);
    }
}
