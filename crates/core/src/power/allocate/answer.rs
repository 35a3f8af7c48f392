//! What a search found, as leads and settings.

use std::collections::BTreeMap;

use rigwright_search::assignment::mix::{Colour, Member, Mix};
use rigwright_search::assignment::{Cost, Levels, Placement};

use super::instance::{Instance, is_series};
use super::model::{Alternative, Model, Solution};
use super::terms::InUse;
use crate::power::compatibility::{self, EASE};
use crate::power::question::{Allocation, Changed, Noise, Noisy, Penalty, Placed, Rules};
use crate::rig::{Adapter, Device, DeviceId, FeedFrom, OutletRef, Rig};

/// A cost in words of rigs.
pub fn penalty(cost: Cost) -> Penalty {
    let Levels { unplaced, major, conflicts, tight, minor, shared, amount } = cost.levels();
    Penalty {
        unfed: unplaced,
        changed: major,
        noisy: conflicts,
        tight,
        adapters: minor,
        sharing: shared,
        microwatts: amount,
    }
}

/// Nobody is fed.
pub fn nothing(units: &[&Device]) -> Allocation {
    Allocation {
        placed: Vec::new(),
        wrong: Vec::new(),
        unfed: units.iter().map(|unit| unit.id).collect(),
        changed: Vec::new(),
        noisy: Vec::new(),
        penalty: penalty(Cost::UNPLACED * units.len()),
        proved: false,
        conflict: None,
    }
}

/// A lead, and the currents of its plugs.
type Lead = (Placed, Vec<i64>);

impl Model {
    /// The placements of a solution, with the unit of each.
    fn plugged_in<'a>(&self, solution: &'a Solution) -> Vec<(&'a Placement, DeviceId)> {
        let mut names: Vec<Vec<DeviceId>> =
            solution.units.iter().map(|units| units.iter().rev().copied().collect()).collect();
        let with_unit = |placement: &'a Placement| names[placement.kind()].pop().map(|unit| (placement, unit));
        solution.placements.iter().filter_map(with_unit).collect()
    }

    /// Drives and gain of a solution that are too much for their 0 V, as the rules count them.
    pub fn excess(&self, solution: &Solution, units: &[&Device], rules: &Rules) -> u32 {
        let (it, mut occupancy) = (&self.alternatives[solution.alternative].instance, Occupancy::default());
        for (placement, unit) in self.plugged_in(solution) {
            occupancy.enter(it, placement, unit, member(units, unit, rules));
        }
        occupancy.mixes().map(|mix| mix.excess(&EASE)).sum()
    }

    /// A solution as leads and settings. `before` is the rig in which the loose modules were loose.
    pub fn allocation(
        &self,
        solution: &Solution,
        before: &Rig,
        units: &[&Device],
        in_use: &InUse,
        rules: &Rules,
    ) -> Allocation {
        let Alternative { rig: skeleton, instance: it } = &self.alternatives[solution.alternative];
        let mut leads: BTreeMap<OutletRef, Lead> = BTreeMap::new();
        let (mut changed, mut occupancy) = (Vec::new(), Occupancy::default());
        for (placement, unit) in self.plugged_in(solution) {
            occupancy.enter(it, placement, unit, member(units, unit, rules));
            let there = plugged(it, placement);
            if let Some(was) = in_use.get(&unit).filter(|_| there.changed) {
                changed.push(Changed { device: unit, was: *was as f64 * 1e-3, now: there.volts });
            }
            let first = there.settings[0].0;
            let new = || (Placed { from: there.from, settings: there.settings.clone(), plugs: Vec::new() }, Vec::new());
            let (lead, currents) = leads.entry(first).or_insert_with(new);
            let at = currents.partition_point(|other| *other >= there.running);
            currents.insert(at, there.running);
            lead.plugs.insert(at, (unit, there.adapter));
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
        let order = |id: DeviceId| units.iter().position(|unit| unit.id == id);
        changed.sort_by_key(|one: &Changed| order(one.device));
        Allocation {
            wrong: Vec::new(),
            placed: leads.into_values().map(|(lead, _)| lead).collect(),
            unfed: units.iter().map(|unit| unit.id).filter(|unit| !fed.contains(unit)).collect(),
            changed,
            noisy: occupancy.noisy(it.numbers.minds_mixed, &order),
            penalty: penalty(solution.cost),
            proved: false,
            conflict: None,
        }
    }
}

