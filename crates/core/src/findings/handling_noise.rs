//! Coax that was made to lie still, used as the lead of a guitar.
//!
//! Bent or trodden on, its insulation rubs on the screen and charges; a guitar
//! lead has a conductive layer there. [memory, S: coax-noise]

use super::inspection::Inspection;
use super::rig_at_target::RigAtTarget;
use super::words::A_LEAD_TO_BUY;
use super::{About, Diagnosis, Remedy, Severity, SizedFinding, rules};
use crate::parts::{CablePart, catalogue};
use crate::rig::{Edit, Lead};
use crate::units::metres;

/// What takes its place.
const INSTEAD: &str = "everyday-guitar-lead";

pub fn check(inspection: &Inspection<'_>) -> Vec<SizedFinding> {
    let starts = inspection.now.plan.starts.iter().filter(|start| start.is_instrument && start.high_impedance);
    let leads = starts.filter_map(|start| inspection.now.rig.lead(start.wire.as_ref()?.lead?));
    leads.filter_map(|lead| told(inspection, lead, make(lead)?)).collect()
}

/// The catalogue's make of a lead, if moving it makes noise.
fn make(lead: &Lead) -> Option<&'static CablePart> {
    catalogue().cables.iter().find(|make| make.handling_noise && make.cable.name == lead.cable.name)
}

fn told(inspection: &Inspection<'_>, lead: &Lead, make: &CablePart) -> Option<SizedFinding> {
    let at_target: &RigAtTarget = &inspection.now;
    let noun = at_target.rig.device(lead.from.device)?.kind.noun();
    let part = catalogue().cable(INSTEAD)?;
    let changed = Lead { cable: part.cable.clone(), ..lead.clone() };
    let edit = Edit::SetLead { variant: inspection.question.variant.id, lead: Box::new(changed) };
    let fix = Remedy {
        words: format!("Use an everyday guitar lead of {}: no such noise", metres(lead.length.get())),
        gives_up: Some(A_LEAD_TO_BUY.to_owned()),
        edit: Some(edit),
    };
    let told = Diagnosis {
        why: "Coax is made to lie still; a guitar lead has a conductive layer under its screen that takes the charge \
              away when it is bent, and a pickup's impedance lets you hear the difference."
            .to_owned(),
        about: About { devices: vec![lead.from.device], leads: vec![lead.id], ..About::default() },
        remedies: vec![fix],
        ..Diagnosis::new(
            rules::HANDLING_NOISE,
            Severity::Know,
            format!(
                "The {noun}'s lead of {} is coax ({}): when it moves or is trodden on, it makes noise.",
                metres(lead.length.get()),
                make.name
            ),
        )
    };
    Some(SizedFinding::new(told, 1.0, 1.0))
}
