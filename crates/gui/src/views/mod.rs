//! The screens, one folder each; none imports another.

pub mod chain;
mod intent;
mod standing;

pub use intent::{Facts, Intent, Lit, Pointed, Purpose};
pub use standing::standing;
