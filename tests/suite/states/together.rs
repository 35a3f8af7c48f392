//! Ways that hold at once, where they are too many to go through.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::{
    DeviceId, Jack, JackRef, Kind, Mixer, Polarity, Position, Rig, Splitter, State, SwitchRef, SwitchSetting,
};
use rigwright_core::states::{Question, States, Target, explore};
use rigwright_core::units::{Decibels, Farads, Metres};

use crate::generator::Dice;
use crate::rigs::{HB, level_unit, mixed, real_cable};

const HZ: [f64; 4] = [82.0, 400.0, 2000.0, 6000.0];

/// So many units in each of two ways, each with a level of its own; the second way is mixed in at −20 dB.
fn two_ways(units: usize, passive: bool) -> Rig {
    let way = |by: f64| (0..units).map(|at| level_unit(by * (at as f64 + 1.0) / units as f64)).collect::<Vec<Kind>>();
    let mut rig = mixed(way(6.0), way(-4.0), [Polarity::Same; 2]);
    for (at, lead) in rig.leads.iter_mut().enumerate() {
        lead.cable = real_cable();
        lead.length = Metres::of(0.3 + 0.1 * at as f64);
    }
    if let Kind::Mixer(Mixer::Buffered { second, .. }) = &mut rig.devices[3].kind {
        second.level = Decibels::of(-20.0);
    }
    rig.devices[0].kind = Kind::Guitar(HB.guitar());
    if passive {
        rig.devices[2].kind = Kind::Splitter(Splitter::Passive { wiring: Farads::of(30e-12) });
    }
    rig
}

fn ask(rig: &Rig) -> States {
    let target = Target::Endpoint(JackRef::new(DeviceId(2), Jack::In));
    let question =
        Question { rig: Arc::new(rig.clone()), controls: State::default(), target, unfed: Default::default() };
    explore(&question, &mut LineCache::new(Sweep::at(&HZ))).expect("the guitar is heard")
}

fn level_db(rig: &Arc<Rig>, on: &[DeviceId]) -> Vec<f64> {
    let settings: Vec<SwitchSetting> =
        on.iter().map(|id| SwitchSetting { switch: SwitchRef::bypass(*id), to: Position::ON }).collect();
    let state = State::default().with(rig, &settings);
    let request = Request { rig: Arc::clone(rig), state, test_point: None, unfed: Default::default() };
    let answer = respond(&request, &mut LineCache::new(Sweep::at(&HZ)));
    answer.endpoints[0].at.curve.levels().iter().map(|level| level.decibels().expect("it sounds")).collect()
}

/// Within the cap all is exact, and there is nothing to say from outside.
#[test]
fn up_to_the_cap_nothing_is_said_from_outside() {
    let states = ask(&two_ways(3, true));
    assert!(states.exact && states.bounds_db().is_none());
    assert_eq!(states.different.to_string(), "64");
}

/// Past it the edges are those of real states, and the bounds hold for every state.
#[test]
fn past_the_cap_real_states_lie_within_the_edges_or_at_least_within_the_bounds() {
    for passive in [false, true] {
        let rig = Arc::new(two_ways(7, passive));
        let states = ask(&rig);
        assert!(!states.exact);
        assert!(states.note().contains("at least this wide") && states.note().contains("several ways at once"));
        let (lowest, highest) = states.bounds_db().expect("each way alone is within the cap");
        for at in 0..HZ.len() {
            assert!(lowest[at] <= states.lowest_db()[at] && states.highest_db()[at] <= highest[at]);
            let named =
                level_db(&rig, &states.highest_state(at).iter().map(|set| set.switch.device).collect::<Vec<_>>());
            assert!((named[at] - states.highest_db()[at]).abs() < 1e-9, "the state named makes the edge");
        }
        let units: Vec<DeviceId> = (11..18).chain(21..28).map(DeviceId).collect();
        let mut dice = Dice::new(7);
        let (mut least, mut most) = ([f64::INFINITY; 4], [f64::NEG_INFINITY; 4]);
        for trial in 0..600 {
            let likely = [0.1, 0.5, 0.9][trial % 3];
            let on: Vec<DeviceId> = units.iter().copied().filter(|_| dice.chance(likely)).collect();
            for (at, db) in level_db(&rig, &on).into_iter().enumerate() {
                assert!(lowest[at] - 1e-9 <= db && db <= highest[at] + 1e-9, "{db} dB at {} Hz, {on:?}", HZ[at]);
                (least[at], most[at]) = (least[at].min(db), most[at].max(db));
            }
        }
        // Bounds that hold of anything would say nothing: at low frequencies leads hardly count.
        for at in 0..2 {
            let far = (highest[at] - most[at], least[at] - lowest[at]);
            assert!(far.0 < 4.0 && far.1 < 4.0, "{far:?} at {} Hz", HZ[at]);
        }
    }
}
