//! The contexts of a switch: all settings of the others that it can tell apart.

use crate::arrival::Stand;
use std::ops::Range;

use super::choice_settings::ChoiceSettings;
use super::layout::{Layout, OnRoute};
use super::routes::Route;
use crate::rig::{Position, SwitchKey, SwitchRef, SwitchSetting};

/// Contexts of a switch that have their first stretch in common: entries whose
/// gains and losses make up |V_on/V_off|².
///
/// A unit that lets the stretch go on while off has the level
/// seg(i,k) + seg(k,j) − seg(i,j): a series has one i, one setting of the side runs
/// before k, and all that can be behind it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ContextSeries {
    /// The entry whose gain all of them have, if any.
    pub shared: Option<u32>,
    /// Of each context the entry with the switch on, whose gain counts.
    pub with: EvenlySpaced,
    /// And the entry with the switch off, whose loss counts.
    pub without: EvenlySpaced,
    /// The same one by one, where they have no equal distances.
    pub listed: Vec<u32>,
    /// How many contexts there are.
    pub len: u32,
}

/// Entries at equal distances.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EvenlySpaced {
    first: u32,
    step: u32,
}

/// The entries of one context.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Context {
    /// The entry whose gain comes first, if any.
    pub shared: Option<usize>,
    /// The entry with the switch on.
    pub with: usize,
    /// The entry with it off.
    pub without: usize,
}

impl EvenlySpaced {
    fn new(first: usize, step: usize) -> Self {
        Self { first: first as u32, step: step as u32 }
    }

    /// The entry of a context.
    pub fn at(self, index: usize) -> usize {
        self.first as usize + index * self.step as usize
    }

    /// Whether an entry is the next after so many: of one the distance is still free.
    fn takes(self, len: u32, entry: usize) -> bool {
        if len == 1 { entry > self.first as usize } else { self.at(len as usize) == entry }
    }

    /// The same entries with one entry more.
    fn up_to(self, len: u32, entry: usize) -> Self {
        if len == 1 { Self::new(self.first as usize, entry - self.first as usize) } else { self }
    }

    /// The entries of so many contexts, if they are neighbours.
    pub fn neighbours(self, len: usize) -> Option<Range<usize>> {
        let first = self.first as usize;
        (self.step == 1).then(|| first..first + len)
    }
}

impl ContextSeries {
    /// One of its contexts.
    pub fn context(&self, index: usize) -> Context {
        Context {
            shared: self.shared.map(|entry| entry as usize),
            with: self.with.at(index),
            without: self.listed.get(index).map_or_else(|| self.without.at(index), |entry| *entry as usize),
        }
    }
}

/// What the choices of all side runs say, of blocks, and of what hangs on the spot.
#[derive(Debug)]
pub struct Sides {
    /// Of each route's.
    side_runs: Vec<Vec<ChoiceSettings>>,
    /// Of the choices at a level: a block's, or what hangs on the spot.
    at: Vec<(usize, ChoiceSettings)>,
}

impl Sides {
    /// Of a layout.
    pub fn of(layout: &Layout) -> Self {
        let of_route = |onward: &OnRoute| onward.side_runs.iter().map(ChoiceSettings::of).collect();
        let blocks = layout.blocks.iter().map(|(level, choices)| (*level, ChoiceSettings::of(choices)));
        let at = blocks.chain([(layout.spot(), ChoiceSettings::of(&layout.rest))]).collect();
        Self { side_runs: layout.onward.iter().map(of_route).collect(), at }
    }
}

/// A step on a switch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step {
    /// The switch.
    pub switch: SwitchRef,
    /// From this position.
    pub from: Position,
    /// To that one.
    pub to: Position,
}

impl Step {
    /// Whether the unit's own level in a position of the switch is no part of the jump: that of
    /// a unit that is on, and of each of several things that it can be. What a buffer loses
    /// while a unit is off is a part of it.
    pub fn leaves_out(self, position: Position) -> bool {
        !matches!(self.switch.key, SwitchKey::Bypass | SwitchKey::Mute) || position == self.to
    }

    /// The unit's own level in a position, in dB; 0 where it isn't a node on the way.
    pub fn own_db(self, layout: &Layout, position: Position) -> f64 {
        match self.way(layout, position) {
            Some(OnTheWay::Node(node)) => layout.nodes[node].gain_db,
            _ => 0.0,
        }
    }

    /// What is left out of the jump, in dB.
    pub fn left_out_db(self, layout: &Layout) -> f64 {
        let at = |position| if self.leaves_out(position) { self.own_db(layout, position) } else { 0.0 };
        at(self.to) - at(self.from)
    }

