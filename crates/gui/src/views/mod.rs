//! The screens, one folder each; none imports another.

pub mod cautions;
pub mod chain;
mod intent;
pub mod limits;
pub mod picker;
pub mod power;
mod standing;

pub use intent::{Facts, Intent, Lit, Pointed, PowerFacts, Purpose};
pub use standing::standing;
