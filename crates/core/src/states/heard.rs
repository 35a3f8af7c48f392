//! The jumps that a player minds: those while no low-impedance fuzz is on, where
//! a guitar has something to say. Findings, advice and comparisons all read them here.

use super::{Jump, Question, States};
use crate::rig::{DeviceId, Limits};

/// From a bass's lowest string [physics.md E12: E1 41.2 Hz] to where an amp
/// gives little any more [memory], in Hz: jumps that a player minds lie there.
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

impl Question {
    /// The same question while no fuzz is on that has a low input and a switch.
    ///
    /// Such a fuzz takes the guitar's peak, and so a unit before it, on, gives it
    /// back: that says nothing of leads.
    #[must_use]
    pub fn without_fuzzes(&self, limits: &Limits) -> Self {
        Self { rig: self.rig.fuzzes_held_off(limits), controls: self.controls.clone(), target: self.target }
    }
}

/// The places of the sweep that are in that range.
fn heard(hz: &[f64]) -> impl Iterator<Item = usize> {
    (0..hz.len()).filter(|at| (HEARD_HZ.0..=HEARD_HZ.1).contains(&hz[*at]))
}

/// How far a switch goes.
#[must_use]
pub fn furthest_jump(jump: &Jump, hz: &[f64]) -> Option<Furthest> {
    let both = heard(hz).flat_map(|at| [(at, jump.highest_db[at]), (at, jump.lowest_db[at])]);
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

/// The switch that goes furthest, the first of equals in the order of the
/// signal: the worst jump of a rig, if these are its states while no
/// low-impedance fuzz is on.
#[must_use]
pub fn worst_jump(states: &States) -> Option<Furthest> {
    let each = states.jumps.iter().filter_map(|jump| furthest_jump(jump, states.hz()));
    each.reduce(|worst, other| if other.db.abs() > worst.db.abs() { other } else { worst })
}

/// How far that is in dB, to the last bit and wherever it is furthest, to weigh one rig against another.
#[must_use]
pub fn worst_jump_db(states: &States) -> f64 {
    let hz = states.hz();
    let of =
        |jump: &Jump| heard(hz).map(|at| jump.highest_db[at].abs().max(jump.lowest_db[at].abs())).fold(0.0, f64::max);
    states.jumps.iter().map(of).fold(0.0, f64::max)
}
