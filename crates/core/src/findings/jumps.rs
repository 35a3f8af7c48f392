//! The jumps that a player minds ([`crate::states::worst_jump`]), as findings look at them.

use std::sync::Arc;

use super::rig_at_target::RigAtTarget;
use crate::cascade::LineCache;
use crate::rig::Limits;
use crate::states::{self, NoStates, Question, States};

/// The question of all states.
pub fn all(at_target: &RigAtTarget) -> Question {
    Question {
        rig: Arc::clone(&at_target.rig),
        controls: at_target.off.clone(),
        target: at_target.target,
        unfed: at_target.unfed.clone(),
    }
}

/// All states while no unit is on that has a switch and whose gain depends on its source.
///
/// A fuzz with a low input takes the guitar's peak, and so a unit before it, on,
/// gives it back: that says nothing of leads, and of it another rule speaks.
pub fn without_fuzzes(at_target: &RigAtTarget, limits: &Limits, cache: &mut LineCache) -> Result<States, NoStates> {
    states::explore(&all(at_target).without_fuzzes(limits), cache)
}
