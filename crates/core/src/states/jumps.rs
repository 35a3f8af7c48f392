//! What each switch does to the level, in every context of the others.

use crate::arrival::{Choice, Stand};
use std::collections::{BTreeMap, BTreeSet};

use super::alone::{Way, all_off, alone, curve};
use super::audible_ways::{AudibleWays, Side};
use super::contexts::{Context, ContextSeries, Sides, Step, halves};
use super::effort::Effort;
use super::forks::{Fork, FoundContext, Room};
use super::lanes::{EQUAL, EQUAL_DB, LANES, Lanes, Range, decibels, furthest_point, product};
use super::layout::Layout;
use super::table::Table;
use crate::rig::{DeviceId, Position, SwitchRef, SwitchSetting};
use crate::watch::{Pace, Stopped};

/// An extreme of a jump: how far, where, and among which units that are on.
#[derive(Debug, Clone, PartialEq)]
pub struct Extreme {
    /// Level on less level off, in dB, the unit's own set level left out.
    pub db: f64,
    /// At which frequency of the sweep, by index.
    pub at: usize,
    /// The other switches that are moved there.
    pub among: Vec<SwitchSetting>,
    /// The same jump at all frequencies, those others and no more being on, in dB.
    pub curve_db: Vec<f64>,
}

/// What a switch does.
#[derive(Debug, Clone, PartialEq)]
pub struct Jump {
    /// The switch.
    pub switch: SwitchRef,
    /// From this position.
    pub from: Position,
    /// To that one.
    pub to: Position,
    /// Whether the unit's set level isn't left out: the signal doesn't go through it
    /// alone, but beside it, or by another way at the same time.
    pub is_whole: bool,
    /// The set level that is left out, in dB; 0 where it isn't.
    pub left_out_db: f64,
    /// Whether a set level other than 0 dB is a part of it, so that it tells more of
    /// loudness than of tone.
    pub has_level: bool,
    /// In how many contexts it was looked at: settings of the others that it can tell apart.
    pub contexts: usize,
    /// Whether these are all that there are.
    pub exact: bool,
    /// The largest rise; below zero if it only ever falls.
    pub rise: Extreme,
    /// The largest fall; above zero if it only ever rises.
    pub fall: Extreme,
    /// The highest jump of any context at each frequency, in dB.
    pub highest_db: Vec<f64>,
    /// The lowest.
    pub lowest_db: Vec<f64>,
    /// What it does with all other switches off, in dB at each frequency; none
    /// where nothing is heard then.
    pub alone_db: Option<Vec<f64>>,
}

impl Jump {
    /// Whose switch.
    #[must_use]
    pub fn device(&self) -> DeviceId {
        self.switch.device
    }

    /// Whether another is of the same step on the same switch.
    #[must_use]
    pub fn is_same_step(&self, other: &Self) -> bool {
        (self.switch, self.from, self.to) == (other.switch, other.from, other.to)
    }

    /// Puts the set level in that was left out.
    fn make_whole(&mut self) {
        let level_db = std::mem::take(&mut self.left_out_db);
        self.is_whole = true;
        self.has_level |= level_db != 0.0;
        for end in [&mut self.rise, &mut self.fall] {
            end.db += level_db;
            end.curve_db.iter_mut().for_each(|db| *db += level_db);
        }
        let curves = [Some(&mut self.highest_db), Some(&mut self.lowest_db), self.alone_db.as_mut()];
        curves.into_iter().flatten().flatten().for_each(|db| *db += level_db);
    }

    /// Takes in the same switch's jumps in other contexts.
    pub fn widen(&mut self, mut other: Self) {
        // In another setting of other switches the same unit may stand beside the way.
        if self.is_whole != other.is_whole {
            self.make_whole();
            other.make_whole();
        }
        for (high, new) in self.highest_db.iter_mut().zip(&other.highest_db) {
            *high = high.max(*new);
        }
        for (low, new) in self.lowest_db.iter_mut().zip(&other.lowest_db) {
            *low = low.min(*new);
        }
        self.contexts = self.contexts.saturating_add(other.contexts);
        self.exact &= other.exact;
        if other.rise.db > self.rise.db + EQUAL_DB {
            self.rise = other.rise;
        }
        if other.fall.db < self.fall.db - EQUAL_DB {
            self.fall = other.fall;
        }
    }
}

