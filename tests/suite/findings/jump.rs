//! Tone jumps.

use rigwright_core::diagnosis::{Diagnosis, Severity};
use rigwright_core::findings::rules;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{Bypass, DeviceId, Interface, Jack, JackRef, Kind, Rig, State, TestPoint, set_field};
use rigwright_core::units::{Decibels, Metres};

use super::{number, of, only, project, remedied, unit};
use crate::checks::board::board;
use crate::oracle::Netlist;
use crate::printed::near;
use crate::rigs::{HB, SC, amp, bare_cable, chain, input, on};

/// Where the first unit's switch changes the level at the amp most, of what a player
/// minds there, and by how much, from an independent nodal solve.
fn solved(rig: &Rig) -> (f64, f64) {
    let amp = JackRef::new(rig.devices.last().expect("an amp").id, Jack::In);
    let [off, on] = [State::default(), on(&[2])].map(|state| Netlist::of(rig, &state, None));
    let level = |net: &Netlist, hz: f64| net.level_at_jack(amp, hz).expect("it sounds").db;
    let sweep = Sweep::audio();
    let heard = sweep.hz().iter().copied().filter(|hz| (40.0..=5e3).contains(hz));
    let jumps = heard.map(|hz| (hz, level(&on, hz) - level(&off, hz)));
    jumps.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())).expect("a sweep")
}

/// That is what the finding says.
#[track_caller]
fn is_solved(finding: &Diagnosis, rig: &Rig) {
    let (hz, db) = solved(rig);
    near(finding.about.hz.expect("a place"), hz, 1e-6);
    near(number(&finding.text, "dB"), db, 0.05 + 1e-6);
}

/// [S: tone-jump]: the first unit on, +10.01 dB at 5 kHz with the single coil,
/// the peak from 2433 to 3684 Hz.
#[test]
fn single_coil() {
    let project = project(board(SC));
    let all = of(&project, rules::TONE_JUMP);
    let finding = &all[0];
    assert_eq!(finding.severity, Severity::Act);
    let text = finding.text.as_str();
    let moved = "Switching first on moves the peak from 2.43 kHz to 3.68 kHz, +10.0 dB at 4.8";
    assert!(text.starts_with(moved), "{text}");
    assert!(text.ends_with(" kHz, with all else off."), "{text}");
    assert_eq!(finding.why, "While it is on, what stands behind it no longer loads the guitar.");
    assert_eq!(finding.about.devices, [DeviceId(2)]);
    assert_eq!(finding.about.among.as_deref(), Some([].as_slice()));
    is_solved(finding, &board(SC));
}

/// [S: tone-jump]: with the humbucker +10.79 dB at 4 kHz, the peak from 1831 to 2824 Hz.
#[test]
fn humbucker() {
    let project = project(board(HB));
    let finding = &of(&project, rules::TONE_JUMP)[0];
    assert!(finding.text.contains("moves the peak from 1.83 kHz to 2.82 kHz, +"), "{}", finding.text);
    is_solved(finding, &board(HB));
}

/// The worst is told, the others in one line: no wall of text.
#[test]
fn the_others_are_one_line() {
    let project = project(board(SC));
    let all = of(&project, rules::TONE_JUMP);
    assert_eq!(all.len(), 2, "{all:#?}");
    let rest = &all[1];
    assert_eq!(rest.severity, Severity::Know);
    assert!(rest.text.starts_with("Four more switches make the tone jump, by "), "{}", rest.text);
    assert_eq!(rest.about.devices.len(), 4);
    assert!(rest.why.contains("second +") && rest.why.contains("fifth +"), "{}", rest.why);
}

/// A buffer before the first unit: what is left is that unit's 1 kΩ against the
/// buffer's 100 Ω into under 1 nF, far below half a decibel up to 10 kHz [S: corner].
#[test]
fn a_buffer_leaves_next_to_nothing() {
    let before = project(board(SC));
    let finding = of(&before, rules::TONE_JUMP).remove(0);
    assert_eq!(finding.remedies.len(), 1);
    assert_eq!(finding.remedies[0].words, "Put a buffer after the guitar's lead: 0.0 dB left");
    let after = remedied(&before, &finding.remedies[0]);
    assert!(of(&after, rules::TONE_JUMP).is_empty());
}

