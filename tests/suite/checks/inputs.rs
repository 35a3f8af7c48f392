//! A valve's grid, and what an input does to the guitar.

use rigwright_core::cascade::level_at;
use rigwright_core::network::{Ladder, miller_capacitance};
use rigwright_core::rig::{Amp, DirectBox, GridStage, Guitar, Kind, State, ToDesk};
use rigwright_core::units::{Farads, Ohms, Ratio};

use crate::printed::{agrees, near};
use crate::rigs::{HB, amp, bare_cable, buffer, chain, db, farads, input, ohms, response};

const GRID: GridStage = GridStage {
    stopper: Ohms::of(68e3),
    grid_cathode: Farads::of(1.6e-12),
    grid_plate: Farads::of(1.6e-12),
    gain: Ratio::of(60.0),
};

/// [S: miller]: 1.6 + 1.6·61 = 99.20 pF; with 68 kΩ 23.59 kHz.
#[test]
fn miller() {
    let picofarads = |farads: Farads| farads.get() * 1e12;
    agrees(picofarads(GRID.miller()), "99.20");
    let each = Farads::of(1.6e-12);
    agrees(picofarads(miller_capacitance(each, each, Ratio::of(60.0))), "99.20");

    let mut ladder = Ladder::new();
    ladder.series(ohms(68e3));
    ladder.shunt(farads(GRID.miller().get()));
    let corner = 1.0 / (std::f64::consts::TAU * 68e3 * 99.2e-12);
    agrees(corner / 1e3, "23.59");
    near(db(level_at(&ladder, 2, corner)), -10.0 * 2f64.log10(), 1e-9);
}

/// The grid loads the jack as 68 kΩ and 99.2 pF in series, beside the input's
/// 1 MΩ: a divider of complex impedances, worked here [S: miller, nodal].
#[test]
fn the_grid_at_the_jack() {
    let valve = Amp { grid: Some(GRID), ..Amp::of(input(1e6, 0.0)) };
    let source =
        rigwright_core::rig::ActiveSource::of(rigwright_core::rig::Instrument::Guitar, Ohms::of(100e3), Ratio::of(1.0));
    let rig = chain(vec![("source", Kind::Active(source)), ("amp", Kind::Amp(valve))], &[0.0], &bare_cable());
    let answer = response(&rig, &State::default());
    for hz in [100.0, 5e3, 20e3] {
        // y = 1/(68k + 1/jωC) = (ωC)(ωC·68k + j)/(1 + (ωC·68k)²)
        let wc = std::f64::consts::TAU * hz * 99.2e-12;
        let common = wc / (1.0 + (wc * 68e3).powi(2));
        let (real, imaginary) = (1.0 + 100e3 * (1e-6 + common * wc * 68e3), 100e3 * common);
        let expected = -10.0 * (real * real + imaginary * imaginary).log10();
        near(db(answer.endpoints[0].at.level_at(hz)), expected, 1e-9);
    }
}

fn into(guitar: Guitar, load: f64) -> rigwright_core::response::Response {
    let kinds = vec![("guitar", Kind::Guitar(guitar)), ("amp", amp(load, 0.0))];
    response(&chain(kinds, &[5.0], &bare_cable()), &State::default())
}

/// [S: input-load]: HB, 500 pF; peaks where there is one by the
/// program's definition (half a decibel above 200 Hz).
#[test]
fn input_resistance() {
    for (load, level, hz) in [(1e6, "5.806", "2865"), (500e3, "4.560", "2801"), (200e3, "1.828", "2522")] {
        let peak = into(HB.guitar(), load).endpoints[0].at.peak.expect("a peak");
        agrees(peak.db, level);
        agrees(peak.hz, hz);
    }
}

