//! The best way to feed a rig's units from its supplies, proved, or what stands in the way.

mod bound;
mod conflict;
pub mod instance;
mod matching;
pub mod modules;
pub mod search;

use std::collections::BTreeMap;

use self::instance::Instance;
use self::search::{Cost, Manner, Move, UNFED, WORST};
use super::question::{Allocation, Placed, Question, Rules};
use crate::rig::{Adapter, Device, DeviceId, FeedFrom, OutletRef, Rig};
use crate::watch::{Part, Stopped, Watch};

/// Places of the search after which it gives up and proves nothing.
const MOST_NODES: u64 = 3_000_000;

/// Ways of plugging modules in that are looked at, at most.
const MOST_WAYS: usize = 2000;

/// The best allocation by the penalty: as many units fed as can be, then the
/// fewest adapters, the least sharing, the fewest watts. Where not all can be
/// fed, the answer names a conflict and what cures it.
pub fn allocate(question: &Question, watch: &dyn Watch) -> Result<Allocation, Stopped> {
    let units = units(&question.rig);
    let skeleton = modules::skeleton(&question.rig, question.rules.headroom.tolerance);
    let ground = Ground::of(&skeleton, &units, &question.rules, &|_| false);
    let first = Part { whole: watch, from: 0.0, to: 0.5 };
    let manner = Manner { below: WORST, any: false, coarse: false, most_nodes: MOST_NODES };
    let found = ground.best(manner, &|_| true, &first)?;
    let mut allocation = match found.way {
        Some(way) => ground.allocation(&way, &skeleton, &units),
        None => Allocation {
            placed: Vec::new(),
            wrong: Vec::new(),
            unfed: units.iter().map(|unit| unit.id).collect(),
            penalty: search::penalty(UNFED * units.len() as Cost),
            proved: false,
            conflict: None,
        },
    };
    allocation.proved = found.proved;
    let is_module = |id: DeviceId| question.rig.device(id).is_some_and(|device| device.kind.supply().is_some());
    let wrong = question
        .rig
        .feeds
        .iter()
        .filter(|feed| skeleton.feed(feed.id).is_none() && feed.taps.iter().any(|tap| is_module(tap.device)));
    allocation.wrong = wrong.map(|feed| feed.id).collect();
    if !allocation.unfed.is_empty() {
        let rest = Part { whole: watch, from: 0.5, to: 1.0 };
        allocation.conflict = Some(conflict::conflict(question, &ground, &skeleton, &units, &allocation, &rest)?);
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
    pub fn of(skeleton: &Rig, units: &[&Device], rules: &Rules, must: &dyn Fn(DeviceId) -> bool) -> Self {
        let mut ground = Self { ways: Vec::new(), whole: true };
        modules::each_way(skeleton, must, rules.headroom.tolerance, rules.selectors, &mut |rig| {
            if ground.ways.len() == MOST_WAYS {
                ground.whole = false;
            } else if let Some(instance) = instance::build(rig, units, rules) {
                ground.whole &= instance.whole;
                ground.ways.push((rig.clone(), instance));
            }
            ground.whole
        });
        ground
    }

    /// The best way of feeding those of the units that take part.
    pub fn best(
        &self,
        manner: Manner,
        takes_part: &dyn Fn(DeviceId) -> bool,
        watch: &dyn Watch,
    ) -> Result<Best, Stopped> {
        let mut best = Best { way: None, proved: self.whole };
        let mut below = manner.below;
        for (index, (_, instance)) in self.ways.iter().enumerate() {
            let count = self.ways.len() as f64;
            let part = Part { whole: watch, from: index as f64 / count, to: (index + 1) as f64 / count };
            if !part.go_on(0.0) {
                return Err(Stopped);
            }
            let units: Vec<Vec<DeviceId>> = instance
                .types
                .iter()
                .map(|kind| kind.units.iter().copied().filter(|unit| takes_part(*unit)).collect())
                .collect();
            let counts: Vec<usize> = units.iter().map(Vec::len).collect();
            let outcome = search::search(instance, &counts, Manner { below, ..manner }, &part)?;
            best.proved &= outcome.proved;
            if let Some((cost, moves)) = outcome.best {
                below = cost;
                best.way = Some(Way { index, moves, cost, units });
                if manner.any {
                    break;
                }
            }
        }
        Ok(best)
    }

    /// A way of feeding all of those units, if there is one.
    pub fn feeding(&self, takes_part: &dyn Fn(DeviceId) -> bool, watch: &dyn Watch) -> Result<Best, Stopped> {
        let manner = Manner { below: UNFED, any: true, coarse: true, most_nodes: MOST_NODES };
        self.best(manner, takes_part, watch)
    }

    /// Whether those units can all be fed; none if the search gave up.
    pub fn feeds(&self, takes_part: &dyn Fn(DeviceId) -> bool, watch: &dyn Watch) -> Result<Option<bool>, Stopped> {
        let found = self.feeding(takes_part, watch)?;
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
    pub fn of_one(rig: &Rig, units: &[&Device], rules: &Rules, may_host: &dyn Fn(DeviceId) -> bool) -> Self {
        let Some(mut instance) = instance::build(rig, units, rules) else {
            return Self { ways: Vec::new(), whole: true };
        };
        let hosts: Vec<bool> = instance.sockets.iter().map(|socket| may_host(socket.outlet.supply)).collect();
        for kind in instance.types.iter_mut().filter(|kind| kind.module) {
            kind.pairs.clear();
            kind.singles.retain(|single| hosts[single.socket] && !single.swap && single.plug.is_none());
        }
        let whole = instance.whole;
        Self { ways: vec![(rig.clone(), instance)], whole }
    }

    /// A way as leads and settings. `before` is the rig in which the loose modules were loose.
    pub fn allocation(&self, way: &Way, before: &Rig, units: &[&Device]) -> Allocation {
        let (skeleton, it) = &self.ways[way.index];
        let mut names: Vec<Vec<DeviceId>> =
            way.units.iter().map(|units| units.iter().rev().copied().collect()).collect();
        let mut leads: BTreeMap<OutletRef, (Placed, Vec<i64>)> = BTreeMap::new();
        for step in &way.moves {
            let (kind, from, settings, swap, plug, running) = match step {
                Move::Single(kind, single) => {
                    let outlet = it.sockets[single.socket].outlet;
                    let settings = vec![(outlet, single.setting + 1)];
                    (*kind, FeedFrom::One(outlet), settings, single.swap, single.plug, single.draw.running)
                }
                Move::Pair(kind, pair) => {
                    let (a, b) = (it.sockets[pair.first].outlet, it.sockets[pair.second].outlet);
                    let from = if pair.series {
                        FeedFrom::Series { lower: a, upper: b }
                    } else {
                        FeedFrom::Parallel { first: a, second: b }
                    };
                    let settings = vec![(a, pair.settings.0 + 1), (b, pair.settings.1 + 1)];
                    (*kind, from, settings, pair.swap, pair.plug, pair.draw.running)
                }
            };
            let Some(unit) = names[kind].pop() else { continue };
            let first = settings[0].0;
            let new = || (Placed { from, settings, plugs: Vec::new() }, Vec::new());
            let (lead, currents) = leads.entry(first).or_insert_with(new);
            let at = currents.partition_point(|other| *other >= running);
            currents.insert(at, running);
            lead.plugs.insert(at, (unit, Adapter { swaps_poles: swap, plug }));
        }
        for feed in skeleton.feeds.iter().filter(|feed| before.feed(feed.id).is_none()) {
            for outlet in feed.from.outlets() {
                let chosen = skeleton.outlet(outlet).map_or(1, |there| there.chosen);
                let plugs = feed.taps.iter().map(|tap| (tap.device, tap.adapter)).collect();
                let placed = Placed { from: feed.from, settings: vec![(outlet, chosen)], plugs };
                leads.insert(outlet, (placed, Vec::new()));
            }
        }
        let fed: Vec<DeviceId> =
            leads.values().flat_map(|(lead, _)| lead.plugs.iter().map(|(device, _)| *device)).collect();
        Allocation {
            wrong: Vec::new(),
            placed: leads.into_values().map(|(lead, _)| lead).collect(),
            unfed: units.iter().map(|unit| unit.id).filter(|unit| !fed.contains(unit)).collect(),
            penalty: search::penalty(way.cost),
            proved: false,
            conflict: None,
        }
    }
}
