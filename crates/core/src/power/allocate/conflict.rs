//! Units that can't all be fed, none of them to spare, and what cures it.

use std::collections::BTreeSet;

use super::Ground;
use super::terms::{InUse, Terms};
use crate::power::question::{Allocation, Conflict, Cure, Question, Relaxation};
use crate::rig::{Device, DeviceId, Rig};
use crate::watch::{Part, Stopped, Watch};

/// A conflict of a question whose best allocation leaves units without.
///
/// Deletion filter [textbook]: a unit without which the others still can't be
/// fed isn't needed for the conflict; what is left when all were tried can't
/// spare one.
pub fn conflict(
    question: &Question,
    ground: &Ground,
    skeleton: &Rig,
    units: &[&Device],
    best: &Allocation,
    watch: &dyn Watch,
) -> Result<Conflict, Stopped> {
    let mut proved = best.proved;
    let mut kept: BTreeSet<DeviceId> = units.iter().map(|unit| unit.id).collect();
    let half = Part { whole: watch, from: 0.0, to: 0.6 };
    let steps = units.len().max(1) as f64;
    for (at, unit) in units.iter().enumerate() {
        let part = Part { whole: &half, from: at as f64 / steps, to: (at + 1) as f64 / steps };
        match ground.feeds(&|other| other != unit.id && kept.contains(&other), &part)? {
            Some(true) => {}
            Some(false) => {
                kept.remove(&unit.id);
            }
            // Not known: it stays, and whether it is needed remains open.
            None => proved = false,
        }
    }
    let mut cures = vec![Cure::LeaveOut(best.unfed.clone())];
    let rest = Part { whole: watch, from: 0.6, to: 1.0 };
    let count = Relaxation::ALL.len() as f64;
    for (at, relaxation) in Relaxation::ALL.into_iter().enumerate() {
        let part = Part { whole: &rest, from: at as f64 / count, to: (at + 1) as f64 / count };
        let Some(relaxed) = relaxation.of(&question.rules) else { continue };
        if Ground::of(skeleton, units, &Terms::lax(&relaxed, &InUse::new()), &|_| false).feeds(&|_| true, &part)?
            == Some(true)
        {
            cures.push(Cure::Relax(relaxation));
        }
    }
    let units = units.iter().map(|unit| unit.id).filter(|unit| kept.contains(unit)).collect();
    Ok(Conflict { units, cures, proved })
}
