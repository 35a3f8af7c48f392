//! Why a change that is only pointed at can't be done: said before it is asked for.

use std::sync::Arc;

use rigwright_core::rig::{Edit, Project, apply};

/// The last change that was pointed at, and what speaks against it.
#[derive(Debug, Default)]
pub struct Refusal {
    tried: Option<(Arc<Project>, Edit)>,
    why: Option<String>,
}

impl Refusal {
    /// What speaks against the change that was tried last.
    #[must_use]
    pub fn why(&self) -> Option<&str> {
        self.why.as_deref()
    }

    /// Tries a change out, if it isn't the one that was tried last.
    pub fn update(&mut self, project: &Arc<Project>, edit: Option<&Edit>) {
        let Some(edit) = edit else {
            *self = Self::default();
            return;
        };
        let same = self.tried.as_ref().is_some_and(|(last, tried)| Arc::ptr_eq(last, project) && tried == edit);
        if !same {
            self.why = apply(project, edit).err().map(|error| error.to_string());
            self.tried = Some((Arc::clone(project), edit.clone()));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rigwright_core::file;
    use rigwright_core::rig::Kind;

    #[test]
    fn what_speaks_against_a_change_is_said_and_forgotten_again() {
        let project = Arc::new(file::demo().unwrap());
        let variant = &project.variants[0];
        let guitar = variant.rig.devices.iter().find(|device| matches!(device.kind, Kind::Guitar(_))).unwrap().id;
        let onto = variant.rig.leads[3].id;
        let mut refusal = Refusal::default();
        refusal.update(&project, Some(&Edit::Move { variant: variant.id, device: guitar, onto }));
        assert_eq!(
            refusal.why(),
            Some("Guitar has no input and output to plug a lead through; join it to a free jack instead")
        );
        let tuner = variant.rig.devices[1].id;
        refusal.update(&project, Some(&Edit::Move { variant: variant.id, device: tuner, onto }));
        assert_eq!(refusal.why(), None);
        refusal.update(&project, Some(&Edit::Move { variant: variant.id, device: guitar, onto }));
        assert!(refusal.why().is_some());
        refusal.update(&project, None);
        assert_eq!(refusal.why(), None);
    }
}
