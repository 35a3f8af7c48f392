//! Too many settings to go through: the switches on the way are taken in groups,
//! and while one group goes through all of its settings the others are off.
//!
//! Every state that is looked at is a real one, so the answer is at least as
//! wide as it says. What n switches take grows with n³, and so of m groups with
//! n³/m²; each group has one switch in m, so that it reaches from end to end.

use crate::arrival::{Begin, Choice, Stand};
use std::collections::BTreeMap;

use super::bounds::{Bounds, bounds};
use super::effort::{self, Sides};
use super::evaluation::{Found, evaluate};
use super::layout::Layout;
use super::path::{Block, Path, Stop};
use super::{NoStates, Short};
use crate::cascade::LineCache;
use crate::network::{Branch, Ladder, Rung};
use crate::plan::{Plan, Wire};
use crate::rig::{DeviceId, LeadId, Position};
use crate::units::Farads;
use crate::watch::Pace;

/// No more groups than this: each goes over every lead.
const MOST_GROUPS: usize = 64;

/// What one rung costs a group, in contexts: it goes into the chain matrix of
/// what stands between two stops.
const HELD: u64 = 24;

/// How much was looked at.
#[derive(Debug, Clone, Copy, Default)]
pub struct Size {
    /// Stretches, each side run counted once.
    pub stretches: usize,
    /// Each way of what passes between their ends counted.
    pub rows: usize,
}

impl Size {
    /// Both together.
    pub fn and(self, other: Self) -> Self {
        Self { stretches: self.stretches + other.stretches, rows: self.rows + other.rows }
    }
}

/// What hangs on the ways, and what lies where several hold at once, each as what it can be.
#[derive(Debug, Default)]
pub struct KnownChoices {
    /// Of each side run, by its lead.
    pub side_runs: BTreeMap<Option<LeadId>, Vec<Choice>>,
    /// Of what hangs on the spot.
    pub rest: Vec<Choice>,
    /// Of each block.
    pub blocks: BTreeMap<Begin, Vec<Choice>>,
}

/// How a path is gone through.
#[derive(Debug)]
pub struct Groups {
    /// One path a group, its switches alone being in it.
    pub paths: Vec<Path>,
    /// The choices of side runs in each of them.
    pub sides: Vec<Sides>,
    /// Whether each switch on the way is in one of them.
    pub every_switch: bool,
    /// What it takes, in steps at so many frequencies as were asked for.
    pub steps: u64,
    /// The devices in the order of the path.
    pub order: Vec<DeviceId>,
}

impl Groups {
    /// Groups that take no more than so many steps, as few as can be; one, the
    /// whole path, if that takes no more.
    pub fn within(plan: &Plan, path: Path, points: usize, most: u64) -> Self {
        let devices =
            |stop: &Stop| stop.block.as_ref().map_or_else(|| vec![stop.device], |block| block.devices.clone());
        let order = path.stops.iter().flat_map(devices).collect();
        let sides = effort::sides(plan, &path);
        let effort = effort::effort(plan, &path, &sides);
        let whole = effort.steps(points);
        let numbers = numbers(&path);
        let switches = numbers.iter().flatten().max().map_or(0, |last| last + 1);
        if whole <= most && !effort.parts_too_often || switches < 2 {
            return Self { paths: vec![path], sides: vec![sides], every_switch: true, steps: whole, order };
        }
        // What one group takes, by the first of them, which is no smaller than the others.
        let takes = |groups: usize| {
            let path = one(&path, &numbers, 0, groups);
            let sides = effort::sides(plan, &path);
            let own = effort::effort(plan, &path, &sides);
            match own.parts_too_often {
                true => u64::MAX,
                false => own.steps(points).saturating_add(HELD.saturating_mul(path_length(&path, points))),
            }
        };
        let mut groups = 2;
        let mut each = takes(groups);
        let mut least = (groups, each);
        // Where ways part too often for one group, groups are as small as it takes.
        let end = |each: u64| if each == u64::MAX { switches } else { switches.min(MOST_GROUPS) };
        while each.saturating_mul(groups as u64) > most && groups < end(each) {
            groups = (groups + groups.div_ceil(4)).min(end(each));
            each = takes(groups);
            if each.saturating_mul(groups as u64) < least.1.saturating_mul(least.0 as u64) {
                least = (groups, each);
            }
        }
        if each.saturating_mul(groups as u64) > most && least.1 < u64::MAX {
            (groups, each) = least;
        }
        let looked_at = (most / each.max(1)).clamp(1, groups as u64) as usize;
        let paths: Vec<Path> = (0..looked_at).map(|group| one(&path, &numbers, group, groups)).collect();
        let sides = paths.iter().map(|path| effort::sides(plan, path)).collect();
        let steps = each.saturating_mul(looked_at as u64);
        Self { paths, sides, every_switch: looked_at == groups, steps, order }
    }

