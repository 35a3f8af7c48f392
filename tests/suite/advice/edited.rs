//! Rigs that are really edited, and what all states say of them.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::rig::{Edit, EditError, Id, Project, Rig, State, Variant, VariantId, apply};
use rigwright_core::states::{NoStates, Question, States, Target, explore};

/// The variant that edits are for.
pub const VARIANT: VariantId = VariantId(900_000);

/// A variant of a rig.
pub fn variant(rig: Rig) -> Variant {
    Variant::of(VARIANT, "rig", rig)
}

/// The variant after an edit.
pub fn edited(variant: &Variant, edit: &Edit) -> Result<Arc<Variant>, EditError> {
    let project = Project::around(Arc::new(variant.clone()), 1_000_000);
    Ok(Arc::clone(&apply(&project, edit)?.variants[0]))
}

/// An id that nothing has.
pub fn first_free(rig: &Rig) -> Id {
    let ids = rig.devices.iter().map(|device| device.id.0).chain(rig.leads.iter().map(|lead| lead.id.0));
    ids.max().unwrap_or(0).max(VARIANT.0) + 1
}

/// All states of a rig.
pub fn explored(rig: &Arc<Rig>, controls: &State, target: Target, cache: &mut LineCache) -> Result<States, NoStates> {
    explore(&Question { rig: Arc::clone(rig), controls: controls.clone(), target, unfed: Default::default() }, cache)
}

/// The largest rise or fall of any switch, in dB.
pub fn worst_db(states: &States) -> Option<f64> {
    states.jumps.iter().map(|jump| jump.rise.db.max(-jump.fall.db)).max_by(f64::total_cmp)
}
