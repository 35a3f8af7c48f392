//! Which states were searched before: the same state is never worth a second look.

use super::Search;
use crate::assignment::instance::{GRAIN, Instance, Kind, SIZES_IN_ONE};

/// Words of states that are remembered at most: 80 MB of them, and no state more than so many.
const MOST_WORDS: usize = 20_000_000;
const MOST_STATES: usize = 400_000;

/// The most that one item of a kind can take, wherever it is placed.
#[derive(Debug, Clone, Copy, Default)]
pub struct Most {
    steady: i64,
    peak: i64,
    /// Of a budget of weight 1.
    weighed: f64,
    weighed_peak: f64,
}

impl Most {
    pub fn of(it: &Instance, kind: &Kind) -> Self {
        let factor = |at: usize, mode: u8| it.slots[at].modes[usize::from(mode)].factor;
        let singles = kind.singles.iter().map(|single| (single.size, factor(single.slot, single.mode)));
        let pairs = kind
            .pairs
            .iter()
            .map(|pair| (pair.size, factor(pair.first, pair.modes.0) + factor(pair.second, pair.modes.1)));
        singles.chain(pairs).fold(Self::default(), |most, (size, factor)| Self {
            steady: most.steady.max(size.steady),
            peak: most.peak.max(size.peak),
            weighed: most.weighed.max(factor * size.steady as f64 * GRAIN),
            weighed_peak: most.weighed_peak.max(factor * size.peak as f64 * GRAIN),
        })
    }
}

/// The heaviest weight that any slot has in each budget.
pub fn heaviest(it: &Instance) -> Vec<f64> {
    let mut heaviest = vec![0.0_f64; it.budgets.len()];
    for (budget, weight) in it.slots.iter().flat_map(|slot| &slot.budgets) {
        heaviest[*budget] = heaviest[*budget].max(*weight);
    }
    heaviest
}

impl Search<'_> {
    /// Whether this state was searched before at no greater cost; else it is remembered.
    pub(super) fn is_known(&mut self) -> bool {
        let key = self.key();
        let cost = self.cost;
        if let Some(before) = self.known.get_mut(&key) {
            if *before <= cost {
                return true;
            }
            *before = cost;
        } else if self.known.len() < MOST_STATES && self.known_words + key.len() <= MOST_WORDS {
            self.known_words += key.len();
            self.known.insert(key, cost);
        }
        false
    }

    /// All that the rest of the search depends on: what is left over counts no
    /// further than all that is still to come could use.
    fn key(&self) -> Box<[u32]> {
        let it = self.it;
        let mut most = Most::default();
        for (kind, left) in self.most.iter().zip(&self.remaining) {
            let left = *left as i64;
            most.steady += left * kind.steady;
            most.peak += left * kind.peak;
            most.weighed += left as f64 * kind.weighed;
            most.weighed_peak += left as f64 * kind.weighed_peak;
        }
        // Whether those left of a kind may still go without.
        let must = |kind: usize| it.kinds[kind].heavier.iter().any(|heavy| self.placed[*heavy] > 0);
        let left = |(kind, left): (usize, &usize)| (*left as u32) << 1 | u32::from(*left > 0 && must(kind));
        let mut key: Vec<u32> = self.remaining.iter().enumerate().map(left).collect();
        let group = |at: usize| self.traits(at);
        let mut slots: Vec<[u32; 8]> = it
            .slots
            .iter()
            .zip(&self.slots)
            .map(|(slot, state)| {
                let symmetry = slot.symmetry as u32;
                if state.closed || state.items >= it.most_items {
                    let own = if self.members[slot.group] == 1 { 0 } else { u32::MAX };
                    return [symmetry, 1 << 16, own, 0, 0, 0, 0, 0];
                }
                let [own, rest] = if self.members[slot.group] == 1 { group(slot.group) } else { [u32::MAX; 2] };
                if state.items == 0 {
                    return [symmetry, 0, own, rest, 0, 0, 0, 0];
                }
                let mode = &slot.modes[usize::from(state.mode.saturating_sub(1))];
                let kinds = u32::from(state.first) << 1 | u32::from(state.second);
                let flags = u32::from(state.mode) << 4 | u32::from(state.flipped) << 2 | kinds;
                let items = u32::from(state.items) << 8;
                // Enough that it can't even become tight.
                let steady = (mode.steady - state.steady).min(most.steady + mode.steady - mode.easy);
                let peak = (mode.peak - state.peak).min(most.peak);
                let [a, b] = halves(steady);
                let [c, d] = halves(peak);
                [symmetry, flags << 17 | items | 1, own, rest, a, b, c, d]
            })
            .collect();
        slots.sort_unstable();
        key.extend(slots.iter().flatten());
        key.extend((0..it.groups.len()).filter(|at| self.members[*at] != 1).flat_map(group));
        for (at, budget) in it.budgets.iter().enumerate() {
            // What is plainly enough for all is the same as anything more.
            let left =
                |capacity: f64, used: f64, most: f64| ((capacity - used).min(most) * SIZES_IN_ONE).round() as i64;
            let (steady, peak) = (most.weighed * self.heaviest[at], most.weighed_peak * self.heaviest[at]);
            key.extend(halves(left(budget.steady, self.used_steady[at], steady + budget.steady - budget.easy)));
            key.extend(halves(left(budget.peak, self.used_peak[at], peak)));
        }
        key.into_boxed_slice()
    }

    /// All about a group that matters to what may still come, and to what that would cost.
    fn traits(&self, at: usize) -> [u32; 2] {
        let group = &self.groups[at];
        let mix = &group.mix;
        // Where conflicts aren't weighed, it matters who is there, and not how many of them.
        let most = if self.weighs_conflicts() { 255 } else { 1 };
        let counts = [(mix.second, most), (mix.first, most), (mix.second_avoiding, most), (mix.first_avoiding, most)];
        let first = counts.iter().fold(0, |bits, (count, most)| bits << 8 | u32::from(*count.min(most)));
        let flags =
            [group.closed, group.sealed, group.exclusive, group.no_first, group.no_second, mix.avoiding_all > 0];
        let flags = flags.iter().fold(0, |bits, bit| bits << 1 | u32::from(*bit));
        // Past what is easy it is all the same.
        let ease = &self.it.ease;
        let (marked, weight) = (mix.marked.min(u16::from(ease.marked) + 1), mix.weight.min(u32::from(ease.weight) + 1));
        let few = u32::from(mix.weighted.min(2)) << 8 | u32::from(marked);
        [first, flags << 26 | few << 16 | weight]
    }
}

fn halves(number: i64) -> [u32; 2] {
    [(number >> 32) as u32, number as u32]
}
