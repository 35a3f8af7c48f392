//! Too many settings to go through: the switches on the way are taken in groups,
//! and while one group goes through all of its settings the others are off.
//!
//! Every state that is looked at is a real one, so the answer is at least as
//! wide as it says. What n switches take grows with n³, and so of m groups with
//! n³/m²; each group has one switch in m, so that it reaches from end to end.

use super::NoStates;
use super::choice::Choice;
use super::effort::{self, Sides};
use super::layout::Layout;
use super::path::{Mode, Path, Stand, Stop};
use super::survey::{Found, survey};
use crate::cascade::Bank;
use crate::network::{Branch, Ladder, Rung};
use crate::plan::Plan;
use crate::rig::{DeviceId, Position};
use crate::units::Farads;
use crate::watch::Pace;

/// No more groups than this: each goes over every lead.
const MOST_GROUPS: usize = 64;

/// What one rung costs a group, in contexts: it goes into the chain matrix of
/// what stands between two stops.
const HELD: u64 = 24;

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
}

impl Groups {
    /// Groups that take no more than so many steps, as few as can be; one, the
    /// whole path, if that takes no more.
    pub fn within(plan: &Plan, path: Path, points: usize, most: u64) -> Self {
        let sides = effort::sides(plan, &path);
        let whole = effort::effort(plan, &path, &sides).steps(points);
        let switches = path.stops.iter().filter(|stop| can_be_held(stop)).count();
        if whole <= most || switches < 2 {
            return Self { paths: vec![path], sides: vec![sides], every_switch: true, steps: whole };
        }
        // What one group takes, by the first of them, which is no smaller than the others.
        let takes = |groups: usize| {
            let path = one(&path, 0, groups);
            let sides = effort::sides(plan, &path);
            let own = effort::effort(plan, &path, &sides).steps(points);
            own.saturating_add(HELD.saturating_mul(path_length(&path, points)))
        };
        let mut groups = 2;
        let mut each = takes(groups);
        let mut least = (groups, each);
        while each.saturating_mul(groups as u64) > most && groups < switches.min(MOST_GROUPS) {
            groups = (groups + groups.div_ceil(4)).min(switches).min(MOST_GROUPS);
            each = takes(groups);
            if each.saturating_mul(groups as u64) < least.1.saturating_mul(least.0 as u64) {
                least = (groups, each);
            }
        }
        if each.saturating_mul(groups as u64) > most {
            (groups, each) = least;
        }
        let looked_at = (most / each.max(1)).clamp(1, groups as u64) as usize;
        let paths: Vec<Path> = (0..looked_at).map(|group| one(&path, group, groups)).collect();
        let sides = paths.iter().map(|path| effort::sides(plan, path)).collect();
        let steps = each.saturating_mul(looked_at as u64);
        Self { paths, sides, every_switch: looked_at == groups, steps }
    }

    /// The most choices that any of them keeps of each side run, and of what hangs on the spot.
    pub fn kept(&self) -> (Vec<usize>, usize) {
        let most = |pick: &dyn Fn(&Sides) -> usize| self.sides.iter().map(pick).max().unwrap_or(1);
        let legs = self.sides.first().map_or(0, |sides| sides.legs.len());
        ((0..legs).map(|leg| most(&|sides| sides.legs[leg].1)).collect(), most(&|sides| sides.rest))
    }

    /// Goes through them, the choices of side runs being known. So many stretches there were.
    pub fn survey(
        &self,
        mut legs: Vec<Vec<Choice>>,
        mut rest: Vec<Choice>,
        order: &[DeviceId],
        bank: &mut Bank,
        pace: &mut Pace<'_>,
    ) -> Result<(Found, usize), NoStates> {
        let mut all: Option<Found> = None;
        let mut stretches = 0;
        for (at, (path, sides)) in self.paths.iter().zip(&self.sides).enumerate() {
            let is_last = at + 1 == self.paths.len();
            let kept = |choices: &mut Vec<Choice>, most: usize| {
                let mut kept = if is_last { std::mem::take(choices) } else { choices.clone() };
                kept.truncate(most);
                kept
            };
            let hung = legs.iter_mut().zip(&sides.legs).map(|(choices, (level, most))| (*level, kept(choices, *most)));
            let hung = hung.collect();
            let layout = Layout::new(path, hung, kept(&mut rest, sides.rest));
            stretches += layout.stretches.len();
            match (survey(path, &layout, bank, pace), &mut all) {
                (Ok(found), Some(all)) => all.take_in(found),
                (Ok(found), None) => all = Some(found),
                // With others off nothing may come through, where it does with them on.
                (Err(NoStates::Silent), _) => {}
                (Err(why), _) => return Err(why),
            }
        }
        let mut found = all.ok_or(NoStates::Silent)?;
        if self.paths.len() > 1 {
            let place = |id: DeviceId| order.iter().position(|other| *other == id).unwrap_or(usize::MAX);
            found.jumps.sort_by_cached_key(|jump| place(jump.device()));
        }
        Ok((found, stretches))
    }
}

impl Found {
    /// Takes in what another group found.
    fn take_in(&mut self, other: Self) {
        self.lowest.widen(other.lowest, false);
        self.highest.widen(other.highest, true);
        self.counted = self.counted.and(other.counted);
        for jump in other.jumps {
            // A switch beside the way is in every group.
            match self.jumps.iter_mut().find(|own| own.switch == jump.switch) {
                Some(own) => own.widen(jump),
                None => self.jumps.push(jump),
            }
        }
    }
}

/// Whether a stop has a switch that can be left off.
fn can_be_held(stop: &Stop) -> bool {
    let off = |mode: &Mode| Stand::is(mode.stand, Position::OFF);
    let passes = stop.pass.as_ref().is_some_and(|(stand, _)| Stand::is(*stand, Position::OFF));
    stop.modes.iter().any(|mode| Stand::is(mode.stand, Position::ON)) && (passes || stop.modes.iter().any(off))
}

/// The path with every switch but one group's off. Stops that are no more than a
/// way past become a part of the way to the next.
fn one(path: &Path, group: usize, groups: usize) -> Path {
    let mut switches = 0..;
    let mut way = Ladder::new();
    let mut stops = Vec::new();
    for stop in &path.stops {
        let held = can_be_held(stop) && switches.next().is_some_and(|at| at % groups != group);
        let mut arrive = std::mem::take(&mut way);
        arrive.extend(&stop.arrive);
        let modes: Vec<Mode> =
            stop.modes.iter().filter(|mode| !held || !Stand::is(mode.stand, Position::ON)).cloned().collect();
        match &stop.pass {
            Some((_, rungs)) if modes.is_empty() && stop.legs.is_empty() => {
                way = arrive;
                way.extend(rungs);
            }
            pass => stops.push(Stop {
                device: stop.device,
                arrive: joined(arrive),
                modes,
                pass: pass.clone(),
                legs: stop.legs.clone(),
            }),
        }
    }
    way.extend(&path.last);
    Path {
        source: path.source.clone(),
        gain_db: path.gain_db,
        stops,
        last: joined(way),
        rest: path.rest.clone(),
        mutes: path.mutes.clone(),
    }
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