    /// What isn't looked at, if anything.
    pub fn short(&self) -> Option<Short> {
        let blocks = self.sides.iter().all(|sides| sides.blocks_complete);
        match (self.paths.len(), self.sides.iter().all(|sides| sides.complete)) {
            _ if !self.every_switch => Some(Short::Switches),
            (1, true) if !blocks => Some(Short::Together),
            (1, true) => None,
            (1, false) => Some(Short::Sides),
            _ => Some(Short::Groups),
        }
    }

    /// The side runs of all of them, each with the most choices that are kept of it;
    /// and the most that are kept of what hangs on the spot.
    pub fn kept(&self) -> (BTreeMap<Option<LeadId>, (&Wire, usize)>, usize) {
        let mut side_runs: BTreeMap<Option<LeadId>, (&Wire, usize)> = BTreeMap::new();
        for (path, sides) in self.paths.iter().zip(&self.sides) {
            for ((_, wire), (_, kept)) in effort::hanging(path).zip(&sides.side_runs) {
                let most = &mut side_runs.entry(wire.lead).or_insert((wire, 0)).1;
                *most = (*most).max(*kept);
            }
        }
        (side_runs, self.sides.iter().map(|sides| sides.rest).max().unwrap_or(1))
    }

    /// What the only path's blocks being so makes the bounds of all states.
    pub fn bounds(
        &self,
        known: &KnownChoices,
        line_cache: &mut LineCache,
        pace: &mut Pace<'_>,
    ) -> Result<Bounds, NoStates> {
        let layout = self.layout(0, known);
        bounds(&self.paths[0], &layout, line_cache, pace)
    }

    /// The layout of one of the paths, with the choices that are kept there.
    pub fn layout(&self, number: usize, known: &KnownChoices) -> Layout {
        let (path, sides) = (&self.paths[number], &self.sides[number]);
        let first = |choices: &[Choice], most: usize| choices[..most.min(choices.len())].to_vec();
        let routes = path.stops.iter().map(|stop| stop.exits.len()).sum();
        let mut side_runs: Vec<Vec<Vec<Choice>>> = vec![Vec::new(); routes];
        for ((route, wire), (_, most)) in effort::hanging(path).zip(&sides.side_runs) {
            side_runs[route].extend(known.side_runs.get(&wire.lead).map(|choices| first(choices, *most)));
        }
        let rest = first(&known.rest, sides.rest);
        let own = path.stops.iter().filter_map(|stop| stop.block.as_ref()).zip(&sides.blocks);
        let own =
            own.map(|(block, most)| known.blocks.get(&block.begin).map_or_else(Vec::new, |all| first(all, *most)));
        Layout::new(path, side_runs, own.collect(), rest)
    }

