//! What any set of supplies must have to feed all units: necessary, seldom quite enough.

use std::collections::BTreeMap;

use rigwright_search::Allowance;
use rigwright_search::assignment::{Kind, placed_at_most, unplaced_at_least};
use rigwright_search::cover::{self, Cost, Row};

use super::hosts::{by_itself, most_amperes, passing, sockets_for, sockets_of, with_ideal_hosts};
use crate::power::allocate::instance::{self, Instance};
use crate::power::allocate::modules;
use crate::power::allocate::terms::Terms;
use crate::rig::{Device, DeviceId, Outlet, OutletRef, Power, Rig, ZeroVolt};

/// The covering problem of a catalogue: a column is a part, a demand what every set of supplies must have.
pub struct Covering {
    /// The demands, and what each part gives towards them.
    pub program: cover::Instance,
    /// Of each part, and last of what is there already, the sockets on which each part can hang.
    sockets: Vec<Vec<Vec<OutletRef>>>,
    /// Each part by itself, what is there already, then modules on feeders that give no more than some host does.
    hosts: Vec<Option<Instance>>,
    /// Of each module where it can hang, and which of `hosts` it is there.
    hung: Vec<Vec<(usize, usize)>>,
    /// Of each part the first that hangs on the same sockets.
    classes: Vec<usize>,
    /// Plugs of a part that passes on one of several voltages; which one is its host's affair.
    passing: Vec<Option<usize>>,
    /// What was worked out already: units fed by one of `hosts`.
    feeds: BTreeMap<(usize, Vec<usize>), usize>,
    /// What was worked out already: units fewer on a host for a module of a class.
    losses: BTreeMap<(usize, usize, Vec<usize>), usize>,
    /// Loose modules that are there already and can hang on a part.
    loose: Vec<usize>,
}

/// Kinds of units up to which every union of them gets a row.
const MOST_UNITED: usize = 7;

impl Covering {
    /// Without demands yet. `parts` are devices made of the catalogue's parts, `base` the rig with what is there already.
    pub fn of(
        base: &Rig,
        parts: &[Device],
        prices: &[Cost],
        units: &[&Device],
        terms: &Terms<'_>,
        allowance: &Allowance<'_>,
    ) -> Self {
        // A loose module that is there already may be hung on something; at best that is ideal.
        let loose: Vec<&Device> = modules::loose(base).iter().filter_map(|id| base.device(*id)).collect();
        let takes =
            |module: &Device| parts.iter().map(|part| !sockets_for(part, module, None, terms).is_empty()).collect();
        let takers: Vec<Vec<bool>> = loose.iter().map(|module| takes(module)).collect();
        let can_hang = loose
            .iter()
            .zip(&takers)
            .filter(|(module, takers)| takers.contains(&true) || !sockets_of(base, module, terms).is_empty());
        let ideal = with_ideal_hosts(base, &can_hang.map(|(module, _)| module.id).collect::<Vec<_>>());
        let on = |host: &Device| parts.iter().map(|module| sockets_for(host, module, None, terms)).collect();
        let mut sockets: Vec<Vec<Vec<OutletRef>>> = parts.iter().map(on).collect();
        sockets.push(parts.iter().map(|module| sockets_of(base, module, terms)).collect());
        let alone = parts.iter().map(|part| instance::build(&by_itself(part, None), units, terms));
        let mut hosts: Vec<Option<Instance>> = alone.collect();
        hosts.push((base.supplies().count() > 0).then(|| instance::build(&ideal, units, terms)).flatten());
        let mut hung = Vec::new();
        for (at, module) in parts.iter().enumerate() {
            let mut feeders: Vec<(Option<f64>, usize)> = vec![(None, at)];
            let mut places = Vec::new();
            for host in (0..sockets.len()).filter(|host| !sockets[*host][at].is_empty()) {
                let most = parts.get(host).and_then(|host| most_amperes(host, module, terms));
                let feeder = match feeders.iter().find(|(known, _)| *known == most) {
                    Some((_, feeder)) => *feeder,
                    None => {
                        hosts.push(instance::build(&by_itself(module, most), units, terms));
                        feeders.push((most, hosts.len() - 1));
                        hosts.len() - 1
                    }
                };
                places.push((host, feeder));
            }
            hung.push(places);
        }
        let looks = |it: &Instance| it.looks(terms.rules.pairs);
        allowance.take(hosts.iter().flatten().map(looks).sum());
        let like = |part: &Device| parts.iter().position(|other| other.power == part.power).unwrap_or_default();
        Self {
            program: cover::Instance {
                demands: Vec::new(),
                columns: vec![Vec::new(); parts.len()],
                costs: prices.to_vec(),
                most: vec![usize::MAX; parts.len()],
            },
            sockets,
            hosts,
            hung,
            classes: parts.iter().map(like).collect(),
            passing: parts.iter().map(|part| passing(part, terms)).collect(),
            loose: (0..parts.len()).map(|part| takers.iter().filter(|takers| takers[part]).count()).collect(),
            feeds: BTreeMap::new(),
            losses: BTreeMap::new(),
        }
    }

