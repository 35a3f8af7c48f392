//! What fits: where an item of a kind can still be placed.

use super::{Choices, Search};
use crate::assignment::Placement;
use crate::assignment::cost::Cost;
use crate::assignment::instance::{GRAIN, LAST_BIT, Pair, Single, Size};
use crate::assignment::mix::Colour;

/// Earlier slots that can stand for one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Double {
    None,
    One(usize),
    More,
}

impl Double {
    /// Whether there is none, one left out if one is named.
    fn is_none_but(self, but: Option<usize>) -> bool {
        match self {
            Self::None => true,
            Self::One(only) => Some(only) == but,
            Self::More => false,
        }
    }
}

impl Search<'_> {
    /// What can be done now with each kind.
    pub(super) fn all_choices(&self) -> Vec<Choices> {
        let doubles: Vec<Double> = (0..self.slots.len()).map(|slot| self.double(slot)).collect();
        (0..self.it.kinds.len()).map(|kind| self.choices(kind, &doubles)).collect()
    }

    /// What can be done now with a kind; of slots that can stand for each other, the first.
    fn choices(&self, kind: usize, doubles: &[Double]) -> Choices {
        let mut found = Choices { least: Cost::UNPLACED, ..Choices::default() };
        if self.remaining[kind] == 0 {
            return found;
        }
        let it = self.it;
        let reach = &mut found.reach;
        for single in &it.kinds[kind].singles {
            if !self.fits(kind, single) {
                continue;
            }
            let slot = 1 << single.slot;
            if self.slots[single.slot].items == 0 {
                reach.free |= slot;
            } else {
                reach.open |= slot;
            }
            let group = it.slots[single.slot].group;
            if !self.groups[group].is_used() {
                reach.groups |= 1 << group;
            }
            if doubles[single.slot].is_none_but(None) {
                found.singles.push(*single);
            }
        }
        for pair in &it.kinds[kind].pairs {
            if !self.fits_pair(kind, pair) {
                continue;
            }
            reach.pair |= 1 << pair.first | 1 << pair.second;
            let (first, second) = (it.slots[pair.first].group, it.slots[pair.second].group);
            reach.pair_shares |= first == second;
            if first != second {
                reach.closes |= 1 << second;
            }
            if !self.groups[first].is_used() {
                reach.groups |= 1 << first;
            }
            reach.pair_groups |= 1 << first | 1 << second;
            if doubles[pair.first].is_none_but(None) && doubles[pair.second].is_none_but(Some(pair.first)) {
                found.pairs.push(*pair);
            }
        }
        // What it disturbs there itself comes on top, whoever comes after it.
        let own = |slot: usize| match self.weighs_conflicts() && !it.kinds[kind].aside {
            true => {
                let mix = &self.groups[it.slots[slot].group].mix;
                Cost::CONFLICT * mix.least_added(&it.kinds[kind].member, &it.ease) as usize
            }
            false => Cost::ZERO,
        };
        let cost = |single: &Single| self.cost_of(&Placement::Single(kind, *single)) + own(single.slot);
        let pair = found.pairs.iter().map(|pair| self.cost_of(&Placement::Pair(kind, *pair)) + own(pair.first)).min();
        let singles = found.singles.iter().map(cost);
        found.least = singles.chain(pair).min().unwrap_or(Cost::UNPLACED);
        found.extra = pair.map_or(Cost::ZERO, |pair| pair - found.least);
        found
    }

    /// Which earlier slots are in the same state as this one and can stand for it.
    fn double(&self, slot: usize) -> Double {
        let it = self.it;
        let symmetry = it.slots[slot].symmetry;
        let mut doubles = (0..slot).filter(|other| {
            it.slots[*other].symmetry == symmetry
                && self.slots[*other] == self.slots[slot]
                && self.groups[it.slots[*other].group] == self.groups[it.slots[slot].group]
        });
        match (doubles.next(), doubles.next()) {
            (None, _) => Double::None,
            (Some(only), None) => Double::One(only),
            _ => Double::More,
        }
    }

    /// Whether an item of a kind may be a member of a group, in an exclusive mode or another; `joins` if its
    /// slot is in use already.
    pub(super) fn fits_group(&self, kind: usize, group: usize, exclusive: bool, joins: bool) -> bool {
        let (kind, group) = (&self.it.kinds[kind], &self.groups[group]);
        if kind.aside {
            return true;
        }
        let (member, mix) = (&kind.member, &group.mix);
        let colour = match member.colour {
            Colour::First => group.no_first || (kind.strict && mix.second > 0),
            Colour::Second => group.no_second || (kind.strict && mix.first > 0),
        };
        let seal = match kind.sealed {
            true => group.is_used() && !(group.sealed && joins),
            false => group.sealed,
        };
        let own = exclusive && !kind.shares_exclusive;
        let exclusive = group.exclusive || (own && group.is_used());
        let excess = !self.it.allows_excess && member.burdens() && mix.with(member).excess(&self.it.ease) > 0;
        !(group.closed || (kind.alone_in_group && group.is_used()) || colour || seal || exclusive || excess)
    }

    pub(super) fn fits_budgets(&self, slot: usize, mode: u8, size: &Size, part: f64) -> bool {
        let slot = &self.it.slots[slot];
        let weighed = |size: i64| slot.weighed(mode, size, part);
        slot.budgets.iter().all(|(budget, weight)| {
            let most = &self.it.budgets[*budget];
            self.used_steady[*budget] + weighed(size.steady) * weight <= most.steady + LAST_BIT
                && self.used_peak[*budget] + weighed(size.peak) * weight <= most.peak + LAST_BIT
        })
    }

    pub(super) fn fits(&self, kind: usize, single: &Single) -> bool {
        let state = &self.slots[single.slot];
        if state.items > 0 {
            let kind = &self.it.kinds[kind];
            let joins = !state.closed
                && !kind.alone_in_slot
                && state.items < self.it.most_items
                && state.mode == single.mode + 1
                && state.flipped == single.flipped
                && (self.it.mixes_colours || state.has(Colour::Second) != kind.is_first());
            if !joins {
                return false;
            }
        } else if state.closed {
            return false;
        }
        let slot = &self.it.slots[single.slot];
        let mode = &slot.modes[usize::from(single.mode)];
        state.steady + single.size.steady <= mode.steady
            && state.peak + single.size.peak <= mode.peak
            && self.fits_group(kind, slot.group, mode.exclusive, state.items > 0)
            && self.fits_budgets(single.slot, single.mode, &single.size, 1.0)
    }

    pub(super) fn fits_pair(&self, kind: usize, pair: &Pair) -> bool {
        let free = |at: usize| self.slots[at].items == 0 && !self.slots[at].closed;
        let (first, second) = (self.it.slots[pair.first].group, self.it.slots[pair.second].group);
        let other = &self.groups[second];
        free(pair.first)
            && free(pair.second)
            && self.fits_group(kind, first, self.is_exclusive(pair.first, pair.modes.0), false)
            && (first == second || !(other.is_used() || other.closed))
            && self.fits_both_budgets(pair)
    }

    /// The two slots may count against one budget.
    pub(super) fn fits_both_budgets(&self, pair: &Pair) -> bool {
        let sides = [(pair.first, pair.modes.0, pair.shares.0), (pair.second, pair.modes.1, pair.shares.1)];
        let adds = |budget: usize, size: i64| -> f64 {
            let of = |(at, mode, part): (usize, u8, f64)| {
                let slot = &self.it.slots[at];
                let weight: f64 = slot.budgets.iter().filter(|(b, _)| *b == budget).map(|(_, weight)| weight).sum();
                slot.modes[usize::from(mode)].factor * size as f64 * GRAIN * part * weight
            };
            sides.into_iter().map(of).sum()
        };
        let touched = sides.iter().flat_map(|(at, ..)| self.it.slots[*at].budgets.iter().map(|(budget, _)| *budget));
        touched.into_iter().all(|budget| {
            let most = &self.it.budgets[budget];
            self.used_steady[budget] + adds(budget, pair.size.steady) <= most.steady + LAST_BIT
                && self.used_peak[budget] + adds(budget, pair.size.peak) <= most.peak + LAST_BIT
        })
    }
}
