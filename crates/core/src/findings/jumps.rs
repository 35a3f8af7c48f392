//! The jumps that a player minds: those while no fuzz is on, where a guitar has
//! something to say.

use std::borrow::Cow;
use std::sync::Arc;

use super::scene::{View, explore, is_fuzz};
use crate::cascade::Bank;
use crate::network::Sweep;
use crate::rig::{Buffer, Bypass, Device, DeviceId, DirectBox, Input, Kind, Limits, Rig, Splitter};
use crate::states::{Jump, NoStates, States};
use crate::units::Farads;

/// From a bass's lowest string [physics.md E12: E1 41.2 Hz] to where an amp
/// gives little any more [memory], in Hz.
pub const HEARD_HZ: (f64, f64) = (40.0, 10_000.0);

/// Below this, in Hz, a furthest point may be one among many that are alike.
const LOW_HZ: f64 = 100.0;
/// Levels that differ by less are alike.
const ALIKE_DB: f64 = 0.05;

/// A switch's furthest jump within that range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Furthest {
    /// Whose switch.
    pub device: DeviceId,
    /// Level on less level off in dB, the unit's own level left out.
    pub db: f64,
    /// In Hz.
    pub hz: f64,
}

/// All states of a rig while no fuzz is on that has a switch.
///
/// A fuzz with a low input takes the guitar's peak, and so a unit before it, on,
/// gives it back: that says nothing of leads, and of it another rule speaks.
pub fn without_fuzzes(view: &View, limits: &Limits, bank: &mut Bank) -> Result<States, NoStates> {
    explore(&fuzzes_off(&view.rig, limits), &view.off, view.target, bank)
}

/// Whether a rig has a fuzz with a switch.
pub fn has_a_fuzz(rig: &Rig, limits: &Limits) -> bool {
    rig.devices.iter().any(|device| device.has_switch() && is_fuzz(device, limits))
}

/// The rig with what each fuzz is while off, and no switch on it.
fn fuzzes_off(rig: &Arc<Rig>, limits: &Limits) -> Arc<Rig> {
    let mut rig: Cow<'_, Rig> = Cow::Borrowed(rig);
    if has_a_fuzz(&rig, limits) {
        for device in &mut rig.to_mut().devices {
            if device.has_switch() && is_fuzz(device, limits) {
                device.kind = while_off(device);
            }
        }
    }
    Arc::new(rig.into_owned())
}

fn while_off(device: &Device) -> Kind {
    let Some(pedal) = device.kind.pedal() else { return device.kind.clone() };
    match pedal.bypass {
        // Its second output stays free: input and output are joined, and that is all.
        Bypass::True => Kind::Splitter(Splitter::Passive { wiring: pedal.wiring }),
        Bypass::Buffered => Kind::Buffer(Buffer { stage: pedal.off, wiring: pedal.wiring }),
        Bypass::AlwaysLoading => {
            let capacitance = Farads::clamped(pedal.off.input.capacitance.get() + pedal.wiring.get());
            Kind::DirectBox(DirectBox::Active { input: Input { capacitance, ..pedal.off.input } })
        }
    }
}

/// How far a switch goes.
pub fn furthest(jump: &Jump, hz: &[f64]) -> Option<Furthest> {
    let in_range = |at: &usize| (HEARD_HZ.0..=HEARD_HZ.1).contains(&hz[*at]);
    let both = (0..hz.len()).filter(in_range).flat_map(|at| [(at, jump.highest_db[at]), (at, jump.lowest_db[at])]);
    let (mut at, mut db) = both.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
    if hz[at] < LOW_HZ {
        // A level that falls as a whole falls at 1 kHz too.
        let curve = if db > 0.0 { &jump.highest_db } else { &jump.lowest_db };
        let middle = hz.partition_point(|hz| *hz < 1000.0).min(hz.len() - 1);
        if (curve[middle] - db).abs() < ALIKE_DB {
            (at, db) = (middle, curve[middle]);
        }
    }
    Some(Furthest { device: jump.device, db, hz: hz[at] })
}

/// The other units that are on where a switch goes furthest.
pub fn among(view: &View, limits: &Limits, jump: &Jump, furthest: Furthest, hz: &[f64]) -> Vec<DeviceId> {
    for extreme in [&jump.rise, &jump.fall] {
        if extreme.db == furthest.db && hz.get(extreme.at) == Some(&furthest.hz) {
            return extreme.among.clone();
        }
    }
    // The extremes of all lie out of range: the context here is asked for by itself.
    let here = without_fuzzes(view, limits, &mut Bank::new(Sweep::at(&[furthest.hz])));
    let jumps = here.map(|states| states.jumps).unwrap_or_default();
    let same = jumps.into_iter().find(|other| other.device == jump.device);
    same.map(|same| if furthest.db > 0.0 { same.rise.among } else { same.fall.among }).unwrap_or_default()
}
