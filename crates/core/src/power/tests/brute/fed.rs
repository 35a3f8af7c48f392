//! Whether all units can be fed at all: every way of plugging them in, each judged
//! by the check of what is drawn. Ways that are the same but for names are tried
//! once, and a module that a plain plug feeds hosts no other module: that is a rule
//! of the search.

use super::judge::{bare, is_legal};
use crate::power::Rules;
use crate::power::tests::*;
use crate::rig::Adapter;

/// Whether some way of feeding every unit keeps what must be kept. Modules that hang
/// nowhere may stay so.
pub fn all_can_be_fed(rig: &Rig, rules: &Rules) -> bool {
    let bare = bare(rig);
    is_legal(&bare, rules) && with_modules(&bare, rules)
}

/// As it is, or with one more module plugged in somewhere.
fn with_modules(rig: &Rig, rules: &Rules) -> bool {
    let wants = |device: &&Device| device.power.need().is_some() && rig.feed_to(device.id).is_none();
    let (modules, units): (Vec<&Device>, Vec<&Device>) =
        rig.devices.iter().filter(wants).partition(|device| device.kind.supply().is_some());
    let units: Vec<DeviceId> = units.into_iter().map(|unit| unit.id).collect();
    if units_are_fed(rig, rules, &units) {
        return true;
    }
    let first = |at: usize| modules[..at].iter().all(|other| !is_copy(other, modules[at]));
    (0..modules.len())
        .filter(|at| first(*at))
        .any(|at| plugged(rig, rules, modules[at].id).iter().any(|next| with_modules(next, rules)))
}

/// The unit with the fewest places first: where one has none, nothing helps the others.
fn units_are_fed(rig: &Rig, rules: &Rules, todo: &[DeviceId]) -> bool {
    let places: Vec<Vec<Rig>> = todo.iter().map(|unit| plugged(rig, rules, *unit)).collect();
    let Some(at) = (0..todo.len()).min_by_key(|at| places[*at].len()) else { return true };
    let rest: Vec<DeviceId> = todo.iter().copied().filter(|unit| *unit != todo[at]).collect();
    places[at].iter().any(|next| units_are_fed(next, rules, &rest))
}

fn is_copy(a: &Device, b: &Device) -> bool {
    a.part == b.part && a.kind == b.kind && a.power == b.power
}

/// The outlets that nothing hangs on, of those that are alike in a box one, of boxes that are alike and unused one.
fn free_outlets(rig: &Rig, but: &[OutletRef]) -> Vec<OutletRef> {
    let is_free = |outlet: OutletRef| rig.feed_from(outlet).is_none() && !but.contains(&outlet);
    let of = |device: &Device, supply: &Supply| {
        (1..=supply.outlets.len() as u8).map(|number| OutletRef::new(device.id, number)).collect::<Vec<_>>()
    };
    let is_unused = |device: &Device, supply: &Supply| of(device, supply).into_iter().all(is_free);
    let mut found = Vec::new();
    let mut unused: Vec<&Device> = Vec::new();
    for (device, supply) in rig.supplies() {
        let on_mains = device.power.need().is_none();
        if !on_mains && rig.feed_to(device.id).is_none() {
            continue;
        }
        if on_mains && is_unused(device, supply) {
            if unused.iter().any(|other| is_copy(other, device)) {
                continue;
            }
            unused.push(device);
        }
        let mut kinds: Vec<&Outlet> = Vec::new();
        for (outlet, at) in supply.outlets.iter().zip(of(device, supply)) {
            if is_free(at) && !kinds.iter().any(|other| are_alike(supply, other, outlet)) {
                kinds.push(outlet);
                found.push(at);
            }
        }
    }
    found
}

/// Whether two free outlets of a box are the same but for their number.
fn are_alike(supply: &Supply, a: &Outlet, b: &Outlet) -> bool {
    let own = |outlet: &Outlet| {
        let sharing = supply.outlets.iter().filter(|other| other.zero_volt == outlet.zero_volt).count();
        let limited = supply.groups.iter().any(|group| group.zero_volt == outlet.zero_volt);
        matches!(outlet.zero_volt, ZeroVolt::Group(_)) && sharing == 1 && !limited
    };
    let same_ground = a.zero_volt == b.zero_volt || (own(a) && own(b));
    same_ground && Outlet { zero_volt: a.zero_volt, ..b.clone() } == *a
}

