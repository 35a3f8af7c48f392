//! What is picked out for the keyboard and the panel at the side.

use std::collections::BTreeSet;

use rigwright_core::rig::{DeviceId, Id, LeadId, NoteId, Variant, resolved_id};

/// One thing that can be selected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Selected {
    /// A device.
    Device(DeviceId),
    /// A lead.
    Lead(LeadId),
    /// A note on the sheet.
    Note(NoteId),
}

impl Selected {
    /// The same with the id that stands for its placeholder, counted from `free`.
    #[must_use]
    pub fn resolved(self, free: Id) -> Self {
        match self {
            Self::Device(DeviceId(id)) => Self::Device(DeviceId(resolved_id(id, free))),
            Self::Lead(LeadId(id)) => Self::Lead(LeadId(resolved_id(id, free))),
            Self::Note(NoteId(id)) => Self::Note(NoteId(resolved_id(id, free))),
        }
    }

    fn is_in(self, variant: &Variant) -> bool {
        match self {
            Self::Device(id) => variant.rig.device(id).is_some(),
            Self::Lead(id) => variant.rig.lead(id).is_some(),
            Self::Note(id) => variant.note(id).is_some(),
        }
    }
}

/// The selection: nothing, one thing or several. No undo brings it back.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Selection {
    /// All that is selected.
    items: BTreeSet<Selected>,
    /// Of those the one that was picked last: from it the arrow keys go on.
    last: Option<Selected>,
}

impl Selection {
    /// One thing, or nothing.
    #[must_use]
    pub fn of(item: Option<Selected>) -> Self {
        Self { items: item.into_iter().collect(), last: item }
    }

    /// Several; the last of them counts as picked last.
    #[must_use]
    pub fn of_all(items: impl IntoIterator<Item = Selected>) -> Self {
        let items: Vec<_> = items.into_iter().collect();
        let last = items.last().copied();
        Self { items: items.into_iter().collect(), last }
    }

    /// One thing more; one that is selected already is left out from now on.
    pub fn toggle(&mut self, item: Selected) {
        if self.items.remove(&item) {
            if self.last == Some(item) {
                self.last = self.items.last().copied();
            }
        } else {
            self.items.insert(item);
            self.last = Some(item);
        }
    }

    /// Forgets what is no longer in the variant.
    pub fn retain(&mut self, variant: &Variant) {
        self.items.retain(|item| item.is_in(variant));
        self.last = self.last.filter(|item| self.items.contains(item)).or(self.items.last().copied());
    }

    /// Whether something is selected.
    #[must_use]
    pub fn contains(&self, item: Selected) -> bool {
        self.items.contains(&item)
    }

    /// Whether nothing is.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.items.is_empty()
    }

    /// Whether it is more than one thing.
    #[must_use]
    pub fn is_several(&self) -> bool {
        self.items.len() > 1
    }

    /// All of it, in no order that means something.
    pub fn items(&self) -> impl Iterator<Item = Selected> + '_ {
        self.items.iter().copied()
    }

    /// What was picked last.
    #[must_use]
    pub fn last(&self) -> Option<Selected> {
        self.last
    }

    /// The one thing that is selected, if it is one.
    #[must_use]
    pub fn item(&self) -> Option<Selected> {
        self.last.filter(|_| !self.is_several())
    }

    /// That, if it is a device.
    #[must_use]
    pub fn device(&self) -> Option<DeviceId> {
        match self.item() {
            Some(Selected::Device(id)) => Some(id),
            _ => None,
        }
    }

    /// That, if it is a lead.
    #[must_use]
    pub fn lead(&self) -> Option<LeadId> {
        match self.item() {
            Some(Selected::Lead(id)) => Some(id),
            _ => None,
        }
    }

    /// That, if it is a note.
    #[must_use]
    pub fn note(&self) -> Option<NoteId> {
        match self.item() {
            Some(Selected::Note(id)) => Some(id),
            _ => None,
        }
    }

    /// All notes that are selected.
    #[must_use]
    pub fn notes(&self) -> BTreeSet<NoteId> {
        let note = |item: &Selected| if let Selected::Note(id) = item { Some(*id) } else { None };
        self.items.iter().filter_map(note).collect()
    }

    /// All devices that are selected.
    #[must_use]
    pub fn devices(&self) -> BTreeSet<DeviceId> {
        let device = |item: &Selected| if let Selected::Device(id) = item { Some(*id) } else { None };
        self.items.iter().filter_map(device).collect()
    }

    /// All leads that are selected.
    #[must_use]
    pub fn leads(&self) -> BTreeSet<LeadId> {
        let lead = |item: &Selected| if let Selected::Lead(id) = item { Some(*id) } else { None };
        self.items.iter().filter_map(lead).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rigwright_core::rig::{Rig, VariantId};

    #[test]
    fn what_is_gone_is_no_longer_selected() {
        let project = rigwright_core::file::blank().unwrap();
        let (variant, nothing) = (&project.variants[0], Variant::of(VariantId(1), "nothing", Rig::default()));
        let rig = &variant.rig;
        let (device, lead) = (rig.devices[0].id, rig.leads[0].id);
        for item in [Selected::Device(device), Selected::Lead(lead)] {
            let mut selection = Selection::of(Some(item));
            selection.retain(variant);
            assert_eq!(selection.item(), Some(item));
            selection.retain(&nothing);
            assert_eq!((selection.item(), selection.is_empty()), (None, true));
        }
        let selection = Selection::of(Some(Selected::Lead(lead)));
        assert_eq!((selection.device(), selection.lead()), (None, Some(lead)));
    }

    #[test]
    fn of_several_none_is_the_one() {
        let [one, two, lead] =
            [Selected::Device(DeviceId(1)), Selected::Device(DeviceId(2)), Selected::Lead(LeadId(3))];
        let mut selection = Selection::of(Some(one));
        selection.toggle(lead);
        assert_eq!((selection.item(), selection.last(), selection.device()), (None, Some(lead), None));
        selection.toggle(two);
        assert_eq!(selection.devices(), [DeviceId(1), DeviceId(2)].into());
        assert_eq!(selection.leads(), [LeadId(3)].into());
        selection.toggle(two);
        selection.toggle(lead);
        assert_eq!((selection.item(), selection.is_several()), (Some(one), false));
        selection.toggle(one);
        assert!(selection.is_empty() && selection.last().is_none());
        assert_eq!(Selection::of_all([two, one]).last(), Some(one));
    }
}
