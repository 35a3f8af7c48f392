//! A question of allocation as plain numbers: units, sockets, and what they may share.

mod builder;
mod types;
mod ways;

use std::collections::BTreeMap;

use rigwright_search::assignment::{self, Group, Kind, Placement, Slot};
use rigwright_search::matching::MOST_PLACES;

use self::builder::Builder;
use self::ways::Ways;
pub use self::ways::is_series;
use super::modules;
use super::terms::Terms;
use crate::power::compatibility;
use crate::power::loads;
use crate::power::question::Weight;
use crate::power::zero_volts::{Return, ZeroVolts};
use crate::rig::{Connector, Device, DeviceId, FeedFrom, Form, Need, OutletRef, Rig};

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

/// Builds it from a rig in which only modules are fed. None if some module can't be as it is fed.
pub fn build(rig: &Rig, units: &[&Device], terms: &Terms<'_>) -> Option<Instance> {
    let rules = terms.rules;
    let tolerance = rules.headroom.tolerance;
    let flow = loads::flow(rig, tolerance);
    if !rig.feeds.iter().all(|feed| modules::is_right(rig, feed, &flow, tolerance)) {
        return None;
    }
    let zero_volts = ZeroVolts::of(rig);
    let mut builder = Builder::of(rig, flow, terms);
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
    let (types, kinds) = types::types(units, terms, &types::volts(&sockets, rules.pairs)).into_iter().unzip();
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
