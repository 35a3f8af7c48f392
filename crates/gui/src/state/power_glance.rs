//! What a look at a rig's power says where the Power screen isn't open: what can
//! destroy something, and how much there is to act on.

use std::sync::Arc;

use rigwright_core::diagnosis::Severity;
use rigwright_core::power::{Headroom, PowerProblem, check_at};
use rigwright_core::rig::{Limits, MainsSupply, Project, Rig, VariantId};

use super::power_answers::to_tell;

/// Up to so many devices a rig is looked at on every change; of a larger one the
/// Power screen tells.
const MOST: usize = 300;

/// The problems of power of the rig in hand, as of the last update.
#[derive(Debug, Default)]
pub struct PowerGlance {
    of: Option<(Arc<Rig>, Limits, MainsSupply)>,
    dangers: Vec<(PowerProblem, String)>,
    to_act_on: usize,
    unfed: usize,
}

impl PowerGlance {
    /// Looks at the rig in hand, if anything that counts has changed.
    pub fn update(&mut self, project: &Project, showing: VariantId) {
        let Some(variant) = project.variant(showing) else { return *self = Self::default() };
        let same = |(rig, limits, mains): &(Arc<Rig>, Limits, MainsSupply)| {
            Arc::ptr_eq(rig, &variant.rig) && *limits == project.limits && *mains == project.mains
        };
        if self.of.as_ref().is_some_and(same) {
            return;
        }
        *self = Self { of: Some((Arc::clone(&variant.rig), project.limits, project.mains.clone())), ..Self::default() };
        if variant.rig.devices.len() > MOST {
            return;
        }
        let rig = &variant.rig;
        let check = check_at(rig, &Headroom::of(&project.limits), &project.mains);
        for problem in to_tell(&check) {
            match problem.severity {
                Severity::Danger => self.dangers.push((*problem, problem.words(rig))),
                Severity::Act => self.to_act_on += 1,
                Severity::Know => {}
            }
        }
        // Where no supply is drawn nobody forgot to plug anything in.
        self.unfed = if rig.supplies().next().is_some() { check.unfed.len() } else { 0 };
    }

    /// What can destroy something, each in a sentence.
    #[must_use]
    pub fn dangers(&self) -> &[(PowerProblem, String)] {
        &self.dangers
    }

    /// "2 to act on, 1 not fed"; none where there is neither.
    #[must_use]
    pub fn rest(&self) -> Option<String> {
        let parts = [(self.to_act_on, "to act on"), (self.unfed, "not fed")];
        let said = parts.iter().filter(|(count, _)| *count > 0).map(|(count, words)| format!("{count} {words}"));
        let said: Vec<String> = said.collect();
        (!said.is_empty()).then(|| said.join(", "))
    }
}
