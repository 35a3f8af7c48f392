//! One rig's ways to the target, a turn at each level after the other.

use std::collections::BTreeMap;

use crate::arrival::{Choice, Rest, Stand};
use crate::plan::Plan;
use crate::rig::{SwitchRef, SwitchSetting};

use super::super::effort;
use super::super::layout::{Layout, chosen};
use super::super::path::{Path, Stop};

/// How far a signal has come: it went through a node last, and as one of the rows
/// that begin there it has come to a level.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Progress {
    /// The level that is next; behind the spot's, one more.
    pub level: usize,
    /// The last node.
    pub from: usize,
    /// Which of the rows from there.
    pub row: usize,
}

/// Where a turn leads.
#[derive(Debug, Clone, Copy)]
enum Onto {
    /// The stretch ends at a node.
    Node(usize),
    /// The stretch goes on by a route, its side runs in one of their combinations.
    Route { number: usize, choice: usize },
}

/// One of the ways on from a level.
#[derive(Debug)]
pub struct Turn {
    /// Where it takes switches to stand.
    pub settings: Vec<SwitchSetting>,
    /// Those of them that are moved by it.
    pub moved: Vec<SwitchSetting>,
    /// What it adds to the level besides the stretch, in dB.
    pub gain_db: f64,
    /// Whether it goes by a place at which the switch acts that is looked at.
    pub is_there: bool,
    onto: Onto,
}

/// The ways of one rig in one setting of the switches that act in several places.
#[derive(Debug)]
pub struct Walk<'a> {
    layout: &'a Layout,
    /// The turns of each level; none at the start's.
    turns: Vec<Vec<Turn>>,
    /// The place of each level in the order of the signal that all settings have in common.
    ranks: Vec<usize>,
    /// Of each switch the last level at which it is asked for.
    last: BTreeMap<SwitchRef, usize>,
}

impl<'a> Walk<'a> {
    /// Of a path. `is_place` says at which stations the switch acts that is looked
    /// at; `rank` has the place of each station in the order of the signal.
    pub fn new(
        plan: &Plan,
        path: &Path,
        layout: &'a Layout,
        rank: &[usize],
        is_place: impl Fn(usize) -> bool + Copy,
    ) -> Self {
        let acts_on = Places::new(plan, is_place);
        let mut turns: Vec<Vec<Turn>> = vec![Vec::new()];
        let mut route = 0;
        let mut sides = vec![false; path.stops.iter().map(|stop| stop.exits.len()).sum()];
        effort::hanging(path).for_each(|(route, wire)| sides[route] |= wire.to.is_some_and(|to| acts_on.behind(to)));
        for (at, stop) in path.stops.iter().enumerate() {
            let is_there = acts_on.stop(stop);
            let mut here: Vec<Turn> = layout
                .at_level(at + 1)
                .enumerate()
                .map(|(number, node)| ending(layout, node, number, is_there))
                .collect();
            for exit in &stop.exits {
                let side_runs = &layout.onward[route].side_runs;
                let combinations = layout.routes.all[route].choices as usize;
                let is_there = is_there || sides[route];
                here.extend((0..combinations).map(|choice| {
                    let stands = exit.stand.into_iter().chain(stands(chosen(side_runs, choice)));
                    Turn::of(stands, 0.0, is_there, Onto::Route { number: route, choice })
                }));
                route += 1;
            }
            turns.push(here);
        }
        let is_there = match &path.rest {
            Rest::Wire(wire) => wire.to.is_some_and(|to| acts_on.behind(to)),
            Rest::Station(at) => acts_on.behind(*at),
            Rest::Inside => acts_on.anywhere,
        };
        turns.push(layout.spots().enumerate().map(|(number, node)| ending(layout, node, number, is_there)).collect());
        let ranks = path.stops.iter().map(|stop| rank[stop.station]);
        let ranks = [0].into_iter().chain(ranks).chain([usize::MAX, usize::MAX]).collect();
        let mut last = BTreeMap::new();
        for (level, turns) in turns.iter().enumerate() {
            let settings = turns.iter().flat_map(|turn| &turn.settings);
            settings.for_each(|setting| _ = last.insert(setting.switch, level));
        }
        Self { layout, turns, ranks, last }
    }

    /// Before the first stretch.
    pub fn start(&self) -> Progress {
        Progress { level: self.layout.nodes[0].to, from: 0, row: 0 }
    }

    /// Whether the signal is at the target.
    pub fn has_arrived(&self, at: Progress) -> bool {
        at.level > self.layout.spot()
    }

