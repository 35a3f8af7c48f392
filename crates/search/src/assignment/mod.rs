//! Assignment: items into slots of groups, at the least lexicographic cost, proved.
//!
//! Each item of a [kind](Kind) has one slot or a pair of them, or goes without. A
//! [slot](Slot) takes several items, all in one of its modes, up to a steady
//! capacity and one for peaks; slots together count against [budgets](Budget).
//! Items in slots of one [group](Group) are members of it, some of which
//! [avoid each other](mix). [`Cost`] says in which order assignments are weighed.
//!
//! In the words of the field this is a generalised assignment problem with
//! coloured conflicts, modes, side constraints of knapsack form, and a
//! lexicographic objective.

mod alternatives;
mod bound;
mod cost;
mod instance;
pub mod mix;
mod search;
#[cfg(test)]
mod tests;

pub use self::alternatives::{Alternatives, Chosen, solve_any};
pub use self::cost::{Cost, Levels};
pub use self::instance::{Budget, GRAIN, Group, Instance, Kind, LAST_BIT, Mode, Pair, Single, Size, Slot};
pub use self::search::{evaluate, greedy, placed_at_most, solve, unplaced_at_least};
use crate::allowance::Allowance;

/// How a search goes about it.
#[derive(Debug, Clone, Copy)]
pub struct Options<'a> {
    /// Only what costs less than this counts.
    pub below: Cost,
    /// The first solution is as good as the best.
    pub first: bool,
    /// Nothing counts but how many items go without.
    pub only_unplaced: bool,
    /// It is known that nothing costs less than this.
    pub least: Cost,
    /// After so many nodes it gives up.
    pub most_nodes: u64,
    /// And after so many steps.
    pub allowance: &'a Allowance<'a>,
}

impl<'a> Options<'a> {
    /// The best of all assignments, whatever it costs, within an allowance.
    #[must_use]
    pub fn all(allowance: &'a Allowance<'a>) -> Self {
        Self {
            below: Cost::WORST,
            first: false,
            only_unplaced: false,
            least: Cost::ZERO,
            most_nodes: u64::MAX,
            allowance,
        }
    }
}

/// An item of a kind and the slots that it has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Placement {
    /// One slot.
    Single(usize, Single),
    /// A pair.
    Pair(usize, Pair),
}

impl Placement {
    /// The item's kind.
    #[must_use]
    pub fn kind(&self) -> usize {
        let (Self::Single(kind, _) | Self::Pair(kind, _)) = self;
        *kind
    }

    /// The slot whose group the item is a member of.
    #[must_use]
    pub fn slot(&self) -> usize {
        match self {
            Self::Single(_, single) => single.slot,
            Self::Pair(_, pair) => pair.first,
        }
    }
}
