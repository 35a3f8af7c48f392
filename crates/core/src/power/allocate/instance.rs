//! A question of allocation as plain numbers: units, sockets, and what they may share.

mod ways;

use self::ways::Ways;
use std::collections::{BTreeMap, BTreeSet};

use super::matching::MOST_PLACES;
use super::modules;
use super::terms::Terms;
use crate::power::check::Load;
use crate::power::company::Guest;
use crate::power::loads::{self, Flow};
use crate::power::question::Weight;
use crate::power::zero_volts::{Return, ZeroVolts};
use crate::rig::{Apart, Connector, Device, DeviceId, FeedFrom, Form, Need, OutletRef, Power, Rig, Supply, ZeroVolt};

/// Units that are alike in all that matters, one after another in the rig's order.
#[derive(Debug, Clone)]
pub struct Type {
    /// Which units.
    pub units: Vec<DeviceId>,
    /// The ways onto one socket.
    pub singles: Vec<Single>,
    /// The ways onto two.
    pub pairs: Vec<Pair>,
    /// Modules: they take a socket, and have no part in a 0 V.
    pub module: bool,
    /// What it is to others on its 0 V.
    pub guest: Guest,
    /// Never on a daisy lead.
    pub solo: bool,
    /// With a 0 V of its own.
    pub alone: bool,
    /// Never on a 0 V with the other kind, digital or analogue.
    pub apart: bool,
    /// On one lead with its like alone, and nothing else on that 0 V.
    pub positive_ground: bool,
    /// May be on an AC winding that others are on.
    pub shares_winding: bool,
    /// The voltage at which it runs now and is to stay, in mV; none where it doesn't matter.
    pub in_use: Option<i64>,
    /// Types that a unit of this one could stand in for wherever they are, for no more.
    pub heavier: Vec<usize>,
}

/// One way of plugging a unit into one socket.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Single {
    pub socket: usize,
    /// Which setting, from 0.
    pub setting: u8,
    pub swap: bool,
    pub plug: Option<Connector>,
    /// At another voltage than now.
    pub changed: bool,
    pub draw: Draw,
}

/// One way of plugging a unit into two sockets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    pub series: bool,
    /// The lower one of a series pair, whose 0 V is the unit's.
    pub first: usize,
    pub second: usize,
    pub settings: (u8, u8),
    pub swap: bool,
    pub plug: Option<Connector>,
    /// At another voltage than now.
    pub changed: bool,
    pub draw: Draw,
    /// The part of the current in each socket.
    pub shares: (f64, f64),
}

/// What a unit draws in a way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Draw {
    /// nA
    pub running: i64,
    /// nA
    pub start_up: i64,
    /// µW
    pub microwatts: u64,
}

/// A socket that can feed units.
#[derive(Debug, Clone)]
pub struct Socket {
    pub outlet: OutletRef,
    pub settings: Vec<Level>,
    pub domain: usize,
    /// What it counts against: which budget, and how much of it a watt takes.
    pub budgets: Vec<(usize, f64)>,
    /// Sockets of one class can stand for each other.
    pub class: usize,
}

/// What a socket gives in one setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    pub volts: f64,
    pub no_load: f64,
    pub form: Form,
    /// Whether it may be set to that.
    pub may: bool,
    /// What may run on it, nA.
    pub usable: i64,
    /// What may run on it with headroom to spare, nA.
    pub easy: i64,
    /// Its rating, nA.
    pub limit: i64,
}

/// A sum that may not be passed: of watts, or of amperes at a module's inlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Budget {
    pub running: f64,
    pub start_up: f64,
    /// What may run on it with headroom to spare; below zero where modules alone take more.
    pub easy: f64,
}

/// A 0 V.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Domain {
    pub earthed: bool,
    /// In use as the upper end of a pair that feeds a module.
    pub blocked: bool,
}

/// Pairs that are looked at, of all types together.
const MOST_PAIRS: usize = 20_000;

/// The whole question.
#[derive(Debug, Clone)]
pub struct Instance {
    pub types: Vec<Type>,
    pub sockets: Vec<Socket>,
    pub domains: Vec<Domain>,
    pub budgets: Vec<Budget>,
    pub most_plugs: u8,
    /// Whether digital and analogue units may hang on one lead.
    pub mixes: bool,
    /// Whether leads on which they do count as noisy.
    pub minds_mixed: bool,
    /// Whether a 0 V may have more gain on it than is quiet.
    pub crowds: bool,
    /// Whether anything noisy is there to be counted.
    pub weighs_noise: bool,
    /// Outlets, groups and supplies that modules alone load more than the headroom allows.
    pub tight: u32,
    /// Whether all sockets and pairs are there; past a number no board has, the rest is left out.
    pub whole: bool,
}

