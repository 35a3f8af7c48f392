//! What the tests and benches of all crates share: numbers from a seed.

mod dice;

pub use dice::Dice;
