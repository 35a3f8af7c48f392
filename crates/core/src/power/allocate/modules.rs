//! Where modules hang that nobody has plugged in yet: every way of it that differs.

use rigwright_search::Allowance;

use crate::power::loads;
use crate::rig::{Connector, Device, DeviceId, Feed, FeedId, Kind, OutletRef, Power, Rig};

/// A rig in which only modules are fed, as drawn; one that is fed wrongly is unplugged.
pub fn skeleton(rig: &Rig, tolerance: f64) -> Rig {
    let is_module = |id: DeviceId| rig.device(id).is_some_and(|device| device.kind.supply().is_some());
    let mut bare = Rig { devices: rig.devices.clone(), ..Rig::default() };
    for feed in &rig.feeds {
        let mut feed = feed.clone();
        feed.taps.retain(|tap| is_module(tap.device));
        if !feed.taps.is_empty() {
            bare.feeds.push(feed);
        }
    }
    // What hangs on an unplugged one is without power, which is not wrong.
    let flow = loads::flow(&bare, tolerance);
    let wrong: Vec<FeedId> =
        bare.feeds.iter().filter(|feed| !is_right(&bare, feed, &flow, tolerance)).map(|feed| feed.id).collect();
    bare.feeds.retain(|feed| !wrong.contains(&feed.id));
    bare
}

/// Whether each module on a feed gets what it takes, also with nothing on its supply, or nothing at all.
pub fn is_right(rig: &Rig, feed: &Feed, flow: &loads::Flow, tolerance: f64) -> bool {
    let no_load = flow.source(feed.from, &flow.no_load);
    feed.taps.iter().zip(flow.of(feed)).all(|(tap, at)| {
        let Some(device) = rig.device(tap.device).filter(|device| device.kind.supply().is_some()) else { return true };
        let way = at.way.and_then(|at| device.power.need()?.ways.get(at));
        at.nominal.is_none() || way.is_some_and(|way| no_load.is_none_or(|volts| way.takes(volts, tolerance)))
    })
}

/// The modules that no lead feeds.
pub fn loose(rig: &Rig) -> Vec<DeviceId> {
    let is_module = |device: &&Device| matches!((&device.kind, &device.power), (Kind::Supply(_), Power::Low(_)));
    let unfed = |device: &&Device| rig.feed_to(device.id).is_none();
    rig.devices.iter().filter(is_module).filter(unfed).map(|device| device.id).collect()
}

/// Plugs a module in, its host's outlet set as it wants it.
pub fn hang(rig: &mut Rig, module: DeviceId, outlet: OutletRef, setting: u8) {
    set(rig, outlet, setting);
    rig.feeds.push(Feed::straight(FeedId(u64::MAX - module.0), outlet, module));
}

/// Sets an outlet, and answers how it was set before.
fn set(rig: &mut Rig, outlet: OutletRef, position: u8) -> u8 {
    let supply = rig.devices.iter_mut().find(|device| device.id == outlet.supply);
    let Some(Kind::Supply(supply)) = supply.map(|device| &mut device.kind) else { return position };
    let there = usize::from(outlet.outlet).checked_sub(1).and_then(|at| supply.outlets.get_mut(at));
    there.map_or(position, |there| std::mem::replace(&mut there.chosen, position))
}

/// Whether loose modules may be hung on a supply: not on one that is fed by a plain plug itself.
pub fn may_host(supply: &Device) -> bool {
    supply.power.need().is_none_or(|need| need.connector == Connector::Link)
}

/// Calls `see` with the rig in each way of plugging the loose modules in, one
/// socket each, until it answers false; with all of them first. Each may also
/// stay loose, but for those that `must` hang somewhere. Ways that differ only in which
/// of two like sockets is used are seen once. A module that is fed by a plain
/// plug feeds no other module then: rows of them mostly lose power, though now
/// and then one would feed a unit more.
/// Answers whether that were all: not so if the allowance was spent before. A
/// first way is always looked for.
pub fn each_hookup(
    rig: &Rig,
    hanging: &Hanging<'_>,
    allowance: &Allowance<'_>,
    see: &mut dyn FnMut(&Rig) -> bool,
) -> bool {
    let Hanging { must, tolerance, selectors } = *hanging;
    let mut hookups = Hookups { rig: rig.clone(), loose: loose(rig), must, tolerance, selectors, allowance };
    hookups.from(0, see)
}

/// How loose modules may hang.
#[derive(Clone, Copy)]
pub struct Hanging<'a> {
    /// Which must hang somewhere.
    pub must: &'a dyn Fn(DeviceId) -> bool,
    pub tolerance: f64,
    /// Whether outlets may be set to another voltage.
    pub selectors: bool,
}

struct Hookups<'a> {
    rig: Rig,
    loose: Vec<DeviceId>,
    must: &'a dyn Fn(DeviceId) -> bool,
    tolerance: f64,
    selectors: bool,
    allowance: &'a Allowance<'a>,
}