impl Instance {
    /// Ways of plugging in, of all types together.
    pub fn size(&self) -> usize {
        self.types.iter().map(|kind| kind.singles.len() + kind.pairs.len()).sum()
    }

    /// Looks at a way that it took to build it.
    pub fn looks(&self, pairs: bool) -> u64 {
        let levels = self.sockets.iter().map(|socket| socket.settings.len() as u64).sum::<u64>();
        // Of most pairs a glance at their voltages is enough.
        let pairs = if pairs { levels * levels / 4 } else { 0 };
        (self.size() as u64) + self.types.len() as u64 * (levels + pairs)
    }

    /// Types of like company that can be nowhere where this one couldn't, drawing less somewhere.
    fn heavier_than(&self, light: &Type) -> Vec<usize> {
        let company = |kind: &Type| {
            let own = (kind.solo, kind.alone, kind.positive_ground, kind.shares_winding);
            (kind.module, kind.guest, kind.apart, own, kind.in_use)
        };
        let single = |a: &Single, b: &Single| Single { draw: b.draw, ..*a } == *b && a.draw.is_within(&b.draw);
        let pair = |a: &Pair, b: &Pair| Pair { draw: b.draw, ..*a } == *b && a.draw.is_within(&b.draw);
        let covers = |light: &Type, heavy: &Type| {
            // Both stand in one order, so one walk over both finds all that is in both.
            let (mut singles, mut pairs) = (light.singles.iter(), light.pairs.iter());
            heavy.singles.iter().all(|there| singles.any(|own| single(own, there)))
                && heavy.pairs.iter().all(|there| pairs.any(|own| pair(own, there)))
        };
        let is_heavier =
            |heavy: &Type| company(light) == company(heavy) && covers(light, heavy) && !covers(heavy, light);
        (0..self.types.len()).filter(|at| is_heavier(&self.types[*at])).collect()
    }
}

impl Socket {
    /// The watts of a part of a current, in nA, as the socket is set.
    pub fn watts(&self, setting: u8, current: i64, part: f64) -> f64 {
        self.settings[usize::from(setting)].volts * current as f64 * 1e-9 * part
    }
}

impl Draw {
    fn is_within(&self, other: &Self) -> bool {
        self.running <= other.running && self.start_up <= other.start_up && self.microwatts <= other.microwatts
    }
}

/// A sum that equals its limit on paper is within it.
pub const LAST_BIT: f64 = 1e-9;

fn nano(amperes: f64) -> i64 {
    (amperes * 1e9).round() as i64
}

/// A voltage in V in mV.
pub fn milli(volts: f64) -> i64 {
    (volts * 1e3).round() as i64
}

/// Where a budget comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Source {
    Total(DeviceId),
    Group(DeviceId, ZeroVolt),
    Inlet(OutletRef),
}

struct Builder<'a> {
    rig: &'a Rig,
    flow: Flow,
    terms: &'a Terms<'a>,
    budgets: Vec<Budget>,
    index: BTreeMap<Source, usize>,
    /// Some module can't even idle.
    impossible: bool,
}