    /// The blocks of all of them, and the most choices that are kept of any.
    pub fn blocks(&self) -> (BTreeMap<Begin, Block>, usize) {
        let all = self.paths.iter().flat_map(|path| &path.stops).filter_map(|stop| stop.block.as_ref());
        let most = self.sides.iter().flat_map(|sides| &sides.blocks).copied().max().unwrap_or(0);
        (all.map(|block| (block.begin, block.clone())).collect(), most)
    }

    /// Goes through them, the choices of side runs and of blocks being known. So large they were.
    pub fn evaluate(
        &self,
        known: &KnownChoices,
        line_cache: &mut LineCache,
        pace: &mut Pace<'_>,
    ) -> Result<(Found, Size), NoStates> {
        let mut all: Option<Found> = None;
        let mut size = Size::default();
        for (number, path) in self.paths.iter().enumerate() {
            let layout = self.layout(number, known);
            size = size.and(Size { stretches: layout.stretches.len(), rows: layout.entries });
            match (evaluate(path, &layout, line_cache, pace), &mut all) {
                (Ok(found), Some(all)) => all.take_in(found),
                (Ok(found), None) => all = Some(found),
                // With others off nothing may come through, where it does with them on.
                (Err(NoStates::Silent), _) => {}
                (Err(why), _) => return Err(why),
            }
        }
        let mut found = all.ok_or(NoStates::Silent)?;
        if self.paths.len() > 1 {
            let place = |id: DeviceId| self.order.iter().position(|other| *other == id).unwrap_or(usize::MAX);
            found.jumps.sort_by_cached_key(|jump| place(jump.device()));
        }
        Ok((found, size))
    }
}

impl Found {
    /// Takes in what another group or another case found.
    pub fn take_in(&mut self, other: Self) {
        self.bounds = self.bounds.take().zip(other.bounds).map(|(own, other)| own.and(&other));
        self.lowest.widen(other.lowest, false);
        self.highest.widen(other.highest, true);
        self.counted = self.counted.and(other.counted);
        for jump in other.jumps {
            // A switch beside the way is in every group.
            match self.jumps.iter_mut().find(|own| own.is_same_step(&jump)) {
                Some(own) => own.widen(jump),
                None => self.jumps.push(jump),
            }
        }
    }
}

/// Whether a stop has a switch that can be left off.
fn can_be_held(stop: &Stop) -> bool {
    let is = |stand: Option<Stand>, off: bool| stand.is_some_and(|stand| (stand.setting.to == Position::OFF) == off);
    let any = |off: bool| stop.onward().any(|(stand, _)| is(stand, off));
    any(true) && any(false)
}

/// The switches that can be left off, numbered in the order of the path: of each
/// stop which it is. Units in a loop go with the loop's own switch.
fn numbers(path: &Path) -> Vec<Option<usize>> {
    let mut next = 0..;
    let mut found = Vec::with_capacity(path.stops.len());
    // Up to this level all belongs to the loop that came last.
    let mut within = (0, None);
    for (at, stop) in path.stops.iter().enumerate() {
        let number = match within {
            (end, number) if at + 1 < end => number,
            _ => can_be_held(stop).then(|| next.next()).flatten(),
        };
        if stop.is_fork() && at + 1 >= within.0 {
            within = (stop.exits.iter().map(|exit| exit.to).max().unwrap_or(0), number);
        }
        found.push(number.filter(|_| can_be_held(stop)));
    }
    found
}

