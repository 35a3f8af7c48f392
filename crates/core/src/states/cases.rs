//! Switches that act in several places at once, held in each of their settings in turn.
//!
//! All states are those of each setting, so levels, and the jumps of all other
//! switches, are exact where every setting was looked at. What such a switch
//! itself does is told by real states only: no more than there is room for.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::count::{Count, different};
use super::envelope::Edge;
use super::groups::Groups;
use super::jumps::{Extreme, Jump};
use super::lanes::EQUAL_DB;
use super::path::path;
use super::places::settle;
use super::{MOST_STEPS, NoStates, Question, Short, Target};
use crate::arrival::Probe;
use crate::cascade::LineCache;
use crate::plan::{Plan, Spot, plan};
use crate::rig::{Position, State, Switch, SwitchRef, SwitchSetting};
use crate::units::Level;
use crate::watch::{Pace, Stopped};

/// The most settings of such switches that are looked at.
const MOST_CASES: usize = 4096;
/// The most states that are asked for to say what such switches do.
const MOST_REAL: usize = 512;

/// One setting of the switches that act in several places.
pub struct Case<'a> {
    /// Where all of them stand.
    pub setting: Vec<SwitchSetting>,
    /// Those that don't stand at their defaults.
    pub moved: Vec<SwitchSetting>,
    /// The plan in it.
    pub plan: Cow<'a, Plan>,
    /// The ways to the target.
    pub groups: Groups,
    /// States that differ for the target.
    pub different: Count,
    /// Positions of the other switches that silence the target by themselves.
    pub mutes: Vec<SwitchSetting>,
}

/// All of them, made one by one: there may be thousands.
pub struct Cases {
    /// The plan in which nothing is held.
    plan: Plan,
    spot: Spot,
    /// The switches that act in several places.
    pub several: Vec<Switch>,
    /// How many settings of theirs are looked at.
    pub many: usize,
    /// Whether these are all.
    pub complete: bool,
    points: usize,
    /// The work that each may be.
    most: u64,
}

impl Cases {
    /// The cases of a question; together they are no more work than `most`, or not much.
    pub fn of(question: &Question, points: usize, most: u64) -> Result<Self, NoStates> {
        let plan = plan(&question.rig, &question.controls).without_power(&question.unfed);
        let spot = spot(&plan, question.target)?;
        Ok(Self::in_plan(plan, spot, points, most))
    }

    /// The cases in a plan.
    pub fn in_plan(mut plan: Plan, spot: Spot, points: usize, most: u64) -> Self {
        let several = settle(&mut plan);
        let settings: usize = several.iter().map(|switch| switch.positions).fold(1, usize::saturating_mul);
        let many = settings.min(MOST_CASES);
        let most = most.min(MOST_STEPS) / many as u64;
        Self { plan, spot, several, many, complete: many == settings, points, most }
    }

    /// One of them; the first has all at their defaults.
    pub fn case(&self, number: usize) -> Result<Case<'_>, NoStates> {
        let setting = setting(&self.several, number);
        let mut plan = Cow::Borrowed(&self.plan);
        if !setting.is_empty() {
            let held = plan.to_mut();
            for at in &setting {
                let here = held.stations.iter_mut().filter(|one| one.switch.is_some_and(|own| own.id == at.switch));
                here.for_each(|station| station.hold(at.to));
            }
            settle(held);
        }
        let path = path(&plan, self.spot)?;
        let different = different(&plan, &path);
        let mutes = path.mutes.clone();
        let groups = Groups::within(&plan, path, self.points, self.most);
        let moved = moved(&self.several, &setting);
        Ok(Case { setting, moved, plan, groups, different, mutes })
    }

    /// The first in which a signal gets to the target, and its number; why none, where there is none.
    pub fn first(&self, pace: &mut Pace<'_>) -> Result<(usize, Case<'_>), NoStates> {
        let mut why = NoStates::NoWay;
        for number in 0..self.many {
            match self.case(number) {
                Ok(case) => return Ok((number, case)),
                Err(NoStates::Silent) => why = NoStates::Silent,
                Err(_) => {}
            }
            pace.did(self.plan.stations.len() as u64 * STATION)?;
        }
        Err(why)
    }

    /// What all of them take, in steps, by one of them.
    pub fn steps(&self, case: &Case<'_>) -> u64 {
        case.groups.steps.saturating_mul(self.many as u64)
    }
}

/// What a station costs a case in which nothing is heard, in steps.
const STATION: u64 = 256;

/// What all cases that were looked at have in common.
#[derive(Default)]
pub struct Seen {
    /// States that differ for the target.
    pub different: Vec<Count>,
    /// Positions that silence the target in each of them.
    mutes: Option<BTreeSet<SwitchSetting>>,
    /// Positions of the switches that act in several places in which there is something to hear.
    heard: BTreeSet<SwitchSetting>,
    /// What wasn't looked at in one of them.
    pub short: Option<Short>,
}

