//! Sends and returns, line levels and phantom power: what is told of them.

use rigwright_core::diagnosis::Severity;
use rigwright_core::findings::rules;
use rigwright_core::rig::{
    Amp, Bypass, EffectsLoop, InputFor, Interface, Jack, JackRef, Kind, Lead, LeadId, LineLevel, MultiEffects,
    Polarity, Rig,
};
use rigwright_core::units::{Decibels, Farads, Metres, Ohms, Seconds};

use super::{of, only, project, remedied, unit};
use crate::rigs::{SC, amp, bare_cable, chain, device, input, stage};

/// A guitar into an amp with a unit of so many seconds in its loop; what the loop is besides.
fn looped(seconds: f64, polarity: Polarity, change: impl FnOnce(&mut EffectsLoop)) -> Rig {
    let mut unit = unit(Bypass::True, 1e6, 1e6, 100.0);
    let inside = unit.pedal_mut().expect("a pedal");
    (inside.on.latency, inside.on.polarity) = (Seconds::of(seconds), polarity);
    let mut way = EffectsLoop { dry: Some(Decibels::of(0.0)), ..EffectsLoop::of(Ohms::of(0.0), input(1e6, 0.0)) };
    change(&mut way);
    let Kind::Amp(plain) = amp(1e6, 0.0) else { unreachable!() };
    let amp = Kind::Amp(Amp { effects_loop: Some(way), ..plain });
    let kinds = vec![("guitar", Kind::Guitar(SC.guitar())), ("amp", amp)];
    let mut rig = chain(kinds, &[5.0], &bare_cable());
    let (stage, pedal) = (rig.devices[1].id, device(7, "delay", unit));
    let at = |id, jack| JackRef::new(id, jack);
    let lead = |id, from, to| Lead { id: LeadId(id), from, to, length: Metres::of(0.0), cable: bare_cable() };
    rig.leads.push(lead(20, at(stage, Jack::Send(1)), at(pedal.id, Jack::In)));
    rig.leads.push(lead(21, at(pedal.id, Jack::Out), at(stage, Jack::Return(1))));
    rig.devices.push(pedal);
    rig
}

/// 2 ms apart: nothing at 250 and 750 Hz [S: comb].
#[test]
fn a_digital_unit_beside_the_dry_signal_combs() {
    let before = project(looped(2e-3, Polarity::Same, |_| {}));
    let finding = only(&before, rules::WAYS_CANCEL);
    assert_eq!(
        finding.text,
        "With delay on, two ways to amp, power stage arrive 2 ms apart and cancel at 250 Hz, 750 Hz and so on: a comb."
    );
    assert_eq!(finding.severity, Severity::Act);
    let fix = &finding.remedies[0];
    assert_eq!(fix.words, "Put the loop of amp in series: no comb left");
    assert!(of(&remedied(&before, fix), rules::WAYS_CANCEL).is_empty());
    // At once, or with all of it in the loop, nothing cancels.
    assert!(of(&project(looped(0.0, Polarity::Same, |_| {})), rules::WAYS_CANCEL).is_empty());
    assert!(of(&project(looped(2e-3, Polarity::Same, |way| way.dry = None)), rules::WAYS_CANCEL).is_empty());
}

/// 1 − ½ is a third of 1 + ½: 9.54 dB lost; 1 − 0.9 a nineteenth of 1.9: 25.6 dB [S: sums].
#[test]
fn what_comes_back_turned_over_is_against_the_dry_signal() {
    let with = |db: f64| {
        project(looped(0.0, Polarity::Same, |way| {
            (way.back_level, way.back_polarity) = (Decibels::of(db), Polarity::Inverted);
        }))
    };
    assert!(of(&with(-6.0206), rules::WAYS_CANCEL).is_empty());
    let before = with(20.0 * 0.9_f64.log10());
    let finding = only(&before, rules::WAYS_CANCEL);
    assert_eq!(
        finding.text,
        "Two ways to amp, power stage are against each other: 25.6 dB are lost of what they make up together."
    );
    let fix = &finding.remedies[0];
    assert_eq!(fix.words, "Turn over what comes back to amp: both ways push together");
    assert!(of(&remedied(&before, fix), rules::WAYS_CANCEL).is_empty());
    // A unit that turns it over while on, and not while off, is set right by nothing else.
    let unit = only(&project(looped(0.0, Polarity::Inverted, |_| {})), rules::WAYS_CANCEL);
    assert!(unit.text.starts_with("With delay on, two ways to amp, power stage are against each other: "));
    assert!(unit.remedies.is_empty());
}

