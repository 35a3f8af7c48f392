//! The jumps that a player minds ([`crate::states::worst_jump`]), as findings look at them.

use std::sync::Arc;

use super::scene::View;
use crate::cascade::LineCache;
use crate::rig::Limits;
use crate::states::{self, NoStates, Question, States};

/// The question of all states.
pub fn all(view: &View) -> Question {
    Question { rig: Arc::clone(&view.rig), controls: view.off.clone(), target: view.target, unfed: view.unfed.clone() }
}

/// All states while no unit is on that has a switch and whose gain depends on its source.
///
/// A fuzz with a low input takes the guitar's peak, and so a unit before it, on,
/// gives it back: that says nothing of leads, and of it another rule speaks.
pub fn without_fuzzes(view: &View, limits: &Limits, cache: &mut LineCache) -> Result<States, NoStates> {
    states::explore(&all(view).without_fuzzes(limits), cache)
}
