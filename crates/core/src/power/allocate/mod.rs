//! The best way to feed a rig's units from its supplies, proved, or what stands in the way.

pub mod allowance;
mod answer;
mod bound;
mod conflict;
mod drawn;
pub mod instance;
mod matching;
pub mod modules;
pub mod search;
pub mod terms;
mod wishes;

use self::allowance::Allowance;
use self::instance::Instance;
use self::search::{Cost, Manner, Move, UNFED};
use self::terms::{InUse, Terms};
use super::question::{Allocation, Question};
use crate::rig::{Device, DeviceId, OutletRef, Rig};
use crate::watch::{Part, Stopped, Watch};

/// Places of the search after which it gives up and proves nothing.
const MOST_NODES: u64 = 3_000_000;

/// Ways of plugging modules in that are looked at, at most.
const MOST_WAYS: usize = 2000;

/// What all of them together may hold: ways of plugging units in, devices and outlets.
const MOST_HELD: usize = 1_000_000;

/// Steps of an answer: about a second of a fast build on an old machine.
const MOST_STEPS: u64 = 40_000_000;

/// The best allocation by the order of wishes. Nothing is destroyed: that is no
/// wish. Then, of all ways, those that leave the fewest units without; of those
/// the ones in which the fewest run at another voltage than now; then the least
/// noisy, the fewest places with too little headroom, the fewest adapters, the
/// least sharing of leads and 0 Vs, for each unit that shares can close a ground
/// loop, and the fewest watts. [`Penalty`](super::Penalty) counts all that.
///
/// Where not all can be fed, the answer names a conflict and what cures it.
///
/// So many steps are taken, and no more. Past them it is the best that was found,
/// no worse than what is drawn, and isn't proved.
pub fn allocate(question: &Question, watch: &dyn Watch) -> Result<Allocation, Stopped> {
    let in_use = terms::in_use(&question.rig, &question.rules);
    allocate_from(question, &in_use, &Allowance::of(MOST_STEPS), watch)
}

/// The same, with each unit's voltage in use and the steps that it may take said.
pub fn allocate_from(
    question: &Question,
    in_use: &InUse,
    allowance: &Allowance<'_>,
    watch: &dyn Watch,
) -> Result<Allocation, Stopped> {
    let units = units(&question.rig);
    let skeleton = modules::skeleton(&question.rig, question.rules.headroom.tolerance);
    let first = Part { whole: watch, from: 0.0, to: 0.5 };
    // The rest is for what stands in the way, if something does.
    let most = allowance.part(0.7);
    let seeker = wishes::Seeker {
        rig: &question.rig,
        rules: &question.rules,
        in_use,
        skeleton: &skeleton,
        units: &units,
        allowance: &most,
    };
    let mut allocation = seeker.best(&first)?;
    let is_module = |id: DeviceId| question.rig.device(id).is_some_and(|device| device.kind.supply().is_some());
    let wrong = question
        .rig
        .feeds
        .iter()
        .filter(|feed| skeleton.feed(feed.id).is_none() && feed.taps.iter().any(|tap| is_module(tap.device)));
    allocation.wrong = wrong.map(|feed| feed.id).collect();
    if !allocation.unfed.is_empty() {
        let rest = Part { whole: watch, from: 0.5, to: 1.0 };
        let whole = conflict::Whole { question, skeleton: &skeleton, units: &units, best: &allocation };
        // Where modules alone are too much for what feeds them, no unit is in anybody's way.
        let conflict = Some(whole.conflict(in_use, allowance, &rest)?).filter(|conflict| !conflict.units.is_empty());
        allocation.conflict = conflict;
    }
    Ok(allocation)
}

/// The devices that want a low voltage, supplies left out.
pub fn units(rig: &Rig) -> Vec<&Device> {
    let wants = |device: &&Device| {
        device.power.need().is_some() && device.kind.supply().is_none() && !device.is_fed_by_phantom()
    };
    rig.devices.iter().filter(wants).collect()
}