/// The steps on the switches that reach the spot, in the order of the path, side
/// runs after what they hang on.
fn steps(layout: &Layout) -> Vec<Step> {
    let nodes = layout.nodes.iter().filter_map(|node| Some((node.level, node.stand?)));
    let routes = layout.onward.iter().zip(&layout.routes.all);
    let routes = routes.filter_map(|(onward, route)| Some((route.from, onward.stand?)));
    // A choice has its far end's switches first.
    let together = layout.blocks.iter().flat_map(|(level, choices)| {
        choices.iter().flat_map(move |choice| choice.stands.iter().rev().map(move |stand| (*level, *stand)))
    });
    let mut stands: Vec<(usize, Stand)> = nodes.chain(routes).chain(together).collect();
    stands.sort_by_key(|(level, _)| *level);
    let beside = layout.onward.iter().flat_map(|onward| onward.side_runs.iter().flatten()).chain(&layout.rest);
    let beside = beside.flat_map(|choice: &Choice| &choice.stands);
    let mut order: Vec<SwitchRef> = Vec::new();
    let mut positions: BTreeMap<SwitchRef, BTreeSet<Position>> = BTreeMap::new();
    for stand in stands.iter().map(|(_, stand)| stand).chain(beside) {
        let known = positions.entry(stand.setting.switch).or_default();
        if known.is_empty() {
            order.push(stand.setting.switch);
        }
        known.insert(stand.setting.to);
    }
    let mut found = Vec::new();
    for switch in order {
        let positions: Vec<Position> = positions[&switch].iter().copied().collect();
        for (at, from) in positions.iter().enumerate() {
            found.extend(positions[at + 1..].iter().map(|to| Step { switch, from: *from, to: *to }));
        }
    }
    found
}

/// The jumps of all switches, while their extremes are looked for block after block.
#[derive(Debug)]
pub struct JumpSearch(Vec<StepSearch>);

#[derive(Debug)]
struct StepSearch {
    step: Step,
    settings: Settings,
    contexts: usize,
    /// How much it is to look at once.
    work: usize,
    /// What its own levels take off its jump, in dB.
    off_db: f64,
    highest_db: Vec<f64>,
    lowest_db: Vec<f64>,
}

/// What there is to look at for one step.
#[derive(Debug)]
enum Settings {
    /// Contexts in halves that don't know of one another.
    Halves(Vec<Vec<ContextSeries>>),
    /// Ways that part and meet again.
    Fork(Fork),
}

/// All that was evaluated: what it takes to say which context goes furthest.
#[derive(Debug, Clone, Copy)]
pub struct Evaluated<'a> {
    /// Where everything is.
    pub layout: &'a Layout,
    /// All losses.
    pub table: &'a Table,
    /// The ways to a stretch and away from it.
    pub audible_ways: &'a AudibleWays,
}

impl JumpSearch {
    /// Nothing is found yet.
    pub fn new(layout: &Layout, points: usize, pace: &mut Pace<'_>) -> Result<Self, Stopped> {
        let sides = Sides::of(layout);
        let mut found = Vec::new();
        for step in steps(layout) {
            let settings = match halves(layout, &sides, step) {
                Some(halves) => Settings::Halves(halves),
                None => match Fork::new(layout, step) {
                    Some(fork) => Settings::Fork(fork),
                    None => continue,
                },
            };
            let (contexts, work) = match &settings {
                Settings::Halves(halves) => {
                    let contexts = halves.iter().flatten().map(|one| one.len as usize).sum();
                    (contexts, contexts)
                }
                Settings::Fork(fork) => (fork.contexts, fork.work()),
            };
            // Halves know nothing of either level, forks have both.
            let off = match &settings {
                Settings::Halves(_) if step.leaves_out(step.from) => 0.0,
                Settings::Halves(_) => step.own_db(layout, step.from),
                Settings::Fork(_) => step.left_out_db(layout),
            };
            pace.did(Effort::of_contexts(work).steps(LANES))?;
            let (highest_db, lowest_db) = (Vec::with_capacity(points), Vec::with_capacity(points));
            found.push(StepSearch { step, settings, contexts, work, off_db: off, highest_db, lowest_db });
        }
        Ok(Self(found))
    }

