//! How much there is to do, known before any of it is done.

use std::collections::{BTreeMap, BTreeSet};

use super::path::Path;
use super::routes::Routes;
use super::{MOST_CARRIED, MOST_CHOICES, MOST_STRETCHES};
use crate::arrival::{CHOICE_STEPS, Choices, Rest};
use crate::cascade::LineCache;
use crate::network::Sweep;
use crate::plan::{Plan, Wire};
use crate::watch::{Pace, Unwatched};

/// How many choices of the side runs are kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sides {
    /// Of each side run on the way, and the route that it hangs on, in order.
    pub side_runs: Vec<(usize, usize)>,
    /// Of what hangs on the spot.
    pub rest: usize,
    /// Whether all of them are kept.
    pub complete: bool,
    /// The same of each block, in order.
    pub blocks: Vec<usize>,
    /// Whether all of these are kept.
    pub blocks_complete: bool,
}

/// What an answer takes, in things that are done once for each frequency.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Effort {
    /// Stations of side runs, once for each of their choices.
    pub choices: u64,
    /// Stretches, once for each combination of the side runs between.
    pub stretches: u64,
    /// Contexts of all switches.
    pub contexts: u64,
    /// Whether ways part so often that there are more stretches than are kept.
    pub parts_too_often: bool,
}

/// So many rows that go on are never looked at, by whatever limit.
const FAR_TOO_MUCH: u64 = 1 << 40;

/// A stretch costs about so many contexts: a row carried on, its level, two edges.
const STRETCH: u64 = 8;

impl Effort {
    /// All of it for so many frequencies, in steps: one context at one frequency each.
    pub fn steps(self, points: usize) -> u64 {
        let choices = self.choices.saturating_mul(CHOICE_STEPS);
        let stretches = self.stretches.saturating_mul(STRETCH);
        choices.saturating_add(stretches).saturating_add(self.contexts).saturating_mul(points as u64)
    }

    /// So many stretches.
    pub fn of_stretches(stretches: usize) -> Self {
        Self { stretches: stretches as u64, ..Self::default() }
    }

    /// So many contexts.
    pub fn of_contexts(contexts: usize) -> Self {
        Self { contexts: contexts as u64, ..Self::default() }
    }
}

/// The wires that hang on the way, and the route that each hangs on. A stop that
/// never passes has nothing hanging on it that the signal feels.
pub fn hanging(path: &Path) -> impl Iterator<Item = (usize, &Wire)> {
    let exits = path.stops.iter().flat_map(|stop| &stop.exits).enumerate();
    exits.flat_map(|(route, exit)| exit.side_runs.iter().map(move |wire| (route, wire)))
}

/// As many choices as fit.
pub fn sides(plan: &Plan, path: &Path) -> Sides {
    let most = MOST_CHOICES as u64;
    let mut complete = true;
    let mut known = BTreeMap::new();
    let is_meshed = plan.junctions().next().is_some();
    let mut kept = |to: Option<usize>| {
        let all = match to {
            None => 1,
            // Over a junction more is felt than what comes after a station.
            Some(at) if is_meshed => joined(plan, at, most),
            Some(at) => choices(plan, at, &mut known),
        };
        complete &= all <= most;
        all.min(most) as usize
    };
    let side_runs = hanging(path).map(|(route, wire)| (route, kept(wire.to))).collect();
    let rest = kept(on_spot(path));
    let own = || path.stops.iter().filter_map(|stop| stop.block.as_ref());
    let (blocks, blocks_complete) = (own().map(|block| block.choices).collect(), own().all(|block| block.complete));
    let mut sides = Sides { side_runs, rest, complete, blocks, blocks_complete };
    while sides.are_wide() && RowCount::of(path, &sides).is_too_much() {
        let beside = sides.side_runs.iter_mut().map(|(_, choices)| choices).chain([&mut sides.rest]).max();
        let block = sides.blocks.iter_mut().max();
        let is_block = block.as_ref().map(|choices| **choices) > beside.as_ref().map(|choices| **choices);
        match if is_block { block } else { beside } {
            Some(choices) if *choices > 1 => *choices = choices.div_ceil(2),
            _ => break,
        }
        if is_block { sides.blocks_complete = false } else { sides.complete = false }
    }
    sides
}

impl Sides {
    /// Whether there is any choice to be left out.
    fn are_wide(&self) -> bool {
        let beside = self.side_runs.iter().map(|(_, choices)| choices).chain([&self.rest]);
        beside.chain(&self.blocks).any(|choices| *choices > 1)
    }

