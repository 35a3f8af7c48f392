//! The screens, one folder each; none imports another.

pub mod card;
pub mod cautions;
pub mod chain;
pub mod diagnoses;
pub mod finder;
mod intent;
pub mod limits;
pub mod numbers;
pub mod own_part;
pub mod picker;
pub mod pictures;
pub mod power;
pub mod remedy;
mod screen;
pub mod signs;
pub mod starts;

/// Where an answer would stand whose work died.
pub const DIED: &str = "This couldn't be worked out: the program failed half-way, and that is its own fault. \
                        It tries again when something has changed.";

/// What a step of the history is called that puts the test point somewhere.
pub const PUT_TEST_POINT: &str = "put the test point on a lead";
/// The same where it is taken away.
pub const TAKE_TEST_POINT_AWAY: &str = "take the test point away";

/// Beside an answer whose rig has changed since.
pub const AS_BEFORE: &str = "As before the last change.";

pub use intent::{Facts, Intent, OwnAsk, Pointed, PowerFacts, Purpose, StateHighlight};
pub use screen::{Screen, StatusFacts, Subject};

/// The screens, as the tabs have them; the first is open at the start.
#[must_use]
pub fn screens() -> Vec<Box<dyn Screen>> {
    vec![Box::new(chain::Chain::default()), Box::new(power::Power::default())]
}