    /// How many contexts there are.
    pub fn contexts(&self) -> usize {
        self.0.iter().map(|search| search.contexts).fold(0, usize::saturating_add)
    }

    /// Takes one block more; so many of its lanes count.
    pub fn look(
        &mut self,
        gains: &[Lanes],
        losses: &[Lanes],
        width: usize,
        pace: &mut Pace<'_>,
    ) -> Result<(), Stopped> {
        let mut room = Room::default();
        for search in &mut self.0 {
            let Range { high, low } = match &search.settings {
                Settings::Fork(fork) => fork.range(gains, losses, &mut room),
                Settings::Halves(halves) => {
                    let one = Range { high: [1.0; LANES], low: [1.0; LANES] };
                    let each = halves.iter().map(|half| range_of_half(half, gains, losses));
                    each.fold(one, |both, range| both.and(&range))
                }
            };
            for (list, ratios) in [(&mut search.highest_db, high), (&mut search.lowest_db, low)] {
                list.extend(ratios[..width].iter().map(|ratio| decibels(*ratio) - search.off_db));
            }
            pace.did(Effort::of_contexts(search.work).steps(width))?;
        }
        Ok(())
    }

    /// What was found, with the contexts that go furthest.
    pub fn jumps(self, evaluated: Evaluated<'_>, pace: &mut Pace<'_>) -> Result<Vec<Jump>, Stopped> {
        let mut found = Vec::new();
        let all_off = all_off(evaluated.layout);
        for search in self.0 {
            pace.did(Effort::of_contexts(search.work).steps(LANES))?;
            found.extend(search.jump(evaluated, all_off.as_ref()));
        }
        Ok(found)
    }
}

impl StepSearch {
    /// None where on and off never both sound.
    fn jump(self, evaluated: Evaluated<'_>, all_off: Option<&Way>) -> Option<Jump> {
        let (rise, fall) = (self.extreme(1.0, evaluated)?, self.extreme(-1.0, evaluated)?);
        let alone_db = alone(evaluated.layout, evaluated.table, all_off, self.step);
        let is_whole = [self.step.from, self.step.to].iter().all(|to| self.step.way(evaluated.layout, *to).is_none());
        let is_inside = |(_, choices): &(usize, Vec<Choice>)| {
            let mut stands = choices.iter().flat_map(|choice| &choice.stands);
            stands.any(|stand| stand.setting.switch == self.step.switch)
        };
        let left_out_db = self.step.left_out_db(evaluated.layout);
        let has_level = is_whole && evaluated.layout.blocks.iter().any(is_inside);
        let Self { step: Step { switch, from, to }, contexts, highest_db, lowest_db, .. } = self;
        Some(Jump {
            switch,
            from,
            to,
            is_whole,
            left_out_db,
            has_level,
            contexts,
            exact: true,
            rise,
            fall,
            highest_db,
            lowest_db,
            alone_db,
        })
    }

