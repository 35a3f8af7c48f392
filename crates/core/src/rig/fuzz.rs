//! Fuzzes whose gain depends on their source, so that they want to see the guitar itself.
//!
//! A buffer before such a fuzz changes it, and on, it takes the guitar's peak:
//! that is how it works. [page, S: fuzz-input]

use std::sync::Arc;

use super::{Buffer, Bypass, Device, DirectBox, Input, Kind, Limits, Rig, Splitter, ToDesk};
use crate::units::{Farads, Ohms};

impl Device {
    /// Whether it is one: an effect of which the player says so, or nobody says
    /// anything and its input, while on, isn't above the player's limit.
    #[must_use]
    pub fn is_low_fuzz(&self, limits: &Limits) -> bool {
        let Kind::Pedal(pedal) = &self.kind else { return false };
        let input = pedal.on.input.resistance;
        pedal.gain_by_source.unwrap_or(input.get() > 0.0 && input <= limits.fuzz)
    }
}

impl Rig {
    /// Whether it has such a fuzz with a switch.
    #[must_use]
    pub fn has_fuzz_switch(&self, limits: &Limits) -> bool {
        self.devices.iter().any(|device| self.switches_fuzz(device, limits))
    }

    /// Whether a device is such a fuzz with a switch: its own, or that of a loop in which it stays on.
    fn switches_fuzz(&self, device: &Device, limits: &Limits) -> bool {
        let by_loop = || device.stays_on && !self.loops_around(device.id).is_empty();
        device.is_low_fuzz(limits) && (device.has_footswitch() || by_loop())
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
        for device in rig.devices.iter_mut().filter(|device| self.switches_fuzz(device, limits)) {
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
        Bypass::AlwaysLoading if pedal.off.input.coupling == Some(Farads::of(0.0)) => {
            Kind::Splitter(Splitter::Passive { wiring: pedal.wiring })
        }
        Bypass::AlwaysLoading => {
            let input = with_wiring(&pedal.off.input, pedal.wiring);
            Kind::DirectBox(DirectBox::Active { input, to_desk: ToDesk::default() })
        }
    }
}

/// The same load as an input with its wiring beside it.
///
/// Behind a coupling capacitor C the wiring w isn't beside the input's own c and
/// R. Seen from outside, w beside C before (R beside c) is as C' before (R'
/// beside c') with C' = C + w, C'c'/(C' + c') = w + Cc/(C + c) and
/// R'(C' + c') = R(C + c): alike at direct current, at the highest frequencies
/// and in between [textbook: one-ports of one pole].
fn with_wiring(input: &Input, wiring: Farads) -> Input {
    let (c, w) = (input.capacitance.get(), wiring.get());
    let Some(coupling) = input.coupling.map(Farads::get) else {
        return Input { capacitance: Farads::clamped(c + w), ..*input };
    };
    let outer = coupling + w;
    let inner = w + coupling * c / (coupling + c);
    let c_new = inner * outer * (coupling + c) / (coupling * coupling);
    let scale = (outer + c_new) / (coupling + c);
    Input {
        resistance: Ohms::clamped(input.resistance.get() / scale),
        capacitance: Farads::clamped(c_new),
        coupling: Some(Farads::clamped(outer)),
    }
}
