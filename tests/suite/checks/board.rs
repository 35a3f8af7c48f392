//! What one footswitch does to the tone of an all-true-bypass board.
//!
//! Source of all values: [S: tone-jump]. 500 pF lead; 5 true-bypass units of 20 pF; 4 patches of 45 pF;
//! 600 pF lead; amp 1 MΩ ∥ 100 pF.

use rigwright_core::response::{Amount, Response};
use rigwright_core::rig::{Kind, LeadId, Rig, State};

use crate::printed::{agrees, near};
use crate::rigs::{HB, Reference, SC, amp, bare_cable, chain, db, on, response, true_bypass};

/// Its board: five true-bypass units between two long leads.
pub fn board(guitar: Reference) -> Rig {
    let unit = || true_bypass(20e-12);
    chain(
        vec![
            ("guitar", Kind::Guitar(guitar.guitar())),
            ("first", unit()),
            ("second", unit()),
            ("third", unit()),
            ("fourth", unit()),
            ("fifth", unit()),
            ("amp", amp(1e6, 100e-12)),
        ],
        &[5.0, 0.45, 0.45, 0.45, 0.45, 6.0],
        &bare_cable(),
    )
}

fn off_and_on(guitar: Reference) -> (Response, Response) {
    let rig = board(guitar);
    (response(&rig, &State::default()), response(&rig, &on(&[2])))
}

fn check(guitar: Reference, jump: [&str; 6], peaks: [&str; 2]) {
    let (off, on) = off_and_on(guitar);
    let (off, on) = (&off.endpoints[0].at, &on.endpoints[0].at);
    for (khz, printed) in [1.0, 2.0, 3.0, 4.0, 5.0, 8.0].into_iter().zip(jump) {
        agrees(db(on.level_at(khz * 1e3)) - db(off.level_at(khz * 1e3)), printed);
    }
    agrees(off.peak.expect("a peak").hz, peaks[0]);
    agrees(on.peak.expect("a peak").hz, peaks[1]);
}

#[test]
fn single_coil() {
    let jump = ["−0.787", "−3.439", "−0.089", "7.915", "10.01", "9.161"];
    check(SC, jump, ["2433", "3684"]);
}

#[test]
fn humbucker() {
    let jump = ["−1.568", "−3.508", "10.05", "10.79", "9.764", "8.604"];
    check(HB, jump, ["1831", "2824"]);
}

/// [S: tone-jump, dull-board]: off, 1480 pF in one run; the first unit on, 520 pF and 960 pF.
#[test]
fn what_the_runs_amount_to() {
    let (off, on) = off_and_on(SC);
    assert_eq!(off.runs.len(), 1);
    agrees(off.runs[0].capacitance * 1e12, "1480");
    assert!(off.runs[0].high_impedance);
    assert_eq!(off.runs[0].leads, (1001..=1006).map(LeadId).collect::<Vec<_>>());
    assert_eq!(off.runs[0].passed.len(), 5);
    // The guitar's own lead has 100 pF/m [S: dull-board].
    match off.runs[0].amount {
        Amount::Lead { metres } => near(metres, 14.8, 1e-9),
        other => panic!("a guitar's run amounts to a lead, got {other:?}"),
    }

    let [first, second] = on.runs.as_slice() else { panic!("two runs, got {}", on.runs.len()) };
    agrees(first.capacitance * 1e12, "520");
    agrees(second.capacitance * 1e12, "960");
    assert!(first.high_impedance && !second.high_impedance);
    match second.amount {
        Amount::Driven { ohms, fall_db } => {
            near(ohms, 1e3, 1e-9);
            // 1 kΩ ∥ 1 MΩ into 960 pF, from 200 Hz to 20 kHz [S: corner].
            let fall = |hz: f64| {
                let x = std::f64::consts::TAU * hz * 960e-12 * (1e-3 + 1e-6_f64).recip();
                -10.0 * (1.0 + x * x).log10()
            };
            near(fall_db.expect("a level"), fall(20e3) - fall(200.0), 1e-9);
        }
        Amount::Lead { .. } => panic!("a pedal's output drives the second run"),
    }
}

/// The states between: if each unit that is on isolates, the pickup's load
/// depends on the first one alone [S: state-count]: n + 1 cases.
#[test]
fn the_first_unit_on_decides_what_the_guitar_sees() {
    let rig = board(HB);
    let mut first_runs = std::collections::BTreeSet::new();
    for mask in 0..32_u64 {
        let ids: Vec<u64> = (0..5).filter(|bit| mask >> bit & 1 == 1).map(|bit| bit + 2).collect();
        let answer = response(&rig, &on(&ids));
        assert_eq!(answer.runs.len(), ids.len() + 1);
        let first_on = ids.first().copied();
        // 500 pF + 65 pF a unit passed by, and 20 pF of the one that is on.
        let expected = match first_on {
            Some(id) => 520.0 + 65.0 * (id - 2) as f64,
            None => 1480.0,
        };
        near(answer.runs[0].capacitance * 1e12, expected, 1e-6);
        first_runs.insert((answer.runs[0].capacitance * 1e15).round() as i64);
    }
    assert_eq!(first_runs.len(), 6);
}
