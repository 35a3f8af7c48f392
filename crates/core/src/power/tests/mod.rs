//! A drawn allocation: its figures by hand, and each problem.

mod batteries;
mod bounded;
mod brute;
mod figures;
mod least;
mod mains;
mod mends;
mod problems;
mod safety;
mod unfed;
mod wishes;

use crate::rig::{
    Apart, Battery, Body, Buffer, Connector, Device, DeviceId, Feed, FeedFrom, FeedId, Form, Input, Kind, Mains, Need,
    Outlet, OutletRef, Power, Rig, Setting, SizeClass, Stage, Supply, Tap, Way, ZeroVolt,
};
use crate::units::{AmpereHours, Amperes, Decibels, Farads, Grams, Ohms, Price, Turn, Volts, Watts};

pub use Form::{Alternating, CentreNegative, CentrePositive};

pub fn way(least: f64, most: f64, form: Form, running_ma: f64, start_up_ma: f64) -> Way {
    Way::of([least, most], form, [running_ma, start_up_ma])
}

pub fn needs(ways: Vec<Way>) -> Need {
    Need { ways, ..Need::default() }
}

/// 9 V, centre negative, so many mA.
pub fn nine(ma: f64) -> Need {
    needs(vec![way(9.0, 9.0, CentreNegative, ma, ma)])
}

pub fn device(id: u64, power: Power, kind: Kind) -> Device {
    let body = Body { size: SizeClass::Compact, mass: Grams::of(300.0), price: Price::of(100.0) };
    Device {
        id: DeviceId(id),
        name: format!("Unit {id}"),
        part: String::new(),
        stays_on: false,
        switches: Default::default(),
        heard_to: None,
        effect: None,
        body,
        power,
        kind,
    }
}

pub fn unit(id: u64, need: Need) -> Device {
    let stage = Stage::of(Input::of(Ohms::of(1e6), Farads::of(0.0)), Ohms::of(100.0), Decibels::of(0.0));
    device(id, Power::Low(need), Kind::Buffer(Buffer { stage, wiring: Farads::of(0.0) }))
}

pub fn setting(volts: f64, ma: f64, form: Form) -> Setting {
    Setting { volts: Volts::of(volts), limit: Amperes::of(ma * 1e-3), form, no_load: None }
}

pub fn outlet(zero_volt: ZeroVolt, settings: Vec<Setting>) -> Outlet {
    Outlet { settings, chosen: 1, connector: Connector::Barrel21, zero_volt, parallel: false }
}

/// Isolated outlets, one setting each.
pub fn isolated(settings: &[Setting]) -> Vec<Outlet> {
    (1..).zip(settings).map(|(group, setting)| outlet(ZeroVolt::Group(group), vec![*setting])).collect()
}

pub fn mains(earthed: bool) -> Power {
    Power::Mains(Mains {
        least: Volts::of(100.0),
        most: Volts::of(240.0),
        earthed,
        plug_top: false,
        draw: Watts::of(1.0),
        power_factor: Turn::FULL,
    })
}

pub fn supply(id: u64, power: Power, outlets: Vec<Outlet>) -> Device {
    device(id, power, Kind::Supply(Supply { outlets, efficiency: Turn::of(0.8), ..Supply::default() }))
}

pub fn battery(id: u64, ah: f64) -> Device {
    let battery = Battery { volts: Volts::of(9.0), capacity: AmpereHours::of(ah), draw: Amperes::of(0.0) };
    let outlets = isolated(&[setting(9.0, 100.0, CentreNegative)]);
    let supply = Supply { outlets, efficiency: Turn::of(1.0), ..Supply::default() };
    device(id, Power::Battery(battery), Kind::Supply(supply))
}

pub fn at(supply: u64, outlet: u8) -> OutletRef {
    OutletRef::new(DeviceId(supply), outlet)
}

pub fn straight(id: u64, outlet: OutletRef, device: u64) -> Feed {
    Feed::straight(FeedId(id), outlet, DeviceId(device))
}

pub fn daisy(id: u64, outlet: OutletRef, devices: &[u64]) -> Feed {
    let mut taps: Vec<Tap> = devices.iter().map(|device| Tap::next(DeviceId(*device))).collect();
    taps[0] = Tap::first(DeviceId(devices[0]));
    Feed { taps, ..straight(id, outlet, devices[0]) }
}

pub fn series(id: u64, lower: OutletRef, upper: OutletRef, device: u64) -> Feed {
    Feed { from: FeedFrom::Series { lower, upper }, ..straight(id, lower, device) }
}

pub fn parallel(id: u64, first: OutletRef, second: OutletRef, device: u64) -> Feed {
    Feed { from: FeedFrom::Parallel { first, second }, ..straight(id, first, device) }
}

pub fn rig(devices: Vec<Device>, feeds: Vec<Feed>) -> Rig {
    Rig { devices, feeds, ..Rig::default() }
}

/// The same but for a detail.
pub fn with<T>(mut thing: T, change: impl FnOnce(&mut T)) -> T {
    change(&mut thing);
    thing
}