/// A rig's supplies and units as plain numbers, once for each way of plugging in its loose modules.
pub struct Ground {
    /// The rig in which only modules are fed, and what units can do then.
    ways: Vec<(Rig, Instance)>,
    /// Whether those are all ways there are.
    whole: bool,
}

/// One way of feeding units.
#[derive(Debug, Clone)]
pub struct Way {
    /// Which of the ground's ways it is.
    index: usize,
    moves: Vec<Move>,
    cost: Cost,
    /// The units that took part, by their types.
    units: Vec<Vec<DeviceId>>,
}

/// What a search over all ways of plugging modules in came to.
pub struct Best {
    pub way: Option<Way>,
    pub proved: bool,
}

impl Ground {
    /// Only ways in which the loose modules that `must` hang do so.
    pub fn of(
        skeleton: &Rig,
        units: &[&Device],
        terms: &Terms<'_>,
        must: &dyn Fn(DeviceId) -> bool,
        allowance: &Allowance<'_>,
    ) -> Self {
        let (mut ground, rules) = (Self { ways: Vec::new(), whole: true }, terms.rules);
        let mut held = 0;
        let loosely = modules::Loosely { must, tolerance: rules.headroom.tolerance, selectors: rules.selectors };
        let all = modules::each_way(skeleton, &loosely, allowance, &mut |rig| {
            let room = ground.ways.len() < MOST_WAYS && held < MOST_HELD;
            if room {
                held += ground.enter(rig, units, terms, allowance);
            }
            room && ground.whole
        });
        if !all {
            ground.whole = false;
            // Modules that hang nowhere stay there at the least.
            let drawn = |(way, _): &(Rig, Instance)| way.feeds == skeleton.feeds;
            if !ground.ways.iter().any(drawn) && !modules::loose(skeleton).into_iter().any(must) {
                ground.enter(skeleton, units, terms, allowance);
            }
        }
        ground
    }

    /// One more way of plugging modules in, if they work there; how much it holds.
    fn enter(&mut self, rig: &Rig, units: &[&Device], terms: &Terms<'_>, allowance: &Allowance<'_>) -> usize {
        let Some(instance) = instance::build(rig, units, terms) else { return 0 };
        allowance.take(instance.looks(terms.rules.pairs));
        self.whole &= instance.whole;
        let held = instance.size() + rig.devices.len() + instance.sockets.len();
        self.ways.push((rig.clone(), instance));
        held
    }

    /// The best way of feeding those of the units that take part.
    pub fn best(
        &self,
        manner: Manner<'_>,
        takes_part: &dyn Fn(DeviceId) -> bool,
        watch: &dyn Watch,
    ) -> Result<Best, Stopped> {
        let mut best = Best { way: None, proved: self.whole };
        let mut below = manner.below;
        let mut left: Vec<usize> = (0..self.ways.len()).collect();
        // Each has its part of the allowance first; what is over then goes to those that it wasn't enough for.
        for round in 0..2 {
            let (from, to) = if round == 0 { (0.0, 0.9) } else { (0.9, 1.0) };
            let (half, count) = (Part { whole: watch, from, to }, left.len());
            let mut again = Vec::new();
            for (at, index) in std::mem::take(&mut left).into_iter().enumerate() {
                let part = Part { whole: &half, from: at as f64 / count as f64, to: (at + 1) as f64 / count as f64 };
                if !part.go_on(0.0) {
                    return Err(Stopped);
                }
                let share = manner.allowance.part(1.0 / (count - at) as f64);
                let instance = &self.ways[index].1;
                let (units, counts) = parties(instance, takes_part);
                let outcome = search::search(instance, &counts, Manner { below, allowance: &share, ..manner }, &part)?;
                if !outcome.proved && share.is_spent() {
                    again.push(index);
                } else {
                    best.proved &= outcome.proved;
                }
                if let Some((cost, moves)) = outcome.best {
                    below = cost;
                    best.way = Some(Way { index, moves, cost, units });
                    if manner.any || cost <= manner.least {
                        return Ok(best);
                    }
                }
            }
            left = again;
            if left.is_empty() || manner.allowance.is_spent() {
                break;
            }
        }
        best.proved &= left.is_empty();
        if !best.proved && !manner.any {
            self.improve(&mut best, Manner { below, ..manner }, takes_part);
        }
        Ok(best)
    }