#[test]
fn the_limit_is_the_players() {
    let mut project = project(board(SC));
    let (_, size) = solved(&board(SC));
    project.limits.jump = Decibels::of(size + 0.01);
    assert!(of(&project, rules::TONE_JUMP).is_empty());
    project.limits.jump = Decibels::of(size - 0.01);
    assert_eq!(only(&project, rules::TONE_JUMP).about.devices, [DeviceId(2)]);
}

/// A level that a unit is set to is no jump of the tone; the sentence says that it isn't counted.
#[test]
fn a_set_level_isnt_counted() {
    let mut rig = board(SC);
    rig.devices[1].kind.pedal_mut().unwrap().on.level = Decibels::of(6.0);
    let finding = of(&project(rig), rules::TONE_JUMP).remove(0);
    assert!(finding.text.contains(", +10.0 dB"), "{}", finding.text);
    assert!(finding.why.ends_with("Its own level of +6.0 dB isn't counted."), "{}", finding.why);
}

/// A fall by an input says so: HB and 500 pF into 100 kΩ instead of the amp's 1 MΩ,
/// 6.430 dB at the top (5.806 and −0.624 dB [S: input-load]), and more beside it.
#[test]
fn an_input_that_loads_is_told_as_the_cause() {
    let kinds = vec![
        ("guitar", Kind::Guitar(HB.guitar())),
        ("wah", unit(Bypass::True, 1e6, 100e3, 1e3)),
        ("amp", amp(1e6, 0.0)),
    ];
    let rig = chain(kinds, &[5.0, 0.0], &bare_cable());
    let finding = only(&project(rig.clone()), rules::TONE_JUMP);
    is_solved(&finding, &rig);
    assert!(finding.text.starts_with("Switching wah on takes the peak at 2.86 kHz away, −"), "{}", finding.text);
    assert_eq!(finding.why, "While it is on, its input of 100 kΩ loads the guitar.");
}

/// An output of 25 kΩ [S: level-pot] before 1.9 nF falls from 3.351 kHz [S: corner].
#[test]
fn an_output_that_is_too_high_is_told_as_the_cause() {
    let kinds = vec![
        ("source", crate::rigs::buffer(1e6, 100.0)),
        ("drive", unit(Bypass::True, 1e6, 1e6, 25e3)),
        ("amp", amp(1e9, 0.0)),
    ];
    let mut kinds = kinds;
    kinds.insert(0, ("guitar", Kind::Guitar(SC.guitar())));
    let mut project = project(chain(kinds, &[0.0, 0.0, 19.0], &bare_cable()));
    // So long a lead at so high an impedance is told as that, and its jump not again.
    assert!(of(&project, rules::TONE_JUMP).is_empty());
    only(&project, rules::LONG_LEAD_AT_HIGH_IMPEDANCE);
    project.limits.long_lead = Metres::of(20.0);
    let finding = only(&project, rules::TONE_JUMP);
    assert_eq!(finding.why, "While it is on, its output of 25 kΩ drives what stands behind it.");
    // At the highest frequency of the grid up to 5 kHz: 10·log10(1 + (f/3.351 kHz)²) [S: corner].
    let hz = finding.about.hz.unwrap();
    assert!(hz > 4.8e3 && hz <= 5e3, "{hz}");
    let fall = 10.0 * (1.0 + (hz / 3350.6).powi(2)).log10();
    assert!((number(&finding.text, "dB") + fall).abs() < 0.051, "{}, {fall}", finding.text);
}

/// A fuzz takes the guitar's peak, and that is how it works.
#[test]
fn a_fuzz_is_good_to_know_and_nothing_to_act_on() {
    let kinds = vec![
        ("guitar", Kind::Guitar(HB.guitar())),
        ("fuzz", unit(Bypass::True, 1e6, 10e3, 1e3)),
        ("drive", unit(Bypass::True, 1e6, 1e6, 1e3)),
        ("amp", amp(1e6, 0.0)),
    ];
    let project = project(chain(kinds, &[5.0, 0.5, 3.0], &bare_cable()));
    let all = of(&project, rules::TONE_JUMP);
    let fuzz = all.iter().find(|finding| finding.about.devices == [DeviceId(2)]).expect("the fuzz's jump");
    assert_eq!((fuzz.severity, fuzz.remedies.len()), (Severity::Know, 0));
    assert!(fuzz.why.contains("its input of 10 kΩ loads the guitar"), "{}", fuzz.why);
    // What the drive does while the fuzz is on says nothing of the rig's leads.
    for finding in all.iter().filter(|finding| finding.about.devices != [DeviceId(2)]) {
        assert!(!finding.text.contains("fuzz on"), "{}", finding.text);
    }
}

