//! What a search found, as leads and settings.

use std::collections::BTreeMap;

use super::instance::Instance;
use super::search::{self, Cost, Move, UNFED};
use super::terms::InUse;
use super::{Ground, Way};
use crate::power::company::{Company, Guest};
use crate::power::question::{Allocation, Changed, Noise, Noisy, Placed, Rules};
use crate::rig::{Adapter, Device, DeviceId, FeedFrom, OutletRef, Rig};

/// Nobody is fed.
pub fn nothing(units: &[&Device]) -> Allocation {
    Allocation {
        placed: Vec::new(),
        wrong: Vec::new(),
        unfed: units.iter().map(|unit| unit.id).collect(),
        changed: Vec::new(),
        noisy: Vec::new(),
        penalty: search::penalty(UNFED * units.len() as Cost),
        proved: false,
        conflict: None,
    }
}

/// A lead, and the currents of its plugs.
type Lead = (Placed, Vec<i64>);

impl Ground {
    /// The steps of a way, with the unit of each.
    fn plugged_in<'a>(&self, way: &'a Way) -> Vec<(&'a Move, DeviceId)> {
        let mut names: Vec<Vec<DeviceId>> =
            way.units.iter().map(|units| units.iter().rev().copied().collect()).collect();
        let with_unit = |step: &'a Move| {
            let (Move::Single(kind, _) | Move::Pair(kind, _)) = step;
            names[*kind].pop().map(|unit| (step, unit))
        };
        way.moves.iter().filter_map(with_unit).collect()
    }

    /// Units of a way that are too many on their 0 V, as the rules count them.
    pub fn crowd(&self, way: &Way, units: &[&Device], rules: &Rules) -> u32 {
        let (it, mut fed) = (&self.ways[way.index].1, Fed::default());
        for (step, unit) in self.plugged_in(way) {
            fed.enter(it, step, unit, guest(units, unit, rules));
        }
        fed.companies().map(|company| company.crowded()).sum()
    }

    /// A way as leads and settings. `before` is the rig in which the loose modules were loose.
    pub fn allocation(&self, way: &Way, before: &Rig, units: &[&Device], in_use: &InUse, rules: &Rules) -> Allocation {
        let (skeleton, it) = &self.ways[way.index];
        let mut leads: BTreeMap<OutletRef, Lead> = BTreeMap::new();
        let (mut changed, mut company) = (Vec::new(), Fed::default());
        for (step, unit) in self.plugged_in(way) {
            company.enter(it, step, unit, guest(units, unit, rules));
            let there = plugged(it, step);
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
            noisy: company.noisy(it.minds_mixed, &order),
            penalty: search::penalty(way.cost),
            proved: false,
            conflict: None,
        }
    }
}

/// What a unit is to others under the rules.
fn guest(units: &[&Device], unit: DeviceId, rules: &Rules) -> Guest {
    let device = units.iter().find(|device| device.id == unit);
    let guest = device.and_then(|device| Some(Guest::of(device, device.power.need()?)));
    guest.unwrap_or_default().under(rules)
}

/// Where a step plugs a unit in.
struct Plugged {
    from: FeedFrom,
    settings: Vec<(OutletRef, u8)>,
    adapter: Adapter,
    volts: f64,
    changed: bool,
    running: i64,
}

fn plugged(it: &Instance, step: &Move) -> Plugged {
    let outlet = |socket: usize| it.sockets[socket].outlet;
    let volts = |socket: usize, setting: u8| it.sockets[socket].settings[usize::from(setting)].volts;
    match step {
        Move::Single(_, single) => Plugged {
            from: FeedFrom::One(outlet(single.socket)),
            settings: vec![(outlet(single.socket), single.setting + 1)],
            adapter: Adapter { swaps_poles: single.swap, plug: single.plug },
            volts: volts(single.socket, single.setting),
            changed: single.changed,
            running: single.draw.running,
        },
        Move::Pair(_, pair) => {
            let (a, b) = (outlet(pair.first), outlet(pair.second));
            let from = match pair.series {
                true => FeedFrom::Series { lower: a, upper: b },
                false => FeedFrom::Parallel { first: a, second: b },
            };
            let upper = if pair.series { volts(pair.second, pair.settings.1) } else { 0.0 };
            Plugged {
                from,
                settings: vec![(a, pair.settings.0 + 1), (b, pair.settings.1 + 1)],
                adapter: Adapter { swaps_poles: pair.swap, plug: pair.plug },
                volts: volts(pair.first, pair.settings.0) + upper,
                changed: pair.changed,
                running: pair.draw.running,
            }
        }
    }
}

/// Who is on which 0 V and lead.
#[derive(Default)]
struct Fed {
    zero_volts: BTreeMap<usize, Vec<(DeviceId, Guest)>>,
    leads: BTreeMap<usize, Vec<(DeviceId, Guest)>>,
}

impl Fed {
    fn enter(&mut self, it: &Instance, step: &Move, unit: DeviceId, guest: Guest) {
        let socket = match step {
            Move::Single(_, single) => single.socket,
            Move::Pair(_, pair) => pair.first,
        };
        self.zero_volts.entry(it.sockets[socket].domain).or_default().push((unit, guest));
        self.leads.entry(socket).or_default().push((unit, guest));
    }

    /// All that is on each 0 V.
    fn companies(&self) -> impl Iterator<Item = Company> {
        self.zero_volts.values().map(|units| units.iter().fold(Company::default(), |all, (_, guest)| all.with(guest)))
    }

    /// What of that is likely noisy.
    fn noisy(&self, minds_mixed: bool, order: &dyn Fn(DeviceId) -> Option<usize>) -> Vec<Noisy> {
        let named = |units: &[(DeviceId, Guest)], which: &dyn Fn(&Guest) -> bool, why: Noise| {
            let mut units: Vec<DeviceId> =
                units.iter().filter(|(_, guest)| which(guest)).map(|(unit, _)| *unit).collect();
            units.sort_by_key(|unit| order(*unit));
            Noisy { units, why }
        };
        let mut found = Vec::new();
        for (units, company) in self.zero_volts.values().zip(self.companies()) {
            if company.disturbed() > 0 {
                let others = |guest: &Guest| {
                    let mut rest = company;
                    rest.leave(guest);
                    rest.own_noise(&Guest { stage: false, ..*guest }) > 0
                };
                found.push(named(units, &others, Noise::Together));
            }
            if company.crowded() > 0 {
                let why = Noise::Gain { stages: company.stages, gain: f64::from(company.gain) / 10.0 };
                found.push(named(units, &Guest::amplifies, why));
            }
        }
        for units in self.leads.values().filter(|_| minds_mixed) {
            let any = |digital: bool| units.iter().any(|(_, guest)| guest.digital == digital);
            if any(true) && any(false) {
                found.push(named(units, &|_| true, Noise::OneLead));
            }
        }
        found
    }
}
