//! Fuzzes whose input is so low that they want to see the guitar itself.
//!
//! Such a fuzz's gain depends on its source, so a buffer before it changes it,
//! and on, it takes the guitar's peak: that is how it works. [physics.md §1: public pages]

use std::sync::Arc;

use super::{Buffer, Bypass, Device, DirectBox, Input, Kind, Limits, Rig, Splitter, ToDesk};
use crate::units::Farads;

impl Device {
    /// Whether it is one: an effect whose input, while on, lies below the player's limit.
    #[must_use]
    pub fn is_low_fuzz(&self, limits: &Limits) -> bool {
        match &self.kind {
            Kind::Pedal(pedal) => pedal.on.input.resistance.get() > 0.0 && pedal.on.input.resistance < limits.fuzz,
            _ => false,
        }
    }
}

impl Rig {
    /// Whether it has such a fuzz with a switch.
    #[must_use]
    pub fn has_fuzz_switch(&self, limits: &Limits) -> bool {
        self.devices.iter().any(|device| device.has_switch() && device.is_low_fuzz(limits))
    }

    /// The rig with what each such fuzz is while off, and no switch on it: for
    /// the jumps that a player minds. A fuzz that is on loads the guitar, and a
    /// unit before it, on, gives that back, which says nothing of leads.
    #[must_use]
    pub fn fuzzes_held_off(self: &Arc<Self>, limits: &Limits) -> Arc<Self> {
        if !self.has_fuzz_switch(limits) {
            return Arc::clone(self);
        }
        let mut rig = (**self).clone();
        for device in rig.devices.iter_mut().filter(|device| device.has_switch() && device.is_low_fuzz(limits)) {
            device.kind = while_off(device);
        }
        Arc::new(rig)
    }
}

/// What a unit is while off, as a device without a switch.
fn while_off(device: &Device) -> Kind {
    let Some(pedal) = device.kind.pedal() else { return device.kind.clone() };
    match pedal.bypass {
        // Its second output stays free: input and output are joined, and that is all.
        Bypass::True => Kind::Splitter(Splitter::Passive { wiring: pedal.wiring }),
        Bypass::Buffered => Kind::Buffer(Buffer { stage: pedal.off, wiring: pedal.wiring }),
        Bypass::AlwaysLoading => {
            let capacitance = Farads::clamped(pedal.off.input.capacitance.get() + pedal.wiring.get());
            Kind::DirectBox(DirectBox::Active {
                input: Input { capacitance, ..pedal.off.input },
                to_desk: ToDesk::default(),
            })
        }
    }
}
