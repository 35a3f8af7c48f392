//! A wah before a fuzz whose gain depends on its source.

use rigwright_core::diagnosis::Severity;
use rigwright_core::findings::rules;
use rigwright_core::rig::{Bypass, DeviceId, Kind, Rig, Treadle};

use super::{of, only, project, remedied, unit};
use crate::rigs::{SC, amp, bare_cable, chain};

fn wah(bypass: Bypass, output: f64) -> Kind {
    let Kind::Pedal(pedal) = unit(bypass, 1e6, 100e3, output) else { unreachable!() };
    Kind::Treadle(Treadle::Wah { pedal })
}

fn rig(wah: Kind, fuzz: f64) -> Rig {
    let kinds = vec![
        ("guitar", Kind::Guitar(SC.guitar())),
        ("wah", wah),
        ("fuzz", unit(Bypass::True, 1e6, fuzz, 1e3)),
        ("amp", amp(1e6, 0.0)),
    ];
    chain(kinds, &[5.0, 0.0, 0.0], &bare_cable())
}

/// 5 kΩ into 10 kΩ: 20·log10(15/10) = 3.52 dB [S: divider].
#[test]
fn it_has_a_sentence_of_its_own() {
    let before = project(rig(wah(Bypass::True, 5e3), 10e3));
    let finding = only(&before, rules::WAH_BEFORE_FUZZ);
    assert_eq!(
        finding.text,
        "With wah on, fuzz sees its output of 5 kΩ and not the guitar, and its own 10 kΩ take 3.5 dB of the sweep."
    );
    assert_eq!((finding.severity, finding.about.devices.clone()), (Severity::Know, vec![DeviceId(3), DeviceId(2)]));
    // It isn't told twice.
    assert!(of(&before, rules::BUFFER_BEFORE_FUZZ).is_empty());
    let fix = &finding.remedies[0];
    assert_eq!(fix.words, "Move fuzz before wah: it sees the guitar then");
    let gives_up = "wah then shapes what comes out of fuzz, and no longer what goes in.";
    assert_eq!(fix.gives_up.as_deref(), Some(gives_up));
    assert!(of(&remedied(&before, fix), rules::WAH_BEFORE_FUZZ).is_empty());
}

/// 1 kΩ into 10 kΩ takes 0.83 dB [S: divider], which is less than a sweep
/// shows; into 5 kΩ it takes 1.58.
#[test]
fn a_low_output_loses_no_sweep() {
    let text = |fuzz: f64| only(&project(rig(wah(Bypass::True, 1e3), fuzz)), rules::WAH_BEFORE_FUZZ).text;
    assert_eq!(text(10e3), "With wah on, fuzz sees its output of 1 kΩ and not the guitar.");
    assert!(text(5e3).ends_with("and its own 5 kΩ take 1.6 dB of the sweep."), "{}", text(5e3));
}

/// A fuzz that doesn't mind, a wah behind it, and one that always stands in the way, of which another rule tells.
#[test]
fn where_there_is_nothing_to_say() {
    assert!(of(&project(rig(wah(Bypass::True, 5e3), 1e6)), rules::WAH_BEFORE_FUZZ).is_empty());
    let buffered = project(rig(wah(Bypass::Buffered, 5e3), 10e3));
    assert!(of(&buffered, rules::WAH_BEFORE_FUZZ).is_empty());
    assert_eq!(only(&buffered, rules::BUFFER_BEFORE_FUZZ).severity, Severity::Act);
}
