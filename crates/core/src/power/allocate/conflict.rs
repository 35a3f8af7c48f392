//! Units that can't all be fed, none of them to spare, and what cures it.

use std::collections::BTreeSet;

use super::Ground;
use super::allowance::Allowance;
use super::terms::{InUse, Terms};
use crate::power::question::{Allocation, Conflict, Cure, Question, Relaxation};
use crate::rig::{Device, DeviceId, Rig};
use crate::watch::{Part, Stopped, Watch};

/// A question whose best allocation leaves units without.
pub struct Whole<'a> {
    pub question: &'a Question,
    pub skeleton: &'a Rig,
    pub units: &'a [&'a Device],
    pub best: &'a Allocation,
}

impl Whole<'_> {
    /// A conflict of it.
    ///
    /// Deletion filter [textbook]: a unit without which the others still can't be
    /// fed isn't needed for the conflict; what is left when all were tried can't
    /// spare one.
    pub fn conflict(&self, in_use: &InUse, allowance: &Allowance<'_>, watch: &dyn Watch) -> Result<Conflict, Stopped> {
        let mut proved = self.best.proved;
        let mut kept: BTreeSet<DeviceId> = self.units.iter().map(|unit| unit.id).collect();
        let filter = allowance.part(0.6);
        let ground = self.ground(&Terms::lax(&self.question.rules, in_use), &filter);
        let most = Part { whole: watch, from: 0.0, to: 0.6 };
        let steps = self.units.len().max(1);
        for (at, unit) in self.units.iter().enumerate() {
            let part = Part { whole: &most, from: at as f64 / steps as f64, to: (at + 1) as f64 / steps as f64 };
            let share = filter.part(1.0 / (steps - at) as f64);
            match ground.feeds(&|other| other != unit.id && kept.contains(&other), &share, &part)? {
                Some(true) => {}
                Some(false) => {
                    kept.remove(&unit.id);
                }
                // Not known: it stays, and whether it is needed remains open.
                None => proved = false,
            }
        }
        drop(ground);
        let mut cures = vec![Cure::LeaveOut(self.best.unfed.clone())];
        let rest = Part { whole: watch, from: 0.6, to: 1.0 };
        let relaxed = || Relaxation::ALL.into_iter().filter_map(|one| Some((one, one.of(&self.question.rules)?)));
        let count = relaxed().count();
        for (at, (relaxation, rules)) in relaxed().enumerate() {
            // One that there are no steps left for isn't told.
            if allowance.is_spent() {
                break;
            }
            let part = Part { whole: &rest, from: at as f64 / count as f64, to: (at + 1) as f64 / count as f64 };
            let share = allowance.part(1.0 / (count - at) as f64);
            let ground = self.ground(&Terms::lax(&rules, &InUse::new()), &share);
            if ground.feeds(&|_| true, &share, &part)? == Some(true) {
                cures.push(Cure::Relax(relaxation));
            }
        }
        let units = self.units.iter().map(|unit| unit.id).filter(|unit| kept.contains(unit)).collect();
        Ok(Conflict { units, cures, proved })
    }

    fn ground(&self, terms: &Terms<'_>, allowance: &Allowance<'_>) -> Ground {
        Ground::of(self.skeleton, self.units, terms, &|_| false, allowance)
    }
}
