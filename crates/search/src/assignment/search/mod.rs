//! The search: every assignment, the promising ones first, what can't be better
//! than the best so far cut off.
//!
//! A kind at a time has one of its items placed, or goes without. What prunes:
//! slots that can stand for each other are tried once; a state reached before
//! at no greater cost isn't searched again; and a bound on what is still to
//! come, from matchings of items to slots and to groups.

use std::collections::HashMap;

use super::bound::{Bounds, Reach};
use super::cost::Cost;
use super::instance::{Instance, Pair, Single};
use super::{Options, Placement};
use crate::allowance::Allowance;
use crate::answer::{Answer, LeftOut};
use crate::matching::Places;
use crate::watch::{Stopped, Unwatched, Watch};

mod feasible;
mod greedy;
mod known;
mod lower;
mod price;
mod state;

pub use self::greedy::{evaluate, greedy};
use self::known::Most;
pub use self::lower::placed_at_most;
use self::state::{FREE, GroupState, SlotState};

/// What a node takes of the allowance whoever is left, in looks at a way. The bounds take more, since
/// they match each item that is left with those before it.
const NODE_STEPS: u64 = 20;

/// Nodes that a first guess, and a count of who goes without, may take.
const MOST_GUESSED: u64 = 2_000;

/// Nodes after which the watch is asked again.
const WATCHED: u64 = 256;

/// The best assignment of so many items of each kind that costs less than what is to be beaten.
///
/// # Errors
/// [`Stopped`] where the watch says so.
pub fn solve(
    it: &Instance,
    counts: &[usize],
    options: Options<'_>,
    watch: &dyn Watch,
) -> Result<Answer<Vec<Placement>, Cost>, Stopped> {
    options.allowance.take(beginning(it));
    let mut search = Search::new(it, counts, options, watch);
    // Where only what places all is asked for, how many go without is no question.
    if !options.first && !options.only_unplaced && options.below > Cost::UNPLACED {
        search.floor = unplaced_at_least(it, counts, options.allowance);
    }
    search.guess()?;
    search.dive()?;
    Ok(search.answer())
}

/// Items of an instance that go without at least, with so many of each kind:
/// as few as can be, or a bound if that takes too long.
#[must_use]
pub fn unplaced_at_least(it: &Instance, counts: &[usize], allowance: &Allowance<'_>) -> usize {
    if !allowance.take(beginning(it)) {
        return counts.iter().sum::<usize>() - placed_at_most(it, counts, None);
    }
    let options = Options { only_unplaced: true, most_nodes: MOST_GUESSED, ..Options::all(allowance) };
    let mut search = Search::new(it, counts, options, &Unwatched);
    let choices = search.all_choices();
    let bound = search.at_least(&choices).unplaced;
    // Nobody looks on, so nobody stops it.
    let looked = search.guess().and_then(|()| search.dive());
    match (looked, search.left_out.is_nothing(), &search.best) {
        (Ok(()), true, Some((cost, _))) => cost.unplaced(),
        _ => bound,
    }
}

/// What it takes before a search begins, each way looked at for its mode and its most.
fn beginning(it: &Instance) -> u64 {
    NODE_STEPS + 4 * it.size() as u64
}

struct Search<'a> {
    it: &'a Instance,
    options: Options<'a>,
    watch: &'a dyn Watch,
    slots: Vec<SlotState>,
    groups: Vec<GroupState>,
    /// What of each budget is used, of steady sizes.
    used_steady: Vec<f64>,
    /// Of peaks.
    used_peak: Vec<f64>,
    remaining: Vec<usize>,
    /// Items of each kind that have a place.
    placed: Vec<usize>,
    cost: Cost,
    placements: Vec<Placement>,
    best: Option<(Cost, Vec<Placement>)>,
    below: Cost,
    /// What nothing costs less than, as seen from the root.
    root: Cost,
    nodes: u64,
    left_out: LeftOut,
    /// What a node takes of the allowance, for each kind of which some are left.
    steps: Vec<u64>,
    /// Some items go without in any case.
    short: bool,
    /// Items that go without in any assignment at all; known before the search.
    floor: usize,
    known: HashMap<Box<[u32]>, Cost>,
    known_words: usize,
    bounds: Bounds,
    most: Vec<Most>,
    /// How many slots each group has.
    members: Vec<usize>,
    /// The heaviest weight that any slot has in each budget.
    heaviest: Vec<f64>,
    /// The parts of the work that lie behind, by depth.
    share: f64,
    done: f64,
}

/// What a node can do for a kind.
#[derive(Default)]
struct Choices {
    singles: Vec<Single>,
    pairs: Vec<Pair>,
    reach: Reach,
    /// What an item costs at least, if it is placed.
    least: Cost,
    /// What it costs more at least by a pair.
    extra: Cost,
}

