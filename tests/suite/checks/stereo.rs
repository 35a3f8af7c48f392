//! Stereo units against hand-worked sums of their two sides.

use rigwright_core::response::NoPeak;
use rigwright_core::rig::{
    ActiveSource, Alone, Bypass, DeviceId, Instrument, Jack, JackRef, Kind, Lead, LeadId, Mixer, MixerInput, Pedal,
    Polarity, Position, Rig, State, Stereo, SwitchKey, SwitchRef, problems,
};
use rigwright_core::units::{Decibels, Farads, Level, Metres, MixingOhms, Ohms, Ratio, Seconds, Turn};

use crate::rigs::{amp, bare_cable, device, input, response, stage};

pub fn lead(id: u64, from: (u64, Jack), to: (u64, Jack)) -> Lead {
    let at = |(id, jack)| JackRef::new(DeviceId(id), jack);
    Lead { id: LeadId(id), from: at(from), to: at(to), length: Metres::of(0.0), cable: bare_cable() }
}

pub fn unit(bypass: Bypass, stereo: Stereo) -> Kind {
    let pedal = Pedal::of(bypass, stage(1e9, 0.0), stage(1e9, 0.0), Farads::of(0.0));
    Kind::Pedal(Pedal { stereo: Some(stereo), ..pedal })
}

fn source() -> Kind {
    Kind::Active(ActiveSource::of(Instrument::Guitar, Ohms::of(0.0), Ratio::of(1.0)))
}

fn mixer(passive: bool) -> Kind {
    let from = MixerInput { input: input(1e9, 0.0), level: Decibels::of(0.0), polarity: Polarity::Same };
    let (wiring, ohms) = (Farads::of(0.0), MixingOhms::of(1e3));
    Kind::Mixer(match passive {
        true => Mixer::Passive { first: ohms, second: ohms, wiring },
        false => Mixer::Buffered { first: from, second: from, output: Ohms::of(0.0), wiring },
    })
}

/// A source (1), a stereo unit (2), both its sides in a mixer (3), an amp (4).
pub fn summed(stereo: Stereo, passive: bool) -> Rig {
    Rig {
        devices: vec![
            device(1, "guitar", source()),
            device(2, "unit", unit(Bypass::True, stereo)),
            device(3, "mixer", mixer(passive)),
            device(4, "amp", amp(1e9, 0.0)),
        ],
        leads: vec![
            lead(10, (1, Jack::Out), (2, Jack::In)),
            lead(11, (2, Jack::Out), (3, Jack::In)),
            lead(12, (2, Jack::SecondOut), (3, Jack::SecondIn)),
            lead(13, (3, Jack::Out), (4, Jack::In)),
        ],
        feeds: Vec::new(),
    }
}

fn on(units: &[u64]) -> State {
    let mut state = State::default();
    let switch = |id: &u64| SwitchRef { device: DeviceId(*id), key: SwitchKey::Bypass };
    state.positions.extend(units.iter().map(|id| (switch(id), Position::ON)));
    state
}

/// The level at a device's first or second input at 1 kHz; none where nothing gets there.
fn level(rig: &Rig, state: &State, id: u64) -> Option<Level> {
    let answer = response(rig, state);
    let end = answer.endpoints.into_iter().find(|end| end.jack.device == DeviceId(id))?;
    Some(end.at.level_at(1000.0))
}

fn near(found: Option<Level>, db: f64) -> bool {
    found.and_then(Level::decibels).is_some_and(|own| (own - db).abs() < 1e-3)
}

fn right(right: Polarity) -> Stereo {
    Stereo { right, ..Stereo::ALIKE }
}

/// Two equal sides in one: +6.02 dB alike, +3.01 uncorrelated, nothing inverted [S: mono-sum].
#[test]
fn both_sides_in_one() {
    let on = on(&[2]);
    for (polarity, db) in [(Polarity::Same, 6.0206), (Polarity::Unknown, 6.0206), (Polarity::Uncorrelated, 3.0103)] {
        assert!(near(level(&summed(right(polarity), false), &on, 4), db), "{polarity:?}");
        // Resistors alone have half of either side: 6.02 dB less.
        let passive = level(&summed(right(polarity), true), &on, 4);
        assert!(near(passive, db - 6.0206), "{polarity:?}: {passive:?}");
    }
    let inverted = level(&summed(right(Polarity::Inverted), false), &on, 4);
    assert_eq!(inverted, Some(Level::Silent));
}

/// Powers of 1 and ½: 10·log10(1.25) = 0.97 dB [S: mono-sum]; a delay makes no comb of what is uncorrelated.
#[test]
fn uncorrelated_sides_add_as_powers_whenever_they_come() {
    let stereo = Stereo {
        right_level: Decibels::of(-6.0206),
        right_latency: Seconds::of(0.5e-3),
        ..right(Polarity::Uncorrelated)
    };
    let rig = summed(stereo, false);
    assert!(near(level(&rig, &on(&[2]), 4), 0.9691));
    let end = &response(&rig, &on(&[2])).endpoints[0];
    assert!(end.at.nulls_hz.is_empty(), "{:?}", end.at.nulls_hz);
    assert!(!matches!(end.at.peak, Err(NoPeak::Comb { .. })), "{:?}", end.at.peak);
    // Alike they would be: half of 1 kHz's period apart, 1 − ½.
    let alike = Stereo { right: Polarity::Same, ..stereo };
    assert!(near(level(&summed(alike, false), &on(&[2]), 4), -6.0206));
}

