//! How long all states take: `cargo bench -p rigwright-tests --bench states`.
//!
//! A rig is a guitar, true-bypass units one behind another and an amp, with real
//! leads of different lengths between; 256 points; the bank holds the leads'
//! two-ports, as it does while a player edits. The answer has the envelope with
//! its states and the jumps of all units in every context.

use std::sync::Arc;

use divan::{Bencher, black_box};
use rigwright_core::cascade::Bank;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind, State};
use rigwright_core::states::{Question, Target, explore};

#[path = "../suite/rigs.rs"]
#[allow(dead_code, reason = "shared with the checks, which use more of it")]
mod rigs;

fn main() {
    divan::main();
}

fn question(units: usize) -> Question {
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

/// Plan, stretches, envelope and all jumps.
#[divan::bench(args = [8, 16, 32, 64])]
fn states_kept(bencher: Bencher<'_, '_>, units: usize) {
    let question = question(units);
    let mut bank = Bank::new(Sweep::audio());
    let _ = explore(&question, &mut bank);
    bencher.bench_local(|| explore(black_box(&question), &mut bank));
}