/// Builds it from a rig in which only modules are fed. None if some module can't be as it is fed.
pub fn build(rig: &Rig, units: &[&Device], terms: &Terms<'_>) -> Option<Instance> {
    let rules = terms.rules;
    let tolerance = rules.headroom.tolerance;
    let flow = loads::flow(rig, tolerance);
    if !rig.feeds.iter().all(|feed| modules::is_right(rig, feed, &flow, tolerance)) {
        return None;
    }
    let zero_volts = ZeroVolts::of(rig);
    let mut builder = Builder { rig, flow, terms, budgets: Vec::new(), index: BTreeMap::new(), impossible: false };
    let mut domains: Vec<Domain> = Vec::new();
    let mut numbers: BTreeMap<Return, usize> = BTreeMap::new();
    let mut number = |zero_volt: Return, domains: &mut Vec<Domain>| {
        *numbers.entry(zero_volt).or_insert_with(|| {
            domains.push(Domain { earthed: zero_volts.is_earthed(zero_volt), blocked: false });
            domains.len() - 1
        })
    };
    for feed in &rig.feeds {
        if let FeedFrom::Series { upper, .. } = feed.from
            && let Some(zero_volt) = zero_volts.of_outlet(rig, upper)
        {
            let at = number(zero_volt, &mut domains);
            domains[at].blocked = true;
        }
    }
    let mut whole = true;
    let mut sockets = Vec::new();
    let mut details = Vec::new();
    for (device, supply) in rig.supplies() {
        if !builder.flow.fed.get(&device.id).copied().unwrap_or(false) || supply.efficiency.get() <= 0.0 {
            continue;
        }
        for (count, outlet) in (1..=u8::MAX).zip(&supply.outlets) {
            let at = OutletRef::new(device.id, count);
            if rig.feed_from(at).is_some() {
                continue;
            }
            let Some(zero_volt) = zero_volts.of_outlet(rig, at) else { continue };
            let domain = number(zero_volt, &mut domains);
            if sockets.len() == MOST_PLACES || domain >= MOST_PLACES {
                whole = false;
                continue;
            }
            let settings = builder.levels(at);
            let budgets = builder.budgets_of(at);
            sockets.push(Socket { outlet: at, settings, domain, budgets, class: 0 });
            details.push((outlet.connector, outlet.parallel.then_some(device.id)));
        }
    }
    if builder.impossible {
        return None;
    }
    let connectors: Vec<Connector> = details.iter().map(|(connector, _)| *connector).collect();
    let parallel: Vec<Option<DeviceId>> = details.iter().map(|(_, parallel)| *parallel).collect();
    let mut instance = Instance {
        types: types(units, terms, &volts(&sockets, rules.pairs)),
        sockets,
        domains,
        most_plugs: rules.most_plugs.max(1),
        mixes: terms.mixes(),
        minds_mixed: terms.mixes() && rules.keep_apart == Weight::Wish,
        crowds: terms.crowds(),
        weighs_noise: terms.weighs_noise(),
        tight: builder.tight(&zero_volts),
        budgets: builder.budgets,
        whole,
    };
    let needs: Vec<Option<&Need>> = instance.types.iter().map(|kind| need_of(units, kind)).collect();
    let (connectors, parallel) = (connectors.as_slice(), parallel.as_slice());
    let with_ways = |instance: &mut Instance, at: usize, add: &mut dyn FnMut(&Ways<'_>, &mut Type) -> bool| {
        let (Some(need), in_use) = (needs[at], instance.types[at].in_use) else { return };
        let mut kind = instance.types[at].clone();
        let whole = add(&Ways { need, in_use, terms, instance, connectors, parallel }, &mut kind);
        instance.whole &= whole;
        instance.types[at] = kind;
    };
    for at in 0..instance.types.len() {
        with_ways(&mut instance, at, &mut |ways, kind| {
            kind.singles = ways.singles();
            true
        });
    }
    // Who has no other way comes first, for there is an end to their number.
    let mut order: Vec<usize> = (0..instance.types.len()).filter(|_| rules.pairs).collect();
    order.sort_by_key(|at| !instance.types[*at].singles.is_empty());
    let mut room = MOST_PAIRS;
    for at in order {
        with_ways(&mut instance, at, &mut |ways, kind| {
            let pairs = ways.pairs(&kind.singles, room);
            let fit = pairs.is_some();
            kind.pairs = pairs.unwrap_or_default();
            room -= kind.pairs.len();
            fit
        });
    }
    classify(&mut instance, &details, rules.across);
    let heavier: Vec<Vec<usize>> = instance.types.iter().map(|light| instance.heavier_than(light)).collect();
    instance.types.iter_mut().zip(heavier).for_each(|(kind, heavier)| kind.heavier = heavier);
    Some(instance)
}

fn need_of<'a>(units: &[&'a Device], kind: &Type) -> Option<&'a Need> {
    units.iter().find(|unit| unit.id == kind.units[0])?.power.need()
}