/// A guitar speaker is about 20 dB down by 6-7 kHz, so that what a switch does
/// above 5 kHz is hardly heard there [S: heard-to]; at an interface it is, to 10 kHz.
/// 25 kΩ before 700 pF fall by 1.15 dB at 5 kHz and by 3.44 at 10 kHz
/// (10·log10(1 + (f/9.095 kHz)²) [S: corner]).
#[test]
fn what_a_speaker_hardly_gives_is_no_jump() {
    let into = |end: Kind| {
        let kinds = vec![
            ("guitar", Kind::Guitar(SC.guitar())),
            ("source", crate::rigs::buffer(1e6, 100.0)),
            ("drive", unit(Bypass::True, 1e6, 1e6, 25e3)),
            ("end", end),
        ];
        let mut project = project(chain(kinds, &[0.0, 0.0, 7.0], &bare_cable()));
        project.limits.long_lead = Metres::of(20.0);
        project
    };
    assert!(of(&into(amp(1e9, 0.0)), rules::TONE_JUMP).is_empty());
    let desk = into(Kind::Interface(Interface::of(input(1e9, 0.0))));
    let finding = only(&desk, rules::TONE_JUMP);
    let hz = finding.about.hz.unwrap();
    assert!(hz > 9.7e3 && hz <= 10e3, "{hz}");
    let fall = 10.0 * (1.0 + (hz / 9094.6).powi(2)).log10();
    assert!((number(&finding.text, "dB") + fall).abs() < 0.051, "{}, {fall}", finding.text);
    // No peak moves, so the level alone is told.
    assert!(finding.text.starts_with("Switching drive on makes the tone jump by −3."), "{}", finding.text);
}

/// At a test point the endpoints behind it say what is heard.
#[test]
fn a_test_point_hears_what_its_amp_gives() {
    let kinds = vec![
        ("guitar", Kind::Guitar(SC.guitar())),
        ("drive", unit(Bypass::True, 1e6, 1e6, 1e3)),
        ("amp", amp(1e6, 0.0)),
    ];
    let rig = chain(kinds, &[5.0, 6.0], &bare_cable());
    let lead = rig.leads[1].id;
    let heard = |rig: &rigwright_core::rig::Rig| {
        let point = TestPoint { lead, along: rigwright_core::units::Turn::of(0.5) };
        rigwright_core::states::heard_hz(rig, rigwright_core::states::Target::Point(point)).1
    };
    assert_eq!(heard(&rig), 5e3);
    let mut desk = rig.clone();
    desk.devices[2].kind = Kind::Interface(Interface::of(input(1e6, 0.0)));
    assert_eq!(heard(&desk), 10e3);
}

/// The player may say of each endpoint how far up it gives something.
#[test]
fn what_is_heard_is_set_at_the_endpoint() {
    let kinds = vec![
        ("guitar", Kind::Guitar(SC.guitar())),
        ("source", crate::rigs::buffer(1e6, 100.0)),
        ("drive", unit(Bypass::True, 1e6, 1e6, 25e3)),
        ("end", amp(1e9, 0.0)),
    ];
    let mut rig = chain(kinds, &[0.0, 0.0, 7.0], &bare_cable());
    let jumps = |rig: &rigwright_core::rig::Rig| {
        let mut project = project(rig.clone());
        project.limits.long_lead = Metres::of(20.0);
        of(&project, rules::TONE_JUMP).len()
    };
    assert_eq!(jumps(&rig), 0);
    // As above: 3.44 dB at 10 kHz.
    assert_eq!(set_field(&mut rig.devices[3], "heard_to", 10e3), Ok(true));
    assert_eq!(jumps(&rig), 1);
    // What is as usual again follows its kind.
    assert_eq!(set_field(&mut rig.devices[3], "heard_to", 5e3), Ok(true));
    assert_eq!((rig.devices[3].heard_to, jumps(&rig)), (None, 0));
    // What is no endpoint has none.
    assert_eq!(set_field(&mut rig.devices[2], "heard_to", 5e3), Ok(false));
}