/// Behind one another: what a second unit makes of a side that is uncorrelated stays so.
#[test]
fn what_is_uncorrelated_stays_so_through_a_stereo_unit() {
    let mut rig = summed(right(Polarity::Uncorrelated), false);
    let through = Stereo { second_in: true, ..right(Polarity::Inverted) };
    rig.devices.push(device(5, "second", unit(Bypass::Buffered, through)));
    rig.leads[1].to = JackRef::new(DeviceId(5), Jack::In);
    rig.leads[2].to = JackRef::new(DeviceId(5), Jack::SecondIn);
    rig.leads.push(lead(14, (5, Jack::Out), (3, Jack::In)));
    rig.leads.push(lead(15, (5, Jack::SecondOut), (3, Jack::SecondIn)));
    assert!(problems(&rig).is_empty(), "{:?}", problems(&rig));
    for units in [vec![2], vec![2, 5]] {
        assert!(near(level(&rig, &on(&units), 4), 3.0103), "{units:?}");
    }
    // The first off has one side alone, and so has the second, whose right input then has nothing.
    assert!(near(level(&rig, &on(&[]), 4), 0.0) && near(level(&rig, &on(&[5]), 4), 0.0));
}

/// Constant power: −3.01 dB each in the middle [S: pan].
#[test]
fn a_sound_in_the_middle_is_as_loud_on_both_sides() {
    let panned = |turn: f64| Stereo { pan: Some(Turn::of(turn)), ..Stereo::ALIKE };
    let rig = |stereo: Stereo| {
        let mut rig = summed(stereo, false);
        rig.devices[2] = device(3, "second amp", amp(1e9, 0.0));
        rig.leads.truncate(1);
        rig.leads.extend([lead(11, (2, Jack::Out), (4, Jack::In)), lead(12, (2, Jack::SecondOut), (3, Jack::In))]);
        rig
    };
    let on = on(&[2]);
    for id in [3, 4] {
        assert!(near(level(&rig(panned(0.5)), &on, id), -3.0103));
    }
    assert_eq!(level(&rig(panned(0.0)), &on, 3), Some(Level::Silent));
    assert!(near(level(&rig(panned(0.0)), &on, 4), 0.0));
}

/// Off, a true bypass leads from the first input to the first output alone: the right amp is silent.
#[test]
fn a_true_bypass_leaves_the_right_side_out() {
    let rig = |bypass: Bypass| {
        let mut rig = summed(Stereo::ALIKE, false);
        rig.devices[1] = device(2, "unit", unit(bypass, Stereo::ALIKE));
        rig.devices[2] = device(3, "right amp", amp(1e9, 0.0));
        rig.leads.truncate(1);
        rig.leads.extend([lead(11, (2, Jack::Out), (4, Jack::In)), lead(12, (2, Jack::SecondOut), (3, Jack::In))]);
        rig
    };
    for (bypass, off) in [(Bypass::True, None), (Bypass::AlwaysLoading, None), (Bypass::Buffered, Some(0.0))] {
        let rig = rig(bypass);
        assert!(near(level(&rig, &on(&[]), 4), 0.0), "{bypass:?}");
        match off {
            None => assert!(level(&rig, &on(&[]), 3).is_none_or(|level| level == Level::Silent), "{bypass:?}"),
            Some(db) => assert!(near(level(&rig, &on(&[]), 3), db), "{bypass:?}"),
        }
        assert!([3, 4].into_iter().all(|id| near(level(&rig, &on(&[2]), id), 0.0)), "{bypass:?}");
    }
}

/// With nothing in its right output a unit gives its left side, or both of them in one.
#[test]
fn one_output_alone() {
    let rig = |alone: Alone, right: Polarity| {
        let mut rig = summed(Stereo { alone, right, ..Stereo::ALIKE }, false);
        rig.leads.truncate(1);
        rig.leads.push(lead(11, (2, Jack::Out), (4, Jack::In)));
        rig
    };
    assert!(near(level(&rig(Alone::Left, Polarity::Same), &on(&[2]), 4), 0.0));
    for (polarity, db) in [(Polarity::Same, 6.0206), (Polarity::Uncorrelated, 3.0103)] {
        assert!(near(level(&rig(Alone::Both, polarity), &on(&[2]), 4), db));
        assert!(near(level(&rig(Alone::Both, polarity), &on(&[]), 4), 0.0), "off there is one side");
    }
    assert_eq!(level(&rig(Alone::Both, Polarity::Inverted), &on(&[2]), 4), Some(Level::Silent));
}
