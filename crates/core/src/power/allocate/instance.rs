//! A question of allocation as plain numbers: units, sockets, and what they may share.

mod ways;

use std::collections::{BTreeMap, BTreeSet};

use rigwright_search::assignment::{self, Budget, Group, Kind, LAST_BIT, Mode, Placement, Slot};
use rigwright_search::matching::MOST_PLACES;

use self::ways::Ways;
pub use self::ways::is_series;
use super::modules;
use super::terms::Terms;
use crate::power::check::Load;
use crate::power::compatibility;
use crate::power::loads::{self, Flow};
use crate::power::question::Weight;
use crate::power::zero_volts::{Return, ZeroVolts};
use crate::rig::{Apart, Connector, Device, DeviceId, FeedFrom, Form, Need, OutletRef, Power, Rig, Supply, ZeroVolt};

/// A question of allocation in numbers, and what the numbers stand for.
///
/// A slot is a socket, a mode one of its settings, a group a 0 V, a kind a type
/// of units. Sizes are nA, steady what runs and peak what starts up; a budget is
/// a sum of watts, or of amperes at a module's inlet. An exclusive mode is an AC
/// winding, flipped are swapped poles, and sealed is positive ground. A way's
/// major cost is another voltage than now, its minor one an adapter, its amount
/// the µW.
#[derive(Debug, Clone)]
pub struct Instance {
    /// The numbers.
    pub numbers: assignment::Instance,
    /// What the kinds stand for.
    pub types: Vec<Type>,
    /// What the slots stand for.
    pub sockets: Vec<Socket>,
    /// Whether all sockets and pairs are there; past a number no board has, the rest is left out.
    pub whole: bool,
}

/// Units that are alike in all that matters, one after another in the rig's order.
#[derive(Debug, Clone)]
pub struct Type {
    /// Which units.
    pub units: Vec<DeviceId>,
    /// Modules: they take a socket, and have no part in a 0 V.
    pub module: bool,
    /// The voltage at which it runs now and is to stay, in mV; none where it doesn't matter.
    pub in_use: Option<i64>,
    /// What it is plugged in by.
    pub connector: Connector,
}

/// A socket that can feed units.
#[derive(Debug, Clone)]
pub struct Socket {
    pub outlet: OutletRef,
    pub connector: Connector,
    pub settings: Vec<Level>,
    /// The supply within which its maker allows it to be in parallel.
    parallel: Option<DeviceId>,
}

/// What a socket gives in one setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Level {
    pub volts: f64,
    pub no_load: f64,
    pub form: Form,
    /// Whether it may be set to that.
    pub may: bool,
}

/// A 0 V.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Domain {
    earthed: bool,
    /// In use as the upper end of a pair that feeds a module.
    blocked: bool,
}

/// Pairs that are looked at, of all types together.
const MOST_PAIRS: usize = 20_000;

impl Instance {
    /// Ways of plugging in, of all types together.
    pub fn size(&self) -> usize {
        self.numbers.size()
    }

    /// Looks at a way that it took to build it.
    pub fn looks(&self, pairs: bool) -> u64 {
        let levels = self.sockets.iter().map(|socket| socket.settings.len() as u64).sum::<u64>();
        // Of most pairs a glance at their voltages is enough.
        let pairs = if pairs { levels * levels / 4 } else { 0 };
        (self.size() as u64) + self.types.len() as u64 * (levels + pairs)
    }

    /// The plug that a unit of a type wants at the end of a lead from a socket, if that isn't the lead's own.
    pub fn plug(&self, kind: usize, socket: usize) -> Option<Connector> {
        let wanted = self.types[kind].connector;
        (wanted != self.sockets[socket].connector).then_some(wanted)
    }

    /// The volts of a socket in a setting, counted from 0.
    pub fn volts(&self, socket: usize, setting: u8) -> f64 {
        self.sockets[socket].settings[usize::from(setting)].volts
    }

    /// Where the lead begins that a placement stands for.
    pub fn source(&self, placement: &Placement) -> FeedFrom {
        let outlet = |slot: usize| self.sockets[slot].outlet;
        match placement {
            Placement::Single(_, single) => FeedFrom::One(outlet(single.slot)),
            Placement::Pair(_, pair) => {
                let (first, second) = (outlet(pair.first), outlet(pair.second));
                match is_series(pair) {
                    true => FeedFrom::Series { lower: first, upper: second },
                    false => FeedFrom::Parallel { first, second },
                }
            }
        }
    }
}

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
    let (mut sockets, mut slots) = (Vec::new(), Vec::new());
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
            let group = number(zero_volt, &mut domains);
            if sockets.len() == MOST_PLACES || group >= MOST_PLACES {
                whole = false;
                continue;
            }
            let (settings, modes) = builder.levels(at).into_iter().unzip();
            let budgets = builder.budgets_of(at);
            slots.push(Slot { modes, group, budgets, exchange: 0, symmetry: 0 });
            let parallel = outlet.parallel.then_some(device.id);
            sockets.push(Socket { outlet: at, connector: outlet.connector, settings, parallel });
        }
    }
    if builder.impossible {
        return None;
    }
    let (types, kinds) = types(units, terms, &volts(&sockets, rules.pairs)).into_iter().unzip();
    let mut instance = Instance {
        numbers: assignment::Instance {
            kinds,
            slots,
            groups: domains.iter().map(|domain| Group { closed: domain.blocked }).collect(),
            most_items: rules.most_plugs.max(1),
            mixes_colours: terms.mixes(),
            minds_mixed: terms.mixes() && rules.keep_apart == Weight::Wish,
            ease: compatibility::EASE,
            allows_excess: terms.allows_excess(),
            weighs_conflicts: terms.weighs_noise(),
            tight: builder.tight(&zero_volts),
            budgets: builder.budgets,
        },
        types,
        sockets,
        whole,
    };
    add_ways(&mut instance, units, terms, &domains);
    let exchange = exchanges(&instance, &domains, rules.across);
    instance.numbers.slots.iter_mut().zip(exchange).for_each(|(slot, exchange)| slot.exchange = exchange);
    instance.numbers.find_symmetries();
    Some(instance)
}