impl Choices {
    fn len(&self) -> usize {
        self.singles.len() + self.pairs.len()
    }
}

impl<'a> Search<'a> {
    fn new(it: &'a Instance, counts: &[usize], options: Options<'a>, watch: &'a dyn Watch) -> Self {
        let groups = it.groups.iter().map(|group| GroupState { closed: group.closed, ..GroupState::default() });
        let ways = it.kinds.iter().map(|kind| (kind.singles.len() + kind.pairs.len()) as u64);
        Self {
            it,
            options,
            watch,
            slots: vec![FREE; it.slots.len()],
            groups: groups.collect(),
            used_steady: vec![0.0; it.budgets.len()],
            used_peak: vec![0.0; it.budgets.len()],
            remaining: counts.to_vec(),
            placed: vec![0; counts.len()],
            cost: if options.only_unplaced { Cost::ZERO } else { price::before(it) },
            placements: Vec::new(),
            best: None,
            below: options.below,
            root: Cost::ZERO,
            nodes: 0,
            left_out: LeftOut::NOTHING,
            steps: ways.collect(),
            short: false,
            floor: 0,
            known: HashMap::new(),
            known_words: 0,
            bounds: Bounds::of(it),
            most: it.kinds.iter().map(|kind| Most::of(it, kind)).collect(),
            members: it.slots_of_groups(),
            heaviest: known::heaviest(it),
            share: 1.0,
            done: 0.0,
        }
    }

    /// What the search came to.
    fn answer(self) -> Answer<Vec<Placement>, Cost> {
        let least = self.root.max(self.options.least).min(self.below);
        let finished = self.left_out.is_nothing();
        let (value, best) = self.best.unzip();
        // Where the first is as good as the best, that search says nothing of what others cost.
        let first = self.options.first && best.is_some();
        let reached = value.is_some_and(|value| value <= self.options.least);
        Answer {
            best,
            value,
            bound: if reached || (finished && !first) { self.below } else { least },
            proved: finished || first || reached,
            left_out: self.left_out,
            nodes: self.nodes,
        }
    }

    /// What a node takes of the allowance: a look at each way of each kind that has items left, and so
    /// many looks more for the bounds.
    fn steps_of_node(&self) -> u64 {
        let left = self.remaining.iter().zip(&self.steps).filter(|(count, _)| **count > 0);
        let (items, looks) = left.fold((0, 0), |(items, looks), (count, steps)| (items + *count as u64, looks + steps));
        NODE_STEPS + self.slots.len() as u64 + looks + items * (5 + items / 4)
    }

    fn finished(&self) -> bool {
        let enough = |(cost, _): &(Cost, Vec<Placement>)| self.options.first || *cost <= self.options.least;
        !self.left_out.is_nothing() || self.best.as_ref().is_some_and(enough)
    }

    /// Where not all can be placed, a first assignment of those that the bound
    /// would place: a good one to beat.
    fn guess(&mut self) -> Result<(), Stopped> {
        let choices = self.all_choices();
        let at_least = self.at_least(&choices);
        self.root = self.simple_bound(&choices).max(self.bound_of(&at_least));
        self.short = at_least.unplaced > 0;
        if at_least.unplaced == 0 || Cost::UNPLACED * at_least.unplaced >= self.below {
            return Ok(());
        }
        let options = Options { below: self.below, first: true, most_nodes: MOST_GUESSED, ..self.options };
        let found = solve(self.it, &at_least.placed, options, self.watch)?;
        if let (Some(cost), Some(placements)) = (found.value, found.best) {
            let without = self.remaining.iter().sum::<usize>() - at_least.placed.iter().sum::<usize>();
            let cost = cost + Cost::UNPLACED * without;
            if cost < self.below {
                self.below = cost;
                self.best = Some((cost, placements));
            }
        }
        Ok(())
    }

    fn dive(&mut self) -> Result<(), Stopped> {
        self.nodes += 1;
        self.left_out.past_nodes |= self.nodes > self.options.most_nodes;
        if self.left_out.past_nodes || !self.options.allowance.take(self.steps_of_node()) {
            self.left_out.past_steps |= !self.left_out.past_nodes;
            return Ok(());
        }
        if self.nodes.is_multiple_of(WATCHED) && !self.watch.go_on(self.done) {
            return Err(Stopped);
        }
        if self.remaining.iter().all(|count| *count == 0) {
            if self.cost < self.below {
                self.below = self.cost;
                self.best = Some((self.cost, self.placements.clone()));
            }
            return Ok(());
        }
        if self.is_known() {
            return Ok(());
        }
        let choices = self.all_choices();
        if self.simple_bound(&choices) >= self.below || self.bound(&choices) >= self.below {
            return Ok(());
        }
        let Some(kind) = self.next_kind(&choices) else { return Ok(()) };
        self.branch(kind, &choices[kind])
    }

