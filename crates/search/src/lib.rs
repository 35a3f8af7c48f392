//! Integer programs, solved to a proof by branch and bound.
//!
//! Numbers in, the optimum and its proof out. [`assignment`] puts items into
//! slots, [`cover`] chooses columns that meet all demands, [`deletion_filter`]
//! finds out what stands in the way. All of them answer in one form, [`Answer`],
//! and stop by counted nodes and steps, so that two machines answer the same.
//! Nothing here reads a clock, prints or knows what the numbers are about.

#![forbid(unsafe_code)]

pub mod allowance;
mod answer;
pub mod assignment;
mod conflict;
pub mod cover;

pub mod matching;
pub mod simplex;
pub mod watch;

pub use allowance::Allowance;
pub use answer::{Answer, LeftOut};
pub use conflict::{Conflict, deletion_filter};
pub use watch::{Part, Still, Stopped, Unwatched, Watch};
