//! What must hold for every circuit and every rig, whatever its numbers.

mod capacity;
mod circles;
mod diagnoses;
mod edits;
pub mod files;
mod ground;
mod ladders;
mod missing;
mod nodal;
mod numbers;
mod power;
pub mod rigs;
mod sequences;
mod sound_loops;
mod sounds;
mod switches;

use proptest::test_runner::{Config, RngSeed};

/// So many random cases, the same ones each time.
fn cases(many: u32) -> Config {
    Config { cases: many, failure_persistence: None, rng_seed: RngSeed::Fixed(0x1e6d), ..Config::default() }
}
