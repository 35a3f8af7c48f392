//! What a load takes, and where R and C part, through drawn rigs and as ladders.

use std::f64::consts::TAU;

use rigwright_core::cascade::level_at;
use rigwright_core::network::{Branch, Ladder};
use rigwright_core::rig::{ActiveSource, Instrument, Interface, Kind, Rig, State};
use rigwright_core::units::{Ohms, Ratio};

use crate::printed::{agrees, near};
use crate::rigs::{bare_cable, chain, db, farads, input, ohms, response};

fn source_and_load(source: f64, load: f64, capacitance: f64) -> Rig {
    let active = ActiveSource::of(Instrument::Guitar, Ohms::of(source), Ratio::of(1.0));
    let interface = Interface::of(input(load, capacitance));
    let kinds = vec![("source", Kind::Active(active)), ("load", Kind::Interface(interface))];
    chain(kinds, &[0.0], &bare_cable())
}

/// [S: divider].
#[test]
fn dividers() {
    let cases = [
        (8e3, 1e6, "−0.06921"),
        (8e3, 100e3, "−0.6685"),
        (8e3, 10e3, "−5.105"),
        (1e3, 10e3, "−0.8279"),
        (10e3, 10e3, "−6.021"),
    ];
    for (source, load, printed) in cases {
        let answer = response(&source_and_load(source, load, 0.0), &State::default());
        let at = &answer.endpoints[0].at;
        for hz in [20.0, 1e3, 20e3] {
            agrees(db(at.level_at(hz)), printed);
        }
    }
}

/// [S: corner]: −3 dB at 1/(2πRC).
#[test]
fn corners() {
    let low_pass = |r: f64, c: f64| {
        let mut ladder = Ladder::new();
        ladder.series(ohms(r));
        ladder.shunt(farads(c));
        ladder
    };
    let high_pass = |c: f64, r: f64| {
        let mut ladder = Ladder::new();
        ladder.series(Branch::Series(vec![farads(c)]));
        ladder.shunt(ohms(r));
        ladder
    };
    let cases = [
        (low_pass(1e3, 1e-9), true, 1e3, "159.2"),
        (low_pass(10e3, 1e-9), true, 1e3, "15.92"),
        (high_pass(22e-9, 1e6), false, 1.0, "7.234"),
        (high_pass(10e-9, 10e3), false, 1.0, "1592"),
    ];
    for (ladder, falls, unit, printed) in cases {
        let level = |hz: f64| db(level_at(&ladder, ladder.rungs.len(), hz));
        let (mut low, mut high) = (1.0_f64, 1e6_f64);
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if (level(middle) > -10.0 * 2f64.log10()) == falls { low = middle } else { high = middle }
        }
        agrees(low / unit, printed);
    }
}

/// The program's −3 dB figure counts from 200 Hz: for a low-pass with corner
/// f₀ it lies at f₀·√(1 + 2(200/f₀)²) [S: corner].
#[test]
fn minus3_figure() {
    for (source, capacitance) in [(10e3, 1e-9), (25e3, 1e-9), (8e3, 20e-9)] {
        let answer = response(&source_and_load(source, 1e6, capacitance), &State::default());
        let parallel = (1.0 / source + 1e-6).recip();
        let corner = 1.0 / (TAU * parallel * capacitance);
        let expected = corner * (1.0 + 2.0 * (200.0 / corner).powi(2)).sqrt();
        near(answer.endpoints[0].at.minus3.expect("a −3 dB point").hz, expected, 1e-3);
    }
}