    /// Where there weren't steps enough: a simple way, where that is better.
    fn improve(&self, best: &mut Best, manner: Manner<'_>, takes_part: &dyn Fn(DeviceId) -> bool) {
        let index = best.way.as_ref().map_or(0, |way| way.index);
        let Some((_, instance)) = self.ways.get(index) else { return };
        let (units, counts) = parties(instance, takes_part);
        if let Some((cost, moves)) = search::straight_on(instance, &counts, manner) {
            best.way = Some(Way { index, moves, cost, units });
        }
    }

    /// A way of feeding all of those units, if there is one.
    pub fn feeding(
        &self,
        takes_part: &dyn Fn(DeviceId) -> bool,
        allowance: &Allowance<'_>,
        watch: &dyn Watch,
    ) -> Result<Best, Stopped> {
        let manner = Manner { below: UNFED, any: true, coarse: true, least: 0, most_nodes: MOST_NODES, allowance };
        self.best(manner, takes_part, watch)
    }

    /// Whether those units can all be fed; none if the search gave up.
    pub fn feeds(
        &self,
        takes_part: &dyn Fn(DeviceId) -> bool,
        allowance: &Allowance<'_>,
        watch: &dyn Watch,
    ) -> Result<Option<bool>, Stopped> {
        let found = self.feeding(takes_part, allowance, watch)?;
        Ok(match (found.way, found.proved) {
            (Some(_), _) => Some(true),
            (None, true) => Some(false),
            (None, false) => None,
        })
    }

    /// Where each module among the units hangs by a way.
    pub fn hung(&self, way: &Way) -> Vec<(DeviceId, OutletRef, u8)> {
        let it = &self.ways[way.index].1;
        let mut names: Vec<Vec<DeviceId>> = way.units.clone();
        let mut found = Vec::new();
        for step in &way.moves {
            if let Move::Single(kind, single) = step
                && it.types[*kind].module
                && let Some(module) = names[*kind].pop()
            {
                found.push((module, it.sockets[single.socket].outlet, single.setting + 1));
            }
        }
        found
    }

    /// The ground of one rig as its modules are fed. Modules may be among the
    /// units: they take a socket, without an adapter, of a supply that may host.
    pub fn of_one(
        rig: &Rig,
        units: &[&Device],
        terms: &Terms<'_>,
        may_host: &dyn Fn(DeviceId) -> bool,
        allowance: &Allowance<'_>,
    ) -> Self {
        let Some(mut instance) = instance::build(rig, units, terms) else {
            return Self { ways: Vec::new(), whole: true };
        };
        allowance.take(instance.looks(terms.rules.pairs));
        let hosts: Vec<bool> = instance.sockets.iter().map(|socket| may_host(socket.outlet.supply)).collect();
        for kind in instance.types.iter_mut().filter(|kind| kind.module) {
            kind.pairs.clear();
            kind.singles.retain(|single| hosts[single.socket] && !single.swap && single.plug.is_none());
        }
        let whole = instance.whole;
        Self { ways: vec![(rig.clone(), instance)], whole }
    }
}

/// The units of each type that take part, and how many.
fn parties(it: &Instance, takes_part: &dyn Fn(DeviceId) -> bool) -> (Vec<Vec<DeviceId>>, Vec<usize>) {
    let taking = |kind: &instance::Type| kind.units.iter().copied().filter(|unit| takes_part(*unit)).collect();
    let units: Vec<Vec<DeviceId>> = it.types.iter().map(taking).collect();
    let counts = units.iter().map(Vec::len).collect();
    (units, counts)
}
