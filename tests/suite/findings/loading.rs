//! Inputs that load the guitar.

use rigwright_core::diagnosis::Severity;
use rigwright_core::findings::rules;
use rigwright_core::rig::{Bypass, DeviceId, DirectBox, Input, Kind, Rig, Splitter, ToDesk, Treadle, Tuner};
use rigwright_core::units::{Decibels, Farads, Ohms, Ratio};

use super::{mended, of, only, project, remedied, unit};
use crate::rigs::{HB, amp, bare_cable, buffer, chain, device, input};

/// HB, 500 pF, one input and an amp that loads nothing.
fn into(kind: Kind) -> Rig {
    let kinds = vec![("guitar", Kind::Guitar(HB.guitar())), ("unit", kind), ("amp", amp(1e9, 0.0))];
    chain(kinds, &[5.0, 0.0], &bare_cable())
}

/// [S: input-load]: into 1 MΩ the peak is 5.806 dB, into 500 k 4.560, 200 k 1.828
/// and 100 k −0.624: 1.246, 3.978 and 6.430 dB less.
#[test]
fn even_off() {
    let at = |ohms: f64| of(&project(into(unit(Bypass::AlwaysLoading, ohms, 1e6, 1e3))), rules::LOADS_THE_GUITAR);
    assert!(at(500e3).is_empty());
    assert_eq!(at(200e3)[0].text, "unit, even off, takes 4.0 dB off the guitar's peak (200 kΩ).");
    let finding = at(100e3).remove(0);
    assert_eq!(finding.text, "unit, even off, takes 6.4 dB off the guitar's peak (100 kΩ).");
    assert_eq!(finding.severity, Severity::Act);
    // With 1 MΩ at 2865 Hz (half a hertz less is 2.86 kHz), 5.806 dB, and the level at 200 Hz is about −0.3 dB [S: whole-guitar, input-load].
    assert!(finding.why.contains("at 2.86 kHz"), "{}", finding.why);
}

#[test]
fn the_limit_is_the_players() {
    let mut project = project(into(unit(Bypass::AlwaysLoading, 200e3, 1e6, 1e3)));
    // 5.806 − 1.828 = 3.978 dB, printed to 0.001.
    project.limits.loading = Decibels::of(3.98);
    assert!(of(&project, rules::LOADS_THE_GUITAR).is_empty());
    project.limits.loading = Decibels::of(3.976);
    assert_eq!(of(&project, rules::LOADS_THE_GUITAR).len(), 1);
}

/// Where no maximum is left, the level at the peak is told. [S: input-load]: into 10 kΩ
/// 24.46 dB at the 2865 Hz where the peak would be.
#[test]
fn a_peak_that_is_gone() {
    let finding = only(&project(into(unit(Bypass::AlwaysLoading, 10e3, 1e6, 1e3))), rules::LOADS_THE_GUITAR);
    assert_eq!(finding.text, "unit, even off, takes the guitar's peak: 24.5 dB less at 2.86 kHz (10 kΩ).");
}

/// All that can hang on the guitar, each as 100 kΩ: 6.430 dB [S: input-load].
#[test]
fn every_kind_of_input_counts() {
    let load = input(100e3, 0.0);
    let hundred = |input: Input| Ohms::of(input.resistance.get());
    let kinds = [
        ("DI", Kind::DirectBox(DirectBox::Active { input: load, to_desk: ToDesk::default() })),
        // 10² · 1 kΩ [S: reflected-load].
        (
            "DI",
            Kind::DirectBox(DirectBox::Transformer {
                turns: Ratio::of(10.0),
                load: Ohms::of(1e3),
                to_desk: ToDesk::apart(),
            }),
        ),
        ("buffer", buffer(hundred(load).get(), 100.0)),
        ("buffered", unit(Bypass::Buffered, 100e3, 1e6, 1e3)),
    ];
    for (name, kind) in kinds {
        let finding = only(&project(into(kind)), rules::LOADS_THE_GUITAR);
        assert!(finding.text.contains("takes 6.4 dB off the guitar's peak (100 kΩ)"), "{name}: {}", finding.text);
    }
    // The amp itself, and a tuner that hangs on the second output of a splitter.
    let kinds = vec![("guitar", Kind::Guitar(HB.guitar())), ("amp", amp(100e3, 0.0))];
    let finding = only(&project(chain(kinds, &[5.0], &bare_cable())), rules::LOADS_THE_GUITAR);
    assert_eq!(finding.text, "amp takes 6.4 dB off the guitar's peak (100 kΩ).");
    let mut rig = into(Kind::Splitter(Splitter::Passive { wiring: Farads::of(0.0) }));
    rig.devices.push(device(9, "tap", Kind::Tuner(Tuner::Tap { input: load })));
    let mut lead = rig.leads[1].clone();
    lead.id = rigwright_core::rig::LeadId(77);
    (lead.from.jack, lead.to.device) = (rigwright_core::rig::Jack::SecondOut, DeviceId(9));
    rig.leads.push(lead);
    let finding = only(&project(rig), rules::LOADS_THE_GUITAR);
    assert_eq!(finding.text, "tap takes 6.4 dB off the guitar's peak (100 kΩ).");
}