/// From −10 dBV to +4 dBu it is 11.78 dB [S: levels].
#[test]
fn a_return_made_for_another_level_is_told() {
    let levels = |way: &mut EffectsLoop| {
        (way.send_gives, way.back_expects) = (Some(LineLevel::MinusTen), Some(LineLevel::PlusFour));
    };
    let before = project(looped(0.0, Polarity::Same, levels));
    let finding = only(&before, rules::LINE_LEVEL);
    assert_eq!(
        finding.text,
        "The send of amp gives −10 dBV and its return expects +4 dBu: what goes through the loop comes back 11.8 dB quieter."
    );
    assert!(of(&remedied(&before, &finding.remedies[0]), rules::LINE_LEVEL).is_empty());
}

fn to_the_desk(gives: Option<LineLevel>, balanced: bool, change: impl FnOnce(&mut Interface)) -> Rig {
    let unit = MultiEffects { gives, balanced, ..MultiEffects::of(stage(1e6, 100.0), Farads::of(0.0)) };
    let mut desk = Interface { is_desk: true, ..Interface::of(input(20e3, 0.0)) };
    change(&mut desk);
    let kinds = vec![
        ("guitar", Kind::Guitar(SC.guitar())),
        ("unit", Kind::MultiEffects(unit)),
        ("desk", Kind::Interface(desk)),
    ];
    chain(kinds, &[5.0, 5.0], &bare_cable())
}

/// +4 dBu is +1.78 dBV [S: levels]: 52 dB above the −50 dBV of a microphone.
#[test]
fn a_line_into_a_microphone_input_is_too_much() {
    let takes = |takes| move |desk: &mut Interface| desk.takes = takes;
    let before = project(to_the_desk(Some(LineLevel::PlusFour), true, takes(InputFor::Microphone)));
    let finding = only(&before, rules::LINE_LEVEL);
    assert_eq!(finding.text, "unit gives +4 dBu, and desk is set for a microphone: 52 dB too much: it distorts.");
    assert_eq!(finding.severity, Severity::Act);
    assert!(of(&remedied(&before, &finding.remedies[0]), rules::LINE_LEVEL).is_empty());
    // Into a line's input it is right, and where nobody says what it gives nothing is told.
    assert!(
        of(&project(to_the_desk(Some(LineLevel::PlusFour), true, takes(InputFor::Line))), rules::LINE_LEVEL).is_empty()
    );
    assert!(of(&project(to_the_desk(None, true, takes(InputFor::Microphone))), rules::LINE_LEVEL).is_empty());
}

/// 48 V over 6.81 kΩ: 7.05 mA [S: phantom].
#[test]
fn phantom_power_on_an_output_is_a_danger() {
    let phantom = |desk: &mut Interface| desk.phantom = true;
    let before = project(to_the_desk(None, false, phantom));
    let finding = only(&before, rules::PHANTOM_POWER);
    assert_eq!(
        finding.text,
        "desk puts 48 V of phantom power on the output of unit, and over an unbalanced plug 7.0 mA go to its 0 V."
    );
    assert_eq!(finding.severity, Severity::Danger);
    assert!(of(&remedied(&before, &finding.remedies[0]), rules::PHANTOM_POWER).is_empty());
    assert_eq!(only(&project(to_the_desk(None, true, phantom)), rules::PHANTOM_POWER).severity, Severity::Act);
    assert!(of(&project(to_the_desk(None, false, |_| {})), rules::PHANTOM_POWER).is_empty());
}