/// What a unit is to others under the rules.
fn member(units: &[&Device], unit: DeviceId, rules: &Rules) -> Member {
    let device = units.iter().find(|device| device.id == unit);
    let member = device.and_then(|device| Some(compatibility::member(device, device.power.need()?)));
    compatibility::under(member.unwrap_or_default(), rules)
}

/// Where a placement plugs a unit in.
struct Plugged {
    from: FeedFrom,
    settings: Vec<(OutletRef, u8)>,
    adapter: Adapter,
    volts: f64,
    changed: bool,
    /// nA
    running: i64,
}

fn plugged(it: &Instance, placement: &Placement) -> Plugged {
    let setting = |slot: usize, mode: u8| (it.sockets[slot].outlet, mode + 1);
    let (settings, volts, flipped, size, cost) = match placement {
        Placement::Single(_, single) => {
            let volts = it.volts(single.slot, single.mode);
            (vec![setting(single.slot, single.mode)], volts, single.flipped, single.size, single.cost)
        }
        Placement::Pair(_, pair) => {
            let upper = if is_series(pair) { it.volts(pair.second, pair.modes.1) } else { 0.0 };
            let settings = vec![setting(pair.first, pair.modes.0), setting(pair.second, pair.modes.1)];
            (settings, it.volts(pair.first, pair.modes.0) + upper, pair.flipped, pair.size, pair.cost)
        }
    };
    Plugged {
        from: it.source(placement),
        settings,
        adapter: Adapter { swaps_poles: flipped, plug: it.plug(placement.kind(), placement.slot()) },
        volts,
        changed: cost.levels().major > 0,
        running: size.steady,
    }
}

/// Who is on which 0 V and lead.
#[derive(Default)]
struct Occupancy {
    zero_volts: BTreeMap<usize, Vec<(DeviceId, Member)>>,
    leads: BTreeMap<usize, Vec<(DeviceId, Member)>>,
}

impl Occupancy {
    fn enter(&mut self, it: &Instance, placement: &Placement, unit: DeviceId, member: Member) {
        let slot = placement.slot();
        self.zero_volts.entry(it.numbers.slots[slot].group).or_default().push((unit, member));
        self.leads.entry(slot).or_default().push((unit, member));
    }

    /// All that is on each 0 V.
    fn mixes(&self) -> impl Iterator<Item = Mix> {
        self.zero_volts.values().map(|units| units.iter().fold(Mix::default(), |mix, (_, member)| mix.with(member)))
    }

    /// What of that is likely noisy.
    fn noisy(&self, minds_mixed: bool, order: &dyn Fn(DeviceId) -> Option<usize>) -> Vec<Noisy> {
        let named = |units: &[(DeviceId, Member)], which: &dyn Fn(&Member) -> bool, why: Noise| {
            let mut units: Vec<DeviceId> =
                units.iter().filter(|(_, member)| which(member)).map(|(unit, _)| *unit).collect();
            units.sort_by_key(|unit| order(*unit));
            Noisy { units, why }
        };
        let mut found = Vec::new();
        for (units, mix) in self.zero_volts.values().zip(self.mixes()) {
            if mix.disturbed() > 0 {
                let others = |member: &Member| {
                    let mut rest = mix;
                    rest.leave(member);
                    rest.least_added(&Member { marked: false, ..*member }, &EASE) > 0
                };
                found.push(named(units, &others, Noise::Together));
            }
            if mix.excess(&EASE) > 0 {
                let why = Noise::Gain { stages: mix.marked, gain: f64::from(mix.weight) / 10.0 };
                found.push(named(units, &Member::burdens, why));
            }
        }
        for units in self.leads.values().filter(|_| minds_mixed) {
            let any = |colour: Colour| units.iter().any(|(_, member)| member.colour == colour);
            if any(Colour::First) && any(Colour::Second) {
                found.push(named(units, &|_| true, Noise::OneLead));
            }
        }
        found
    }
}
