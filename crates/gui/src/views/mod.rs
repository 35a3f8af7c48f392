//! The screens, one folder each; none imports another.

pub mod chain;
mod intent;

pub use intent::{Facts, Intent, Lit, Pointed, Purpose};
