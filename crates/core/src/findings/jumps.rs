//! The jumps that a player minds: those while no fuzz is on, where a guitar has
//! something to say.

use super::scene::{View, explore};
use crate::cascade::Bank;
use crate::network::Sweep;
use crate::rig::{DeviceId, Limits};
use crate::states::{self, Jump, NoStates, States};

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
    explore(&view.rig.fuzzes_held_off(limits), &view.off, view.target, bank)
}

/// How far a switch goes.
pub fn furthest(jump: &Jump, hz: &[f64]) -> Option<Furthest> {
    let in_range = |at: &usize| (states::HEARD_HZ.0..=states::HEARD_HZ.1).contains(&hz[*at]);
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