/// The rig with one more device fed, in every way that is allowed.
fn plugged(rig: &Rig, rules: &Rules, id: DeviceId) -> Vec<Rig> {
    let device = rig.device(id).unwrap();
    let need = device.power.need().unwrap();
    // Poles the wrong way round and AC for DC are refused whatever else; of volts the widest that
    // an adaptor without load or a long lead make of what is written on an outlet.
    let may_suit = |form: Form, swaps: bool, volts: f64| {
        let form = match form {
            CentreNegative if swaps => CentrePositive,
            CentrePositive if swaps => CentreNegative,
            form => form,
        };
        need.ways
            .iter()
            .any(|way| way.form == form && volts * 1.6 >= 0.9 * way.least.get() && volts * 0.8 <= 1.1 * way.most.get())
    };
    let swaps: &[bool] = if rules.adapters { &[false, true] } else { &[false] };
    let new = FeedId(1 + rig.feeds.iter().map(|feed| feed.id.0).max().unwrap_or(99));
    let mut drawn = Vec::new();
    for &swaps_poles in swaps {
        let tap = |outlet: OutletRef| {
            let socket = rig.outlet(outlet).unwrap().connector;
            let plug = (socket != need.connector && rules.adapters).then_some(need.connector);
            Tap { adapter: Adapter { swaps_poles, plug }, ..Tap::first(id) }
        };
        for (at, feed) in rig.feeds.iter().enumerate() {
            let is_full = feed.taps.len() >= usize::from(rules.most_plugs);
            if let FeedFrom::One(outlet) = feed.from
                && !is_full
            {
                drawn.push(with(rig.clone(), |next| next.feeds[at].taps.push(tap(outlet))));
            }
        }
        for outlet in free_outlets(rig, &[]) {
            for (setting, form, volts) in settings(rig, rules, outlet) {
                if may_suit(form, swaps_poles, volts) {
                    let feed = Feed { taps: vec![tap(outlet)], ..straight(new.0, outlet, id.0) };
                    drawn.push(fed(rig, &[(outlet, setting)], feed));
                }
            }
            if rules.pairs && device.kind.supply().is_none() {
                for other in free_outlets(rig, &[outlet]).into_iter().filter(|other| other.supply == outlet.supply) {
                    for (a, form, volts) in settings(rig, rules, outlet) {
                        for (b, _, more) in settings(rig, rules, other) {
                            let both = [outlet, other].iter().all(|outlet| rig.outlet(*outlet).unwrap().parallel);
                            let pairs = [
                                (
                                    may_suit(form, swaps_poles, volts + more),
                                    FeedFrom::Series { lower: outlet, upper: other },
                                ),
                                (
                                    both && may_suit(form, swaps_poles, volts),
                                    FeedFrom::Parallel { first: outlet, second: other },
                                ),
                            ];
                            for (_, from) in pairs.into_iter().filter(|(suits, _)| *suits) {
                                let feed = Feed { from, taps: vec![tap(outlet)], ..straight(new.0, outlet, id.0) };
                                drawn.push(fed(rig, &[(outlet, a), (other, b)], feed));
                            }
                        }
                    }
                }
            }
        }
    }
    let is_module = device.kind.supply().is_some();
    let plain_host = |outlet: OutletRef| {
        let host = rig.device(outlet.supply).unwrap();
        host.power.need().is_some_and(|need| need.connector != Connector::Link)
    };
    let may_be = |next: &Rig| {
        let mut from = next.feed_to(id).unwrap().from.outlets();
        (!is_module || !from.any(plain_host)) && is_legal(next, rules)
    };
    drawn.retain(may_be);
    drawn
}

/// How a free outlet may be set, and what it gives then.
fn settings(rig: &Rig, rules: &Rules, outlet: OutletRef) -> Vec<(u8, Form, f64)> {
    let outlet = rig.outlet(outlet).unwrap();
    let all = (1..).zip(&outlet.settings).map(|(number, setting)| (number, setting.form, setting.volts.get()));
    all.filter(|(number, ..)| rules.selectors || *number == outlet.chosen).collect()
}

fn fed(rig: &Rig, set: &[(OutletRef, u8)], feed: Feed) -> Rig {
    with(rig.clone(), |next| {
        for (outlet, setting) in set {
            let device = next.devices.iter_mut().find(|device| device.id == outlet.supply).unwrap();
            let Kind::Supply(supply) = &mut device.kind else { unreachable!() };
            supply.outlets[usize::from(outlet.outlet) - 1].chosen = *setting;
        }
        next.feeds.push(feed);
    })
}
