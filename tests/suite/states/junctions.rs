//! Ways that meet over resistors, where each feels the other: cases that can be worked by hand.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, Response, respond};
use rigwright_core::rig::{
    DeviceId, Jack, JackRef, Kind, Mixer, Polarity, Position, Rig, Splitter, State, SwitchRef, SwitchSetting,
};
use rigwright_core::states::{Question, Target, explore};
use rigwright_core::units::{Farads, Metres, MixingOhms};

use crate::rigs::{HB, level_unit, mixed, real_cable};

/// As [`mixed`], 10 kΩ from each way into the interface of 1 MΩ; a unit of +6.02 dB in the first.
fn resistors() -> Rig {
    let doubled = 20.0 * 2.0_f64.log10();
    let mut rig = mixed(vec![level_unit(doubled)], Vec::new(), [Polarity::Same; 2]);
    let ten = MixingOhms::of(10e3);
    rig.devices[3].kind = Kind::Mixer(Mixer::Passive { first: ten, second: ten, wiring: Farads::of(0.0) });
    rig
}

fn answer(rig: &Rig, on: bool) -> Response {
    let to = if on { Position::ON } else { Position::OFF };
    let state = State::default().with(rig, &[SwitchSetting { switch: SwitchRef::bypass(DeviceId(11)), to }]);
    let request = Request { rig: Arc::new(rig.clone()), state, test_point: None, unfed: Default::default() };
    respond(&request, &mut LineCache::new(Sweep::at(&[1e3])))
}

/// Two EMFs over 10 kΩ each are half of both over 5 kΩ: 1 V and 1 V give 1 V before 1 MΩ,
/// 2 V and 1 V give 1.5 V [S: nodal].
#[test]
fn each_of_two_ways_counts_half() {
    let rig = resistors();
    let before_the_load = 20.0 * (1e6_f64 / (1e6 + 5e3)).log10();
    let expected = [(false, before_the_load), (true, before_the_load + 20.0 * 1.5_f64.log10())];
    for (on, db) in expected {
        let level = answer(&rig, on).endpoints[0].at.level_at(1e3).decibels().expect("it sounds");
        assert!((level - db).abs() < 1e-9, "{on}: {level} dB against {db} dB");
    }
    let target = Target::Endpoint(JackRef::new(DeviceId(2), Jack::In));
    let question = Question { rig: Arc::new(rig), controls: State::default(), target, unfed: Default::default() };
    let states = explore(&question, &mut LineCache::new(Sweep::at(&[1e3]))).expect("it sounds");
    assert!(states.exact);
    assert!((states.lowest_db()[0] - expected[0].1).abs() < 1e-9);
    assert!((states.highest_db()[0] - expected[1].1).abs() < 1e-9);
}

/// A guitar drives both ways and what comes behind the resistors: each lead counts once.
#[test]
fn a_run_over_a_junction_is_told_once() {
    let mut rig = resistors();
    rig.devices[0].kind = Kind::Guitar(HB.guitar());
    rig.devices[2].kind = Kind::Splitter(Splitter::Passive { wiring: Farads::of(30e-12) });
    for (at, lead) in rig.leads.iter_mut().enumerate() {
        lead.cable = real_cable();
        lead.length = Metres::of(1.0 + at as f64);
    }
    let runs = answer(&rig, false).runs;
    let [run] = &runs[..] else { panic!("{} runs", runs.len()) };
    let mut leads = run.leads.clone();
    leads.sort_unstable();
    let mut all: Vec<_> = rig.leads.iter().map(|lead| lead.id).collect();
    all.sort_unstable();
    assert_eq!(leads, all);
    let of_leads =
        rig.leads.iter().map(|lead| lead.length.get() * lead.cable.capacitance.get() + 2.0 * lead.cable.plug.get());
    let expected = of_leads.sum::<f64>() + 30e-12;
    assert!((run.capacitance - expected).abs() < 1e-18, "{} F against {expected} F", run.capacitance);
}
