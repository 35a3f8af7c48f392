//! Units that can't all be fed, none of them to spare, and what cures it.

use super::feasible;
use crate::power::question::{Allocation, Conflict, Cure, Question, Relaxation};
use crate::rig::{Device, Rig};
use crate::watch::{Part, Stopped, Watch};

/// A conflict of a question whose best allocation leaves units without.
///
/// Deletion filter [textbook]: a unit without which the others still can't be
/// fed isn't needed for the conflict; what is left when all were tried can't
/// spare one.
pub fn conflict(
    question: &Question,
    skeleton: &Rig,
    units: &[&Device],
    best_way: &Allocation,
    watch: &dyn Watch,
) -> Result<Conflict, Stopped> {
    let mut proved = best_way.proved;
    let mut kept: Vec<&Device> = units.to_vec();
    // A unit that nothing here feeds is a conflict by itself.
    let half = Part { whole: watch, from: 0.0, to: 0.6 };
    let steps = units.len().max(1) as f64;
    for (at, unit) in units.iter().enumerate() {
        let part = Part { whole: &half, from: at as f64 / steps, to: (at + 1) as f64 / steps };
        let without: Vec<&Device> = kept.iter().copied().filter(|other| other.id != unit.id).collect();
        match feasible(skeleton, &without, &question.rules, false, &part)? {
            Some(true) => {}
            Some(false) => kept = without,
            // Not known: it stays, and whether it is needed remains open.
            None => proved = false,
        }
    }
    let mut cures = vec![Cure::LeaveOut(best_way.unfed.clone())];
    let rest = Part { whole: watch, from: 0.6, to: 1.0 };
    let count = Relaxation::ALL.len() as f64;
    for (at, relaxation) in Relaxation::ALL.into_iter().enumerate() {
        let part = Part { whole: &rest, from: at as f64 / count, to: (at + 1) as f64 / count };
        let Some(relaxed) = relaxation.of(&question.rules) else { continue };
        if feasible(skeleton, units, &relaxed, false, &part)? == Some(true) {
            cures.push(Cure::Relax(relaxation));
        }
    }
    Ok(Conflict { units: kept.iter().map(|unit| unit.id).collect(), cures, proved })
}