impl Hookups<'_> {
    /// False once `see` has had enough.
    fn from(&mut self, at: usize, see: &mut dyn FnMut(&Rig) -> bool) -> bool {
        let Some(module) = self.loose.get(at).copied() else {
            return see(&self.rig);
        };
        // Like modules stand in the order of their hosts, or the same way would be seen several times.
        let floor = self.host_of_like(at);
        let mut seen: Vec<Signature> = Vec::new();
        for (outlet, setting) in self.sockets(module) {
            let on_loose = |outlet: OutletRef| self.loose.contains(&outlet.supply);
            if floor.is_some_and(|floor| outlet < floor && !on_loose(floor) && !on_loose(outlet)) {
                continue;
            }
            if !seen.is_empty() && self.allowance.is_spent() {
                return false;
            }
            self.allowance.take(self.looks(outlet));
            let signature = self.signature(outlet, setting);
            if seen.contains(&signature) {
                continue;
            }
            seen.push(signature);
            let before = set(&mut self.rig, outlet, setting);
            self.rig.feeds.push(Feed::straight(FeedId(u64::MAX - at as u64), outlet, module));
            let goes_on = self.from(at + 1, see);
            self.rig.feeds.pop();
            set(&mut self.rig, outlet, before);
            if !goes_on {
                return false;
            }
        }
        if (self.must)(module) { true } else { self.from(at + 1, see) }
    }

    /// What it takes to tell a socket from others, in steps: its supply's are gone through for each of them.
    fn looks(&self, outlet: OutletRef) -> u64 {
        let supply = self.rig.device(outlet.supply).and_then(|device| device.kind.supply());
        let outlets = supply.map_or(0, |supply| supply.outlets.len());
        (outlets * outlets / 4 + self.rig.feeds.len()) as u64
    }

    /// Where the module before this one hangs, if it is the same in all but its name.
    fn host_of_like(&self, at: usize) -> Option<OutletRef> {
        let before = *self.loose.get(at.checked_sub(1)?)?;
        let (a, b) = (self.rig.device(before)?, self.rig.device(self.loose[at])?);
        let alike = a.kind == b.kind && a.power == b.power;
        let feed = self.rig.feed_to(before).filter(|_| alike)?;
        feed.from.outlets().next()
    }

    /// Free sockets that take a module, with the setting that it wants.
    fn sockets(&self, module: DeviceId) -> Vec<(OutletRef, u8)> {
        let Some(need) = self.rig.device(module).and_then(|device| device.power.need()) else { return Vec::new() };
        let mut found = Vec::new();
        for (device, supply) in self.rig.supplies().filter(|(device, _)| device.id != module) {
            if !may_host(device) {
                continue;
            }
            for (number, outlet) in (1..=u8::MAX).zip(&supply.outlets) {
                let at = OutletRef::new(device.id, number);
                if outlet.connector != need.connector || self.rig.feed_from(at).is_some() {
                    continue;
                }
                for (position, setting) in (1..=u8::MAX).zip(&outlet.settings) {
                    let may = self.selectors || outlet.chosen == position;
                    let no_load = setting.no_load.unwrap_or(setting.volts).get();
                    let way = loads::way(need, setting.volts.get(), setting.form, self.tolerance);
                    let way = way.and_then(|at| need.ways.get(at));
                    // What comes out of a passing one is known once it hangs somewhere itself.
                    let known = way.is_some_and(|way| way.takes(no_load, self.tolerance));
                    let fits = known || (supply.passes && need.ways.iter().any(|way| way.form == setting.form));
                    if may && fits {
                        found.push((at, position));
                    }
                }
            }
        }
        found
    }

    /// What tells one socket from another for a module: the supply as it is set
    /// and fed, what hangs on it already, and the socket itself.
    fn signature(&self, outlet: OutletRef, setting: u8) -> Signature {
        let host = self.rig.device(outlet.supply);
        let kind = host.map(|device| (device.kind.clone(), device.power.clone()));
        let mut guests = Vec::new();
        for feed in self.rig.feeds.iter().filter(|feed| feed.from.outlets().any(|o| o.supply == outlet.supply)) {
            for from in feed.from.outlets().filter(|from| from.supply == outlet.supply) {
                let there = feed.taps.first().and_then(|tap| self.rig.device(tap.device));
                let place = self.class(from);
                // A guest that is a host itself is like no other.
                let hosts = |id: DeviceId| self.rig.feeds.iter().any(|f| f.from.outlets().any(|o| o.supply == id));
                let own = there.map(|device| device.id).filter(|id| hosts(*id));
                guests.push((place, there.map(|device| device.kind.clone()), own));
            }
        }
        // A module of a module stands for itself: it may be anywhere.
        let fed = self.rig.feed_to(outlet.supply).map(|_| outlet.supply);
        // A supply with selectors set by hand may differ from its like.
        Signature { kind, guests, fed, place: self.class(outlet), setting }
    }

    /// The number of the first socket of a supply that is the same but for its own 0 V.
    fn class(&self, outlet: OutletRef) -> u8 {
        let Some(supply) = self.rig.device(outlet.supply).and_then(|device| device.kind.supply()) else { return 0 };
        let Some(there) = supply.outlet(outlet.outlet) else { return 0 };
        let sharers = |zero_volt| supply.outlets.iter().filter(|other| other.zero_volt == zero_volt).count();
        let rated =
            |zero_volt| supply.groups.iter().find(|group| group.zero_volt == zero_volt).map(|group| group.limit);
        let alike = |other: &crate::rig::Outlet| {
            let zero_volt = other.zero_volt == there.zero_volt
                || (sharers(other.zero_volt) == 1
                    && sharers(there.zero_volt) == 1
                    && other.zero_volt != crate::rig::ZeroVolt::Inlet
                    && there.zero_volt != crate::rig::ZeroVolt::Inlet
                    && rated(other.zero_volt) == rated(there.zero_volt));
            let chosen = |outlet: &crate::rig::Outlet| if self.selectors { 0 } else { outlet.chosen };
            zero_volt
                && other.settings == there.settings
                && other.connector == there.connector
                && other.parallel == there.parallel
                && chosen(other) == chosen(there)
        };
        (1..=u8::MAX).zip(&supply.outlets).find(|(_, other)| alike(other)).map_or(0, |(number, _)| number)
    }
}

#[derive(Debug, PartialEq)]
struct Signature {
    kind: Option<(Kind, Power)>,
    guests: Vec<(u8, Option<Kind>, Option<DeviceId>)>,
    fed: Option<DeviceId>,
    place: u8,
    setting: u8,
}