impl Builder<'_> {
    fn levels(&self, at: OutletRef) -> Vec<Level> {
        let Some(device) = self.rig.device(at.supply) else { return Vec::new() };
        let (Some(supply), Some(outlet)) = (device.kind.supply(), self.rig.outlet(at)) else { return Vec::new() };
        let level = |(position, setting): (usize, &crate::rig::Setting)| {
            let (volts, no_load) = if supply.passes {
                let known = |table: &BTreeMap<OutletRef, Option<f64>>| table.get(&at).copied().flatten();
                (known(&self.flow.nominal).unwrap_or(0.0), known(&self.flow.no_load).unwrap_or(0.0))
            } else {
                (setting.volts.get(), setting.no_load.unwrap_or(setting.volts).get())
            };
            let may = self.terms.rules.selectors || position + 1 == usize::from(outlet.chosen);
            let limit = if may { setting.limit.get() } else { 0.0 };
            let (most, easy) = (nano(limit * self.terms.most_used()), nano(limit * self.terms.easily_used()));
            Level { volts, no_load, form: setting.form, may, usable: most, easy, limit: nano(limit) }
        };
        outlet.settings.iter().enumerate().map(level).collect()
    }

    /// What a watt at an outlet counts against.
    fn budgets_of(&mut self, at: OutletRef) -> Vec<(usize, f64)> {
        let (mut found, mut here) = (BTreeMap::new(), BTreeMap::from([(at, 1.0)]));
        // What two ways bring to one outlet goes on from there as one.
        for _ in 0..=self.rig.devices.len() {
            let mut above = BTreeMap::new();
            for (at, watts) in here {
                self.climb(at, watts, &mut found, &mut above);
            }
            here = above;
        }
        found.into_iter().collect()
    }

    /// Counts what an outlet gives, and what its supply takes of those above.
    fn climb(
        &mut self,
        at: OutletRef,
        watts: f64,
        found: &mut BTreeMap<usize, f64>,
        above: &mut BTreeMap<OutletRef, f64>,
    ) {
        let rig = self.rig;
        let Some(device) = rig.device(at.supply) else { return };
        let Some(supply) = device.kind.supply() else { return };
        let zero_volt = rig.outlet(at).map(|outlet| outlet.zero_volt);
        for group in supply.groups.iter().filter(|group| Some(group.zero_volt) == zero_volt) {
            let index = self.budget(Source::Group(device.id, group.zero_volt), group.limit.get());
            *found.entry(index).or_default() += watts;
        }
        if let Some(total) = supply.total {
            let index = self.budget(Source::Total(device.id), total.get());
            *found.entry(index).or_default() += watts;
        }
        let (Power::Low(_), Some(feed)) = (&device.power, rig.feed_to(device.id)) else { return };
        let Some(volts) = self.flow.source(feed.from, &self.flow.nominal).filter(|volts| *volts > 0.0) else { return };
        let amperes = watts / supply.efficiency.get() / volts;
        for (outlet, part) in loads::shares(rig, feed.from) {
            let limit = rig.outlet(outlet).and_then(|there| there.setting()).map_or(0.0, |s| s.limit.get());
            let index = self.budget(Source::Inlet(outlet), limit);
            *found.entry(index).or_default() += amperes * part;
            let volts = self.flow.nominal.get(&outlet).copied().flatten().unwrap_or(0.0);
            *above.entry(outlet).or_default() += volts * amperes * part;
        }
    }

    /// A budget, less what modules take of it for themselves.
    fn budget(&mut self, source: Source, limit: f64) -> usize {
        if let Some(index) = self.index.get(&source) {
            return *index;
        }
        let supply = match source {
            Source::Total(id) | Source::Group(id, _) => id,
            Source::Inlet(outlet) => outlet.supply,
        };
        let mut taken = (0.0, 0.0);
        for (outlet, load) in self.flow.outlets.iter().filter(|(outlet, _)| outlet.supply == supply) {
            let counts = match source {
                Source::Total(_) => true,
                Source::Group(_, zero_volt) => self.rig.outlet(*outlet).is_some_and(|o| o.zero_volt == zero_volt),
                Source::Inlet(inlet) => inlet == *outlet,
            };
            let volts = match source {
                Source::Inlet(_) => 1.0,
                _ => self.flow.nominal.get(outlet).copied().flatten().unwrap_or(0.0),
            };
            if counts {
                taken = (taken.0 + volts * load.0, taken.1 + volts * load.1);
            }
        }
        let of = |part: f64| limit * part - taken.0;
        let (running, easy) = (of(self.terms.most_used()), of(self.terms.easily_used()));
        let budget = Budget { running, start_up: limit - taken.1, easy };
        self.impossible |= budget.running < -LAST_BIT || budget.start_up < -LAST_BIT;
        self.budgets.push(budget);
        self.index.insert(source, self.budgets.len() - 1);
        self.budgets.len() - 1
    }

    /// Places that carry more than the headroom allows before any unit is there.
    fn tight(&self, zero_volts: &ZeroVolts) -> u32 {
        let easy = self.terms.easily_used();
        if self.rig.feeds.is_empty() || self.terms.most_used() <= easy {
            return 0;
        }
        let over = |load: &Load| load.limit.is_some_and(|limit| load.running > limit * easy + LAST_BIT);
        let of = |(device, supply): (&Device, &Supply)| {
            let figures = loads::supply_check(self.rig, device, supply, &self.flow, zero_volts);
            let outlets = figures.outlets.iter().map(|outlet| outlet.load);
            let loads = outlets.chain(figures.groups.iter().map(|group| group.load)).chain([figures.total]);
            loads.filter(over).count() as u32
        };
        self.rig.supplies().map(of).sum()
    }
}

