//! All states at once against every state by itself.
//!
//! The search over states is one reader of the plan; the runs of one state are
//! another, which `laws` and `oracle` hold to an independent solve. Here the
//! second is asked for each of the 2ⁿ states, and the first must agree.

mod board;
mod brute;
mod cap;
mod compare;
mod corners;
mod counts;
mod far;
mod groups;
mod junctions;
mod random;
mod switchers;
mod together;
mod watched;
pub mod wider;

pub use brute::{Brute, switches};
