//! Assignments in which nothing is taken back: a given one, evaluated, and
//! greedy ones where there are no steps for a search.

use super::Search;
use crate::allowance::Allowance;
use crate::assignment::cost::Cost;
use crate::assignment::instance::Instance;
use crate::assignment::{Options, Placement};
use crate::watch::Unwatched;

/// A greedy assignment and its cost, if that is less than what is to be beaten:
/// one kind after another is placed, and nothing is taken back. It proves nothing.
#[must_use]
pub fn greedy(it: &Instance, counts: &[usize], options: Options<'_>) -> Option<(Cost, Vec<Placement>)> {
    let mut found = None;
    for turn in [Turn::FewestWays, Turn::SmallestToCheapest, Turn::SmallestToFullest] {
        let below = found.as_ref().map_or(options.below, |(cost, _)| *cost);
        let simple = Search::new(it, counts, Options { below, ..options }, &Unwatched).greedily(turn);
        found = simple.or(found);
    }
    found
}

/// What placements cost one after another, with the items that have none, and which
/// of them fit where they are done in this order; the others are left out.
#[must_use]
pub fn evaluate(it: &Instance, counts: &[usize], placements: &[Placement]) -> (Cost, Vec<bool>) {
    let allowance = Allowance::of(0);
    let mut search = Search::new(it, counts, Options::all(&allowance), &Unwatched);
    let fit = placements.iter().map(|placement| search.take(*placement)).collect();
    let without = search.remaining.iter().sum::<usize>();
    (search.cost + Cost::UNPLACED * without, fit)
}

/// Which kind is next, and where its item goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Turn {
    /// As the search would begin.
    FewestWays,
    /// The smallest, to where it costs least.
    SmallestToCheapest,
    /// The same, to where the least is left over.
    SmallestToFullest,
}

impl Search<'_> {
    fn greedily(mut self, turn: Turn) -> Option<(Cost, Vec<Placement>)> {
        loop {
            self.options.allowance.take(self.steps_of_node());
            let choices = self.all_choices();
            let size = |kind: usize| choices[kind].singles.iter().map(|single| single.size.steady).min();
            let open = (0..choices.len()).filter(|kind| self.remaining[*kind] > 0);
            let next = match turn {
                Turn::FewestWays => self.next_kind(&choices),
                _ => open.min_by_key(|kind| (size(*kind).unwrap_or(i64::MAX), *kind)),
            };
            let Some(kind) = next else { break };
            let order = self.in_order(kind, &choices[kind]).into_iter();
            let placement = match turn {
                Turn::SmallestToFullest => order.min_by_key(|(cost, left, _)| (*left, *cost)),
                _ => order.min_by_key(|(cost, left, _)| (*cost, *left)),
            };
            match placement {
                Some((_, _, placement)) if self.take(placement) => self.placements.push(placement),
                _ => self.cost += Cost::UNPLACED * std::mem::take(&mut self.remaining[kind]),
            }
        }
        (self.cost < self.below).then_some((self.cost, self.placements))
    }

    /// Places an item for good, if it fits.
    fn take(&mut self, placement: Placement) -> bool {
        let (kind, fits) = match placement {
            Placement::Single(kind, single) => (kind, self.fits(kind, &single)),
            Placement::Pair(kind, pair) => (kind, self.fits_pair(kind, &pair)),
        };
        if !fits || self.remaining[kind] == 0 {
            return false;
        }
        self.cost += self.whole_cost_of(&placement);
        self.put(placement);
        self.load(placement, 1.0);
        self.remaining[kind] -= 1;
        self.placed[kind] += 1;
        true
    }
}
