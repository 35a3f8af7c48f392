//! What of a rig is the signal's, and what is only power's.

use super::{Device, Rig};

impl Rig {
    /// The devices that a signal can come from, go through or end at: all but supplies.
    pub fn carriers(&self) -> impl Iterator<Item = &Device> {
        self.devices.iter().filter(|device| device.kind.supply().is_none())
    }

    /// Whether another rig differs at most in power: in feeds, in what devices
    /// take, in supplies; and in what only the drawing shows, the kinds of effect.
    /// Plans, and so curves, states, findings and advice, read nothing of these: their answers for one are those for the other.
    #[must_use]
    pub fn is_same_but_for_power(&self, other: &Self) -> bool {
        // Named one by one, so that a new field is thought about here.
        let Self { devices: _, leads, feeds: _ } = self;
        let (mut ours, mut theirs) = (self.carriers(), other.carriers());
        let alike = ours.by_ref().all(|device| theirs.next().is_some_and(|twin| device.is_same_but_for_power(twin)));
        alike && theirs.next().is_none() && *leads == other.leads
    }
}

impl Device {
    fn is_same_but_for_power(&self, other: &Self) -> bool {
        let Self { id, name, part, stays_on, switches, body, power: _, heard_to, effect: _, kind } = self;
        let same_kind = *id == other.id && *kind == other.kind && *stays_on == other.stays_on;
        let same_kind = same_kind && *heard_to == other.heard_to && *switches == other.switches;
        same_kind && *name == other.name && *part == other.part && *body == other.body
    }
}
