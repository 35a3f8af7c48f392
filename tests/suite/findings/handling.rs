//! Coax as the lead of a guitar.

use rigwright_core::diagnosis::Severity;
use rigwright_core::findings::rules;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{ActiveSource, Cable, Instrument, Kind, LeadId};
use rigwright_core::units::{Ohms, Ratio};

use super::{of, only, project, remedied};
use crate::rigs::{SC, amp, chain};

fn make(key: &str) -> Cable {
    catalogue().cable(key).expect("the catalogue has it").cable.clone()
}

/// [S: coax-noise]: coax for fixed installation makes noise when it moves, a guitar lead doesn't.
#[test]
fn coax_makes_noise_when_it_moves() {
    let from = |instrument: Kind, key: &str| {
        project(chain(vec![("guitar", instrument), ("amp", amp(1e6, 0.0))], &[6.0], &make(key)))
    };
    for key in ["studio-coax", "low-capacitance-coax", "thin-coax-patch-lead"] {
        let before = from(Kind::Guitar(SC.guitar()), key);
        let finding = only(&before, rules::HANDLING_NOISE);
        assert_eq!((finding.severity, finding.about.leads.clone()), (Severity::Know, vec![LeadId(1001)]));
        assert!(finding.text.starts_with("The guitar's lead of 6 m is coax ("), "{}", finding.text);
        assert!(of(&remedied(&before, &finding.remedies[0]), rules::HANDLING_NOISE).is_empty());
    }
    for key in ["everyday-guitar-lead", "low-capacitance-lead", "coiled-lead", "old-lead"] {
        assert!(of(&from(Kind::Guitar(SC.guitar()), key), rules::HANDLING_NOISE).is_empty(), "{key}");
    }
    // At a low impedance it isn't heard.
    let source = ActiveSource::of(Instrument::Bass, Ohms::of(1e3), Ratio::of(1.0));
    assert!(of(&from(Kind::Active(source), "studio-coax"), rules::HANDLING_NOISE).is_empty());
}
