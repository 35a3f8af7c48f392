//! A long lead on a high impedance.

use rigwright_core::diagnosis::Severity;
use rigwright_core::findings::rules;
use rigwright_core::rig::{Bypass, Kind, Rig};
use rigwright_core::units::Metres;

use super::{of, only, project, remedied, unit};
use crate::rigs::{SC, amp, bare_cable, buffer, chain};

/// A unit of some output resistance that is always on, and a lead to an amp that loads nothing.
fn rig(output: f64, metres: f64) -> Rig {
    let kinds = vec![("guitar", Kind::Guitar(SC.guitar())), ("drive", buffer(1e6, output)), ("amp", amp(1e9, 0.0))];
    chain(kinds, &[0.0, metres], &bare_cable())
}

/// [S: corner]: 10 kΩ and 1 nF, −3 dB at 15.92 kHz.
#[test]
fn ten_kilohms_and_a_nanofarad() {
    let finding = only(&project(rig(10e3, 10.0)), rules::LONG_LEAD_AT_HIGH_IMPEDANCE);
    assert_eq!(finding.text, "drive drives 10 m of lead from 10 kΩ: 3 dB are gone at 15.9 kHz.");
    // At 5 kHz 10·log10(1 + (5/15.92)²) = 0.41 dB: less than most players hear.
    assert!(finding.why.contains("at 5 kHz 0.4 dB are gone"), "{}", finding.why);
    assert_eq!(finding.severity, Severity::Know);
}

/// 25 kΩ, a 100 kΩ level pot's [S: level-pot], and 6 m: 1/(2π·25 kΩ·600 pF) = 10.61 kHz [S: corner].
#[test]
fn a_level_pot_before_the_amp_lead() {
    let before = project(rig(25e3, 6.0));
    let finding = only(&before, rules::LONG_LEAD_AT_HIGH_IMPEDANCE);
    assert_eq!(finding.text, "drive drives 6 m of lead from 25 kΩ: 3 dB are gone at 10.6 kHz.");
    assert_eq!(finding.severity, Severity::Act);
    assert_eq!(finding.remedies[0].words, "Put a buffer before the lead to amp: 3 dB are gone beyond 20 kHz only");
    assert!(of(&remedied(&before, &finding.remedies[0]), rules::LONG_LEAD_AT_HIGH_IMPEDANCE).is_empty());
}

#[test]
fn below_its_limits_it_is_quiet() {
    // 9.99 kΩ are no high impedance, whatever they drive.
    assert!(of(&project(rig(9.99e3, 20.0)), rules::LONG_LEAD_AT_HIGH_IMPEDANCE).is_empty());
    // A lead of just the limit isn't longer.
    let mut at_the_limit = project(rig(50e3, 3.0));
    assert!(of(&at_the_limit, rules::LONG_LEAD_AT_HIGH_IMPEDANCE).is_empty());
    at_the_limit.limits.long_lead = Metres::of(2.9);
    assert_eq!(of(&at_the_limit, rules::LONG_LEAD_AT_HIGH_IMPEDANCE).len(), 1);
    // The guitar's own run is another matter.
    let kinds = vec![("guitar", Kind::Guitar(SC.guitar())), ("amp", amp(1e6, 0.0))];
    assert!(of(&project(chain(kinds, &[8.0], &bare_cable())), rules::LONG_LEAD_AT_HIGH_IMPEDANCE).is_empty());
}

/// Units that are feeble only while they are on, and share a lead, are one finding.
#[test]
fn one_finding_for_a_lead() {
    let kinds = vec![
        ("guitar", Kind::Guitar(SC.guitar())),
        ("one", unit(Bypass::True, 1e6, 1e6, 25e3)),
        ("two", unit(Bypass::True, 1e6, 1e6, 50e3)),
        ("amp", amp(1e9, 0.0)),
    ];
    let before = project(chain(kinds, &[0.0, 0.0, 6.0], &bare_cable()));
    let finding = only(&before, rules::LONG_LEAD_AT_HIGH_IMPEDANCE);
    // 1/(2π·50 kΩ·600 pF) = 5.305 kHz, from the level at 200 Hz a thousandth more.
    assert_eq!(finding.text, "two, while it is on, drives 6 m of lead from 50 kΩ: 3 dB are gone at 5.31 kHz.");
    assert!(finding.why.contains("Others do so too: one 10.6 kHz."), "{}", finding.why);
    assert!(of(&remedied(&before, &finding.remedies[0]), rules::LONG_LEAD_AT_HIGH_IMPEDANCE).is_empty());
}