/// The path with every switch but one group's off. Stops that are no more than a
/// way past become a part of the way to the next, and loops that are out are left out.
fn one(path: &Path, numbers: &[Option<usize>], group: usize, groups: usize) -> Path {
    let held = |at: usize| numbers[at].is_some_and(|number| number % groups != group);
    let stays =
        |at: usize, stand: Option<Stand>| !held(at) || stand.is_none_or(|stand| stand.setting.to == Position::OFF);
    let spot = path.spot();
    // Where the signal still comes by.
    let mut reached = vec![false; spot + 1];
    reached[1] = true;
    for (at, stop) in path.stops.iter().enumerate() {
        if !reached[at + 1] {
            continue;
        }
        stop.onward().filter(|(stand, _)| stays(at, *stand)).for_each(|(_, to)| reached[to] = true);
    }
    let left = |at: usize| Stop {
        station: path.stops[at].station,
        device: path.stops[at].device,
        arrive: path.stops[at].arrive.clone(),
        modes: path.stops[at].modes.iter().filter(|mode| stays(at, mode.stand)).cloned().collect(),
        exits: path.stops[at].exits.iter().filter(|exit| stays(at, exit.stand)).cloned().collect(),
        block: path.stops[at].block.clone(),
    };
    let mut stops: Vec<Option<Stop>> = (0..path.stops.len()).map(|at| reached[at + 1].then(|| left(at))).collect();
    let mut leads_here = vec![0; spot + 1];
    for stop in stops.iter().flatten() {
        stop.onward().for_each(|(_, to)| leads_here[to] += 1);
    }
    // What is no more than a way past, and alone leads on to what comes next, becomes a part of the way there.
    let mut last = path.last.clone();
    let mut becomes: Vec<usize> = (0..=spot).collect();
    for at in 0..stops.len() {
        let is_past = |stop: &Stop| stop.ends() == 0 && matches!(&stop.exits[..], [exit] if exit.side_runs.is_empty());
        let next = stops[at].as_ref().filter(|stop| is_past(stop)).map(|stop| stop.exits[0].to);
        let Some(next) = next.filter(|next| leads_here[*next] == 1) else { continue };
        let Some(mut gone) = stops[at].take() else { continue };
        gone.exits.iter().for_each(|exit| gone.arrive.extend(&exit.rungs));
        let onto = match next.checked_sub(1).and_then(|next| stops.get_mut(next)) {
            Some(Some(stop)) => &mut stop.arrive,
            _ => &mut last,
        };
        gone.arrive.extend(onto);
        *onto = gone.arrive;
        becomes[at + 1] = next;
    }
    // Levels are counted anew.
    let mut levels = vec![0; spot + 1];
    let kept: Vec<usize> = (0..stops.len()).filter(|at| stops[*at].is_some()).map(|at| at + 1).chain([spot]).collect();
    kept.iter().zip(1..).for_each(|(level, new)| levels[*level] = new);
    let level = |mut to: usize| {
        while becomes[to] != to {
            to = becomes[to];
        }
        levels[to]
    };
    let mut found: Vec<Stop> = stops.into_iter().flatten().collect();
    for stop in &mut found {
        stop.arrive = joined(std::mem::take(&mut stop.arrive));
        stop.modes.iter_mut().for_each(|mode| mode.to = level(mode.to));
        stop.exits.iter_mut().for_each(|exit| exit.to = level(exit.to));
        stop.block.iter_mut().for_each(|block| block.to = level(block.to));
    }
    let (source, rest, mutes) = (path.source.clone(), path.rest.clone(), path.mutes.clone());
    Path { source, gain_db: path.gain_db, stops: found, last: joined(last), rest, mutes }
}

/// The same ladder, neighbouring capacitors being one.
fn joined(ladder: Ladder) -> Ladder {
    let mut found: Vec<Rung> = Vec::with_capacity(ladder.rungs.len());
    for rung in ladder.rungs {
        match (found.last_mut(), rung) {
            (Some(Rung::Shunt(Branch::Capacitor(sum))), Rung::Shunt(Branch::Capacitor(more))) => {
                *sum = Farads::clamped(sum.get() + more.get());
            }
            (_, rung) => found.push(rung),
        }
    }
    Ladder { rungs: found }
}

/// How many rungs there are, each once a frequency.
fn path_length(path: &Path, points: usize) -> u64 {
    let stops = path.stops.iter().map(|stop| stop.arrive.rungs.len());
    ((stops.sum::<usize>() + path.last.rungs.len()) * points) as u64
}