impl Seen {
    /// Takes in one that was looked at.
    pub fn take_in(&mut self, case: Case<'_>) {
        let own: BTreeSet<SwitchSetting> = case.mutes.into_iter().collect();
        self.mutes = Some(match self.mutes.take() {
            Some(kept) => kept.intersection(&own).copied().collect(),
            None => own,
        });
        self.heard.extend(case.setting);
        self.different.push(case.different);
        self.short = self.short.max(case.groups.short());
    }

    /// Positions that silence the target by themselves, if these are all cases.
    pub fn mutes(self, cases: &Cases) -> Vec<SwitchSetting> {
        let all = cases
            .several
            .iter()
            .flat_map(|switch| switch.all_positions().map(|to| SwitchSetting { switch: switch.id, to }));
        let silent = all.filter(|at| cases.complete && !self.heard.contains(at)).collect::<Vec<_>>();
        self.mutes.into_iter().flatten().chain(silent).collect()
    }
}

/// Where the level is wanted in a plan.
pub fn spot(plan: &Plan, target: Target) -> Result<Spot, NoStates> {
    match target {
        Target::Endpoint(jack) => {
            let at = plan.stations.iter().position(|station| station.jack == jack).ok_or(NoStates::NoWay)?;
            Ok(Spot::Input(at))
        }
        Target::Point(point) => Ok(Spot::Lead { lead: point.lead, along: point.along.get() }),
    }
}

/// The settings by number; the first has all at their defaults.
fn setting(switches: &[Switch], mut number: usize) -> Vec<SwitchSetting> {
    let mut found = Vec::new();
    for switch in switches {
        let mut order: Vec<Position> = switch.all_positions().collect();
        order.sort_by_key(|to| (*to != switch.default, *to));
        found.push(SwitchSetting { switch: switch.id, to: order[number % order.len()] });
        number /= order.len();
    }
    found
}

/// What a step on each of these switches does, by states that are asked for one
/// by one: every one there is of the others, or those in which one at most of
/// the others is moved. Switches that sound in one position only are kept there.
/// With the jumps come the switches that were looked at in some states only.
pub fn real_jumps(
    question: &Question,
    several: &[Switch],
    (others, kept): (&[Switch], &[SwitchSetting]),
    bank: &mut LineCache,
    pace: &mut Pace<'_>,
) -> Result<(Vec<Jump>, Vec<SwitchRef>), Stopped> {
    let plan = plan(&question.rig, &question.controls).without_power(&question.unfed);
    let Ok(spot) = spot(&plan, question.target) else { return Ok((Vec::new(), Vec::new())) };
    // Each may ask for as many; what another has asked for is known.
    let most = MOST_REAL / several.len().max(1);
    let mut known: BTreeMap<Vec<SwitchSetting>, Arc<Real>> = BTreeMap::new();
    let (mut found, mut sampled) = (Vec::new(), Vec::new());
    for switch in several {
        let besides: Vec<Switch> = others.iter().filter(|other| other.id != switch.id).copied().collect();
        let all = besides.iter().map(|other| other.positions).fold(1, usize::saturating_mul);
        let exact = all.saturating_mul(switch.positions) <= most;
        sampled.extend((!exact).then_some(switch.id));
        let mut contexts: Vec<Vec<SwitchSetting>> = match exact {
            true => (0..all).map(|number| moved(&besides, &setting(&besides, number))).collect(),
            false => {
                let one = besides.iter().flat_map(|other| {
                    let positions = other.all_positions().filter(|to| *to != other.default);
                    positions.map(|to| vec![SwitchSetting { switch: other.id, to }])
                });
                // First the others that act in several places, in all their settings.
                let like_it: Vec<Switch> = several.iter().filter(|other| other.id != switch.id).copied().collect();
                let all = like_it.iter().map(|other| other.positions).fold(1, usize::saturating_mul);
                let each = (0..all).map(|number| moved(&like_it, &setting(&like_it, number)));
                let one = one.filter(|set| !like_it.iter().any(|other| other.id == set[0].switch));
                each.chain(one).take((most / switch.positions).max(1)).collect()
            }
        };
        contexts.iter_mut().for_each(|context| context.extend(kept));
        let mut heard: Vec<Vec<Arc<Real>>> = Vec::new();
        for context in &contexts {
            let mut each = Vec::new();
            for to in switch.all_positions() {
                let mut settings = context.clone();
                settings.push(SwitchSetting { switch: switch.id, to });
                settings.sort_unstable();
                if !known.contains_key(&settings) {
                    pace.did(bank.sweep().len() as u64)?;
                    known.insert(settings.clone(), Arc::new(Real::of(question, &plan, spot, &settings, bank)));
                }
                each.extend(known.get(&settings).cloned());
            }
            heard.push(each);
        }
        let positions: Vec<Position> = switch.all_positions().collect();
        for (at, from) in positions.iter().enumerate() {
            for (to_at, to) in positions.iter().enumerate().skip(at + 1) {
                let pairs = contexts.iter().zip(&heard).filter_map(|(context, heard)| {
                    // Where no signal gets to it, it isn't heard.
                    let is_there = |real: &Real| real.reached.contains(&switch.id);
                    let (before, after) = (&heard[at], &heard[to_at]);
                    if !is_there(before) && !is_there(after) {
                        return None;
                    }
                    let (before, after) = (before.levels_db.as_ref()?, after.levels_db.as_ref()?);
                    Some((
                        context,
                        after.iter().zip(before).map(|(after, before)| after - before).collect::<Vec<f64>>(),
                    ))
                });
                let pairs: Vec<(&Vec<SwitchSetting>, Vec<f64>)> = pairs.collect();
                found.extend(jump(switch, (*from, *to), &pairs, exact));
            }
        }
    }
    Ok((found, sampled))
}