/// On, it is good to know only.
#[test]
fn as_the_first_unit_on() {
    let finding = only(&project(into(unit(Bypass::True, 1e6, 200e3, 1e3))), rules::LOADS_THE_GUITAR);
    assert_eq!(finding.text, "unit, as the first unit on, takes 4.0 dB off the guitar's peak (200 kΩ).");
    assert_eq!((finding.severity, finding.remedies.len()), (Severity::Know, 0));
    // A fuzz is meant to.
    assert!(of(&project(into(unit(Bypass::True, 1e6, 10e3, 1e3))), rules::LOADS_THE_GUITAR).is_empty());
}

#[test]
fn what_mends_it() {
    // A buffer before it.
    let before = project(into(unit(Bypass::AlwaysLoading, 100e3, 1e6, 1e3)));
    let finding = only(&before, rules::LOADS_THE_GUITAR);
    assert_eq!(finding.remedies[0].words, "Put a buffer before unit: 0.0 dB left");
    assert!(of(&mended(&before, &finding, "Put a buffer"), rules::LOADS_THE_GUITAR).is_empty());

    // Its own switch inside, first.
    let mut kind = unit(Bypass::AlwaysLoading, 100e3, 1e6, 1e3);
    let Kind::Pedal(pedal) = &mut kind else { unreachable!() };
    pedal.selectable = vec![Bypass::True, Bypass::AlwaysLoading];
    let before = project(into(kind));
    let finding = only(&before, rules::LOADS_THE_GUITAR);
    assert_eq!(finding.remedies[0].words, "Set unit to true bypass: 0.0 dB left");
    assert!(of(&remedied(&before, &finding.remedies[0]), rules::LOADS_THE_GUITAR).is_empty());

    // Never a buffer before a fuzz.
    let finding = only(&project(into(unit(Bypass::AlwaysLoading, 100e3, 10e3, 1e3))), rules::LOADS_THE_GUITAR);
    assert!(finding.remedies.is_empty(), "{:?}", finding.remedies);

    // A buffer of low input is replaced.
    let before = project(into(buffer(100e3, 100.0)));
    let finding = only(&before, rules::LOADS_THE_GUITAR);
    assert_eq!(finding.remedies[0].words, "Put a buffer of 1 MΩ in the place of unit: 0.0 dB left");
    let after = remedied(&before, &finding.remedies[0]);
    assert_eq!(super::device(&after, 2).name, "unit");
    assert!(of(&after, rules::LOADS_THE_GUITAR).is_empty());
}

/// A passive treadle of 200 kΩ, toe down, hangs as 200 kΩ: 3.978 dB [S: input-load].
#[test]
fn a_treadle_with_its_toe_down() {
    let pot = rigwright_core::rig::Pot::of(Ohms::of(200e3), rigwright_core::rig::Taper::Linear);
    let before = project(into(Kind::Treadle(Treadle::PassiveVolume { pot, wiring: Farads::of(0.0) })));
    let finding = only(&before, rules::LOADS_THE_GUITAR);
    assert_eq!(finding.text, "unit takes 4.0 dB off the guitar's peak (200 kΩ pot, toe down).");
    // 500 kΩ take 1.246 dB.
    assert!(
        finding.remedies.iter().any(|fix| fix.words == "Put a 500 kΩ volume pedal in the place of unit: 1.2 dB left")
    );
    assert_eq!(finding.remedies[0].words, "Put a buffered volume pedal in the place of unit: 0.0 dB left");
}
