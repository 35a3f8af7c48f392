//! Units that can't all be fed, none of them to spare, and what cures it.

use std::collections::BTreeMap;

use rigwright_search::{Allowance, deletion_filter};

use super::model::Model;
use super::terms::{InUse, Terms};
use crate::power::question::{Allocation, AllocationQuestion, Conflict, Cure, Relaxation};
use crate::rig::{Device, DeviceId, Rig};
use crate::watch::{Part, Stopped, Watch};

/// A question whose best allocation leaves units without.
pub struct Shortfall<'a> {
    /// What was asked.
    pub question: &'a AllocationQuestion,
    /// The rig without its supply leads.
    pub skeleton: &'a Rig,
    /// The units that want to be fed.
    pub units: &'a [&'a Device],
    /// The best that was found.
    pub best: &'a Allocation,
}

impl Shortfall<'_> {
    /// A conflict of it: none of its units is to spare, as far as that is proved.
    pub fn conflict(&self, in_use: &InUse, allowance: &Allowance<'_>, watch: &dyn Watch) -> Result<Conflict, Stopped> {
        let filter = allowance.part(0.6);
        let model = self.model(&Terms::lax(&self.question.rules, in_use), &filter);
        let numbers: BTreeMap<DeviceId, usize> = self.units.iter().map(|unit| unit.id).zip(0..).collect();
        let most = Part { whole: watch, from: 0.0, to: 0.6 };
        let feeds = &mut |chosen: &[bool], share: &Allowance<'_>, part: &dyn Watch| {
            model.feeds(&|id| numbers.get(&id).is_some_and(|at| chosen[*at]), share, part)
        };
        let found = deletion_filter(self.units.len(), feeds, &filter, &most)?;
        drop(model);
        let mut cures = vec![Cure::LeaveOut(self.best.unfed.clone())];
        let rest = Part { whole: watch, from: 0.6, to: 1.0 };
        let relaxed = || Relaxation::ALL.into_iter().filter_map(|one| Some((one, one.of(&self.question.rules)?)));
        let count = relaxed().count();
        for (at, (relaxation, rules)) in relaxed().enumerate() {
            // One that there are no steps left for isn't told.
            if allowance.is_spent() {
                break;
            }
            let part = Part::of(&rest, at, count);
            let share = allowance.part(1.0 / (count - at) as f64);
            let model = self.model(&Terms::lax(&rules, &InUse::new()), &share);
            if model.feeds(&|_| true, &share, &part)? == Some(true) {
                cures.push(Cure::Relax(relaxation));
            }
        }
        let units = found.members.into_iter().map(|at| self.units[at].id).collect();
        Ok(Conflict { units, cures, proved: found.proved && self.best.proved })
    }

    fn model(&self, terms: &Terms<'_>, allowance: &Allowance<'_>) -> Model {
        Model::of(self.skeleton, self.units, terms, &|_| false, allowance)
    }
}