/// What sockets can give by themselves or as pairs in series, in mV.
fn volts(sockets: &[Socket], pairs: bool) -> BTreeSet<i64> {
    let levels = sockets.iter().flat_map(|socket| &socket.settings).filter(|level| level.may);
    let alone: BTreeSet<i64> = levels.map(|level| milli(level.volts)).collect();
    let sums = alone.iter().flat_map(|a| alone.iter().map(move |b| a + b)).filter(|_| pairs);
    alone.iter().copied().chain(sums).collect()
}

/// Sockets can stand for each other if all about them is the same, and either
/// they share a 0 V or each has one that nothing else has.
fn classify(it: &mut Instance, details: &[(Connector, Option<DeviceId>)], across: bool) {
    let mut members = vec![0_usize; it.domains.len()];
    for socket in &it.sockets {
        members[socket.domain] += 1;
    }
    // One that can be in a pair stands for those of its own box only, if a pair is of one box.
    let mut bound = vec![None; it.sockets.len()];
    for pair in it.types.iter().flat_map(|kind| &kind.pairs).filter(|_| !across) {
        for at in [pair.first, pair.second] {
            bound[at] = Some(it.sockets[at].outlet.supply);
        }
    }
    let mut firsts: Vec<usize> = Vec::new();
    for at in 0..it.sockets.len() {
        let alike = |other: usize| {
            let (a, b) = (&it.sockets[at], &it.sockets[other]);
            let single = |socket: &Socket| members[socket.domain] == 1;
            let domain =
                a.domain == b.domain || (single(a) && single(b) && it.domains[a.domain] == it.domains[b.domain]);
            domain
                && a.settings == b.settings
                && a.budgets == b.budgets
                && details[at] == details[other]
                && bound[at] == bound[other]
        };
        let class = firsts.iter().position(|first| alike(*first));
        it.sockets[at].class = class.unwrap_or_else(|| {
            firsts.push(at);
            firsts.len() - 1
        });
    }
}

/// `volts` are all that sockets can give, in mV.
fn types(units: &[&Device], terms: &Terms<'_>, volts: &BTreeSet<i64>) -> Vec<Type> {
    let rules = terms.rules;
    let mut types: Vec<(&Need, Type)> = Vec::new();
    for unit in units {
        let Some(need) = unit.power.need() else { continue };
        let module = unit.kind.supply().is_some();
        let held = terms.keeps_apart(need);
        let alone = rules.isolated.contains(&unit.id) || (held && need.apart == Apart::Everybody);
        // Where all that it can run at is what it runs at now, it is like one that runs at nothing.
        let takes = |volts: i64| {
            let tolerance = rules.headroom.tolerance;
            need.ways.iter().any(|way| way.takes(volts as f64 * 1e-3, tolerance))
        };
        let in_use = terms.in_use.get(&unit.id).copied();
        let in_use = in_use.filter(|now| volts.iter().any(|other| terms.is_other(*now, *other) && takes(*other)));
        let kind = Type {
            units: Vec::new(),
            singles: Vec::new(),
            pairs: Vec::new(),
            module,
            guest: Guest::of(unit, need).under(rules),
            solo: alone || module || rules.own_outlet.contains(&unit.id),
            alone,
            apart: held && need.apart == Apart::OtherKind,
            positive_ground: need.positive_ground,
            shares_winding: need.shares_winding,
            in_use,
            heavier: Vec::new(),
        };
        let alike = |(known, other): &&mut (&Need, Type)| {
            let marks = |kind: &Type| (kind.module, kind.guest, kind.solo, kind.alone, kind.in_use);
            *known == need && marks(other) == marks(&kind)
        };
        match types.iter_mut().find(alike) {
            Some((_, known)) => known.units.push(unit.id),
            None => types.push((need, Type { units: vec![unit.id], ..kind })),
        }
    }
    types.into_iter().map(|(_, kind)| kind).collect()
}
