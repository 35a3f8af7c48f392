//! What is placed so far, slot by slot and group by group.

use super::Search;
use crate::assignment::Placement;
use crate::assignment::instance::{Kind, Size};
use crate::assignment::mix::{Colour, Mix};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SlotState {
    /// 0 free, else the mode's number from 1.
    pub mode: u8,
    pub flipped: bool,
    pub items: u8,
    /// In a pair, or with an item that shares with nobody.
    pub closed: bool,
    /// Items of the first colour are in it.
    pub first: bool,
    /// And of the second.
    pub second: bool,
    pub steady: i64,
    pub peak: i64,
}

pub const FREE: SlotState =
    SlotState { mode: 0, flipped: false, items: 0, closed: false, first: false, second: false, steady: 0, peak: 0 };

impl SlotState {
    /// Whether items of a colour are in it.
    pub fn has(&self, colour: Colour) -> bool {
        match colour {
            Colour::First => self.first,
            Colour::Second => self.second,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct GroupState {
    pub mix: Mix,
    /// Of an item that shares with nobody, or of the second slot of a pair.
    pub closed: bool,
    /// Sealed items have it, in one slot.
    pub sealed: bool,
    /// An item is in it in an exclusive mode that it doesn't share.
    pub exclusive: bool,
    /// A strict member of the second colour is in it.
    pub no_first: bool,
    /// A strict one of the first.
    pub no_second: bool,
}

impl GroupState {
    pub fn is_used(&self) -> bool {
        self.mix.members() > 0
    }
}

impl Search<'_> {
    /// Puts an item into its slots, budgets left out.
    pub(super) fn put(&mut self, placement: Placement) {
        let it = self.it;
        match placement {
            Placement::Single(kind, single) => {
                let kind = &it.kinds[kind];
                let slot = &mut self.slots[single.slot];
                slot.mode = single.mode + 1;
                slot.flipped = single.flipped;
                slot.items += 1;
                slot.closed |= kind.alone_in_slot;
                slot.first |= kind.is_first();
                slot.second |= !kind.is_first();
                slot.steady += single.size.steady;
                slot.peak += single.size.peak;
                self.enter(single.slot, single.mode, kind);
            }
            Placement::Pair(kind, pair) => {
                for (at, mode) in [(pair.first, pair.modes.0), (pair.second, pair.modes.1)] {
                    self.slots[at] = SlotState { mode: mode + 1, items: 1, closed: true, ..FREE };
                }
                let (first, second) = (it.slots[pair.first].group, it.slots[pair.second].group);
                self.enter(pair.first, pair.modes.0, &it.kinds[kind]);
                if second != first {
                    self.groups[second].closed = true;
                }
            }
        }
    }

    fn enter(&mut self, slot: usize, mode: u8, kind: &Kind) {
        if kind.aside {
            return;
        }
        let exclusive = self.is_exclusive(slot, mode) && !kind.shares_exclusive;
        let group = &mut self.groups[self.it.slots[slot].group];
        group.mix.join(&kind.member);
        group.closed |= kind.alone_in_group;
        group.sealed |= kind.sealed;
        group.exclusive |= exclusive;
        group.no_first |= kind.strict && !kind.is_first();
        group.no_second |= kind.strict && kind.is_first();
    }

    /// Counts an item against its budgets, or with −1 takes it off them.
    pub(super) fn load(&mut self, placement: Placement, sign: f64) {
        let it = self.it;
        let mut add = |slot: usize, mode: u8, size: &Size, part: f64| {
            let slot = &it.slots[slot];
            let weighed = |size: i64| slot.weighed(mode, size, part) * sign;
            for (budget, weight) in &slot.budgets {
                self.used_steady[*budget] += weighed(size.steady) * weight;
                self.used_peak[*budget] += weighed(size.peak) * weight;
            }
        };
        match placement {
            Placement::Single(_, single) => add(single.slot, single.mode, &single.size, 1.0),
            Placement::Pair(_, pair) => {
                add(pair.first, pair.modes.0, &pair.size, pair.shares.0);
                add(pair.second, pair.modes.1, &pair.size, pair.shares.1);
            }
        }
    }

    pub(super) fn is_exclusive(&self, slot: usize, mode: u8) -> bool {
        self.it.slots[slot].modes[usize::from(mode)].exclusive
    }
}
