//! Selectors against hand-worked corners: what is joined loads, what is open doesn't.

use rigwright_core::rig::{
    ActiveSource, DeviceId, Instrument, Jack, JackRef, Kind, Lead, LeadId, Position, Rig, Selector, State, SwitchKey,
    SwitchRef, problems,
};
use rigwright_core::units::{Farads, Metres, Ohms, Ratio};

use crate::rigs::{amp, bare_cable, db, device, response, stage};

fn lead(id: u64, from: (u64, Jack), to: (u64, Jack)) -> Lead {
    let at = |(id, jack)| JackRef::new(DeviceId(id), jack);
    Lead { id: LeadId(id), from: at(from), to: at(to), length: Metres::of(0.0), cable: bare_cable() }
}

fn source(id: u64, name: &str) -> rigwright_core::rig::Device {
    device(id, name, Kind::Active(ActiveSource::of(Instrument::Guitar, Ohms::of(10e3), Ratio::of(1.0))))
}

/// 10 kΩ (1) into a selector (2) of two amps (3, 4), 1 nF each.
fn two_amps(buffered: bool) -> Rig {
    let buffer = buffered.then(|| stage(1e9, 0.0));
    let selector = Selector::Outputs { both: true, buffer, wiring: Farads::of(0.0) };
    Rig {
        devices: vec![
            source(1, "guitar"),
            device(2, "box", Kind::Selector(selector)),
            device(3, "left", amp(1e9, 1e-9)),
            device(4, "right", amp(1e9, 1e-9)),
        ],
        leads: vec![
            lead(10, (1, Jack::Out), (2, Jack::In)),
            lead(11, (2, Jack::Out), (3, Jack::In)),
            lead(12, (2, Jack::SecondOut), (4, Jack::In)),
        ],
        feeds: Vec::new(),
    }
}

fn set(position: Position) -> State {
    let mut state = State::default();
    state.positions.insert(SwitchRef { device: DeviceId(2), key: SwitchKey::Selector }, position);
    state
}

/// The −3 dB point at each amp, in Hz; none where nothing comes through.
fn corners(rig: &Rig, position: Position) -> [Option<f64>; 2] {
    let answer = response(rig, &set(position));
    [3, 4].map(|id| {
        let end = answer.endpoints.iter().find(|end| end.jack.device == DeviceId(id))?;
        end.at.minus3.as_ref().ok().map(|minus3| minus3.hz)
    })
}

/// 10 kΩ and 1 nF: 15.92 kHz; with both leads 2 nF: half of it [S: corner].
#[test]
fn both_ways_at_once_load_twice_as_much() {
    let rig = two_amps(false);
    assert!(problems(&rig).is_empty());
    let near = |found: Option<f64>, hz: f64| found.is_some_and(|own| (own / hz - 1.0).abs() < 2e-3);
    let [left, right] = corners(&rig, Selector::FIRST);
    assert!(near(left, 15_915.0) && right.is_none(), "{left:?} {right:?}");
    let [left, right] = corners(&rig, Selector::SECOND);
    assert!(left.is_none() && near(right, 15_915.0), "{left:?} {right:?}");
    let [left, right] = corners(&rig, Selector::BOTH);
    assert!(near(left, 7_958.0) && near(right, 7_958.0), "{left:?} {right:?}");
}

/// Behind a buffer without resistance neither amp takes anything.
#[test]
fn behind_a_buffer_neither_way_feels_the_other() {
    let rig = two_amps(true);
    for position in [Selector::FIRST, Selector::BOTH] {
        let answer = response(&rig, &set(position));
        let left = answer.endpoints.iter().find(|end| end.jack.device == DeviceId(3)).expect("left");
        assert!(db(left.at.level_at(20e3)).abs() < 0.01, "{position:?}");
    }
}

/// Two instruments into one amp: the one that is let through is heard, the other loads nothing.
#[test]
fn an_instrument_that_is_not_let_through_loads_nothing() {
    let selector = Selector::Inputs { buffer: None, wiring: Farads::of(0.0) };
    let rig = Rig {
        devices: vec![
            source(1, "guitar"),
            device(2, "box", Kind::Selector(selector)),
            source(3, "other"),
            device(4, "amp", amp(1e9, 1e-9)),
        ],
        leads: vec![
            lead(10, (1, Jack::Out), (2, Jack::In)),
            lead(11, (3, Jack::Out), (2, Jack::SecondIn)),
            lead(12, (2, Jack::Out), (4, Jack::In)),
        ],
        feeds: Vec::new(),
    };
    assert!(problems(&rig).is_empty(), "{:?}", problems(&rig));
    for (position, instrument) in [(Selector::FIRST, 1), (Selector::SECOND, 3)] {
        let answer = response(&rig, &set(position));
        let end = &answer.endpoints[0];
        assert_eq!(end.at.source, JackRef::new(DeviceId(instrument), Jack::Out));
        let hz = end.at.minus3.as_ref().expect("a corner").hz;
        assert!((hz / 15_915.0 - 1.0).abs() < 2e-3, "{hz} Hz");
        // Another instrument is played than the one that is let through: nothing is heard.
        let other = State { instrument: Some(DeviceId(4 - instrument)), ..set(position) };
        assert!(response(&rig, &other).endpoints.iter().all(|end| end.at.level_at(1e3).decibels().is_none()));
    }
}