    /// The largest rise or fall.
    fn extreme(&self, sign: f64, evaluated: Evaluated<'_>) -> Option<Extreme> {
        let db = if sign > 0.0 { &self.highest_db } else { &self.lowest_db };
        db.first()?;
        let at = furthest_point(db, sign);
        let found = match &self.settings {
            Settings::Fork(fork) => {
                let found = fork.furthest(evaluated.layout, evaluated.table, evaluated.audible_ways, at, sign)?;
                FoundContext { gain_db: found.gain_db - self.off_db, ..found }
            }
            Settings::Halves(halves) => self.furthest(halves, at, sign, evaluated)?,
        };
        let curve_db = curve(evaluated.table, &found.without, &found.with, -found.gain_db);
        // A switch that is on at rest has itself been moved.
        let among = found.among.into_iter().filter(|setting| setting.switch != self.step.switch).collect();
        Some(Extreme { db: db[at], at, among, curve_db })
    }

    /// The context of each half that goes furthest at one frequency.
    fn furthest(
        &self,
        halves: &[Vec<ContextSeries>],
        at: usize,
        sign: f64,
        evaluated: Evaluated<'_>,
    ) -> Option<FoundContext> {
        let mut found = FoundContext { gain_db: -self.off_db, ..FoundContext::default() };
        for (number, half) in halves.iter().enumerate() {
            // What is before a unit that isolates on and off, and what is behind it, don't know of one another.
            let side = match (halves.len(), number) {
                (1, _) => Side::Both,
                (_, 0) => Side::Before,
                _ => Side::Behind,
            };
            let context = evaluated.furthest(half, at, sign, side)?;
            let layout = evaluated.layout;
            found.among.extend(evaluated.audible_ways.among(layout, layout.place(context.without), side));
            // What is only heard after the step stands as it does there.
            for place in [Some(context.with), context.shared].into_iter().flatten().map(|entry| layout.place(entry)) {
                found.among.extend(layout.moved_between(place));
                found.among.extend([place.from, place.to].into_iter().flat_map(|node| &layout.nodes[node].moved));
            }
            found.without.push(context.without);
            found.with.extend([context.with].into_iter().chain(context.shared));
        }
        Some(found)
    }
}

impl Evaluated<'_> {
    /// The context of a half that goes furthest at one frequency; of equal ones
    /// the one with fewest switches moved.
    fn furthest(&self, half: &[ContextSeries], at: usize, sign: f64, side: Side) -> Option<Context> {
        let losses = self.table.column(at);
        let loss = |entry: usize| losses[entry];
        let (mut best, mut fewest, mut found) = (0.0, usize::MAX, None);
        for context in half.iter().flat_map(|one| (0..one.len as usize).map(|index| one.context(index))) {
            let with = loss(context.with) * context.shared.map_or(1.0, loss);
            let without = loss(context.without);
            let far = if sign > 0.0 { without / with } else { with / without };
            // What is silent is no number, and not far.
            if far > best * (1.0 - EQUAL) {
                let on = self.audible_ways.count(self.layout, self.layout.place(context.without), side);
                if far > best * (1.0 + EQUAL) || on < fewest {
                    (best, fewest, found) = (far, on, Some(context));
                }
            }
        }
        found
    }
}

/// The greatest and the least ratio of the contexts of a half.
fn range_of_half(half: &[ContextSeries], gains: &[Lanes], losses: &[Lanes]) -> Range {
    let mut all = Range::NONE;
    for one in half {
        let range = range_of_series(one, gains, losses);
        let shared = one.shared.map_or([1.0; LANES], |entry| gains[entry as usize]);
        all.take_in(&range.times(&shared));
    }
    all
}

fn range_of_series(one: &ContextSeries, gains: &[Lanes], losses: &[Lanes]) -> Range {
    let mut range = Range::NONE;
    let len = one.len as usize;
    match (one.with.neighbours(len), one.without.neighbours(len)) {
        (Some(with), _) if !one.listed.is_empty() => {
            for (gain, without) in gains[with].iter().zip(&one.listed) {
                range.take(&product(gain, &losses[*without as usize]));
            }
        }
        (Some(with), Some(without)) => {
            for (gain, loss) in gains[with].iter().zip(&losses[without]) {
                range.take(&product(gain, loss));
            }
        }
        _ => (0..len).for_each(|at| range.take(&product(&gains[one.with.at(at)], &losses[one.without.at(at)]))),
    }
    range
}
