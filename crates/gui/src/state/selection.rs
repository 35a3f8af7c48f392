//! What is picked out for the keyboard and the panel at the side.

use rigwright_core::rig::{DeviceId, Id, LeadId, Rig, resolved_id};

/// One thing that can be selected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Selected {
    /// A device.
    Device(DeviceId),
    /// A lead.
    Lead(LeadId),
}

impl Selected {
    /// The same with the id that stands for its placeholder, counted from `free`.
    #[must_use]
    pub fn resolved(self, free: Id) -> Self {
        match self {
            Self::Device(DeviceId(id)) => Self::Device(DeviceId(resolved_id(id, free))),
            Self::Lead(LeadId(id)) => Self::Lead(LeadId(resolved_id(id, free))),
        }
    }
}

/// The selection: one thing, or nothing. No undo brings it back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Selection {
    /// What is selected.
    pub item: Option<Selected>,
}

impl Selection {
    /// Forgets what is no longer in the rig.
    pub fn retain(&mut self, rig: &Rig) {
        self.item = self.item.filter(|item| match item {
            Selected::Device(id) => rig.device(*id).is_some(),
            Selected::Lead(id) => rig.lead(*id).is_some(),
        });
    }

    /// The device, if it is one.
    #[must_use]
    pub fn device(&self) -> Option<DeviceId> {
        match self.item {
            Some(Selected::Device(id)) => Some(id),
            _ => None,
        }
    }

    /// The lead, if it is one.
    #[must_use]
    pub fn lead(&self) -> Option<LeadId> {
        match self.item {
            Some(Selected::Lead(id)) => Some(id),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_gone_is_no_longer_selected() {
        let project = rigwright_core::file::blank().unwrap();
        let rig = &project.variants[0].rig;
        let (device, lead) = (rig.devices[0].id, rig.leads[0].id);
        for item in [Selected::Device(device), Selected::Lead(lead)] {
            let mut selection = Selection { item: Some(item) };
            selection.retain(rig);
            assert_eq!(selection.item, Some(item));
            selection.retain(&Rig::default());
            assert_eq!(selection.item, None);
        }
        let selection = Selection { item: Some(Selected::Lead(lead)) };
        assert_eq!((selection.device(), selection.lead()), (None, Some(lead)));
    }
}
