//! Which supply and outlet feeds what: is it right as drawn, and what would fit best?
//!
//! [`check()`] reads a rig as it is drawn: loads against limits, voltage at every
//! plug, and what must not be. Nothing here reads a signal, and nothing that
//! reads signals reads this.

mod check;
mod drop;
mod loads;
mod mend;
mod problem;
mod rules;
mod words;
mod zero_volts;

pub use check::{
    BatteryLife, Check, FeedCheck, GroupCheck, Headroom, Load, MainsCheck, OutletCheck, SupplyCheck, TapCheck, check,
};
pub use mend::{Mend, Mender};
pub use problem::{Place, PowerProblem, Severity, What};
pub use zero_volts::{Return, ZeroVolts};

#[cfg(test)]
mod tests;
