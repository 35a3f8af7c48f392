//! What hangs on what in a rig, found without looking through all of it: a frame
//! asks for every lead and every jack.

use std::collections::BTreeMap;

use rigwright_core::rig::{Device, DeviceId, JackRef, LeadId, Rig};

/// Where devices, leads and jacks are in a rig's lists.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wiring {
    devices: BTreeMap<DeviceId, usize>,
    /// The first lead from a jack, and the first to it.
    from: BTreeMap<JackRef, LeadId>,
    to: BTreeMap<JackRef, LeadId>,
    /// Jacks with no lead, of all devices in order.
    pub free: Vec<JackRef>,
}

impl Wiring {
    /// Of a rig; it answers for that rig only.
    #[must_use]
    pub fn of(rig: &Rig) -> Self {
        let mut wiring = Self::default();
        for (at, device) in rig.devices.iter().enumerate() {
            wiring.devices.entry(device.id).or_insert(at);
        }
        for lead in &rig.leads {
            wiring.from.entry(lead.from).or_insert(lead.id);
            wiring.to.entry(lead.to).or_insert(lead.id);
        }
        let jacks = |device: &Device| {
            let id = device.id;
            device.kind.jacks().iter().map(move |jack| JackRef::new(id, *jack)).collect::<Vec<_>>()
        };
        let taken = |jack: &JackRef| wiring.from.contains_key(jack) || wiring.to.contains_key(jack);
        wiring.free = rig.devices.iter().flat_map(jacks).filter(|jack| !taken(jack)).collect();
        wiring
    }

    /// A device of the rig.
    #[must_use]
    pub fn device<'r>(&self, rig: &'r Rig, id: DeviceId) -> Option<&'r Device> {
        rig.devices.get(*self.devices.get(&id)?)
    }

    /// The lead that leaves a jack.
    #[must_use]
    pub fn lead_from(&self, jack: JackRef) -> Option<LeadId> {
        self.from.get(&jack).copied()
    }

    /// The lead that arrives at a jack.
    #[must_use]
    pub fn lead_to(&self, jack: JackRef) -> Option<LeadId> {
        self.to.get(&jack).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rigwright_core::file;
    use rigwright_core::rig::Jack;

    #[test]
    fn it_finds_what_looking_through_the_rig_finds() {
        for project in [file::demo().unwrap(), file::large_modular().unwrap()] {
            let mut rig = (*project.variants[0].rig).clone();
            // A lead taken out leaves free jacks; one more in a jack stands behind the first.
            rig.leads.remove(3);
            let twice = rigwright_core::rig::Lead { id: LeadId(999_999), ..rig.leads[0].clone() };
            rig.leads.push(twice);
            let wiring = Wiring::of(&rig);
            assert_eq!(wiring.free, rig.free_jacks());
            for device in &rig.devices {
                assert_eq!(wiring.device(&rig, device.id), rig.device(device.id));
                for jack in [Jack::In, Jack::Out, Jack::SecondIn, Jack::SecondOut, Jack::Send(1), Jack::Return(1)] {
                    let jack = JackRef::new(device.id, jack);
                    assert_eq!(wiring.lead_from(jack), rig.lead_from(jack).map(|lead| lead.id));
                    assert_eq!(wiring.lead_to(jack), rig.lead_to(jack).map(|lead| lead.id));
                }
            }
            assert_eq!(wiring.device(&rig, DeviceId(888_888)), None);
        }
    }
}
