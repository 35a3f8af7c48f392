//! Ways in which nothing is taken back: the drawn one, priced, and simple ones
//! where there are no steps for a search.

use super::{Cost, Manner, Move, Search, UNFED, WORST};
use crate::power::allocate::allowance::Allowance;
use crate::power::allocate::instance::Instance;
use crate::watch::Unwatched;

/// A simple way, if it costs less than the one to beat: each unit in turn to a
/// place, and nothing is taken back.
pub fn straight_on(it: &Instance, units: &[usize], manner: Manner<'_>) -> Option<(Cost, Vec<Move>)> {
    let mut found = None;
    for turn in [Turn::FewestPlaces, Turn::LightestToCheapest, Turn::LightestToFullest] {
        let below = found.as_ref().map_or(manner.below, |(cost, _)| *cost);
        let simple = Search::new(it, units, Manner { below, ..manner }, &Unwatched).straight_on(turn);
        found = simple.or(found);
    }
    found
}

/// What moves cost one after another, with the units that have none, and which
/// of them fit where they are done in this order; the others are left out.
pub fn price(it: &Instance, units: &[usize], moves: &[Move]) -> (Cost, Vec<bool>) {
    let allowance = Allowance::of(0);
    let manner = Manner { below: WORST, any: false, coarse: false, least: 0, most_nodes: 0, allowance: &allowance };
    let mut search = Search::new(it, units, manner, &Unwatched);
    let fit = moves.iter().map(|step| search.take(*step)).collect();
    let without = search.remaining.iter().sum::<usize>();
    (search.cost + UNFED * without as Cost, fit)
}

/// Who is next in a simple way, and where it goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Turn {
    /// As the search would begin.
    FewestPlaces,
    /// The one that draws least, to the place that costs least.
    LightestToCheapest,
    /// The same, to where the least is left over.
    LightestToFullest,
}

impl Search<'_> {
    fn straight_on(mut self, turn: Turn) -> Option<(Cost, Vec<Move>)> {
        loop {
            self.manner.allowance.take(self.steps_of_place());
            let choices = self.all_choices();
            let draw = |kind: usize| choices[kind].singles.iter().map(|single| single.draw.running).min();
            let open = (0..choices.len()).filter(|kind| self.remaining[*kind] > 0);
            let next = match turn {
                Turn::FewestPlaces => self.next_kind(&choices),
                _ => open.min_by_key(|kind| (draw(*kind).unwrap_or(i64::MAX), *kind)),
            };
            let Some(kind) = next else { break };
            let order = self.in_order(kind, &choices[kind]).into_iter();
            let step = match turn {
                Turn::LightestToFullest => order.min_by_key(|(cost, left, _)| (*left, *cost)),
                _ => order.min_by_key(|(cost, left, _)| (*cost, *left)),
            };
            match step {
                Some((_, _, step)) if self.take(step) => self.moves.push(step),
                _ => self.cost += UNFED * std::mem::take(&mut self.remaining[kind]) as Cost,
            }
        }
        (self.cost < self.below).then_some((self.cost, self.moves))
    }

    /// Does a move for good, if it fits.
    fn take(&mut self, step: Move) -> bool {
        let (kind, fits) = match step {
            Move::Single(kind, single) => (kind, self.fits(kind, &single)),
            Move::Pair(kind, pair) => (kind, self.fits_pair(kind, &pair)),
        };
        if !fits || self.remaining[kind] == 0 {
            return false;
        }
        self.cost += self.whole_cost_of(&step);
        self.put(step);
        self.load(step, 1.0);
        self.remaining[kind] -= 1;
        self.placed[kind] += 1;
        true
    }
}
