//! Nothing comes through, however the switches stand.

use super::inspection::Inspection;
use super::{About, Diagnosis, Severity, SizedFinding, rules};
use crate::response::{Silencer, silencers};
use crate::words::list;

pub fn check(inspection: &Inspection<'_>) -> Option<SizedFinding> {
    // All states were asked for and have an answer where a single one sounds.
    if inspection.states.is_some() || inspection.now.level_db(1000.0).is_some() {
        return None;
    }
    let request = inspection.now.request(&[]);
    let found = silencers(&request, inspection.now.endpoint());
    let reasons: Vec<String> = found.iter().filter_map(|one| one.told(&inspection.now.rig)).collect();
    let because = if reasons.is_empty() { String::new() } else { format!(": {}", list(&reasons)) };
    let has = |wanted: fn(&Silencer) -> bool| found.iter().any(wanted);
    let mut why = Vec::new();
    if has(|one| matches!(one, Silencer::NotFed(_))) {
        why.push("A stage that amplifies passes nothing without power; the Power screen feeds it.");
    }
    if has(|one| matches!(one, Silencer::VolumeAtZero(_) | Silencer::HeelDown(_) | Silencer::PickupAtZero(..))) {
        why.push("At 0 a volume control joins the signal to 0 V.");
    }
    if has(|one| matches!(one, Silencer::Mutes(_))) {
        why.push("A unit that mutes is to be switched off again: set it so that it doesn't stay on.");
    }
    if has(|one| matches!(one, Silencer::NoPickup(_))) {
        why.push("A selector that joins nothing leaves the lead open: give its position a pickup.");
    }
    if has(|one| matches!(one, Silencer::PickupsCancel(_))) {
        why.push("Two pickups alike of opposite sign leave nothing where a string is taken for the same at both.");
    }
    if found.is_empty() {
        why.push("On its way stands a short, an open jack or a level of nothing: look for a resistance of 0 Ω.");
    }
    // A volume at 0 is the player's own; a unit without power nobody wants.
    let severity =
        if has(|one| matches!(one, Silencer::NotFed(_) | Silencer::Mutes(_))) { Severity::Act } else { Severity::Know };
    let told = Diagnosis {
        why: why.join(" "),
        about: About { devices: found.iter().map(|one| one.device()).collect(), ..About::default() },
        ..Diagnosis::new(rules::SILENT, severity, format!("Nothing comes through in any footswitch state{because}."))
    };
    Some(SizedFinding::new(told, f64::INFINITY, 1.0))
}
