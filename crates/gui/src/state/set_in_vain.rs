//! Switches that the state in hand or a sound sets, and that the rig in hand
//! hasn't: looked at again when the project changed and not each frame.

use std::sync::Arc;

use rigwright_core::diagnosis::Diagnosis;
use rigwright_core::drawn::set_in_vain;
use rigwright_core::rig::{Project, VariantId};

/// Such switches, each as a diagnosis.
#[derive(Debug, Default)]
pub struct SetInVain {
    of: Option<(Arc<Project>, VariantId)>,
    found: Vec<Diagnosis>,
}

impl SetInVain {
    /// Looks at a project, if it isn't the one that was looked at last.
    pub fn update(&mut self, project: &Arc<Project>, showing: VariantId) {
        if self.of.as_ref().is_some_and(|(kept, shown)| Arc::ptr_eq(kept, project) && *shown == showing) {
            return;
        }
        self.found = project.variant(showing).map_or_else(Vec::new, |variant| set_in_vain(project, variant));
        self.of = Some((Arc::clone(project), showing));
    }

    /// As of the last update.
    #[must_use]
    pub fn told(&self) -> &[Diagnosis] {
        &self.found
    }
}
