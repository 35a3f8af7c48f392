//! A rig in the making: devices with an identity of their own, and leads between their jacks.

use rigwright_core::rig::{DeviceId, JackRef, Kind, Lead, LeadId, Rig};

use super::{Dice, parts};

/// A rig that grows by the fall of the dice, up to about `most` devices.
pub struct Build<'a> {
    pub dice: &'a mut Dice,
    pub rig: Rig,
    pub most: usize,
    /// Whether ways may part that hold at once and meet again.
    pub parallel: bool,
    /// Whether no second instrument is plugged into a mixer.
    pub alone: bool,
    /// How many of its mixers have resistors alone, 0 to 1.
    pub passive: f64,
    next: u64,
}

impl<'a> Build<'a> {
    pub fn new(dice: &'a mut Dice, most: usize) -> Self {
        Self { dice, rig: Rig::default(), most, parallel: false, alone: false, passive: 0.0, next: 1 }
    }

    fn id(&mut self) -> u64 {
        self.next += 1;
        self.next - 1
    }

    pub fn add(&mut self, kind: Kind) -> DeviceId {
        let id = self.id();
        let device = parts::device(self.dice, id, kind);
        self.rig.devices.push(device);
        DeviceId(id)
    }

    /// A lead of any length and cable.
    pub fn plug(&mut self, from: JackRef, to: JackRef) {
        let id = LeadId(self.id());
        let (length, cable) = (parts::length(self.dice), parts::cable(self.dice));
        self.rig.leads.push(Lead { id, from, to, length, cable });
    }
}