    /// States all demands. The units are all those that are there, and none is hopeless.
    pub fn demand(
        &mut self,
        base: &Rig,
        parts: &[Device],
        units: &[&Device],
        terms: &Terms<'_>,
        allowance: &Allowance<'_>,
    ) {
        self.modules(base, parts, terms);
        self.watts(base, parts, units, terms);
        self.units(allowance);
    }

    /// How many fewer of some units a host feeds at least for each of a module
    /// that hangs on it: what it loses of places by the socket that it needs
    /// least. As places count, each further socket lost costs no less.
    /// [textbook: the rank of a matroid is submodular]
    fn loss(&mut self, host: usize, module: usize, kinds: &[usize], allowance: &Allowance<'_>) -> usize {
        let kinds = self.within_reach(host, kinds);
        let class = self.classes[module];
        if let Some(known) = self.losses.get(&(host, class, kinds.clone())) {
            return *known;
        }
        let fed = self.feeds_at_most(host, &kinds, allowance);
        let loss = self.hosts[host].as_ref().map_or(0, |it| {
            let all = placed_at_most(&it.numbers, &kinds, None);
            // Where something else is scarcer than places, a socket may be idle anyway.
            if fed < all {
                return 0;
            }
            allowance.take((kinds.iter().sum::<usize>() * it.sockets.len()) as u64);
            let taken = |at: &usize| self.sockets[host][module].contains(&it.sockets[*at].outlet);
            let left =
                (0..it.sockets.len()).filter(taken).map(|at| placed_at_most(&it.numbers, &kinds, Some(at))).max();
            left.map_or(0, |left| all - left)
        });
        self.losses.insert((host, class, kinds), loss);
        loss
    }

    /// Counts of units without those that a part feeds in no way.
    fn within_reach(&self, part: usize, kinds: &[usize]) -> Vec<usize> {
        let Some(it) = &self.hosts[part] else { return vec![0; kinds.len()] };
        let within =
            |(kind, count): (&Kind, &usize)| if kind.singles.is_empty() && kind.pairs.is_empty() { 0 } else { *count };
        it.numbers.kinds.iter().zip(kinds).map(within).collect()
    }

    /// How many of some units one of a part feeds at most, by itself.
    pub fn feeds_at_most(&mut self, part: usize, kinds: &[usize], allowance: &Allowance<'_>) -> usize {
        let count: usize = kinds.iter().sum();
        if let Some(plugs) = self.passing.get(part).copied().flatten() {
            return plugs.min(count);
        }
        let kinds = self.within_reach(part, kinds);
        let Some(it) = &self.hosts[part] else { return 0 };
        if let Some(known) = self.feeds.get(&(part, kinds.clone())) {
            return *known;
        }
        // A count of who goes without takes a hundredth of what is left at the most.
        let fed = kinds.iter().sum::<usize>() - unplaced_at_least(&it.numbers, &kinds, &allowance.part(0.01));
        self.feeds.insert((part, kinds), fed);
        fed
    }