/// The ways in which units of each type can be plugged in.
fn add_ways(instance: &mut Instance, units: &[&Device], terms: &Terms<'_>, domains: &[Domain]) {
    let needs: Vec<Option<&Need>> = instance.types.iter().map(|kind| need_of(units, kind)).collect();
    let with_ways = |instance: &mut Instance, at: usize, add: &mut dyn FnMut(&Ways<'_>, &mut Kind) -> bool| {
        let (Some(need), in_use) = (needs[at], instance.types[at].in_use) else { return };
        let mut kind = std::mem::take(&mut instance.numbers.kinds[at]);
        let whole = add(&Ways { need, in_use, terms, instance, domains }, &mut kind);
        instance.whole &= whole;
        instance.numbers.kinds[at] = kind;
    };
    for at in 0..instance.types.len() {
        with_ways(instance, at, &mut |ways, kind| {
            kind.singles = ways.singles();
            true
        });
    }
    // Who has no other way comes first, for there is an end to their number.
    let mut order: Vec<usize> = (0..instance.types.len()).filter(|_| terms.rules.pairs).collect();
    order.sort_by_key(|at| !instance.numbers.kinds[*at].singles.is_empty());
    let mut room = MOST_PAIRS;
    for at in order {
        with_ways(instance, at, &mut |ways, kind| {
            let pairs = ways.pairs(&kind.singles, room);
            let fit = pairs.is_some();
            kind.pairs = pairs.unwrap_or_default();
            room -= kind.pairs.len();
            fit
        });
    }
}

fn need_of<'a>(units: &[&'a Device], kind: &Type) -> Option<&'a Need> {
    units.iter().find(|unit| unit.id == kind.units[0])?.power.need()
}

impl Builder<'_> {
    fn levels(&self, at: OutletRef) -> Vec<(Level, Mode)> {
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
            let mode = Mode {
                steady: nano(limit * self.terms.most_used()),
                easy: nano(limit * self.terms.easily_used()),
                peak: nano(limit),
                factor: volts,
                quality: milli(volts) as u64 * 4 + setting.form as u64,
                exclusive: setting.form == Form::Alternating,
            };
            (Level { volts, no_load, form: setting.form, may }, mode)
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
        let budget = Budget { steady: running, peak: limit - taken.1, easy };
        self.impossible |= budget.steady < -LAST_BIT || budget.peak < -LAST_BIT;
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

/// A number for each socket: of those that differ in more than the numbers of an instance say, another.
fn exchanges(it: &Instance, domains: &[Domain], across: bool) -> Vec<usize> {
    // One that can be in a pair stands for those of its own box only, if a pair is of one box.
    let mut bound = vec![None; it.sockets.len()];
    for pair in it.numbers.kinds.iter().flat_map(|kind| &kind.pairs).filter(|_| !across) {
        for at in [pair.first, pair.second] {
            bound[at] = Some(it.sockets[at].outlet.supply);
        }
    }
    let alike = |a: usize, b: usize| {
        let earthed = |at: usize| domains[it.numbers.slots[at].group].earthed;
        let (one, other) = (&it.sockets[a], &it.sockets[b]);
        one.settings == other.settings
            && one.connector == other.connector
            && one.parallel == other.parallel
            && bound[a] == bound[b]
            && earthed(a) == earthed(b)
    };
    (0..it.sockets.len()).map(|at| (0..at).find(|before| alike(at, *before)).unwrap_or(at)).collect()
}

/// `volts` are all that sockets can give, in mV.
fn types(units: &[&Device], terms: &Terms<'_>, volts: &BTreeSet<i64>) -> Vec<(Type, Kind)> {
    let rules = terms.rules;
    let mut types: Vec<(&Need, Type, Kind)> = Vec::new();
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
        let kind = Kind {
            aside: module,
            member: compatibility::under(compatibility::member(unit, need), rules),
            alone_in_slot: alone || module || rules.own_outlet.contains(&unit.id),
            alone_in_group: alone,
            strict: held && need.apart == Apart::OtherKind,
            sealed: need.positive_ground,
            shares_exclusive: need.shares_winding,
            ..Kind::default()
        };
        let alike = |(known, other, numbers): &&mut (&Need, Type, Kind)| {
            let marks = |kind: &Kind| (kind.aside, kind.member, kind.alone_in_slot, kind.alone_in_group);
            *known == need && other.in_use == in_use && marks(numbers) == marks(&kind)
        };
        match types.iter_mut().find(alike) {
            Some((_, known, _)) => known.units.push(unit.id),
            None => {
                let exchange =
                    |(_, other, _): &(&Need, Type, Kind)| other.in_use == in_use && other.connector == need.connector;
                let exchange = types.iter().position(exchange).unwrap_or(types.len());
                let (units, connector) = (vec![unit.id], need.connector);
                types.push((need, Type { units, module, in_use, connector }, Kind { exchange, ..kind }));
            }
        }
    }
    types.into_iter().map(|(_, kind, numbers)| (kind, numbers)).collect()
}
