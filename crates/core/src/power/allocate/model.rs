//! A rig's supplies and units as plain numbers, once for each way of plugging in its loose modules.

use rigwright_search::assignment::{self, Alternatives, Chosen, Cost, Options, Placement, Single, solve_any};
use rigwright_search::{Allowance, Answer};

use super::instance::{self, Instance};
use super::modules;
use super::terms::Terms;
use crate::rig::{Device, DeviceId, OutletRef, Rig};
use crate::watch::{Stopped, Watch};

/// Nodes of a search after which it gives up and proves nothing.
pub const MOST_NODES: u64 = 3_000_000;

/// Ways of plugging modules in that are looked at, at most.
const MOST_ALTERNATIVES: usize = 2000;

/// What all of them together may hold: ways of plugging units in, devices and outlets.
const MOST_HELD: usize = 1_000_000;

/// The alternatives of which one is to be chosen.
pub struct Model {
    pub(super) alternatives: Vec<Alternative>,
    /// Whether those are all there are.
    whole: bool,
}

/// One way of plugging the loose modules in.
pub(super) struct Alternative {
    /// The rig in which only modules are fed.
    pub rig: Rig,
    /// What units can do then.
    pub instance: Instance,
}

/// One way of feeding units.
#[derive(Debug, Clone)]
pub struct Solution {
    /// In which of the model's alternatives.
    pub(super) alternative: usize,
    pub(super) placements: Vec<Placement>,
    pub cost: Cost,
    /// The units that took part, by their types.
    pub(super) units: Vec<Vec<DeviceId>>,
}

impl Model {
    /// Only with alternatives in which the loose modules that `must` hang do so.
    pub fn of(
        skeleton: &Rig,
        units: &[&Device],
        terms: &Terms<'_>,
        must: &dyn Fn(DeviceId) -> bool,
        allowance: &Allowance<'_>,
    ) -> Self {
        let (mut model, rules) = (Self { alternatives: Vec::new(), whole: true }, terms.rules);
        let mut held = 0;
        let hanging = modules::Hanging { must, tolerance: rules.headroom.tolerance, selectors: rules.selectors };
        let all = modules::each_hookup(skeleton, &hanging, allowance, &mut |rig| {
            let room = model.alternatives.len() < MOST_ALTERNATIVES && held < MOST_HELD;
            if room {
                held += model.enter(rig, units, terms, allowance);
            }
            room && model.whole
        });
        if !all {
            model.whole = false;
            // Modules that hang nowhere stay there at the least.
            let drawn = |one: &Alternative| one.rig.feeds == skeleton.feeds;
            if !model.alternatives.iter().any(drawn) && !modules::loose(skeleton).into_iter().any(must) {
                model.enter(skeleton, units, terms, allowance);
            }
        }
        model
    }

    /// The model of one rig as its modules are fed. Modules may be among the
    /// units: they take a socket, without an adapter, of a supply that may host.
    pub fn of_one(
        rig: &Rig,
        units: &[&Device],
        terms: &Terms<'_>,
        may_host: &dyn Fn(DeviceId) -> bool,
        allowance: &Allowance<'_>,
    ) -> Self {
        let Some(mut instance) = instance::build(rig, units, terms) else {
            return Self { alternatives: Vec::new(), whole: true };
        };
        allowance.take(instance.looks(terms.rules.pairs));
        for at in (0..instance.types.len()).filter(|at| instance.types[*at].module).collect::<Vec<_>>() {
            let mut kind = std::mem::take(&mut instance.numbers.kinds[at]);
            let stays = |single: &Single| {
                let plain = !single.flipped && instance.plug(at, single.slot).is_none();
                may_host(instance.sockets[single.slot].outlet.supply) && plain
            };
            kind.singles.retain(stays);
            kind.pairs.clear();
            instance.numbers.kinds[at] = kind;
        }
        let whole = instance.whole;
        Self { alternatives: vec![Alternative { rig: rig.clone(), instance }], whole }
    }

