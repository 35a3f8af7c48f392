//! The rig of the benchmarks: a guitar, true-bypass units in a row and an amp.

use std::sync::Arc;

use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind, State};
use rigwright_core::states::{Question, Target};

#[path = "../suite/rigs.rs"]
#[allow(dead_code, reason = "shared with the checks, which use more of it")]
mod rigs;

/// What any footswitch state of it can do at the amp.
pub fn question(units: usize) -> Question {
    let mut kinds = vec![("guitar", Kind::Guitar(rigs::SC.guitar()))];
    kinds.extend((0..units).map(|_| ("unit", rigs::true_bypass(20e-12))));
    kinds.push(("amp", rigs::amp(1e6, 100e-12)));
    let mut metres: Vec<f64> = (0..=units).map(|at| 0.15 + 0.01 * at as f64).collect();
    metres[0] = 5.0;
    metres[units] = 6.0;
    let rig = rigs::chain(kinds, &metres, &rigs::real_cable());
    let target = Target::Endpoint(JackRef::new(DeviceId(units as u64 + 2), Jack::In));
    Question { rig: Arc::new(rig), controls: State::default(), target }
}
