//! What a placement costs: by itself, and by what is there already.

use std::collections::BTreeSet;

use super::Search;
use crate::assignment::Placement;
use crate::assignment::cost::Cost;
use crate::assignment::instance::{Instance, LAST_BIT, Size};
use crate::assignment::mix::Colour;

/// What is tight before any item is placed counts up to here.
const MOST_TIGHT: u32 = 3000;

/// What an assignment costs before any item is placed.
pub fn before(it: &Instance) -> Cost {
    Cost::TIGHT * it.tight.min(MOST_TIGHT) as usize
}

impl Search<'_> {
    /// Whether conflicts are counted.
    pub(super) fn weighs_conflicts(&self) -> bool {
        self.it.weighs_conflicts && !self.options.only_unplaced
    }

    /// What a placement costs by itself, whoever is there.
    pub(super) fn cost_of(&self, placement: &Placement) -> Cost {
        match placement {
            _ if self.options.only_unplaced => Cost::ZERO,
            Placement::Single(_, single) => single.cost,
            Placement::Pair(_, pair) => pair.cost,
        }
    }

    /// What a placement costs in all.
    pub(super) fn whole_cost_of(&self, placement: &Placement) -> Cost {
        if self.options.only_unplaced {
            return Cost::ZERO;
        }
        self.cost_of(placement)
            + self.conflicts(placement)
            + Cost::TIGHT * self.tight(placement)
            + self.sharing(placement)
    }

    fn sharing(&self, placement: &Placement) -> Cost {
        let slot = placement.slot();
        let in_slot = self.slots[slot].items > 0;
        let is_member = !self.it.kinds[placement.kind()].aside;
        let in_group = is_member && self.groups[self.it.slots[slot].group].is_used();
        Cost::SHARED * (usize::from(in_slot) + usize::from(in_group))
    }

    /// Conflicts that weren't there before.
    fn conflicts(&self, placement: &Placement) -> Cost {
        let (kind, slot) = (&self.it.kinds[placement.kind()], placement.slot());
        if !self.weighs_conflicts() || kind.aside {
            return Cost::ZERO;
        }
        let (ease, state) = (&self.it.ease, &self.slots[slot]);
        let mix = &self.groups[self.it.slots[slot].group].mix;
        let more = mix.with(&kind.member).conflicts(ease) - mix.conflicts(ease);
        let other = state.has(if kind.is_first() { Colour::Second } else { Colour::First });
        let mixed = self.it.minds_mixed && other && !(state.first && state.second);
        Cost::CONFLICT * (more as usize + usize::from(mixed))
    }

    /// Modes and budgets that were easy before and are tight then.
    fn tight(&self, placement: &Placement) -> usize {
        let it = self.it;
        let beyond = |slot: usize, mode: u8, size: &Size, part: f64| {
            let (before, easy) = (self.slots[slot].steady, it.slots[slot].modes[usize::from(mode)].easy);
            before <= easy && before + (size.steady as f64 * part).round() as i64 > easy
        };
        let (sides, size) = match placement {
            Placement::Single(_, single) => (vec![(single.slot, single.mode, 1.0)], single.size),
            Placement::Pair(_, pair) => {
                let (shares, modes) = (pair.shares, pair.modes);
                (vec![(pair.first, modes.0, shares.0), (pair.second, modes.1, shares.1)], pair.size)
            }
        };
        let modes = sides.iter().filter(|(slot, mode, part)| beyond(*slot, *mode, &size, *part)).count();
        // Both sides may count against one budget.
        let touched: BTreeSet<usize> =
            sides.iter().flat_map(|(slot, ..)| it.slots[*slot].budgets.iter().map(|(budget, _)| *budget)).collect();
        let adds = |budget: usize| -> f64 {
            let of = |(slot, mode, part): &(usize, u8, f64)| {
                let there = &it.slots[*slot];
                let weights = there.budgets.iter().filter(|(at, _)| *at == budget);
                there.weighed(*mode, size.steady, *part) * weights.map(|(_, weight)| weight).sum::<f64>()
            };
            sides.iter().map(of).sum()
        };
        let over = |used: f64, budget: usize| used > it.budgets[budget].easy + LAST_BIT;
        let tight = |budget: &usize| {
            let before = self.used_steady[*budget];
            !over(before, *budget) && over(before + adds(*budget), *budget)
        };
        modes + touched.iter().filter(|budget| tight(budget)).count()
    }
}
