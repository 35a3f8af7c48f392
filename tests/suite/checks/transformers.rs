//! An isolating transformer: what its windings take, and where its coil takes the lows.

use std::f64::consts::TAU;

use rigwright_core::rig::{ActiveSource, Instrument, Interface, Kind, Rig, State, Transformer};
use rigwright_core::units::{Farads, Henries, Ohms, Ratio};

use crate::printed::near;
use crate::rigs::{bare_cable, chain, db, input, response};

fn behind(source: f64, transformer: Transformer, load: f64) -> Rig {
    let active = ActiveSource::of(Instrument::Guitar, Ohms::of(source), Ratio::of(1.0));
    let end = Interface::of(input(load, 0.0));
    let kinds = vec![
        ("source", Kind::Active(active)),
        ("transformer", Kind::Transformer(transformer)),
        ("load", Kind::Interface(end)),
    ];
    chain(kinds, &[0.0, 0.0], &bare_cable())
}

fn transformer(winding: f64, henries: f64, farads: f64) -> Transformer {
    Transformer { winding: Ohms::of(winding), magnetising: Henries::of(henries), capacitance: Farads::of(farads) }
}

/// At R/(2πL) it is 3 dB down, R the two sides beside each other [S: transformer].
#[test]
fn the_lows_go_where_the_source_is_feeble() {
    for (source, winding, henries, load) in [(10e3, 300.0, 30.0, 1e6), (100e3, 2e3, 100.0, 220e3)] {
        let rig = behind(source, transformer(winding, henries, 0.0), load);
        let (left, right) = (source + winding, load + winding);
        let corner = left * right / (left + right) / (TAU * henries);
        assert!(corner > 20.0, "{corner} Hz is within the sweep");
        let at = response(&rig, &State::default()).endpoints.remove(0).at;
        // Far above it, a divider [S: divider].
        let flat = 20.0 * (load / (left + right)).log10();
        near(db(at.level_at(corner)), flat - 10.0 * 2f64.log10(), 1e-3);
        near(db(at.level_at(20e3)), flat, 1e-3);
    }
}

/// Its coil and its capacitance resonate; there it is no load at all [S: transformer].
#[test]
fn at_its_resonance_only_its_windings_count() {
    let (henries, farads) = (2.0, 8e-9);
    let hz = 1.0 / (TAU * f64::sqrt(henries * farads));
    let rig = behind(50e3, transformer(1e3, henries, farads), 1e6);
    let at = response(&rig, &State::default()).endpoints.remove(0).at;
    near(db(at.level_at(hz)), 20.0 * (1e6 / (1e6 + 52e3_f64)).log10(), 1e-3);
}
