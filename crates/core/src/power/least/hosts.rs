//! Sockets on which modules can hang, and hosts that no rig has: they give a module all that it takes.

use crate::power::allocate::modules;
use crate::power::allocate::terms::Terms;
use crate::rig::{
    Device, DeviceId, Feed, FeedId, Kind, Mains, Outlet, OutletRef, Power, Rig, Setting, Supply, ZeroVolt,
};
use crate::units::{Amperes, Turn, Volts, Watts};

/// A device of a host that no rig has: it feeds one module, whatever that draws.
const IDEAL: DeviceId = DeviceId(u64::MAX);

/// The plugs of a distributor that takes more than one voltage.
pub fn passing(part: &Device, terms: &Terms<'_>) -> Option<usize> {
    let (supply, need) = (part.kind.supply()?, part.power.need()?);
    let one = need.ways.len() == 1 && need.ways[0].least == need.ways[0].most;
    (supply.passes && !one).then(|| supply.outlets.len() * usize::from(terms.rules.most_plugs.max(1)))
}

/// The most amperes that a module can have on a host, at the least voltage that
/// it takes; none where it takes several and so can't be said by one number.
pub fn most_amperes(host: &Device, module: &Device, terms: &Terms<'_>) -> Option<f64> {
    let (supply, need) = (host.kind.supply()?, module.power.need()?);
    let [way] = need.ways.as_slice() else { return None };
    // What a passing one gives is its own host's affair.
    if supply.passes {
        return None;
    }
    let tolerance = terms.rules.headroom.tolerance;
    let most = |outlet: &Outlet| {
        let fits = outlet.settings.iter().filter(|setting| way.takes(setting.volts.get(), tolerance));
        // A voltage below the least, within its tolerance, gives less power, but its own draw is less too.
        let watts = fits.map(|setting| setting.volts.get().max(way.least.get()) * setting.limit.get());
        let group = supply.groups.iter().find(|group| group.zero_volt == outlet.zero_volt);
        watts.fold(0.0, f64::max).min(group.map_or(f64::INFINITY, |group| group.limit.get()))
    };
    let sockets = sockets_for(host, module, None, terms);
    let watts = sockets.iter().filter_map(|socket| supply.outlet(socket.outlet)).map(most).fold(0.0, f64::max);
    Some(watts.min(supply.total.map_or(f64::INFINITY, |total| total.get())) / way.least.get())
}

/// A rig of one part, a module on a host that gives it what it takes, up to so many amperes.
pub fn by_itself(part: &Device, most: Option<f64>) -> Rig {
    let mut rig = with_ideal_hosts(&Rig { devices: vec![part.clone()], ..Rig::default() }, &[part.id]);
    for host in rig.devices.iter_mut().filter(|device| device.id == IDEAL) {
        if let (Some(most), Kind::Supply(supply)) = (most, &mut host.kind) {
            let settings = supply.outlets.iter_mut().flat_map(|outlet| &mut outlet.settings);
            settings.for_each(|setting| setting.limit = Amperes::clamped(most));
        }
    }
    rig
}

/// A rig in which each of those modules has a host that gives it what it takes.
pub fn with_ideal_hosts(rig: &Rig, modules: &[DeviceId]) -> Rig {
    let mut ideal = rig.clone();
    for (at, id) in (0..).zip(modules) {
        let host = DeviceId(IDEAL.0 - at);
        if let Some(device) = rig.device(*id).and_then(|module| ideal_host(module, host)) {
            ideal.devices.push(device);
            ideal.feeds.push(Feed::straight(FeedId(u64::MAX - at), OutletRef::new(host, 1), *id));
        }
    }
    ideal
}

/// A supply that gives a module what it takes, whatever that is.
fn ideal_host(module: &Device, id: DeviceId) -> Option<Device> {
    let need = module.power.need()?;
    let way = need.ways.first()?;
    let setting = Setting { volts: way.least, limit: Amperes::clamped(f64::MAX), form: way.form, no_load: None };
    let outlet = Outlet {
        settings: vec![setting],
        chosen: 1,
        connector: need.connector,
        // A passive module has its host's 0 V, which at best is isolated.
        zero_volt: ZeroVolt::Group(1),
        parallel: false,
    };
    let kind = Kind::Supply(Supply { outlets: vec![outlet], efficiency: Turn::FULL, ..Supply::default() });
    let mains = Mains {
        least: Volts::of(230.0),
        most: Volts::of(230.0),
        earthed: false,
        plug_top: false,
        draw: Watts::of(0.0),
        power_factor: Turn::FULL,
    };
    Some(Device { id, power: Power::Mains(mains), kind, ..module.clone() })
}

/// Sockets of a rig that are free and take a module.
pub fn sockets_of(rig: &Rig, module: &Device, terms: &Terms<'_>) -> Vec<OutletRef> {
    rig.supplies().flat_map(|(device, _)| sockets_for(device, module, Some(rig), terms)).collect()
}

/// Sockets of a supply that take a module; of one in a rig, those that are free.
pub fn sockets_for(part: &Device, module: &Device, rig: Option<&Rig>, terms: &Terms<'_>) -> Vec<OutletRef> {
    let (Some(supply), Some(need)) = (part.kind.supply(), module.power.need()) else { return Vec::new() };
    let tolerance = terms.rules.headroom.tolerance;
    let gives = |setting: &Setting| {
        need.ways.iter().any(|way| {
            let no_load = setting.no_load.unwrap_or(setting.volts);
            let takes = |volts: f64| supply.passes || way.takes(volts, tolerance);
            way.form == setting.form && takes(setting.volts.get()) && takes(no_load.get())
        })
    };
    let fits = |outlet: &Outlet| {
        modules::may_host(part) && outlet.connector == need.connector && outlet.settings.iter().any(gives)
    };
    let free = |outlet: OutletRef| rig.is_none_or(|rig| rig.feed_from(outlet).is_none());
    let numbered = (1..=u8::MAX).zip(&supply.outlets);
    let fitting = numbered.filter(|(_, outlet)| fits(outlet)).map(|(number, _)| OutletRef::new(part.id, number));
    fitting.filter(|outlet| free(*outlet)).collect()
}