    /// What a position of the switch is on the way, if the switch stands on it.
    pub fn way(self, layout: &Layout, to: Position) -> Option<OnTheWay> {
        let setting = SwitchSetting { switch: self.switch, to };
        let takes = |stand: Option<Stand>| stand.is_some_and(|stand| stand.setting == setting);
        let node = layout.nodes.iter().position(|node| takes(node.stand));
        let route = || layout.onward.iter().position(|onward| takes(onward.stand));
        node.map(OnTheWay::Node).or_else(|| route().map(OnTheWay::Route))
    }
}

/// What a position of a switch is that stands on the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OnTheWay {
    /// A node: the unit isolates.
    Node(usize),
    /// A route: the stretch goes on.
    Route(usize),
}

impl OnTheWay {
    /// The level where the signal comes next.
    pub fn leads_to(self, layout: &Layout) -> usize {
        match self {
            Self::Node(node) => layout.nodes[node].to,
            Self::Route(route) => layout.routes.all[route].to,
        }
    }
}

/// The contexts of a step, in halves that don't know of one another: before a
/// unit that isolates in both positions, and behind it. Others have one. None
/// for a switch where ways part.
pub fn halves(layout: &Layout, sides: &Sides, step: Step) -> Option<Vec<Vec<ContextSeries>>> {
    let ways = (step.way(layout, step.from), step.way(layout, step.to));
    match ways {
        (None, None) => Some(vec![beside(layout, sides, step)]),
        (Some(from), Some(to)) if from.leads_to(layout) != to.leads_to(layout) => None,
        // Behind it: seg(on, j) − seg(off, j), over the same stretches.
        (Some(OnTheWay::Node(off)), Some(OnTheWay::Node(on))) => {
            Some(vec![before(layout, on, off), vec![both(layout.entries_from(on), layout.entries_from(off))]])
        }
        (Some(OnTheWay::Route(route)), Some(OnTheWay::Node(on))) => Some(vec![through(layout, route, on)]),
        _ => None,
    }
}

/// Both stretches whole, one on and the other off, the same side runs between.
fn both(with: Range<usize>, without: Range<usize>) -> ContextSeries {
    let len = with.len() as u32;
    let (with, without) = (EvenlySpaced::new(with.start, 1), EvenlySpaced::new(without.start, 1));
    ContextSeries { shared: None, with, without, listed: Vec::new(), len }
}

/// Before a unit that isolates on and off: seg(i, on) − seg(i, off).
fn before(layout: &Layout, on: usize, off: usize) -> Vec<ContextSeries> {
    (0..on.min(off)).filter_map(|from| Some(both(layout.between(from, on)?, layout.between(from, off)?))).collect()
}

/// A unit that lets the stretch go on by one route while off.
fn through(layout: &Layout, route: usize, on: usize) -> Vec<ContextSeries> {
    let far = layout.entries_from(on);
    let Route { to, choices, .. } = layout.routes.all[route];
    let mut found = Vec::new();
    for from in 0..layout.at_level(layout.nodes[on].level).start {
        let Some(near) = layout.between(from, on) else { continue };
        if layout.is_plain {
            let without = EvenlySpaced::new(layout.entries_at(from, to), 1);
            let (shared, len) = (Some(near.start as u32), far.len() as u32);
            found.push(ContextSeries {
                shared,
                with: EvenlySpaced::new(far.start, 1),
                without,
                listed: Vec::new(),
                len,
            });
            continue;
        }
        // The same side runs stand in all three terms; the unit's own hang there while it is off.
        let first = layout.by_route(layout.nodes[from].to, route);
        let rows: Vec<usize> = (first..first + choices as usize * near.len()).collect();
        for (at, listed) in entries_behind(layout, from, to, &rows).into_iter().enumerate() {
            let Some(first) = listed.first() else { continue };
            let (shared, len) = (Some((near.start + at % near.len()) as u32), listed.len() as u32);
            let (with, without) = (EvenlySpaced::new(far.start, 1), EvenlySpaced::new(*first as usize, 1));
            found.push(ContextSeries { shared, with, without, listed, len });
        }
    }
    found
}

