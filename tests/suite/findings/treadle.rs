//! Passive volume pedals of the wrong kind.

use rigwright_core::diagnosis::Severity;
use rigwright_core::findings::rules;
use rigwright_core::rig::{Kind, Pot, Rig, Taper, Treadle};
use rigwright_core::units::{Farads, Ohms};

use super::{device, mended, of, only, project};
use crate::rigs::{HB, amp, bare_cable, buffer, chain};

fn treadle(ohms: f64) -> Kind {
    let pot = Pot::of(Ohms::of(ohms), Taper::Linear);
    Kind::Treadle(Treadle::PassiveVolume { pot, wiring: Farads::of(0.0) })
}

/// A buffer, a treadle, 600 pF and an amp that loads nothing.
fn after_a_buffer(ohms: f64) -> Rig {
    let kinds = vec![
        ("guitar", Kind::Guitar(HB.guitar())),
        ("buffer", buffer(1e6, 0.1)),
        ("treadle", treadle(ohms)),
        ("amp", amp(1e9, 0.0)),
    ];
    chain(kinds, &[0.0, 0.0, 6.0], &bare_cable())
}

/// HB, 500 pF, a treadle and an amp that loads nothing.
fn after_the_guitar(ohms: f64) -> Rig {
    let kinds = vec![("guitar", Kind::Guitar(HB.guitar())), ("treadle", treadle(ohms)), ("amp", amp(1e9, 0.0))];
    chain(kinds, &[5.0, 0.0], &bare_cable())
}

/// [S: volume-pedal]: 250 kΩ half-way into 600 pF falls from 4.2 kHz, 25 kΩ from 42 kHz.
#[test]
fn high_after_a_buffer() {
    let before = project(after_a_buffer(250e3));
    let finding = only(&before, rules::WRONG_TREADLE);
    // 1/(2π·62.5 kΩ·600 pF) = 4.244 kHz [S: corner]; 3 dB below the level at 200 Hz, and
    // not at none, is at √(1 + 2(0.2/4.244)²) of that: 4.254 kHz.
    assert_eq!(finding.text, "Turned down by 6 dB, treadle (250 kΩ) dulls what it drives: it falls from 4.25 kHz.");
    assert_eq!(finding.severity, Severity::Act);
    assert_eq!(
        finding.remedies[0].words,
        "Put a 25 kΩ volume pedal in the place of treadle: it then falls beyond 20 kHz only"
    );
    let after = mended(&before, &finding, "Put a 25 kΩ volume pedal");
    assert!(of(&after, rules::WRONG_TREADLE).is_empty());
    assert_eq!(device(&after, 3).name, "treadle");
    let after = mended(&before, &finding, "Put a buffer behind treadle");
    assert!(of(&after, rules::WRONG_TREADLE).is_empty());

    // 25 kΩ are right there: 42 kHz is beyond hearing.
    assert!(of(&project(after_a_buffer(25e3)), rules::WRONG_TREADLE).is_empty());
    // 200 kΩ is where it begins: 1/(2π·50 kΩ·600 pF) = 5.305 kHz [S: corner], 5.313 from 200 Hz.
    assert!(of(&project(after_a_buffer(199e3)), rules::WRONG_TREADLE).is_empty());
    assert!(only(&project(after_a_buffer(200e3)), rules::WRONG_TREADLE).text.ends_with("it falls from 5.31 kHz."));
}

/// 25 kΩ after a pickup takes its peak. [S: input-load]: HB with 500 pF into
/// 1 MΩ peaks at 5.806 dB, 2865 Hz, where 25 kΩ take 17.12 dB; into 100 kΩ at −0.624 dB.
#[test]
fn low_after_the_guitar() {
    let before = project(after_the_guitar(25e3));
    let finding = only(&before, rules::WRONG_TREADLE);
    let text = "treadle takes the guitar's peak: its 25 kΩ pot leaves 17.1 dB less at 2.86 kHz, toe down.";
    assert_eq!(finding.text, text);
    let after = mended(&before, &finding, "Put a 250 kΩ volume pedal in the place of treadle");
    assert!(of(&after, rules::WRONG_TREADLE).is_empty());

    let finding = only(&project(after_the_guitar(100e3)), rules::WRONG_TREADLE);
    assert_eq!(finding.text, "treadle takes 6.4 dB off the guitar's peak: its pot is 100 kΩ.");
    // Above 100 kΩ it is no treadle for after a buffer.
    assert!(of(&project(after_the_guitar(101e3)), rules::WRONG_TREADLE).is_empty());
    // And no other rule says the same.
    assert!(of(&project(after_the_guitar(25e3)), rules::LOADS_THE_GUITAR).is_empty());
}

/// Where a buffer stands behind it, it may also go there.
#[test]
fn a_low_treadle_behind_the_buffer_that_is_there() {
    let kinds = vec![
        ("guitar", Kind::Guitar(HB.guitar())),
        ("treadle", treadle(25e3)),
        ("buffer", buffer(1e6, 100.0)),
        ("amp", amp(1e6, 0.0)),
    ];
    let before = project(chain(kinds, &[5.0, 0.2, 6.0], &bare_cable()));
    let finding = only(&before, rules::WRONG_TREADLE);
    let fix = finding.remedies.iter().find(|fix| fix.words.starts_with("Move treadle")).expect("a move");
    let gives_up =
        "There it turns down what comes out of buffer, and no longer how hard the units before it are driven.";
    assert_eq!(fix.gives_up.as_deref(), Some(gives_up));
    let after = mended(&before, &finding, "Move treadle behind buffer: 0.0 dB left");
    assert!(of(&after, rules::WRONG_TREADLE).is_empty());
}