    /// How many choices each route has.
    fn on_routes(&self, path: &Path) -> Vec<u64> {
        let mut found = vec![1_u64; path.stops.iter().map(|stop| stop.exits.len()).sum()];
        self.side_runs.iter().for_each(|(route, kept)| found[*route] = found[*route].saturating_mul(*kept as u64));
        found
    }
}

/// What it takes to answer.
pub fn effort(plan: &Plan, path: &Path, sides: &Sides) -> Effort {
    let mut effort = Effort::default();
    let mut known = BTreeMap::new();
    for at in hanging(path).filter_map(|(_, wire)| wire.to).chain(on_spot(path)) {
        choices(plan, at, &mut known);
    }
    // Of every station there, as far as they are kept.
    let kept = known.into_values().map(|all| all.min(MOST_CHOICES as u64));
    effort.choices = kept.fold(0, u64::saturating_add);
    let blocks = path.stops.iter().filter_map(|stop| stop.block.as_ref());
    let passed = blocks.map(|block| (block.choices as u64).saturating_mul(block.stations as u64));
    effort.choices = effort.choices.saturating_add(passed.fold(0, u64::saturating_add));
    let (beside, behind) = switches(plan, path);
    let rows = RowCount::of(path, sides);
    effort.parts_too_often = !path.is_a_row() && rows.is_too_much();
    effort.stretches = rows.stretches;
    let mut more = |contexts: u64| effort.contexts = effort.contexts.saturating_add(contexts);
    let mut route = 0;
    for (at, stop) in path.stops.iter().enumerate() {
        let here = rows.at[at + 1];
        let routes = route..route + stop.exits.len();
        route = routes.end;
        match (&stop.modes[..], &stop.exits[..]) {
            // Each row here goes on over each stretch behind the unit.
            ([_], [exit]) => more(here.saturating_mul(rows.choices[routes.start]).saturating_mul(rows.behind[exit.to])),
            ([one, _], []) => more(here.saturating_add(rows.behind[one.to])),
            (modes, exits) if modes.len() + exits.len() > 1 => {
                let far = stop.onward().map(|(_, to)| rows.behind[to]).max().unwrap_or(0);
                more(here.saturating_mul(far).saturating_mul(exits.len() as u64));
            }
            _ => {}
        }
        if let Some(block) = &stop.block {
            // Each switch has two choices of each pair, from every row that comes here.
            let pairs = (block.choices as u64).saturating_mul(block.switches.len() as u64);
            more(here.saturating_mul(pairs));
        }
        for route in routes {
            let there = here.saturating_mul(rows.choices[route]).saturating_mul(rows.behind[rows.to[route]]);
            let known: u64 = beside.iter().filter(|(other, _)| *other == route).map(|(_, switches)| switches).sum();
            more(there.saturating_mul(known));
        }
    }
    more(rows.at[path.spot()].saturating_mul(sides.rest as u64).saturating_mul(behind));
    effort
}

/// How many rows come where, and how many stretches there are.
struct RowCount {
    /// Choices of each route.
    choices: Vec<u64>,
    /// The level that each route leads to.
    to: Vec<usize>,
    /// Rows of all nodes at each level.
    at: Vec<u64>,
    /// Entries of stretches that a row has which begins at each level.
    behind: Vec<u64>,
    /// Entries of all.
    stretches: u64,
    /// Rows that go on from level to level.
    carried: u64,
}

