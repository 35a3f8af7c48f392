//! The jumps that a player minds ([`crate::states::worst_jump`]), as findings look at them.

use super::scene::{View, explore};
use crate::cascade::Bank;
use crate::network::Sweep;
use crate::rig::{DeviceId, Limits};
use crate::states::{Furthest, Jump, NoStates, States};

/// All states of a rig while no fuzz is on that has a switch.
///
/// A fuzz with a low input takes the guitar's peak, and so a unit before it, on,
/// gives it back: that says nothing of leads, and of it another rule speaks.
pub fn without_fuzzes(view: &View, limits: &Limits, bank: &mut Bank) -> Result<States, NoStates> {
    explore(&view.rig.fuzzes_held_off(limits), &view.off, view.target, bank)
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
