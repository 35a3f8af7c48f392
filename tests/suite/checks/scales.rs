//! Notes and frets, third-octaves, preferred values.

use rigwright_core::network::{Sweep, third_octaves_hz};
use rigwright_core::units::{pitch, preferred};

use crate::printed::{agrees, near};

/// [S: pitch].
#[test]
fn open_strings() {
    let printed = ["82.41", "110.0", "146.8", "196.0", "246.9", "329.6"];
    for ((note, _), printed) in pitch::GUITAR_STRINGS.into_iter().zip(printed) {
        agrees(pitch::frequency_hz(note), printed);
    }
    // A bass guitar's four strings lie an octave below the guitar's lowest four.
    for ((bass, _), (guitar, _)) in pitch::BASS_STRINGS.into_iter().zip(pitch::GUITAR_STRINGS) {
        near(2.0 * pitch::frequency_hz(bass), pitch::frequency_hz(guitar), 1e-9);
    }
}

/// [S: pitch]: fret n from the nut S(1−2^(−n/12)): half the scale at 12, and
/// each fret leaves the pitch a semitone up, since pitch goes as 1/length.
#[test]
fn frets() {
    let scale = 647.7;
    near(pitch::fret_from_nut(scale, 0), 0.0, 0.0);
    near(pitch::fret_from_nut(scale, 12), scale / 2.0, 1e-9);
    near(pitch::fret_from_nut(scale, 24), scale * 0.75, 1e-9);
    for fret in 0..24 {
        let left = |fret| scale - pitch::fret_from_nut(scale, fret);
        let up = pitch::frequency_hz(41.0) / pitch::frequency_hz(40.0);
        near(left(fret) / left(fret + 1), up, 1e-12);
    }
}

/// [S: third-octaves]: 1000·10^(n/10); the nominal
/// numbers of ISO 266 are within 1 % of them.
#[test]
fn third_octaves() {
    let nominal = [
        20.0, 25.0, 31.5, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 160.0, 200.0, 250.0, 315.0, 400.0, 500.0, 630.0, 800.0,
        1e3, 1.25e3, 1.6e3, 2e3, 2.5e3, 3.15e3, 4e3, 5e3, 6.3e3, 8e3, 10e3, 12.5e3, 16e3, 20e3,
    ];
    let centres = third_octaves_hz();
    assert_eq!(centres.len(), nominal.len());
    for (centre, nominal) in centres.iter().zip(nominal) {
        near(*centre, nominal, 0.01 * nominal);
    }
    // Ten to the decade, and exact at the powers of ten.
    for pair in centres.windows(2) {
        near((pair[1] / pair[0]).log10(), 0.1, 1e-12);
    }
    for (at, exact) in [(7, 100.0), (17, 1e3), (27, 1e4)] {
        near(centres[at], exact, 1e-9 * exact);
    }
}

/// The program's own grid: 256 points from 20 Hz to 20 kHz, three decades, evenly.
#[test]
fn the_sweep_is_even_on_a_log_axis() {
    let sweep = Sweep::audio();
    assert_eq!((sweep.hz()[0], sweep.hz()[255], sweep.len()), (20.0, 20_000.0, 256));
    for pair in sweep.hz().windows(2) {
        near((pair[1] / pair[0]).log10(), 3.0 / 255.0, 1e-12);
    }
}

/// [S: preferred-values]: E24 is 10^(n/24) to 2 figures, except
/// 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 8.2.
#[test]
fn preferred_values() {
    let exceptions = [2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 8.2];
    for (n, value) in preferred::E24.into_iter().enumerate() {
        let law = (10f64.powf(n as f64 / 24.0) * 10.0).round() / 10.0;
        assert_eq!(exceptions.contains(&value), (law - value).abs() > 1e-9, "{value} against {law}");
    }
    assert!(exceptions.iter().all(|value| preferred::E24.contains(value)));
}

/// [S: preferred-values]: E6 is every fourth value of E24.
#[test]
fn every_fourth_value_is_one_of_e6() {
    let fourths: Vec<f64> = preferred::E24.into_iter().step_by(4).collect();
    assert_eq!(fourths, preferred::E6);
}

/// Stepping up through one decade meets each value once and ends ten times higher.
#[test]
fn steps_go_through_the_series() {
    for start in [1e-11, 1.0, 1e5] {
        let mut value = start;
        for expected in preferred::E24.into_iter().skip(1).chain([10.0]) {
            value = preferred::step(&preferred::E24, value, true);
            near(value, start * expected, 1e-9 * value);
        }
        for expected in preferred::E24.into_iter().rev() {
            value = preferred::step(&preferred::E24, value, false);
            near(value, start * expected, 1e-9 * value);
        }
    }
}