    /// How many more of some units are fed at most once a module hangs somewhere.
    fn adds_at_most(&mut self, module: usize, kinds: &[usize], allowance: &Allowance<'_>) -> f64 {
        let hung = self.hung[module].clone();
        let each = hung.into_iter().map(|(host, feeder)| {
            let feeder = if self.passing[module].is_some() { module } else { feeder };
            self.feeds_at_most(feeder, kinds, allowance) as f64 - self.loss(host, module, kinds, allowance) as f64
        });
        each.fold(f64::NEG_INFINITY, f64::max)
    }

    /// That so many units of these kinds are to be fed, as a demand. `kinds` are
    /// counts by the types of any of the instances, which are the same in all.
    pub fn row(&mut self, kinds: &[usize], allowance: &Allowance<'_>) -> Row {
        let count: usize = kinds.iter().sum();
        let parts = self.program.columns.len();
        let there = self.feeds_at_most(parts, kinds, allowance);
        let most = |part: usize| {
            if self.hung[part].is_empty() {
                self.feeds_at_most(part, kinds, allowance) as f64
            } else {
                self.adds_at_most(part, kinds, allowance)
            }
        };
        Row { demand: count.saturating_sub(there) as f64, gives: (0..parts).map(most).collect() }
    }

    /// How many of a part a set can have in which each of its boxes is needed: each
    /// feeds a unit, or has a module on it. A passive distributor has two at
    /// least, since one could be plugged in where the distributor is.
    pub fn most_of(&mut self, part: usize, device: &Device, allowance: &Allowance<'_>) -> usize {
        let types = self.types();
        let units: usize = types.iter().map(Vec::len).sum();
        let hosts = self.sockets[part].iter().any(|sockets| !sockets.is_empty());
        if hosts || self.passing[part].is_some() {
            return 3 * units;
        }
        let fed = (0..types.len()).filter(|kind| {
            let one: Vec<usize> = (0..types.len()).map(|other| usize::from(other == *kind)).collect();
            self.feeds_at_most(part, &one, allowance) > 0
        });
        let fed = fed.map(|kind| types[kind].len()).sum::<usize>() + self.loose[part];
        let passive = device.kind.supply().is_some_and(|supply| {
            let same = |outlet: &Outlet| {
                device.power.need().is_some_and(|need| outlet.connector == need.connector)
                    && outlet.zero_volt == ZeroVolt::Inlet
            };
            supply.passes && supply.outlets.iter().all(same)
        });
        if passive { fed / 2 } else { fed }
    }

    /// Whether a module can hang on a part.
    pub fn hosts(&self, part: usize, module: usize) -> bool {
        !self.sockets[part][module].is_empty()
    }

    /// Whether a loose module that is there already can.
    pub fn hosts_loose(&self, part: usize) -> bool {
        self.loose[part] > 0
    }

    /// The types of the units, and how many there are of each.
    pub fn types(&self) -> Vec<Vec<DeviceId>> {
        let some = self.hosts.iter().flatten().next();
        some.map_or_else(Vec::new, |it| it.types.iter().map(|kind| kind.units.clone()).collect())
    }

    /// Units that nothing feeds, not even alone.
    pub fn hopeless(&self) -> Vec<DeviceId> {
        let types = self.types();
        let fed = |kind: usize| {
            self.hosts.iter().flatten().any(|it| {
                let kind = &it.numbers.kinds[kind];
                !kind.singles.is_empty() || !kind.pairs.is_empty()
            })
        };
        (0..types.len()).filter(|kind| !fed(*kind)).flat_map(|kind| types[kind].clone()).collect()
    }

    /// A module has to hang on something: sockets that take it are as many as there are of it.
    fn modules(&mut self, base: &Rig, parts: &[Device], terms: &Terms<'_>) {
        let mut seen: Vec<&Power> = Vec::new();
        for module in parts.iter().filter(|part| matches!(part.power, Power::Low(_))) {
            if seen.contains(&&module.power) {
                continue;
            }
            seen.push(&module.power);
            let there = sockets_of(base, module, terms).len();
            self.program.demands.push(-(there as f64));
            for (column, part) in self.program.columns.iter_mut().zip(parts) {
                let takes = if part.power == module.power { 1.0 } else { 0.0 };
                column.push(sockets_for(part, module, None, terms).len() as f64 - takes);
            }
        }
    }

