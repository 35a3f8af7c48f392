//! A buffer before a fuzz.

use num_complex::Complex64;
use rigwright_core::diagnosis::Severity;
use rigwright_core::findings::rules;
use rigwright_core::rig::{ActiveSource, Bypass, DeviceId, Instrument, KeptOrder, Kind, Rig, Wireless};
use rigwright_core::units::{Ohms, Ratio};

use super::{mended, of, only, project, remedied, unit};
use crate::rigs::{SC, amp, bare_cable, buffer, chain, stage};

fn fuzz() -> Kind {
    unit(Bypass::True, 1e6, 10e3, 1e3)
}

fn guitar() -> (&'static str, Kind) {
    ("guitar", Kind::Guitar(SC.guitar()))
}

fn rig(between: Kind) -> Rig {
    let kinds = vec![guitar(), ("buffer", between), ("fuzz", fuzz()), ("amp", amp(1e6, 0.0))];
    chain(kinds, &[5.0, 0.0, 0.0], &bare_cable())
}

/// The single coil's impedance at 1 kHz at the end of 500 pF, from its parts
/// [S: nodal]: 6 kΩ and 2.5 H, then side by side 100 pF, 250 kΩ with 22 nF,
/// 250 kΩ and 500 pF.
fn guitar_ohms() -> f64 {
    let w = std::f64::consts::TAU * 1000.0;
    let coil = Complex64::new(6e3, w * 2.5);
    let tone = Complex64::new(250e3, -1.0 / (w * 22e-9));
    let y = coil.inv() + tone.inv() + Complex64::new(1.0 / 250e3, w * 600e-12);
    y.inv().norm()
}

#[test]
fn a_buffer_before_a_fuzz() {
    let before = project(rig(buffer(1e6, 100.0)));
    let finding = only(&before, rules::BUFFER_BEFORE_FUZZ);
    let ohms = rigwright_core::units::engineering(guitar_ohms(), "Ω", 3);
    assert_eq!(
        finding.text,
        format!("buffer stands before fuzz, which sees 100 Ω at 1 kHz instead of the guitar's {ohms}.")
    );
    assert_eq!(finding.severity, Severity::Act);
    assert_eq!(finding.about.devices, [DeviceId(3), DeviceId(2)]);
    assert_eq!(finding.remedies[0].words, "Move fuzz before buffer: it sees the guitar then");
    let after = mended(&before, &finding, "Move fuzz");
    assert!(of(&after, rules::BUFFER_BEFORE_FUZZ).is_empty());
    let behind: Vec<&str> = after.variants[0]
        .rig
        .leads
        .iter()
        .map(|lead| after.variants[0].rig.device(lead.to.device).unwrap().name.as_str())
        .collect();
    assert_eq!(behind, ["fuzz", "buffer", "amp"]);
}

#[test]
fn a_buffered_bypass_that_can_be_true() {
    let mut between = unit(Bypass::Buffered, 1e6, 1e6, 1e3);
    let Kind::Pedal(pedal) = &mut between else { unreachable!() };
    pedal.selectable = vec![Bypass::True, Bypass::Buffered];
    let before = project(rig(between));
    let finding = only(&before, rules::BUFFER_BEFORE_FUZZ);
    assert!(finding.text.contains("sees 1 kΩ at 1 kHz"), "{}", finding.text);
    let after = mended(&before, &finding, "Set buffer to true bypass");
    // It still hides the guitar while it is on, which is good to know.
    assert_eq!(only(&after, rules::BUFFER_BEFORE_FUZZ).severity, Severity::Know);
}

/// [S: fuzz-input]: the gain of a fuzz with 5-20 kΩ depends on its source: up to
/// there it does unless the player says otherwise, of all or of one.
#[test]
fn the_limit_is_the_players() {
    let with = |ohms: f64| {
        let kinds = vec![
            guitar(),
            ("buffer", buffer(1e6, 100.0)),
            ("fuzz", unit(Bypass::True, 1e6, ohms, 1e3)),
            ("amp", amp(1e6, 0.0)),
        ];
        project(chain(kinds, &[5.0, 0.0, 0.0], &bare_cable()))
    };
    assert_eq!(of(&with(20e3), rules::BUFFER_BEFORE_FUZZ).len(), 1);
    assert!(of(&with(20.1e3), rules::BUFFER_BEFORE_FUZZ).is_empty());
    let mut narrower = with(20e3);
    narrower.limits.fuzz = Ohms::of(15e3);
    assert!(of(&narrower, rules::BUFFER_BEFORE_FUZZ).is_empty());
}

