//! The screens, one folder each; none imports another.

pub mod cautions;
pub mod chain;
pub mod diagnoses;
mod intent;
pub mod limits;
pub mod picker;
pub mod power;
pub mod remedy;
mod screen;
mod standing;

/// Where an answer would stand whose work died.
pub const DIED: &str = "This couldn't be worked out: the program failed half-way, by a fault of its own. \
                        It tries again when something has changed.";

pub use intent::{Facts, Intent, Lit, Pointed, PowerFacts, Purpose};
pub use screen::{Screen, Standing, Subject};
pub use standing::standing;

/// The screens, as the tabs have them; the first is open at the start.
#[must_use]
pub fn screens() -> Vec<Box<dyn Screen>> {
    vec![Box::new(chain::Chain::default()), Box::new(power::Power::default())]
}
