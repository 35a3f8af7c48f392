//! Answers about power in sentences, for the window and for the command line.

mod allocation;
mod changes;
mod check;
mod least;
mod need;
mod place;
mod problem;

pub use allocation::{
    LAST_IN_ROW, LIKE_THAT_ALREADY, ORDER, changed, conflict, cure, given_up, noisy, outcome, proof, relax,
};
pub use changes::changes;
pub use check::{inlet, mains, taken, venues};
pub use least::{bought, details};
pub use need::{PLUG_LEFT_IN, band, lasts, range, wants};
pub use place::{from, names, outlet};
pub use problem::when_unfed;