    /// What comes from the mains and batteries has to be enough for all units, and for what modules take themselves.
    fn watts(&mut self, base: &Rig, parts: &[Device], units: &[&Device], terms: &Terms<'_>) {
        let least = |unit: &&Device| {
            let ways = unit.power.need().map_or(&[][..], |need| &need.ways[..]);
            // Within its tolerance a way may be fed below its least voltage.
            let watts =
                ways.iter().map(|way| way.least.get() * (1.0 - terms.rules.headroom.tolerance) * way.running.get());
            watts.fold(f64::INFINITY, f64::min)
        };
        let wanted: f64 = units.iter().map(least).filter(|watts| watts.is_finite()).sum();
        let there: f64 = base.supplies().map(|(device, _)| source(device, terms)).filter(|watts| *watts > 0.0).sum();
        self.program.demands.push(wanted - there);
        for (column, part) in self.program.columns.iter_mut().zip(parts) {
            column.push(source(part, terms));
        }
    }

    /// Units that want the same of the catalogue, and unions of such groups.
    fn units(&mut self, allowance: &Allowance<'_>) {
        let types = self.types();
        let mut groups: Vec<(Vec<u64>, Vec<usize>)> = Vec::new();
        for kind in 0..types.len() {
            // What feeds one unit of the kind tells it from others.
            let mut signature = Vec::new();
            for it in self.hosts[..=self.program.columns.len()].iter().flatten() {
                let kind = &it.numbers.kinds[kind];
                let second = !kind.is_first();
                let marks = [second, kind.alone_in_group, kind.alone_in_slot, kind.sealed, kind.member.burdens()];
                signature.push(marks.iter().fold(0, |bits, mark| bits << 1 | u64::from(*mark)));
                signature.extend(kind.singles.iter().map(|s| 32 + ((s.slot as u64) << 8 | u64::from(s.mode))));
                signature.push(u64::from(!kind.pairs.is_empty()));
            }
            match groups.iter_mut().find(|(known, _)| *known == signature) {
                Some((_, kinds)) => kinds.push(kind),
                None => groups.push((signature, vec![kind])),
            }
        }
        let counts = |chosen: &dyn Fn(usize) -> bool| -> Vec<usize> {
            let mut counts = vec![0; types.len()];
            for (_, kinds) in groups.iter().enumerate().filter(|(at, _)| chosen(*at)).map(|(_, group)| group) {
                kinds.iter().for_each(|kind| counts[*kind] = types[*kind].len());
            }
            counts
        };
        let n = groups.len();
        let unions: Vec<Vec<usize>> = if n <= MOST_UNITED {
            (1..1_usize << n).map(|set| counts(&|at| set >> at & 1 == 1)).collect()
        } else {
            let ones = (0..n).map(|one| counts(&|at| at == one));
            let rests = (0..n).map(|one| counts(&|at| at != one));
            let twos = (0..n).flat_map(|a| (0..a).map(move |b| (a, b))).map(|(a, b)| counts(&|at| at == a || at == b));
            ones.chain(rests).chain(twos).chain([counts(&|_| true)]).collect()
        };
        for union in unions {
            // Each is necessary by itself, so those that there are no steps for are left out.
            if allowance.is_spent() {
                break;
            }
            let row = self.row(&union, allowance);
            self.program.add_row(row);
        }
        self.program.remove_implied_rows();
    }
}

/// What a supply gives to all others, in W; what a module takes for itself, below zero.
fn source(part: &Device, terms: &Terms<'_>) -> f64 {
    let Some(supply) = part.kind.supply() else { return 0.0 };
    if let Some(need) = part.power.need() {
        let own =
            need.ways.iter().map(|way| way.least.get() * (1.0 - terms.rules.headroom.tolerance) * way.running.get());
        return -own.fold(f64::INFINITY, f64::min).min(f64::MAX);
    }
    let strongest = |outlet: &Outlet| {
        let watts = outlet.settings.iter().map(|setting| setting.volts.get() * setting.limit.get());
        watts.fold(0.0, f64::max)
    };
    let outlets: f64 = supply.outlets.iter().map(strongest).sum();
    terms.most_used() * supply.total.map_or(outlets, |total| total.get().min(outlets))
}
