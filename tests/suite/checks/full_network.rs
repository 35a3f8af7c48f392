//! Whole guitars into 450 pF and 1 MΩ, through a drawn rig.
//!
//! Source of all values: [S: whole-guitar].

use rigwright_core::rig::{Control, Guitar, State};
use rigwright_core::units::Ohms;

use crate::printed::agrees;
use crate::rigs::{HB, Reference, SC, db, response, straight, turned};

fn levels(reference: Reference, printed: [&str; 5]) {
    let answer = response(&straight(reference.guitar(), 4.5), &State::default());
    for (hz, printed) in [100.0, 1e3, 3e3, 5e3, 10e3].into_iter().zip(printed) {
        agrees(db(answer.endpoints[0].at.level_at(hz)), printed);
    }
}

#[track_caller]
fn peak(guitar: Guitar, state: &State, hz: &str, level: &str) {
    let answer = response(&straight(guitar, 4.5), state);
    let peak = answer.endpoints[0].at.peak.expect("a peak");
    agrees(peak.hz, hz);
    agrees(peak.db, level);
}

#[test]
fn single_coil() {
    levels(SC, ["−0.4251", "−0.0956", "2.562", "1.249", "−13.38"]);
    peak(SC.guitar(), &State::default(), "3863", "3.458");
}

#[test]
fn humbucker() {
    levels(HB, ["−0.3242", "0.4159", "5.582", "−4.698", "−19.32"]);
    peak(HB.guitar(), &State::default(), "2975", "5.585");
}

#[test]
fn tone_at_0() {
    let closed = turned(1, Control::Tone, 0.0);
    peak(SC.guitar(), &closed, "613.0", "4.418");
    peak(HB.guitar(), &closed, "457.3", "4.618");
}

/// [S: eddy-loss]: SC's peak falls to 2.77 dB with 1 MΩ and 2.20 with 500 kΩ; HB's
/// to 3.44 with 500 kΩ and 1.63 with 200 kΩ, there to 2440 Hz.
#[test]
fn eddy_loss_lowers_the_peak() {
    let with = |reference: Reference, loss: f64| {
        let mut guitar = reference.guitar();
        guitar.pickup.eddy_loss = Some(Ohms::of(loss));
        let answer = response(&straight(guitar, 4.5), &State::default());
        answer.endpoints[0].at.peak.expect("a peak")
    };
    agrees(with(SC, 1e6).db, "2.77");
    agrees(with(SC, 500e3).db, "2.20");
    agrees(with(HB, 500e3).db, "3.44");
    agrees(with(HB, 200e3).db, "1.63");
    // To ten hertz.
    agrees(with(HB, 200e3).hz / 10.0, "244");
}