/// [S: input-load]: into 100 kΩ the highest point is −0.624 dB at 1604 Hz, 0.25 dB
/// above the level at 20 Hz. That is no peak by the program's definition.
#[test]
fn a_hundred_kilohms() {
    let answer = into(HB.guitar(), 100e3);
    let at = &answer.endpoints[0].at;
    let level = |hz: f64| db(at.level_at(hz));
    agrees(level(1604.0), "−0.624");
    agrees(level(1604.0) - level(20.0), "0.25");
    // The top lies within half a hertz of 1604.
    let slope = |hz: f64| level(hz * (1.0 + 1e-5)) - level(hz * (1.0 - 1e-5));
    assert!(slope(1603.5) > 0.0 && slope(1604.5) < 0.0);
    match at.peak {
        Err(rigwright_core::response::NoPeak::TooLow { height_db }) => {
            near(height_db, level(1604.0) - level(200.0), 1e-4);
        }
        other => panic!("expected a top that is too low, got {other:?}"),
    }
}

/// [S: input-load]: into a 10 kΩ fuzz at 100, 1 k, 3 kHz −5.363, −10.72, −19.04 dB.
/// The rig has the fuzz first and an amp after; what the fuzz gets is the level
/// at a test point at the end of its lead.
#[test]
fn a_low_impedance_fuzz() {
    let rig = chain(
        vec![("guitar", Kind::Guitar(HB.guitar())), ("fuzz", buffer(10e3, 1e3)), ("amp", amp(1e6, 0.0))],
        &[5.0, 0.0],
        &bare_cable(),
    );
    let request = rigwright_core::response::Request {
        rig: std::sync::Arc::new(rig),
        state: State::default(),
        test_point: Some(rigwright_core::rig::TestPoint {
            lead: rigwright_core::rig::LeadId(1001),
            along: rigwright_core::units::Turn::FULL,
        }),
        unfed: Default::default(),
    };
    let sweep = rigwright_core::network::Sweep::audio();
    let answer = rigwright_core::response::respond(&request, &mut rigwright_core::cascade::LineCache::new(sweep));
    let at_fuzz = answer.test_point.as_ref().expect("the fuzz hears the guitar");
    for (hz, printed) in [(100.0, "−5.363"), (1e3, "−10.72"), (3e3, "−19.04")] {
        agrees(db(at_fuzz.level_at(hz)), printed);
        // It isolates with 1 kΩ out into 1 MΩ: −0.0087 dB on top [S: by-hand].
        let on = db(answer.endpoints[0].at.level_at(hz)) - db(at_fuzz.level_at(hz));
        near(on, 20.0 * (1e6_f64 / 1.001e6).log10(), 1e-9);
    }
    assert!(matches!(at_fuzz.peak, Err(rigwright_core::response::NoPeak::NoMaximum)));
}

/// [S: reflected-load]: a transformer DI of 12:1 shows 144 times the microphone
/// input; 1-2.4 kΩ give 144-346 kΩ. Here beside an amp of 1 MΩ.
#[test]
fn a_transformer_reflects_its_load() {
    for (microphone, printed) in [(1e3, "144"), (2.4e3, "346")] {
        let reflected = 144.0 * microphone;
        agrees(reflected / 1e3, printed);
        let box_ =
            DirectBox::Transformer { turns: Ratio::of(12.0), load: Ohms::of(microphone), to_desk: ToDesk::apart() };
        let rig = chain(
            vec![("guitar", Kind::Guitar(HB.guitar())), ("box", Kind::DirectBox(box_)), ("amp", amp(1e6, 0.0))],
            &[5.0, 0.0],
            &bare_cable(),
        );
        let answer = response(&rig, &State::default());
        let same = into(HB.guitar(), (1.0 / reflected + 1e-6).recip());
        assert_eq!(answer.endpoints.len(), 2, "the box and the amp");
        for endpoint in &answer.endpoints {
            for hz in [100.0, 1e3, 5e3] {
                let expected = db(same.endpoints[0].at.level_at(hz));
                near(db(endpoint.at.level_at(hz)), expected, 1e-9);
            }
        }
    }
}