    /// One more alternative, if its modules work; how much it holds.
    fn enter(&mut self, rig: &Rig, units: &[&Device], terms: &Terms<'_>, allowance: &Allowance<'_>) -> usize {
        let Some(instance) = instance::build(rig, units, terms) else { return 0 };
        allowance.take(instance.looks(terms.rules.pairs));
        self.whole &= instance.whole;
        let held = instance.size() + rig.devices.len() + instance.sockets.len();
        self.alternatives.push(Alternative { rig: rig.clone(), instance });
        held
    }

    /// The best way of feeding those of the units that take part.
    pub fn best(
        &self,
        options: Options<'_>,
        takes_part: &dyn Fn(DeviceId) -> bool,
        watch: &dyn Watch,
    ) -> Result<Answer<Solution, Cost>, Stopped> {
        let found = solve_any(&TakingPart { model: self, takes_part }, options, watch)?;
        let solution = |(chosen, cost): (Chosen, Cost)| {
            let Chosen { alternative, placements } = chosen;
            let units = taking_part(&self.alternatives[alternative].instance, takes_part);
            Solution { alternative, placements, cost, units }
        };
        let mut left_out = found.left_out;
        left_out.of_instance |= !self.whole;
        Ok(Answer {
            best: found.best.zip(found.value).map(solution),
            value: found.value,
            bound: if self.whole { found.bound } else { options.least },
            proved: found.proved && self.whole,
            left_out,
            nodes: found.nodes,
        })
    }

    /// A way of feeding all of those units, if there is one.
    pub fn feeding(
        &self,
        takes_part: &dyn Fn(DeviceId) -> bool,
        allowance: &Allowance<'_>,
        watch: &dyn Watch,
    ) -> Result<Answer<Solution, Cost>, Stopped> {
        let options = Options {
            below: Cost::UNPLACED,
            first: true,
            only_unplaced: true,
            most_nodes: MOST_NODES,
            ..Options::all(allowance)
        };
        self.best(options, takes_part, watch)
    }

    /// Whether those units can all be fed; none if the search gave up.
    pub fn feeds(
        &self,
        takes_part: &dyn Fn(DeviceId) -> bool,
        allowance: &Allowance<'_>,
        watch: &dyn Watch,
    ) -> Result<Option<bool>, Stopped> {
        let found = self.feeding(takes_part, allowance, watch)?;
        Ok(match (found.best, found.proved) {
            (Some(_), _) => Some(true),
            (None, true) => Some(false),
            (None, false) => None,
        })
    }

    /// Where each module among the units hangs by a solution.
    pub fn hung(&self, solution: &Solution) -> Vec<(DeviceId, OutletRef, u8)> {
        let it = &self.alternatives[solution.alternative].instance;
        let mut names: Vec<Vec<DeviceId>> = solution.units.clone();
        let mut found = Vec::new();
        for placement in &solution.placements {
            if let Placement::Single(kind, single) = placement
                && it.types[*kind].module
                && let Some(module) = names[*kind].pop()
            {
                found.push((module, it.sockets[single.slot].outlet, single.mode + 1));
            }
        }
        found
    }
}

/// The alternatives for those units that take part.
struct TakingPart<'a> {
    model: &'a Model,
    takes_part: &'a dyn Fn(DeviceId) -> bool,
}

impl Alternatives for TakingPart<'_> {
    fn count(&self) -> usize {
        self.model.alternatives.len()
    }

    fn alternative(&self, at: usize) -> (&assignment::Instance, Vec<usize>) {
        let instance = &self.model.alternatives[at].instance;
        (&instance.numbers, taking_part(instance, self.takes_part).iter().map(Vec::len).collect())
    }
}

/// The units of each type that take part.
fn taking_part(it: &Instance, takes_part: &dyn Fn(DeviceId) -> bool) -> Vec<Vec<DeviceId>> {
    let taking = |kind: &instance::Type| kind.units.iter().copied().filter(|unit| takes_part(*unit)).collect();
    it.types.iter().map(taking).collect()
}