/// Those of some settings that aren't the switches' defaults.
fn moved(switches: &[Switch], settings: &[SwitchSetting]) -> Vec<SwitchSetting> {
    let both = switches.iter().zip(settings);
    both.filter(|(switch, set)| switch.default != set.to).map(|(_, set)| *set).collect()
}

/// One state by itself.
struct Real {
    /// What arrives at the target, in dB; none where it is silent.
    levels_db: Option<Vec<f64>>,
    /// The switches that a signal gets to.
    reached: BTreeSet<SwitchRef>,
}

impl Real {
    fn of(question: &Question, plan: &Plan, spot: Spot, settings: &[SwitchSetting], bank: &mut LineCache) -> Self {
        let state: State = question.controls.with(&question.rig, settings);
        let runs = plan.runs(&state);
        let stations = runs.iter().flat_map(|run| run.passed.iter().chain(&run.ends)).copied();
        // Over a junction a switch is felt that no signal gets to.
        let all = 0..plan.junctions().next().map_or(0, |_| plan.stations.len());
        let reached = stations.chain(all).filter_map(|at| plan.stations[at].switch).map(|switch| switch.id).collect();
        let route = plan.route(&runs, &state, spot);
        let probe = route.and_then(|route| Probe::new(plan, &state, &route));
        let levels_db = probe.and_then(|probe| probe.levels(bank).into_iter().map(Level::decibels).collect());
        Self { levels_db, reached }
    }
}

/// A jump from its curves in some contexts; none where it is heard in none, or does nothing in any.
fn jump(
    switch: &Switch,
    (from, to): (Position, Position),
    pairs: &[(&Vec<SwitchSetting>, Vec<f64>)],
    exact: bool,
) -> Option<Jump> {
    let end = |sign: f64| {
        let mut best: Option<(usize, usize)> = None;
        for (number, (_, curve)) in pairs.iter().enumerate() {
            for (at, db) in curve.iter().enumerate() {
                if best.is_none_or(|(kept, place)| sign * (db - pairs[kept].1[place]) > EQUAL_DB) {
                    best = Some((number, at));
                }
            }
        }
        best.map(|(number, at)| {
            let (among, curve) = &pairs[number];
            Extreme { db: curve[at], at, among: (*among).clone(), curve_db: curve.clone() }
        })
    };
    let each = |pick: fn(f64, f64) -> f64| {
        let curves = pairs.iter().map(|(_, curve)| curve.clone());
        curves.reduce(|a, b| a.iter().zip(&b).map(|(a, b)| pick(*a, *b)).collect())
    };
    let (highest_db, lowest_db) = (each(f64::max)?, each(f64::min)?);
    if highest_db.iter().chain(&lowest_db).all(|db| db.abs() <= EQUAL_DB) {
        return None;
    }
    let fewest = pairs.iter().min_by_key(|(context, _)| context.len());
    let alone_db = fewest.map(|(_, curve)| curve.clone());
    let (rise, fall) = (end(1.0)?, end(-1.0)?);
    Some(Jump {
        switch: switch.id,
        from,
        to,
        is_whole: true,
        has_level: false,
        contexts: pairs.len(),
        exact,
        rise,
        fall,
        highest_db,
        lowest_db,
        alone_db,
    })
}

/// Notes of an edge and of jumps that they belong to a case.
pub fn note(moved: &[SwitchSetting], edges: [&mut Edge; 2], jumps: &mut [Jump]) {
    if moved.is_empty() {
        return;
    }
    edges.into_iter().for_each(|edge| edge.among(moved));
    for end in jumps.iter_mut().flat_map(|jump| [&mut jump.rise, &mut jump.fall]) {
        end.among.extend(moved);
        end.among.sort_unstable();
    }
}
