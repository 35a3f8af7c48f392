//! What nothing from a node on costs less than.

use super::state::SlotState;
use super::{Choices, Search};
use crate::assignment::bound::{AtLeast, Reach, State};
use crate::assignment::cost::Cost;
use crate::assignment::instance::{Instance, Mode, Pair, Slot};
use crate::matching::{self, Places};

/// Items of an instance that could have a slot if each looked at slots
/// alone, one slot left out if one is named.
#[must_use]
pub fn placed_at_most(it: &Instance, counts: &[usize], but: Option<usize>) -> usize {
    let mut wants = Vec::new();
    for (kind, count) in it.kinds.iter().zip(counts) {
        let singles = kind.singles.iter().fold(0, |slots, single| slots | 1 << single.slot);
        let both = |pair: &Pair| 1 << pair.first | 1 << pair.second;
        let slots: Places = kind.pairs.iter().fold(singles, |slots, pair| slots | both(pair));
        wants.extend(std::iter::repeat_n(slots, *count));
    }
    let room = |at: usize| if Some(at) == but { 0 } else { it.most_items };
    let room: Vec<u8> = (0..it.slots.len()).map(room).collect();
    matching::most(&wants, &room)
}

impl Search<'_> {
    /// What the rest costs at least, each kind by itself.
    pub(super) fn simple_bound(&self, choices: &[Choices]) -> Cost {
        let each = |kind: usize| if self.remaining[kind] == 0 { Cost::ZERO } else { choices[kind].least };
        let rest = (0..choices.len()).map(|kind| each(kind) * self.remaining[kind]);
        self.cost + rest.sum::<Cost>()
    }

    /// The same, with what slots there are for all of them together.
    pub(super) fn bound(&self, choices: &[Choices]) -> Cost {
        self.bound_of(&self.at_least(choices))
    }

    pub(super) fn bound_of(&self, at_least: &AtLeast) -> Cost {
        let AtLeast { unplaced, cost, sharing_slots, sharing_groups, .. } = at_least;
        let sharing = if self.options.only_unplaced { 0 } else { sharing_slots + sharing_groups };
        self.cost + Cost::UNPLACED * *unplaced + *cost + Cost::SHARED * sharing
    }

    pub(super) fn at_least(&self, choices: &[Choices]) -> AtLeast {
        let it = self.it;
        let reach: Vec<Reach> = choices.iter().map(|choices| choices.reach).collect();
        let room = |state: &SlotState| if state.closed { 0 } else { it.most_items.saturating_sub(state.items) };
        let room: Vec<u8> = self.slots.iter().map(room).collect();
        let slots = || it.slots.iter().zip(&self.slots);
        let most = |slot: &Slot, of: fn(&Mode) -> i64| slot.modes.iter().map(of).max().unwrap_or(0);
        let left = slots().map(|(slot, state)| match state.mode {
            0 => (most(slot, |mode| mode.steady), most(slot, |mode| mode.peak)),
            chosen => {
                let mode = &slot.modes[usize::from(chosen) - 1];
                (mode.steady - state.steady, mode.peak - state.peak)
            }
        });
        let left: Vec<(i64, i64)> = left.collect();
        let costs: Vec<Cost> = choices.iter().map(|choices| choices.least).collect();
        let extras: Vec<Cost> = choices.iter().map(|choices| choices.extra).collect();
        // Those that went without so far count towards the fewest that ever do.
        let floor = self.floor.saturating_sub(self.cost.unplaced());
        let remaining = &self.remaining;
        let state =
            State { it, reach: &reach, remaining, costs: &costs, extras: &extras, room: &room, left: &left, floor };
        self.bounds.bound(&state)
    }
}
