//! Which supply and outlet feeds what: is it right as drawn, and what would fit best?
//!
//! [`check()`] reads a rig as it is drawn: loads against limits, voltage at every
//! plug, and what must not be. [`allocate()`] finds the best way to feed a rig's
//! units from its supplies, and proves it. Nothing here reads a signal, and nothing that
//! reads signals reads this.

mod allocate;
mod battery;
mod cautions;
mod check;
mod compatibility;
mod diagnose;
mod drop;
mod in_use;
mod least;
mod loads;
mod mains;
mod mend;
mod problem;
mod question;
mod reach;
mod rules;
mod sharing;
pub mod words;
mod zero_volts;

pub use allocate::allocate;
pub use battery::{BatteryLife, Hours, Life};
pub use cautions::{CAUTIONS, CAUTIONS_SOURCES, Caution, cautions};
pub use check::{Check, FeedCheck, GroupCheck, Headroom, Load, MainsCheck, OutletCheck, SupplyCheck, TapCheck, check};
pub use diagnose::{PowerTold, diagnose, told_only};
pub use in_use::volts_in_use;
pub use least::{Bought, Least, LeastAnswer, LeastQuestion, Totals, least};
pub use mains::check_at;
pub(crate) use mend::Mender;
pub use problem::{PowerFault, PowerProblem, RatingScope};
pub use question::{
    Allocation, AllocationQuestion, Changed, Conflict, Cure, Noise, Noisy, Penalty, Placed, Relaxation, Rules, Weight,
};
pub use reach::{TooLarge, too_large};
pub use zero_volts::{Return, ZeroVolts};

#[cfg(test)]
mod tests;
