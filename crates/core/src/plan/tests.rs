//! What devices are without power. An amplifying stage without power gives
//! nothing, a mechanical switch stays as it is. [S: dead-run]

use std::collections::BTreeSet;

use super::{Alternative, Behaviour, Plan, plan};
use crate::rig::{
    ActiveSource, Amp, Body, Buffer, Bypass, Cable, Device, DeviceId, Input, Instrument, Jack, JackRef, Kind, Lead,
    LeadId, Pedal, Power, Rig, SizeClass, Splitter, Stage, State,
};
use crate::units::{
    Decibels, Farads, FaradsPerMetre, Grams, HenriesPerMetre, Level, LossTangent, Metres, Ohms, OhmsPerMetre, Price,
    Ratio,
};

const SOURCE: DeviceId = DeviceId(1);
const UNIT: DeviceId = DeviceId(2);

fn input(ohms: f64) -> Input {
    Input::of(Ohms::of(ohms), Farads::of(0.0))
}

fn stage(ohms: f64) -> Stage {
    Stage::of(input(ohms), Ohms::of(1e3), Decibels::of(0.0))
}

fn pedal(bypass: Bypass) -> Kind {
    Kind::Pedal(Pedal::of(bypass, stage(500e3), stage(1e6), Farads::of(0.0)))
}

fn device(id: u64, kind: Kind) -> Device {
    let body = Body { size: SizeClass::Compact, mass: Grams::of(300.0), price: Price::of(100.0) };
    let (name, part) = (format!("Unit {id}"), String::new());
    let switches = Default::default();
    Device {
        id: DeviceId(id),
        name,
        part,
        stays_on: false,
        switches,
        heard_to: None,
        effect: None,
        body,
        power: Power::Unknown,
        kind,
    }
}

fn lead(from: u64, to: u64) -> Lead {
    let cable = Cable {
        name: String::new(),
        capacitance: FaradsPerMetre::of(100e-12),
        resistance: OhmsPerMetre::of(0.0),
        inductance: HenriesPerMetre::of(0.0),
        loss_tangent: LossTangent::of(0.0),
        plug: Farads::of(0.0),
    };
    let (from_jack, to_jack) = (JackRef::new(DeviceId(from), Jack::Out), JackRef::new(DeviceId(to), Jack::In));
    Lead { id: LeadId(100 + from), from: from_jack, to: to_jack, length: Metres::of(3.0), cable }
}

/// An instrument with electronics, the unit, an amp.
fn row(unit: Kind) -> Rig {
    let source = ActiveSource {
        instrument: Instrument::Guitar,
        output: Ohms::of(1e3),
        gain: Ratio::of(1.0),
        piezo: None,
        peak: None,
    };
    let amp = Amp::of(input(1e6));
    let devices = vec![device(1, Kind::Active(source)), device(2, unit), device(3, Kind::Amp(amp))];
    Rig { devices, leads: vec![lead(1, 2), lead(2, 3)], ..Rig::default() }
}

fn without(rig: &Rig, unfed: DeviceId) -> Plan {
    plan(rig, &State::default()).without_power(&BTreeSet::from([unfed]))
}

fn only(plan: &Plan) -> &Behaviour {
    let station = plan.stations.iter().find(|station| station.device() == UNIT).unwrap();
    match station.alternatives.as_slice() {
        [Alternative { position: None, behaviour, out: None }] => behaviour,
        several => panic!("its switch still counts: {several:?}"),
    }
}

#[test]
fn what_amplifies_is_silent_and_loads_as_before() {
    let stage = stage(1e6);
    let wiring = Farads::of(0.0);
    for kind in [
        pedal(Bypass::Buffered),
        Kind::Buffer(Buffer { stage, wiring }),
        Kind::Splitter(Splitter::Buffered { stage, wiring }),
    ] {
        let rig = row(kind);
        let fed = plan(&rig, &State::default());
        let Behaviour::Isolate { load, level, .. } = only_off(&fed) else { panic!("a buffer isolates") };
        assert_ne!(*level, Level::Silent);
        let unfed = without(&rig, UNIT);
        let Behaviour::Isolate { load: kept, level, .. } = only(&unfed) else { panic!("it isolates still") };
        assert_eq!((kept, *level), (load, Level::Silent));
    }
}

/// What the unit is with power, off if it has a switch.
fn only_off(plan: &Plan) -> &Behaviour {
    plan.stations.iter().find(|station| station.device() == UNIT).unwrap().in_state(&State::default()).unwrap()
}

#[test]
fn a_mechanical_bypass_is_as_if_it_were_off() {
    for bypass in [Bypass::True, Bypass::AlwaysLoading] {
        let rig = row(pedal(bypass));
        let fed = plan(&rig, &State::default());
        let unfed = without(&rig, UNIT);
        assert_eq!(only(&unfed), only_off(&fed), "{bypass:?}");
        // Held on, it passes as well.
        let mut held = rig.clone();
        held.devices[1].stays_on = true;
        assert_eq!(only(&without(&held, UNIT)), only_off(&fed), "{bypass:?}, held on");
        // All the rest of the plan is as it was.
        assert_eq!(unfed.starts, fed.starts);
        assert_eq!(unfed.stations[1], fed.stations[1]);
    }
}

#[test]
fn an_instrument_with_electronics_gives_nothing() {
    let rig = row(pedal(Bypass::True));
    assert_ne!(plan(&rig, &State::default()).starts[0].level, Level::Silent);
    assert_eq!(without(&rig, SOURCE).starts[0].level, Level::Silent);
}

#[test]
fn without_anybody_unfed_a_plan_is_as_it_was() {
    let rig = row(pedal(Bypass::Buffered));
    let whole = plan(&rig, &State::default());
    assert_eq!(whole.clone().without_power(&BTreeSet::new()), whole);
    assert_eq!(without(&rig, DeviceId(77)), whole, "nobody that is in the signal's way");
}
