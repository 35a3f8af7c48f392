//! Dull with everything off.

use rigwright_core::diagnosis::Severity;
use rigwright_core::findings::rules;
use rigwright_core::rig::{Bypass, Control, DeviceId, Kind, Knob, LeadId};
use rigwright_core::units::{Metres, Turn};

use super::{found, mended, number, of, only, project, remedied, unit};
use crate::checks::board::board;
use crate::rigs::{HB, SC, amp, bare_cable, chain, straight};

/// [S: tone-jump, dull-board]: 1480 pF off, of them 100 pF the amp's, which a
/// straight lead into it drives too: 13.8 m of 100 pF/m.
#[test]
fn a_board_sounds_like_its_metres() {
    let project = project(board(SC));
    let finding = only(&project, rules::DULL_ALL_OFF);
    assert_eq!(finding.text, "All off, this rig sounds like 13.8 m of lead.");
    assert_eq!(finding.severity, Severity::Act);
    // 600, 500, 4·45 + 5·20 and 100 of 1480 pF.
    assert_eq!(
        finding.why,
        "The guitar drives 1.48 nF: the lead to amp 600 pF (41 %), the guitar's lead 500 pF (34 %), \
         five units with their patch leads 280 pF (19 %) and the input of amp 100 pF (7 %)."
    );
    assert_eq!(finding.about.leads, [1006, 1001, 1002, 1003, 1004, 1005].map(LeadId));
    assert_eq!(finding.about.devices[0], DeviceId(7), "the amp's input is more than a unit's wiring");
    assert_eq!(finding.about.devices.len(), 6);
    // Where the board peaks, all off.
    assert!((finding.about.hz.unwrap() - 2433.0).abs() < 0.5);
}

/// A buffer after 500 pF: they and its own 40 pF, less the amp's 100 pF, are 4.4 m.
/// The catalogue's buffer has 20 pF of input and 20 pF of wiring.
#[test]
fn a_buffer_leaves_the_guitars_own_lead() {
    let before = project(board(SC));
    let finding = only(&before, rules::DULL_ALL_OFF);
    assert_eq!(finding.remedies[0].words, "Put a buffer after the guitar's lead: 4.4 m left");
    let after = mended(&before, &finding, "Put a buffer");
    assert!(of(&after, rules::DULL_ALL_OFF).is_empty());
    // What is largest is the lead to the amp: with 65 pF/m (the catalogue's)
    // 6 m are 390 pF and, its two plugs counted, 20 pF more: 12.9 − 1 = 11.9 m.
    let lead = finding.remedies.iter().find(|fix| fix.words.starts_with("Use a low-capacitance lead to amp"));
    assert_eq!(lead.unwrap().words, "Use a low-capacitance lead to amp: 11.9 m left");
}

/// By definition: straight into the amp, a rig sounds like its lead.
#[test]
fn the_limit_is_where_it_says() {
    let at = |metres: f64| of(&project(straight(HB.guitar(), metres)), rules::DULL_ALL_OFF);
    assert!(at(9.99).is_empty());
    let finding = at(10.1).remove(0);
    assert_eq!(finding.text, "All off, this rig sounds like 10.1 m of lead.");
    assert_eq!(finding.remedies.len(), 1);
    assert_eq!(finding.remedies[0].words, "Use a lead of 3 m from the guitar: 3 m left");
    let mut wider = project(straight(HB.guitar(), 10.1));
    wider.limits.dull = Metres::of(10.2);
    assert!(of(&wider, rules::DULL_ALL_OFF).is_empty());
    wider.limits.dull = Metres::of(2.0);
    assert_eq!(of(&wider, rules::DULL_ALL_OFF).len(), 1);
}

#[test]
fn more_than_the_longest_lead_says_so() {
    let project = project(straight(HB.guitar(), 110.0));
    let finding = only(&project, rules::DULL_ALL_OFF);
    assert_eq!(finding.text, "All off, this rig sounds like more than 100 m of lead.");
    let after = remedied(&project, &finding.remedies[0]);
    assert!(of(&after, rules::DULL_ALL_OFF).is_empty());
}

/// Several inputs that take less than the limit each, and the peak together:
/// HB keeps no half decibel of peak from about 100 kΩ down, and four times
/// 470 kΩ with the amp's 1 MΩ are 105 kΩ [S: input-load]; its lead is short.
#[test]
fn loads_that_take_the_peak_together_are_told_once() {
    let load = || unit(Bypass::AlwaysLoading, 470e3, 1e6, 1e3);
    let mut kinds = vec![("guitar", Kind::Guitar(HB.guitar()))];
    kinds.extend(["one", "two", "three", "four"].map(|name| (name, load())));
    kinds.push(("amp", amp(1e6, 0.0)));
    let rig = project(chain(kinds, &[5.0, 0.0, 0.0, 0.0, 0.0], &bare_cable()));
    assert!(of(&rig, rules::LOADS_THE_GUITAR).is_empty());
    let finding = only(&rig, rules::DULL_ALL_OFF);
    // 1 MΩ five times are 200 kΩ; 105 kΩ leave 2.30 dB less.
    let taken = number(&finding.text, "dB");
    assert!(finding.text.starts_with("All off, the guitar's peak is lost: inputs take "), "{}", finding.text);
    assert_eq!(taken, 2.3, "{}", finding.text);
    let each = "None takes it alone: one 470 kΩ, two 470 kΩ, three 470 kΩ, four 470 kΩ and amp 1 MΩ; \
                with 1 MΩ each there would be a peak at 2.52 kHz.";
    assert_eq!(finding.why, each);
    let after = remedied(&rig, &finding.remedies[0]);
    assert!(of(&after, rules::DULL_ALL_OFF).is_empty());

    // One alone that takes it has a finding of its own, and this rule is quiet.
    let kinds = vec![
        ("guitar", Kind::Guitar(HB.guitar())),
        ("one", unit(Bypass::AlwaysLoading, 100e3, 1e6, 1e3)),
        ("amp", amp(1e6, 0.0)),
    ];
    let rig = project(chain(kinds, &[5.0, 0.0], &bare_cable()));
    assert_eq!(of(&rig, rules::LOADS_THE_GUITAR).len(), 1);
    assert!(of(&rig, rules::DULL_ALL_OFF).is_empty());
}

/// A guitar whose own knob took the peak is no dull rig.
#[test]
fn a_knob_turned_down_is_no_finding() {
    let mut rig = project(straight(SC.guitar(), 6.0));
    rig.state.turned.insert(Knob { device: DeviceId(1), control: Control::Volume }, Turn::of(0.5));
    assert!(found(&rig).is_empty(), "{:?}", found(&rig));
    rig.state.turned.insert(Knob { device: DeviceId(1), control: Control::Volume }, Turn::CLOSED);
    let told: Vec<_> = found(&rig).into_iter().map(|finding| (finding.rule, finding.severity)).collect();
    assert_eq!(told, [(rules::SILENT, Severity::Know)], "silence is told of, as the player's own, and nothing else is");
}
