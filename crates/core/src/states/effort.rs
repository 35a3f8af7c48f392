//! How much there is to do, known before any of it is done.

use super::path::{Path, Rest, Stand, Stop};
use super::{MOST_CARRIED, MOST_CHOICES, MOST_STRETCHES};
use crate::plan::{Plan, Through, Wire};
use crate::rig::Position;

/// How many choices of the side runs are kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sides {
    /// Of each side run on the way, and the level that it hangs at, in order.
    pub legs: Vec<(usize, usize)>,
    /// Of what hangs on the spot.
    pub rest: usize,
    /// Whether all of them are kept.
    pub complete: bool,
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
}

/// A stretch costs about so many contexts: a row carried on, its level, two edges.
const STRETCH: u64 = 8;
/// A choice of a side run costs about so many: a lead with complex divisions.
const CHOICE: u64 = 32;

impl Effort {
    /// All of it for so many frequencies, in steps: one context at one frequency each.
    pub fn steps(self, points: usize) -> u64 {
        let choices = self.choices.saturating_mul(CHOICE);
        let stretches = self.stretches.saturating_mul(STRETCH);
        choices.saturating_add(stretches).saturating_add(self.contexts).saturating_mul(points as u64)
    }

    /// So many choices.
    pub fn of_choices(choices: usize) -> Self {
        Self { choices: choices as u64, ..Self::default() }
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

/// The wires that hang on the way, and the level of each. A stop that never
/// passes has nothing hanging on it that the signal feels.
pub fn hanging(path: &Path) -> impl Iterator<Item = (usize, &Wire)> {
    let passing = path.stops.iter().enumerate().filter(|(_, stop)| stop.pass.is_some());
    passing.flat_map(|(at, stop)| stop.legs.iter().map(move |wire| (at + 1, wire)))
}

/// As many choices as fit.
pub fn sides(plan: &Plan, path: &Path) -> Sides {
    let most = MOST_CHOICES as u64;
    let mut complete = true;
    let mut kept = |to: Option<usize>| {
        let all = to.map_or(1, |at| choices(plan, at, &mut 0));
        complete &= all <= most;
        all.min(most) as usize
    };
    let legs = hanging(path).map(|(level, wire)| (level, kept(wire.to))).collect();
    let rest = kept(on_spot(path));
    let mut sides = Sides { legs, rest, complete };
    while is_too_much(path, &sides) {
        let widest = sides.legs.iter_mut().map(|(_, choices)| choices).chain([&mut sides.rest]).max();
        match widest {
            Some(choices) if *choices > 1 => *choices = choices.div_ceil(2),
            _ => break,
        }
        sides.complete = false;
    }
    sides
}

/// What it takes to answer.
pub fn effort(plan: &Plan, path: &Path, sides: &Sides) -> Effort {
    let mut effort = Effort::default();
    for at in hanging(path).filter_map(|(_, wire)| wire.to).chain(on_spot(path)) {
        choices(plan, at, &mut effort.choices);
    }
    let behind = switches(plan, path);
    // So many switches hang at each level and the levels before it.
    let mut hung = vec![0; path.stops.len() + 2];
    behind.0.iter().for_each(|(level, switches)| hung[*level] += switches);
    (1..hung.len()).for_each(|level| hung[level] += hung[level - 1]);
    each_pair(path, sides, |pair| {
        let both = pair.from.modes * pair.to.modes * pair.combinations;
        effort.stretches = effort.stretches.saturating_add(both);
        // Each switch between is told by this stretch; a unit that isolates on and
        // off by those that begin or end at it while it is off.
        let mut contexts = both.saturating_mul(pair.between + pair.beside(&hung));
        contexts += if pair.to.separates { pair.from.modes * pair.combinations } else { 0 };
        contexts += if pair.from.separates { pair.to.modes * pair.combinations } else { 0 };
        contexts += if pair.to.is_spot { both.saturating_mul(behind.1) } else { 0 };
        effort.contexts = effort.contexts.saturating_add(contexts);
        true
    });
    effort
}

/// Whether there are more stretches than are kept, or more rows that go on from
/// stop to stop; no more are counted than it takes to say so.
fn is_too_much(path: &Path, sides: &Sides) -> bool {
    let (mut stretches, mut carried): (u64, u64) = (0, 0);
    let mut fits = true;
    each_pair(path, sides, |pair| {
        let rows = pair.from.modes.saturating_mul(pair.combinations);
        carried = carried.saturating_add(rows);
        stretches = stretches.saturating_add(rows.saturating_mul(pair.to.modes));
        fits = stretches <= MOST_STRETCHES as u64 && carried <= MOST_CARRIED;
        fits
    });
    !fits
}

/// The start, a stop or the spot.
#[derive(Debug, Clone, Copy)]
struct End {
    level: usize,
    modes: u64,
    separates: bool,
    is_spot: bool,
}

/// Two of them with nothing but what passes between.
struct Pair {
    from: End,
    to: End,
    /// Of the side runs between.
    combinations: u64,
    /// Switches on the way between them.
    between: u64,
}

impl Pair {
    /// Switches in the side runs between, of these that hang up to each level.
    fn beside(&self, hung: &[u64]) -> u64 {
        hung[self.to.level - 1] - hung[self.from.level]
    }
}

/// Visits them until one visit says no.
fn each_pair(path: &Path, sides: &Sides, mut visit: impl FnMut(&Pair) -> bool) {
    let plain = End { level: 0, modes: 1, separates: false, is_spot: false };
    let of_stop = |(at, stop): (usize, &Stop)| {
        let separates = stop.modes.len() > 1;
        End { level: at + 1, modes: stop.modes.len() as u64, separates, is_spot: false }
    };
    let mut ends = vec![plain];
    ends.extend(path.stops.iter().enumerate().map(of_stop));
    ends.push(End { level: path.stops.len() + 1, modes: sides.rest as u64, is_spot: true, ..plain });
    let mut choices = vec![1_u64; ends.len()];
    sides.legs.iter().for_each(|(level, kept)| choices[*level] = choices[*level].saturating_mul(*kept as u64));
    for from in &ends {
        let (mut combinations, mut between) = (1_u64, 0);
        for to in &ends[from.level + 1..] {
            if !visit(&Pair { from: *from, to: *to, combinations, between }) {
                return;
            }
            let Some(stop) = path.stops.get(to.level - 1).filter(|stop| stop.pass.is_some()) else { break };
            between += stop.modes.iter().filter(|mode| Stand::is(mode.stand, Position::ON)).count() as u64;
            combinations = combinations.saturating_mul(choices[to.level]);
        }
    }
}

/// How many things a station can be, all that comes after it counted; onto
/// `total` go those of every station there, as far as they are kept.
fn choices(plan: &Plan, at: usize, total: &mut u64) -> u64 {
    let here = &plan.stations[at];
    let mut all: u64 = 0;
    for alternative in &here.alternatives {
        let mut more: u64 = 1;
        if matches!(alternative.through, Through::Pass { .. }) {
            for onward in here.outs.iter().filter_map(|(_, wire)| wire.as_ref()?.to) {
                more = more.saturating_mul(choices(plan, onward, total));
            }
        }
        all = all.saturating_add(more);
    }
    *total = total.saturating_add(all.min(MOST_CHOICES as u64));
    all
}

/// The station behind the spot.
fn on_spot(path: &Path) -> Option<usize> {
    match &path.rest {
        Rest::Wire(wire) => wire.to,
        Rest::Station(at) => Some(*at),
    }
}

/// How many switches each side run has, with the level that it hangs at; and
/// how many hang on the spot.
fn switches(plan: &Plan, path: &Path) -> (Vec<(usize, u64)>, u64) {
    let mut legs: Vec<(usize, u64)> = hanging(path).map(|(level, _)| (level, 0)).collect();
    let mut rest = 0;
    walk_sides(plan, path, |at, leg| {
        let switch = u64::from(plan.stations[at].alternatives.len() > 1);
        match leg {
            Some(leg) => legs[leg].1 += switch,
            None => rest += switch,
        }
    });
    (legs, rest)
}

/// Every station of the side runs, with the index of the run; none for what hangs on the spot.
fn walk_sides(plan: &Plan, path: &Path, mut visit: impl FnMut(usize, Option<usize>)) {
    let starts = hanging(path).enumerate().map(|(leg, (_, wire))| (wire.to, Some(leg)));
    let mut open: Vec<(Option<usize>, Option<usize>)> = starts.chain([(on_spot(path), None)]).collect();
    while let Some((at, leg)) = open.pop() {
        let Some(at) = at else { continue };
        visit(at, leg);
        let station = &plan.stations[at];
        let passes = station.alternatives.iter().any(|one| matches!(one.through, Through::Pass { .. }));
        let onward = station.outs.iter().filter(|_| passes).filter_map(|(_, wire)| wire.as_ref());
        open.extend(onward.map(|wire| (wire.to, leg)));
    }
}
