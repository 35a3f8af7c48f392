//! How large a rig may be for findings to be looked for in it.

use super::inspection::Inspection;
use super::{About, Diagnosis, Severity, rules};
use crate::states::{self, Question};

/// Findings are looked for where that takes no more steps, of a few nanoseconds' tenths.
pub const MOST_WORK: u64 = 1 << 30;

/// All states are gone through so often, at most, while fixes are tried out.
const TRIALS: u64 = 12;
/// What trying out one edit costs for each device of the rig.
const EDIT: u64 = 1 << 13;
/// What one of the questions costs that are asked of three devices at a time.
const ASKED: u64 = 16;

/// What looking for findings takes at most, in steps.
pub fn work(inspection: &Inspection<'_>) -> u64 {
    let now = &inspection.now;
    let states =
        Question { rig: now.rig.clone(), controls: now.off.clone(), target: now.target, unfed: now.unfed.clone() };
    let stations = now.plan.stations.len() as u64;
    let edits = stations.saturating_pow(2).saturating_mul(EDIT);
    let asked = stations.saturating_pow(3).saturating_mul(ASKED);
    states::work(&states).saturating_mul(TRIALS).saturating_add(edits).saturating_add(asked)
}

/// What is said in their place.
pub fn too_large(inspection: &Inspection<'_>, most: u64) -> Diagnosis {
    let devices = inspection.now.plan.stations.len();
    let instead = if most < MOST_WORK {
        "Where many such rigs are looked at together each gets less of it than one that is looked at by itself."
    } else {
        "Levels, curves and jumps are told all the same."
    };
    Diagnosis {
        why: format!(
            "They are looked for in rigs of up to about 110 true-bypass units or 250 buffered ones one behind another. \
             {instead}"
        ),
        about: About { devices: Vec::new(), ..About::default() },
        ..Diagnosis::new(
            rules::TOO_LARGE,
            Severity::Know,
            format!("This rig is too large for findings: its signal gets to {devices} inputs."),
        )
    }
}
