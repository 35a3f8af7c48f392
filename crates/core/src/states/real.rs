//! States by themselves, one by one.
//!
//! What a switch that acts in several places does is told by so many of them as
//! there is room for, where two of its positions side by side are too much
//! (`paired`); and one state each is what a jump is like in one context.

use std::collections::BTreeSet;

use super::Question;
use super::cases::{Cases, moved, setting};
use super::jumps::{Extreme, Jump};
use super::lanes::EQUAL_DB;
use crate::arrival::Probe;
use crate::cascade::LineCache;
use crate::plan::{Plan, Spot, plan};
use crate::rig::{Position, State, Switch, SwitchRef, SwitchSetting};
use crate::units::Level;
use crate::watch::{Pace, Stopped};

/// The most states that are asked for to say what a switch does.
const MOST_REAL: usize = 512;

/// What is asked of states one by one.
pub struct Real<'a> {
    question: &'a Question,
    /// The plan as it is drawn, nothing being held or settled.
    plan: Plan,
    spot: Spot,
    /// Switches that sound in one position only, kept there.
    pub kept: &'a [SwitchSetting],
}

impl<'a> Real<'a> {
    /// Of a question.
    pub fn new(question: &'a Question, cases: &Cases, kept: &'a [SwitchSetting]) -> Self {
        let plan = plan(&question.rig, &question.controls).without_power(&question.unfed);
        Self { question, plan: plan.of_one_start(cases.spot), spot: cases.spot, kept }
    }

    /// What a switch does while these others are moved, in dB at each frequency;
    /// none where one of the two states is silent.
    pub fn step(
        &self,
        switch: SwitchRef,
        (from, to): (Position, Position),
        among: &[SwitchSetting],
        line_cache: &mut LineCache,
    ) -> Option<Vec<f64>> {
        let mut levels = |to: Position| {
            let mut settings: Vec<SwitchSetting> = among.iter().chain(self.kept).copied().collect();
            settings.push(SwitchSetting { switch, to });
            One::of(self, &settings, line_cache).levels_db
        };
        let (before, after) = (levels(from)?, levels(to)?);
        Some(after.iter().zip(&before).map(|(after, before)| after - before).collect())
    }

    /// What the steps on a switch do, in those states in which one at most of the
    /// others is moved, and in all settings of those that act in several places as
    /// it does; and whether these are all states.
    pub fn jumps(
        &self,
        switch: &Switch,
        (several, others): (&[Switch], &[Switch]),
        line_cache: &mut LineCache,
        pace: &mut Pace<'_>,
    ) -> Result<(Vec<Jump>, bool), Stopped> {
        // Each of these may ask for as many.
        let most = MOST_REAL / several.len().max(1);
        let besides: Vec<Switch> = others.iter().filter(|other| other.id != switch.id).copied().collect();
        let all = besides.iter().map(|other| other.positions).fold(1, usize::saturating_mul);
        let exact = all.saturating_mul(switch.positions) <= most;
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
        contexts.iter_mut().for_each(|context| context.extend(self.kept));
        let mut heard: Vec<Vec<One>> = Vec::new();
        for context in &contexts {
            let mut each = Vec::new();
            for to in switch.all_positions() {
                let mut settings = context.clone();
                settings.push(SwitchSetting { switch: switch.id, to });
                pace.did(line_cache.sweep().len() as u64)?;
                each.push(One::of(self, &settings, line_cache));
            }
            heard.push(each);
        }
        let positions: Vec<Position> = switch.all_positions().collect();
        let mut found = Vec::new();
        for (at, from) in positions.iter().enumerate() {
            for (to_at, to) in positions.iter().enumerate().skip(at + 1) {
                let pairs = contexts.iter().zip(&heard).filter_map(|(context, heard)| {
                    // Where no signal gets to it, it isn't heard.
                    let is_there = |real: &One| real.reached.contains(&switch.id);
                    let (before, after) = (&heard[at], &heard[to_at]);
                    if !is_there(before) && !is_there(after) {
                        return None;
                    }
                    let (before, after) = (before.levels_db.as_ref()?, after.levels_db.as_ref()?);
                    let curve = after.iter().zip(before).map(|(after, before)| after - before);
                    Some((context, curve.collect::<Vec<f64>>()))
                });
                let pairs: Vec<(&Vec<SwitchSetting>, Vec<f64>)> = pairs.collect();
                found.extend(jump(switch, (*from, *to), &pairs, exact));
            }
        }
        Ok((found, exact))
    }
}

/// One state by itself.
struct One {
    /// What arrives at the target, in dB; none where it is silent.
    levels_db: Option<Vec<f64>>,
    /// The switches that a signal gets to.
    reached: BTreeSet<SwitchRef>,
}

impl One {
    fn of(real: &Real<'_>, settings: &[SwitchSetting], line_cache: &mut LineCache) -> Self {
        let Real { question, plan, spot, .. } = real;
        let state: State = question.controls.with(&question.rig, settings);
        let runs = plan.runs(&state);
        let stations = runs.iter().flat_map(|run| run.passed.iter().chain(&run.ends)).copied();
        // Over a junction a switch is felt that no signal gets to.
        let all = 0..plan.junctions().next().map_or(0, |_| plan.stations.len());
        let reached = stations.chain(all).filter_map(|at| plan.stations[at].switch).map(|switch| switch.id).collect();
        let route = plan.route(&runs, &state, *spot);
        let probe = route.and_then(|route| Probe::new(plan, &state, &route));
        let levels_db = probe.and_then(|probe| probe.levels(line_cache).into_iter().map(Level::decibels).collect());
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
    let (rise, fall) = (end(1.0)?, end(-1.0)?);
    Some(Jump {
        switch: switch.id,
        from,
        to,
        is_whole: true,
        left_out_db: 0.0,
        has_level: false,
        contexts: pairs.len(),
        exact,
        rise,
        fall,
        highest_db,
        lowest_db,
        alone_db: None,
    })
}
