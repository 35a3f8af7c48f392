//! The law of a lead's length, and a lead's electricity.

use std::f64::consts::TAU;

use rigwright_core::cascade::{LineCache, row_through};
use rigwright_core::conductor::coax_capacitance;
use rigwright_core::network::{Line, Sweep};
use rigwright_core::response::Response;
use rigwright_core::rig::State;
use rigwright_core::units::{FaradsPerMetre, HenriesPerMetre, LossTangent, Metres, OhmsPerMetre};

use crate::printed::{agrees, near};
use crate::rigs::{HB, Reference, SC, coil, db, farads, real_cable, response, straight};

fn bare_line(metres: f64) -> Line {
    Line {
        length: Metres::of(metres),
        resistance: OhmsPerMetre::of(0.0),
        inductance: HenriesPerMetre::of(0.0),
        capacitance: FaradsPerMetre::of(100e-12),
        loss_tangent: LossTangent::of(0.0),
    }
}

/// Where coil, winding and lead resonate: Re E/V = 0.
fn resonance(guitar: Reference, metres: f64) -> f64 {
    let mut ladder = coil(guitar);
    ladder.shunt(farads(guitar.winding));
    ladder.line(bare_line(metres));
    let real = |hz: f64| row_through(&ladder.rungs, &mut LineCache::new(Sweep::at(&[hz]))).a.re[0];
    let (mut low, mut high) = (10.0_f64, 100e3_f64);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if real(middle) > 0.0 { low = middle } else { high = middle }
    }
    low
}

/// [S: lead-length]: f₂/f₁ = √(C₁/C₂), 100 pF/m, 3, 6, 9, 12 m.
#[test]
fn twice_the_lead() {
    let printed = [(SC, ["5033", "3805", "3183", "2792"]), (HB, ["3661", "2796", "2349", "2065"])];
    for (guitar, row) in printed {
        let capacitance = |metres: f64| guitar.winding + metres * 100e-12;
        for (metres, printed) in [3.0, 6.0, 9.0, 12.0].into_iter().zip(row) {
            let hz = resonance(guitar, metres);
            agrees(hz, printed);
            let law = (capacitance(3.0) / capacitance(metres)).sqrt();
            near(hz / resonance(guitar, 3.0), law, 1e-9);
        }
    }
}

/// [S: coax]: ε_r 2.25 against published pF/m.
#[test]
fn coax_from_its_cross_section() {
    let cases = [
        ((0.032, 0.116), "97.20", (95.14, "2.2")),
        ((0.023, 0.146), "67.73", (68.90, "1.7")),
        ((0.019, 0.060), "108.9", (101.7, "7.0")),
    ];
    for ((core, screen), worked, (published, percent)) in cases {
        let picofarads = coax_capacitance(core, screen, 2.25).expect("a coax").get() * 1e12;
        agrees(picofarads, worked);
        agrees(100.0 * (picofarads / published - 1.0).abs(), percent);
    }
    // No coax at all: the screen inside the core, or less than a vacuum between.
    assert!(coax_capacitance(0.146, 0.023, 2.25).is_none());
    assert!(coax_capacitance(0.1, 0.1, 2.25).is_none());
    assert!(coax_capacitance(0.1, 0.2, 0.9).is_none());
}

/// [S: line]: 10 m, R′ 0.12 Ω/m, L′ 0.35 µH/m, C′ 100 pF/m, 10 kHz.
#[test]
fn a_line() {
    let line = Line { resistance: OhmsPerMetre::of(0.12), inductance: HenriesPerMetre::of(0.35e-6), ..bare_line(10.0) };
    let (a, b, c) = line.chain(TAU * 10e3);
    agrees(a.re, "0.9999931");
    agrees(a.im, "3.770e-5");
    agrees(b.re, "1.200");
    agrees(b.im, "0.2199");
    agrees(c.re, "−7.896e-10");
    agrees(c.im, "6.283e-5");
    near((a * a - b * c).re, 1.0, 1e-14);
    near((a * a - b * c).im, 0.0, 1e-14);
    agrees((b / c).sqrt().norm(), "139.3");
}

/// [S: line]: at 10 m up to 20 kHz one lumped C is within 1.1e-4 dB of the line.
#[test]
fn a_lump_is_near() {
    let lumped = straight(SC.guitar(), 10.0);
    let mut line = lumped.clone();
    line.leads[0].cable = real_cable();
    line.leads[0].cable.plug = lumped.leads[0].cable.plug;
    line.leads[0].cable.loss_tangent = lumped.leads[0].cable.loss_tangent;
    let (lumped, line) = (response(&lumped, &State::default()), response(&line, &State::default()));
    let level = |answer: &Response, hz: f64| db(answer.endpoints[0].at.level_at(hz));
    let apart = [20.0, 1e3, 3e3, 5e3, 10e3, 20e3].map(|hz| (level(&lumped, hz) - level(&line, hz)).abs());
    agrees(apart.into_iter().fold(0.0, f64::max), "1.1e-4");
}