    /// The kind with the fewest ways first, of equals the largest; or the smallest, if it is the large that go
    /// without.
    fn next_kind(&self, choices: &[Choices]) -> Option<usize> {
        let sizes = |kind: usize| choices[kind].singles.iter().map(|single| single.size.steady);
        let largest = |kind: usize| sizes(kind).max().unwrap_or(0) * if self.short { 1 } else { -1 };
        let open = (0..choices.len()).filter(|kind| self.remaining[*kind] > 0);
        // A pair is a last resort: however many there are, they count as one way.
        // Marked ones, of which only few go together in a group, take its room from each other: they come early.
        let ways = |kind: usize| {
            let singles = &choices[kind].singles;
            let few = !self.it.allows_excess && self.it.kinds[kind].member.marked;
            let singles = if few { self.groups_of(singles) / 2 } else { singles.len() };
            singles + usize::from(!choices[kind].pairs.is_empty())
        };
        // The second colour comes before the first, which mostly has to make room for it.
        let first = |kind: usize| self.weighs_conflicts() && self.it.kinds[kind].is_first();
        open.min_by_key(|kind| (ways(*kind), first(*kind), largest(*kind), *kind))
    }

    /// How many groups some ways lead into.
    fn groups_of(&self, singles: &[Single]) -> usize {
        let all = singles.iter().fold(0, |all: Places, single| all | 1 << self.it.slots[single.slot].group);
        all.count_ones() as usize
    }

    /// The placements of a kind, the cheapest first; of equals where the least is left over.
    fn in_order(&self, kind: usize, choices: &Choices) -> Vec<(Cost, i64, Placement)> {
        let mut order: Vec<(Cost, i64, Placement)> = Vec::with_capacity(choices.len());
        for single in &choices.singles {
            let slot = &self.it.slots[single.slot];
            let mode = &slot.modes[usize::from(single.mode)];
            let left = mode.steady - self.slots[single.slot].steady - single.size.steady;
            let placement = Placement::Single(kind, *single);
            order.push((self.whole_cost_of(&placement), left, placement));
        }
        for pair in &choices.pairs {
            let placement = Placement::Pair(kind, *pair);
            order.push((self.whole_cost_of(&placement), 0, placement));
        }
        order.sort_by_key(|(cost, left, _)| (*cost, *left));
        order
    }

    fn branch(&mut self, kind: usize, choices: &Choices) -> Result<(), Stopped> {
        let order = self.in_order(kind, choices);
        let parts = (order.len() + 1) as f64;
        let (share, done) = (self.share, self.done);
        self.share = share / parts;
        for (cost, _, placement) in order {
            self.place_and_dive(cost, placement)?;
            self.done += self.share;
            if self.finished() {
                return Ok(());
            }
        }
        self.go_without(kind)?;
        (self.share, self.done) = (share, done + share);
        Ok(())
    }

    /// All that are left of a kind go without: which of them makes no
    /// difference. So do all that are heavier, since one of this kind could
    /// have the place of any of those, for no more.
    fn go_without(&mut self, kind: usize) -> Result<(), Stopped> {
        let heavier = &self.it.kinds[kind].heavier;
        if heavier.iter().any(|heavy| self.placed[*heavy] > 0) {
            return Ok(());
        }
        let kinds = || heavier.iter().chain([&kind]).copied();
        let kept: Vec<usize> = kinds().map(|kind| std::mem::take(&mut self.remaining[kind])).collect();
        let without = Cost::UNPLACED * kept.iter().sum::<usize>();
        self.cost += without;
        if self.cost < self.below {
            self.dive()?;
        }
        self.cost -= without;
        kinds().zip(kept).for_each(|(kind, count)| self.remaining[kind] = count);
        Ok(())
    }

    fn place_and_dive(&mut self, cost: Cost, placement: Placement) -> Result<(), Stopped> {
        let (kind, slots) = match placement {
            Placement::Single(kind, single) => (kind, [single.slot, single.slot]),
            Placement::Pair(kind, pair) => (kind, [pair.first, pair.second]),
        };
        let kept_slots = slots.map(|at| self.slots[at]);
        let groups = slots.map(|at| self.it.slots[at].group);
        let kept_groups = groups.map(|at| self.groups[at]);
        self.put(placement);
        self.load(placement, 1.0);
        self.remaining[kind] -= 1;
        self.placed[kind] += 1;
        self.cost += cost;
        self.placements.push(placement);
        self.dive()?;
        self.placements.pop();
        self.cost -= cost;
        self.placed[kind] -= 1;
        self.remaining[kind] += 1;
        self.load(placement, -1.0);
        for i in [1, 0] {
            self.slots[slots[i]] = kept_slots[i];
            self.groups[groups[i]] = kept_groups[i];
        }
        Ok(())
    }
}