impl RowCount {
    fn of(path: &Path, sides: &Sides) -> Self {
        let choices = sides.on_routes(path);
        let routes = Routes::new(path, choices.iter().copied());
        let spot = path.spot();
        let mut blocks = sides.blocks.iter();
        let ends = path.stops.iter().map(|stop| match stop.block {
            Some(_) => blocks.next().copied().unwrap_or(0),
            None => stop.modes.len(),
        });
        let ends: Vec<usize> = ends.chain([sides.rest]).collect();
        let nodes_at = |level: usize| ends[level - 1] as u64;
        let mut beginning = vec![0_u64; spot + 1];
        beginning[1] = 1;
        path.stops.iter().flat_map(|stop| &stop.modes).for_each(|mode| beginning[mode.to] += 1);
        for (stop, ends) in path.stops.iter().zip(&ends) {
            stop.block.iter().for_each(|block| beginning[block.to] += *ends as u64);
        }
        let (mut at, mut behind) = (vec![0_u64; spot + 1], vec![0_u64; spot + 1]);
        let (mut stretches, mut carried) = (0_u64, 0_u64);
        // What comes of a row is asked where one begins, and behind a switch or a side run.
        let mut asked: Vec<bool> = beginning.iter().map(|begin| *begin > 0).collect();
        for stop in &path.stops {
            if stop.modes.len() + stop.exits.len() > 1 || !stop.side_runs().is_empty() {
                stop.exits.iter().for_each(|exit| asked[exit.to] = true);
            }
        }
        for first in (1..=spot).filter(|first| asked[*first]) {
            // Far past what is looked at, it is too much however much it is.
            if carried > FAR_TOO_MUCH {
                stretches = u64::MAX;
                break;
            }
            let rows = routes.rows_from(first);
            for (level, rows) in (first..).zip(&rows) {
                behind[first] = behind[first].saturating_add(rows.saturating_mul(nodes_at(level)));
                let all = rows.saturating_mul(beginning[first]);
                at[level] = at[level].saturating_add(all);
                carried = carried.saturating_add(all);
            }
            stretches = stretches.saturating_add(behind[first].saturating_mul(beginning[first]));
        }
        let to = routes.all.iter().map(|route| route.to).collect();
        Self { choices, to, at, behind, stretches, carried }
    }

    /// More stretches than are kept, or more rows that go on from stop to stop.
    fn is_too_much(&self) -> bool {
        self.stretches > MOST_STRETCHES as u64 || self.carried > MOST_CARRIED
    }
}

/// How many things a circuit can be that may be joined to others, one more than `most` at most.
fn joined(plan: &Plan, at: usize, most: u64) -> u64 {
    // At no frequency at all only how many there are counts.
    let (mut line_cache, mut pace) = (LineCache::new(Sweep::at(&[])), Pace::new(&Unwatched, 0));
    let mut choices = Choices::new(plan, &mut line_cache, most as usize + 1, &mut pace);
    choices.of_rest(&Rest::Station(at)).map_or(1, |found| found.len() as u64)
}

/// How many things a station can be, all that comes after it counted. Several
/// ways may lead to a station, and 2ⁿ by way of n others: each is counted once.
fn choices(plan: &Plan, at: usize, known: &mut BTreeMap<usize, u64>) -> u64 {
    if let Some(all) = known.get(&at) {
        return *all;
    }
    let here = &plan.stations[at];
    let mut all: u64 = 0;
    for alternative in &here.alternatives {
        let mut more: u64 = 1;
        if alternative.passes() {
            for onward in here.wires(alternative).filter_map(|(_, wire)| wire.to) {
                more = more.saturating_mul(choices(plan, onward, known));
            }
        }
        all = all.saturating_add(more);
    }
    known.insert(at, all);
    all
}

/// The station behind the spot.
fn on_spot(path: &Path) -> Option<usize> {
    match &path.rest {
        Rest::Wire(wire) => wire.to,
        Rest::Station(at) => Some(*at),
        Rest::Inside => None,
    }
}

/// How many switches each side run has, with the route that it hangs on; and
/// how many hang on the spot.
fn switches(plan: &Plan, path: &Path) -> (Vec<(usize, u64)>, u64) {
    let mut side_runs: Vec<(usize, u64)> = hanging(path).map(|(route, _)| (route, 0)).collect();
    let mut rest = 0;
    walk_sides(plan, path, |at, side_run| {
        let switch = u64::from(plan.stations[at].alternatives.len() > 1);
        match side_run {
            Some(side_run) => side_runs[side_run].1 += switch,
            None => rest += switch,
        }
    });
    (side_runs, rest)
}

/// Every station of the side runs, with the index of the run; none for what hangs on the spot.
fn walk_sides(plan: &Plan, path: &Path, mut visit: impl FnMut(usize, Option<usize>)) {
    let starts = hanging(path).enumerate().map(|(side_run, (_, wire))| (wire.to, Some(side_run)));
    let mut open: Vec<(Option<usize>, Option<usize>)> = starts.chain([(on_spot(path), None)]).collect();
    let mut seen = BTreeSet::new();
    while let Some((at, side_run)) = open.pop() {
        let Some(at) = at else { continue };
        visit(at, side_run);
        let station = &plan.stations[at];
        let passing = station.alternatives.iter().filter(|one| one.passes());
        let onward: BTreeSet<usize> =
            passing.flat_map(|one| station.wires(one)).filter_map(|(_, wire)| wire.to).collect();
        open.extend(onward.into_iter().filter(|to| seen.insert(*to)).map(|to| (Some(to), side_run)));
    }
}