/// A unit may say so itself, whatever its input: ohms alone don't tell.
#[test]
fn the_unit_itself_has_the_last_word() {
    let with = |ohms: f64, says: Option<bool>| {
        let mut fuzz = unit(Bypass::True, 1e6, ohms, 1e3);
        let Kind::Pedal(pedal) = &mut fuzz else { unreachable!() };
        pedal.gain_by_source = says;
        let kinds = vec![guitar(), ("buffer", buffer(1e6, 100.0)), ("fuzz", fuzz), ("amp", amp(1e6, 0.0))];
        of(&project(chain(kinds, &[5.0, 0.0, 0.0], &bare_cable())), rules::BUFFER_BEFORE_FUZZ).len()
    };
    assert_eq!([with(10e3, None), with(10e3, Some(true)), with(10e3, Some(false))], [1, 1, 0]);
    assert_eq!([with(100e3, None), with(100e3, Some(true)), with(100e3, Some(false))], [0, 1, 0]);
}

#[test]
fn only_while_another_unit_is_on() {
    let before = project(rig(unit(Bypass::True, 1e6, 1e6, 1e3)));
    let finding = only(&before, rules::BUFFER_BEFORE_FUZZ);
    assert_eq!(finding.severity, Severity::Know);
    assert_eq!(finding.text, "buffer before fuzz (an input of 10 kΩ) hides the guitar from it while it is on.");
    assert!(of(&remedied(&before, &finding.remedies[0]), rules::BUFFER_BEFORE_FUZZ).is_empty());
    // The guitar straight into the fuzz is as it should be.
    let kinds = vec![guitar(), ("fuzz", fuzz()), ("amp", amp(1e6, 0.0))];
    assert!(of(&project(chain(kinds, &[5.0, 0.0], &bare_cable())), rules::BUFFER_BEFORE_FUZZ).is_empty());
}

/// A unit that stays on stands there always.
#[test]
fn a_unit_that_stays_on() {
    let mut before = rig(unit(Bypass::True, 1e6, 1e6, 1e3));
    before.devices[1].stays_on = true;
    assert_eq!(only(&project(before), rules::BUFFER_BEFORE_FUZZ).severity, Severity::Act);
}

/// A fuzz can't go before what hangs on the strap, nor where the player wants another order.
#[test]
fn what_a_fix_respects() {
    let wireless = Kind::Wireless(Wireless { stage: stage(1e6, 1e3) });
    let finding = only(&project(rig(wireless)), rules::BUFFER_BEFORE_FUZZ);
    assert!(finding.remedies.is_empty(), "{:?}", finding.remedies);

    let mut kept = project(rig(buffer(1e6, 100.0)));
    let variant = std::sync::Arc::make_mut(&mut kept.variants[0]);
    variant.kept_orders.insert(KeptOrder { before: DeviceId(2), behind: DeviceId(3) });
    assert!(only(&kept, rules::BUFFER_BEFORE_FUZZ).remedies.is_empty());
}

/// An instrument with electronics of its own has no pickup to show.
#[test]
fn an_active_instrument() {
    let source = ActiveSource::of(Instrument::Bass, Ohms::of(1e3), Ratio::of(1.0));
    let kinds = vec![("bass", Kind::Active(source)), ("fuzz", fuzz()), ("amp", amp(1e6, 0.0))];
    let finding = only(&project(chain(kinds, &[5.0, 0.0], &bare_cable())), rules::BUFFER_BEFORE_FUZZ);
    assert_eq!((finding.severity, finding.remedies.len()), (Severity::Know, 0));
    assert!(finding.text.starts_with("bass drives fuzz from 1 kΩ at 1 kHz"), "{}", finding.text);
}
