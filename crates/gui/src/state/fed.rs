//! Who gets no power in each variant, and whether that counts: looked at again
//! when a rig changed and not each frame.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rigwright_core::rig::{DeviceId, Feeding, Project, Rig, VariantId, unfed_carriers};

/// Who gets no power, and whether that counts.
#[derive(Debug, Default)]
pub struct Fed {
    feeding: Feeding,
    kept: BTreeMap<VariantId, Kept>,
}

/// The devices of a rig that get no power.
#[derive(Debug)]
struct Kept {
    rig: Arc<Rig>,
    /// Those that the signal meets, in the rig's order.
    carriers: Vec<DeviceId>,
    /// The same, to find one by its id.
    devices: BTreeSet<DeviceId>,
    /// Whether there is a supply at all that somebody could be plugged into.
    has_supply: bool,
}

impl Kept {
    fn of(rig: &Arc<Rig>) -> Self {
        let carriers = unfed_carriers(rig);
        let devices = carriers.iter().copied().collect();
        Self { rig: Arc::clone(rig), devices, carriers, has_supply: rig.supplies().next().is_some() }
    }
}

impl Fed {
    /// Looks at what changed.
    pub fn update(&mut self, project: &Project) {
        self.kept.retain(|id, _| project.variants.iter().any(|variant| variant.id == *id));
        for variant in &project.variants {
            if !self.kept.get(&variant.id).is_some_and(|kept| Arc::ptr_eq(&kept.rig, &variant.rig)) {
                self.kept.insert(variant.id, Kept::of(&variant.rig));
            }
        }
    }

    /// Whether units without power count as fed.
    #[must_use]
    pub fn feeding(&self) -> Feeding {
        self.feeding
    }

    /// Has units without power count as fed, or not.
    pub fn set_feeding(&mut self, feeding: Feeding) {
        self.feeding = feeding;
    }

    /// The devices of a variant that its curves are to be without, as of the last update.
    #[must_use]
    pub fn left_out(&self, variant: VariantId) -> BTreeSet<DeviceId> {
        match (self.feeding, self.kept.get(&variant)) {
            (Feeding::AsDrawn, Some(kept)) => kept.devices.clone(),
            (Feeding::AllFed, _) | (_, None) => BTreeSet::new(),
        }
    }

    /// The devices of a variant that the signal meets and that get no power, whether it counts or not.
    #[must_use]
    pub fn unfed(&self, variant: VariantId) -> &[DeviceId] {
        self.kept.get(&variant).map_or(&[], |kept| kept.carriers.as_slice())
    }

    /// Whether a device is to be marked as one without a feed: where no supply is
    /// drawn, nobody forgot to plug it in, and only its silence is told.
    #[must_use]
    pub fn marks(&self, variant: VariantId, device: DeviceId) -> bool {
        let counts = |kept: &Kept| kept.has_supply || self.feeding == Feeding::AsDrawn;
        self.kept.get(&variant).is_some_and(|kept| counts(kept) && kept.devices.contains(&device))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rigwright_core::file;
    use rigwright_core::rig::{Edit, PowerEdit, apply};

    #[test]
    fn who_is_unplugged_is_marked_and_left_out_only_as_drawn() {
        let project = file::demo().unwrap();
        let variant = project.variants[0].id;
        let mut fed = Fed::default();
        fed.update(&project);
        assert!(fed.unfed(variant).is_empty());
        let device = project.variants[0].rig.feeds[0].taps[0].device;
        let edit = Edit::Power { variant, edit: PowerEdit::Unplug(device) };
        let unplugged = apply(&project, &edit).unwrap();
        fed.update(&unplugged);
        assert_eq!(fed.unfed(variant), [device]);
        assert!(fed.marks(variant, device) && fed.left_out(variant).is_empty());
        fed.set_feeding(Feeding::AsDrawn);
        assert_eq!(fed.left_out(variant), BTreeSet::from([device]));
        assert!(fed.left_out(project.variants[1].id).is_empty(), "the other rigs are fed");
        fed.update(&project);
        assert!(fed.left_out(variant).is_empty() && !fed.marks(variant, device));
    }

    #[test]
    fn where_no_supply_is_drawn_nobody_is_marked_until_that_counts() {
        let mut project = file::demo().unwrap();
        let mut variant = (*project.variants[0]).clone();
        let rig = Arc::make_mut(&mut variant.rig);
        rig.feeds.clear();
        rig.devices.retain(|device| device.kind.supply().is_none());
        let id = variant.id;
        project.variants = vec![Arc::new(variant)];
        let mut fed = Fed::default();
        fed.update(&project);
        let device = fed.unfed(id)[0];
        assert!(!fed.marks(id, device));
        fed.set_feeding(Feeding::AsDrawn);
        assert!(fed.marks(id, device));
    }
}
