//! What every rule is given: the rig as it is, what is asked of it, all its states,
//! and the same rig after an edit that is tried out.

use std::sync::Arc;

use super::FindingsQuestion;
use super::rig_at_target::RigAtTarget;
use crate::rig::{Edit, Id, Limits, Problem, Project, apply, signal_problems};
use crate::states::{States, Target};

/// A rig, what is asked of it, and all its states.
pub struct Inspection<'a> {
    /// What is asked.
    pub question: &'a FindingsQuestion,
    /// From where on a rule speaks.
    pub limits: &'a Limits,
    /// All states at the target, if anything sounds.
    pub states: Option<&'a States>,
    /// The rig as it is.
    pub now: RigAtTarget,
    /// The project that edits are tried out on.
    project: Project,
}

impl<'a> Inspection<'a> {
    /// None where there is nothing to judge: no signal gets to the target, or
    /// the rig is plugged in such that it can't be as drawn.
    pub fn of(question: &'a FindingsQuestion, states: Option<&'a States>) -> Option<Self> {
        let rig = &question.variant.rig;
        let can_be_judged = |problem: &Problem| {
            // A unit on its own, or another instrument's loose end, changes nothing here.
            matches!(problem, Problem::NotJoined { .. } | Problem::EndsNowhere { .. })
        };
        if !signal_problems(rig).iter().all(can_be_judged) {
            return None;
        }
        let off = question.controls.held(rig);
        let now = RigAtTarget::new(Arc::clone(rig), off.clone(), question.target, question.unfed.clone())?;
        let test_point = match question.target {
            Target::Point(point) => Some(point),
            Target::Endpoint(_) => None,
        };
        let project = Project::scratch(&question.variant);
        let project = Project { state: off, test_point, limits: question.limits, ..project };
        Some(Self { question, limits: &question.limits, states, now, project })
    }

    /// From here on what a fix brings in is numbered while it is tried out.
    pub fn first_free(&self) -> Id {
        self.project.next_id
    }

    /// The rig after an edit. None if it can't be done, the target is no longer
    /// reached, or an order of units that the player keeps would be lost.
    pub fn tried(&self, edit: &Edit) -> Option<RigAtTarget> {
        let after = apply(&self.project, edit).ok()?;
        let target = match self.now.target {
            Target::Endpoint(jack) => Target::Endpoint(jack),
            Target::Point(_) => Target::Point(after.test_point?),
        };
        let at_target = RigAtTarget::new(
            Arc::clone(&after.variants.first()?.rig),
            self.now.off.clone(),
            target,
            self.now.unfed.clone(),
        )?;
        let kept = self.question.variant.kept_orders.iter().all(|order| {
            !self.now.is_behind(order.before, order.behind) || at_target.is_behind(order.before, order.behind)
        });
        kept.then_some(at_target)
    }

    /// "at least ", unless every state was looked at.
    pub fn at_least(&self) -> &'static str {
        if self.states.is_some_and(|states| states.exact) { "" } else { "at least " }
    }
}
