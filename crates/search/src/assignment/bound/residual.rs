//! Items of one class that are still to be placed: how many slots they need at least.

use super::{Bounds, Requirement, State};
use crate::assignment::cost::Cost;
use crate::assignment::mix::Colour;
use crate::matching::{self, Places};

/// Kinds that can share a slot with each other: they want the same mode and colour in it.
pub struct Class {
    pub colour: Colour,
    /// Which kinds, those of the least steady size first.
    pub by_steady: Vec<usize>,
    /// The same, those of the least peak first.
    pub by_peak: Vec<usize>,
    /// The capacities of each slot at most as they want it: steady and for peaks.
    pub gives: Vec<(i64, i64)>,
}

/// What is left to place of a class, in a state of the search.
#[derive(Debug, Clone, Default)]
pub struct Residual {
    pub colour: Colour,
    count: usize,
    free: Places,
    open: Places,
    pair: Places,
    /// Free slots that they use or take away.
    pub reach: Places,
    /// All groups without members that a pair of it could take.
    pub pair_groups: Places,
    /// Whether some pair of it is of one group.
    pub pair_shares: bool,
    /// Groups that a pair of it could close; it takes all of one.
    closes: Places,
    /// Free slots that a pair takes away at least.
    pub pair_takes: usize,
    /// What a pair costs more at least than the least that an item costs.
    pub extra: Cost,
    /// Items at most that single slots take.
    on_singles: usize,
    /// Items on slots in use already, at most.
    on_open: usize,
    /// Items on each free slot at most, the roomiest first.
    on_free: Vec<usize>,
    /// The steady capacity left on each free slot, the largest first.
    left: Vec<i64>,
    /// And on slots in use.
    left_open: i64,
    /// The least steady sizes of so many items together, from none up.
    steady: Vec<i64>,
}

impl Residual {
    /// None if nobody of the class is left who could have a single slot.
    pub fn of(bounds: &Bounds, class: &Class, state: &State<'_>) -> Option<Self> {
        let mut residual = Self { colour: class.colour, extra: Cost::WORST, steady: vec![0], ..Self::default() };
        let takes_part = |kind: &usize| {
            let reach = &state.reach[*kind];
            state.remaining[*kind] > 0 && !reach.is_nothing() && !reach.only_pairs()
        };
        for kind in class.by_steady.iter().copied().filter(takes_part) {
            let reach = &state.reach[kind];
            residual.count += state.remaining[kind];
            residual.free |= reach.free;
            residual.open |= reach.open;
            if reach.pair != 0 {
                residual.pair |= reach.pair;
                residual.pair_groups |= reach.pair_groups;
                residual.pair_shares |= reach.pair_shares;
                residual.closes |= reach.closes;
                residual.extra = residual.extra.min(state.extras[kind]);
            }
            let mut sum = residual.steady.last().copied().unwrap_or(0);
            for _ in 0..state.remaining[kind] {
                sum += bounds.least_steady[kind];
                residual.steady.push(sum);
            }
        }
        if residual.count == 0 {
            return None;
        }
        let smallest = |order: &[usize], size: &[i64], left: i64, most: usize| {
            let (mut count, mut sum) = (0, 0);
            for kind in order.iter().copied().filter(takes_part) {
                for _ in 0..state.remaining[kind] {
                    sum += size[kind];
                    if sum > left || count == most {
                        return count;
                    }
                    count += 1;
                }
            }
            count
        };
        let left = |at: usize| {
            let (gives, left) = (class.gives[at], state.left[at]);
            (gives.0.min(left.0), gives.1.min(left.1))
        };
        let fits = |at: usize| {
            let (steady, peak) = left(at);
            let room = smallest(&class.by_steady, &bounds.least_steady, steady, usize::from(state.room[at]));
            smallest(&class.by_peak, &bounds.least_peak, peak, room)
        };
        residual.on_open = matching::each(residual.open).map(fits).sum();
        residual.left_open = matching::each(residual.open).map(|at| left(at).0).sum();
        residual.on_free = matching::each(residual.free).map(fits).collect();
        residual.left = matching::each(residual.free).map(|at| left(at).0).collect();
        residual.on_free.sort_unstable_by(|a, b| b.cmp(a));
        residual.left.sort_unstable_by(|a, b| b.cmp(a));
        residual.on_singles = (0..=residual.count).rev().find(|items| residual.slots(*items).is_some()).unwrap_or(0);
        residual.reach = residual.free | residual.pair;
        residual.pair_takes = 2;
        if residual.closes != 0 && !residual.pair_shares {
            // All free slots of the group that it closes, and the first one.
            let free = state.free();
            let members = || matching::each(residual.closes).map(|at| bounds.members[at] & free);
            residual.pair_takes = 1 + members().map(|places| places.count_ones() as usize).min().unwrap_or(1);
            residual.reach |= members().fold(0, |all, places| all | places);
        }
        Some(residual)
    }

    /// Free slots that so many of the items need at least; none if there aren't enough.
    fn slots(&self, items: usize) -> Option<usize> {
        let (mut places, mut capacity) = (self.on_open, self.left_open);
        let mut slots = 0;
        for (room, left) in self.on_free.iter().zip(&self.left) {
            if places >= items && capacity >= self.steady[items] {
                return Some(slots);
            }
            places += room;
            capacity += left;
            slots += 1;
        }
        (places >= items && capacity >= self.steady[items]).then_some(slots)
    }

    /// Items that go without at least, whatever the others have.
    pub fn without(&self) -> usize {
        self.count - self.on_singles - self.paired()
    }

    /// Items that have a pair or nothing, those left out that can't even have that.
    pub fn paired(&self) -> usize {
        let most = match (self.pair, self.pair_shares) {
            (0, _) => 0,
            (_, true) => usize::MAX,
            (_, false) => self.closes.count_ones() as usize,
        };
        (self.count - self.on_singles).min(most)
    }

    /// What they require, and the room that is left over for kinds of several classes.
    pub fn requirement(&self, state: &State<'_>) -> (Requirement, usize) {
        let most_items = usize::from(state.it.most_items);
        let room: usize = matching::each(self.open).map(|at| usize::from(state.room[at])).sum();
        let reach = self.reach;
        if self.pair != 0 {
            let count = self.count - self.without();
            let takes = |items: usize| Some(self.slots(items)? + self.pair_takes * (count - items));
            let needs = (0..=self.on_singles).filter_map(takes).min().unwrap_or(0);
            let requirement = Requirement { reach, needs, first: 1, next: 1, saves: self.pair_takes };
            return (requirement, self.free.count_ones() as usize * most_items + room);
        }
        let placed = self.on_singles;
        let over = placed.saturating_sub(room);
        let by_count = over.div_ceil(most_items);
        let needs = self.slots(placed).unwrap_or(0);
        let spare = (needs * most_items + room).saturating_sub(placed);
        let requirement = if needs > by_count {
            // One item less may be the one that needed them all.
            Requirement { reach, needs, first: 1, next: 1, saves: needs }
        } else {
            let first = if over == 0 { 0 } else { (over - 1) % most_items + 1 };
            Requirement { reach, needs, first, next: most_items, saves: 1 }
        };
        (requirement, spare)
    }
}
