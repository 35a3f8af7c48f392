//! Phantom power on an input into which something else than a microphone or a DI box is plugged.

use super::inspection::Inspection;
use super::mend;
use super::{About, Diagnosis, Remedy, Severity, SizedFinding, rules};
use crate::rig::{Device, Interface, Kind, Lead};

/// A microphone's input feeds each conductor 48 V over 6.81 kΩ. [standard, memory, S: phantom]
const MILLIAMPERES: f64 = 48.0 / 6.81;

pub fn check(inspection: &Inspection<'_>) -> Vec<SizedFinding> {
    inspection.now.rig.leads.iter().filter_map(|lead| told(inspection, lead)).collect()
}

fn told(inspection: &Inspection<'_>, lead: &Lead) -> Option<SizedFinding> {
    let rig = &inspection.now.rig;
    let (from, to) = (rig.device(lead.from.device)?, rig.device(lead.to.device)?);
    let Kind::Interface(inside) = &to.kind else { return None };
    // A transformer lets no direct current through.
    if !inside.phantom || matches!(from.kind, Kind::Transformer(_)) {
        return None;
    }
    let (giver, taker) = (inspection.now.name(to.id), inspection.now.name(from.id));
    let is_balanced = matches!(&from.kind, Kind::MultiEffects(unit) if unit.balanced);
    let (severity, text) = match is_balanced {
        true => (
            Severity::Act,
            format!(
                "{giver} puts 48 V of phantom power on the balanced output of {taker}: not every output stands that."
            ),
        ),
        false => (
            Severity::Danger,
            format!(
                "{giver} puts 48 V of phantom power on the output of {taker}, and over an unbalanced plug {MILLIAMPERES:.1} mA go to its 0 V."
            ),
        ),
    };
    let told = Diagnosis {
        why: "Phantom power is for microphones and DI boxes, which take it between both conductors and the screen; \
              an output stage that isn't made for it can be destroyed."
            .to_owned(),
        about: About { devices: vec![to.id, from.id], leads: vec![lead.id], ..About::default() },
        remedies: vec![switched_off(inspection, to, inside, &giver)],
        ..Diagnosis::new(rules::PHANTOM_POWER, severity, text)
    };
    Some(SizedFinding::new(told, 1.0, 1.0))
}

fn switched_off(inspection: &Inspection<'_>, device: &Device, inside: &Interface, name: &str) -> Remedy {
    let kind = Kind::Interface(Interface { phantom: false, ..*inside });
    let gives_up = "Microphones and DI boxes that it feeds at the same desk then need power of their own.".to_owned();
    Remedy {
        words: format!("Switch off the phantom power of {name}"),
        gives_up: Some(gives_up),
        edit: Some(mend::set(inspection, device.id, kind)),
    }
}
