//! The best way to feed a rig's units from its supplies, proved, or what stands in the way.

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

/// The best allocation by the order of wishes. Nothing is destroyed: that is no
/// wish. Then, of all ways, those that leave the fewest units without; of those
/// the ones in which the fewest run at another voltage than now; then the least
/// noisy, the fewest places with too little headroom, the fewest adapters, the
/// least sharing of leads and 0 Vs, for each unit that shares can close a ground
/// loop, and the fewest watts. [`Penalty`](super::Penalty) counts all that.
///
/// Where not all can be fed, the answer names a conflict and what cures it.
pub fn allocate(question: &Question, watch: &dyn Watch) -> Result<Allocation, Stopped> {
    allocate_from(question, &terms::in_use(&question.rig, &question.rules), watch)
}

/// The same, with each unit's voltage in use said.
pub fn allocate_from(question: &Question, in_use: &InUse, watch: &dyn Watch) -> Result<Allocation, Stopped> {
    let units = units(&question.rig);
    let skeleton = modules::skeleton(&question.rig, question.rules.headroom.tolerance);
    let first = Part { whole: watch, from: 0.0, to: 0.5 };
    let seeker =
        wishes::Seeker { rig: &question.rig, rules: &question.rules, in_use, skeleton: &skeleton, units: &units };
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
        let lax = Ground::of(&skeleton, &units, &Terms::lax(&question.rules, in_use), &|_| false);
        allocation.conflict = Some(conflict::conflict(question, &lax, &skeleton, &units, &allocation, &rest)?);
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
    pub fn of(skeleton: &Rig, units: &[&Device], terms: &Terms<'_>, must: &dyn Fn(DeviceId) -> bool) -> Self {
        let (mut ground, rules) = (Self { ways: Vec::new(), whole: true }, terms.rules);
        modules::each_way(skeleton, must, rules.headroom.tolerance, rules.selectors, &mut |rig| {
            if ground.ways.len() == MOST_WAYS {
                ground.whole = false;
            } else if let Some(instance) = instance::build(rig, units, terms) {
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
                if manner.any || cost <= manner.least {
                    break;
                }
            }
        }
        Ok(best)
    }

    /// A way of feeding all of those units, if there is one.
    pub fn feeding(&self, takes_part: &dyn Fn(DeviceId) -> bool, watch: &dyn Watch) -> Result<Best, Stopped> {
        let manner = Manner { below: UNFED, any: true, coarse: true, least: 0, most_nodes: MOST_NODES };
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
    pub fn of_one(rig: &Rig, units: &[&Device], terms: &Terms<'_>, may_host: &dyn Fn(DeviceId) -> bool) -> Self {
        let Some(mut instance) = instance::build(rig, units, terms) else {
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
}