    /// How far it has come in the order of the signal.
    pub fn rank(&self, at: Progress) -> usize {
        self.ranks[at.level]
    }

    /// The turns that can be taken.
    pub fn turns(&self, at: Progress) -> &[Turn] {
        self.at_level(at.level)
    }

    /// The turns of a level.
    pub fn at_level(&self, level: usize) -> &[Turn] {
        self.turns.get(level).map_or(&[], Vec::as_slice)
    }

    /// How far a turn leads, and the entry of the stretch that it ends, if it ends one.
    pub fn after(&self, at: Progress, turn: &Turn) -> (Progress, Option<usize>) {
        let layout = self.layout;
        match turn.onto {
            Onto::Node(node) => {
                let entry = layout.between(at.from, node).map(|entries| entries.start + at.row);
                let is_spot = layout.nodes[node].level == layout.spot();
                let next = match is_spot {
                    true => Progress { level: layout.spot() + 1, from: 0, row: 0 },
                    false => Progress { level: layout.nodes[node].to, from: node, row: 0 },
                };
                (next, entry)
            }
            Onto::Route { number, choice } => {
                let first = layout.nodes[at.from].to;
                let row = layout.by_route(first, number) + choice * layout.rows_at(first, at.level) + at.row;
                (Progress { level: layout.routes.all[number].to, from: at.from, row }, None)
            }
        }
    }

    /// Whether a switch may still be asked for.
    pub fn asks_for(&self, switch: SwitchRef, at: Progress) -> bool {
        self.last.get(&switch).is_some_and(|last| at.level <= *last)
    }
}

impl Turn {
    fn of(stands: impl IntoIterator<Item = Stand>, gain_db: f64, is_there: bool, onto: Onto) -> Self {
        let stands: Vec<Stand> = stands.into_iter().collect();
        let settings = stands.iter().map(|stand| stand.setting).collect();
        let moved = stands.iter().filter(|stand| stand.moved).map(|stand| stand.setting).collect();
        Self { settings, moved, gain_db, is_there, onto }
    }
}

/// Where switches stand in some choices.
fn stands<'c>(choices: impl Iterator<Item = &'c Choice>) -> impl Iterator<Item = Stand> {
    choices.flat_map(|choice| choice.stands.iter().copied())
}

/// The turn that ends at a node, which is so many of its level's.
fn ending(layout: &Layout, node: usize, number: usize, is_there: bool) -> Turn {
    let own = &layout.nodes[node];
    let choice = layout.choices_at(own.level).and_then(|choices| choices.get(number));
    Turn::of(own.stand.into_iter().chain(stands(choice.into_iter())), own.gain_db, is_there, Onto::Node(node))
}

/// Where a switch acts.
struct Places<'a> {
    plan: &'a Plan,
    /// Of each station, whether there or behind it.
    behind: Vec<bool>,
    at: Vec<bool>,
    /// Over a junction a switch is felt that no signal gets to.
    anywhere: bool,
}

impl<'a> Places<'a> {
    fn new(plan: &'a Plan, is_place: impl Fn(usize) -> bool) -> Self {
        let at: Vec<bool> = (0..plan.stations.len()).map(is_place).collect();
        let mut leads_here: Vec<Vec<usize>> = vec![Vec::new(); at.len()];
        for (from, station) in plan.stations.iter().enumerate() {
            let onward = station.outs.iter().filter_map(|out| out.wire.as_ref()?.to);
            onward.for_each(|to| leads_here[to].push(from));
        }
        let mut behind = at.clone();
        let mut todo: Vec<usize> = (0..at.len()).filter(|place| at[*place]).collect();
        while let Some(place) = todo.pop() {
            for from in &leads_here[place] {
                if !std::mem::replace(&mut behind[*from], true) {
                    todo.push(*from);
                }
            }
        }
        Self { plan, behind, at, anywhere: plan.junctions().next().is_some() }
    }

    fn behind(&self, station: usize) -> bool {
        self.anywhere || self.behind[station]
    }

    fn stop(&self, stop: &Stop) -> bool {
        let in_block = |devices: &[_]| {
            let places = self.plan.stations.iter().zip(&self.at).filter(|(_, is)| **is);
            places.map(|(station, _)| station.device()).any(|device| devices.contains(&device))
        };
        self.anywhere || self.at[stop.station] || stop.block.as_ref().is_some_and(|block| in_block(&block.devices))
    }
}