/// Of each of some rows at a level, all of which came from one node: the entries
/// that it goes on to, in the order in which those of a node stand whose rows begin there.
pub fn entries_behind(layout: &Layout, from: usize, level: usize, rows: &[usize]) -> Vec<Vec<u32>> {
    let first = layout.nodes[from].to;
    let many = rows.len();
    // Of each level, what the rows have grown there; those of one row are `many` apart.
    let mut grown: Vec<Vec<u32>> = Vec::new();
    for here in level..=layout.spot() {
        if here == level {
            grown.push(rows.iter().map(|row| *row as u32).collect());
        } else {
            let mut new = Vec::new();
            for (number, route) in layout.routes.to(here).filter(|(_, route)| route.from >= level) {
                let old = &grown[route.from - level];
                let (base, all) = (layout.by_route(first, number), layout.rows_at(first, route.from));
                for choice in 0..route.choices as usize {
                    new.extend(old.iter().map(|row| (base + choice * all) as u32 + row));
                }
            }
            grown.push(new);
        }
    }
    let levels =
        || grown.iter().zip(level..).filter(|(grown, here)| !grown.is_empty() && !layout.at_level(*here).is_empty());
    let of_each = levels().map(|(grown, here)| grown.len().div_ceil(many.max(1)) * layout.at_level(here).len()).sum();
    let mut found: Vec<Vec<u32>> = (0..many).map(|_| Vec::with_capacity(of_each)).collect();
    for (grown, here) in levels() {
        let (base, all) = (layout.entries_at(from, here), layout.rows_at(first, here));
        for number in 0..layout.at_level(here).len() {
            let first = (base + number * all) as u32;
            for rows in grown.chunks(many) {
                found.iter_mut().zip(rows).for_each(|(entries, row)| entries.push(first + row));
            }
        }
    }
    found
}

/// Adds contexts, in as few series as can be.
fn add_series(series: &mut Vec<ContextSeries>, contexts: impl Iterator<Item = (usize, usize)>) {
    let first = series.len();
    for (with, without) in contexts {
        let last = if series.len() > first { series.last_mut() } else { None };
        if let Some(one) = last
            && one.with.takes(one.len, with)
            && one.without.takes(one.len, without)
        {
            (one.with, one.without) = (one.with.up_to(one.len, with), one.without.up_to(one.len, without));
            one.len += 1;
        } else {
            let (with, without) = (EvenlySpaced::new(with, 1), EvenlySpaced::new(without, 1));
            series.push(ContextSeries { shared: None, with, without, listed: Vec::new(), len: 1 });
        }
    }
}

/// A unit in a side run, or behind the spot: two choices of that run that
/// differ in it alone, or one that doesn't hear it.
fn beside(layout: &Layout, sides: &Sides, step: Step) -> Vec<ContextSeries> {
    let mut found = Vec::new();
    for (number, route) in layout.routes.all.iter().enumerate() {
        let mut each = 1;
        for (side_run, settings) in sides.side_runs[number].iter().enumerate() {
            let pairs = settings.pairs(step);
            if !pairs.is_empty() {
                for from in 0..layout.at_level(route.from + 1).start {
                    found.extend(on_side_run(
                        layout,
                        from,
                        number,
                        (each, layout.onward[number].side_runs[side_run].len()),
                        &pairs,
                    ));
                }
            }
            each *= layout.onward[number].side_runs[side_run].len();
        }
    }
    for (level, settings) in &sides.at {
        let first = layout.at_level(*level).start;
        for (on, off) in settings.pairs(step) {
            found.extend(before(layout, first + on, first + off));
        }
    }
    found
}

/// The contexts of what comes from a node by a route, on which a side run hangs
/// with these pairs of choices: its choice changes every so many of the
/// route's, and it has so many.
fn on_side_run(
    layout: &Layout,
    from: usize,
    number: usize,
    (each, many): (usize, usize),
    pairs: &[(usize, usize)],
) -> Vec<ContextSeries> {
    let route = layout.routes.all[number];
    let first = layout.nodes[from].to;
    let rows = layout.rows_at(first, route.from);
    let mut found = Vec::new();
    if rows == 0 {
        return found;
    }
    let base = layout.by_route(first, number);
    let all: Vec<usize> = (base..base + rows * route.choices as usize).collect();
    let entries = entries_behind(layout, from, route.to, &all);
    // Of the other side runs one combination, and one row before.
    let far = (0..route.choices as usize / (each * many)).map(|far| far * each * many);
    for near in far.flat_map(|far| (0..each).map(move |near| far + near)) {
        for &(on, off) in pairs {
            for row in 0..rows {
                let of =
                    |choice: usize| entries[(near + choice * each) * rows + row].iter().map(|entry| *entry as usize);
                add_series(&mut found, of(on).zip(of(off)));
            }
        }
    }
    found
}
