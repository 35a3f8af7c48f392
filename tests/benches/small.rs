//! Small random rigs in which every rule of power has something to say.

use rigwright_core::power::{Rules, Weight};
use rigwright_core::rig::{
    Apart, Connector, Device, DeviceId, Feed, FeedId, Form, GroupLimit, Kind, Mains, Need, Outlet, OutletRef, Power,
    Rig, Setting, Supply, Way, ZeroVolt,
};
use rigwright_core::units::{Amperes, Decibels, Turn, Volts, Watts};

use super::loads::{self, way};

use Form::{Alternating, CentreNegative, CentrePositive};

pub use rigwright_tests::Dice;

fn need(dice: &mut Dice) -> Need {
    let current = dice.pick(&[0.5, 5.0, 10.0, 20.0, 40.0, 70.0, 120.0, 200.0]);
    let start = current * dice.pick(&[1.0, 1.0, 1.5, 2.5]);
    let form = if dice.chance(0.1) { CentrePositive } else { CentreNegative };
    let usual = way(9.0, 9.0, form, current, start);
    let ways = match dice.below(13) {
        0 | 1 => vec![way(18.0, 18.0, form, current, start)],
        2 => vec![usual, way(18.0, 18.0, form, current * 0.8, start)],
        3 => vec![way(9.0, 18.0, form, current, start)],
        4 => vec![way(9.0, 9.0, Alternating, current, start)],
        5 => vec![way(12.0, 12.0, form, current, start)],
        6 => vec![way(24.0, 27.0, form, current * 0.5, start * 0.5)],
        _ => vec![usual],
    };
    let mut need = Need {
        ways,
        connector: if dice.chance(0.1) { Connector::Barrel25 } else { Connector::Barrel21 },
        digital: dice.chance(0.25),
        positive_ground: dice.chance(0.08),
        apart_must: dice.chance(0.1),
        shares_winding: dice.chance(0.3),
        ..Need::default()
    };
    need.apart = match (need.digital, dice.below(10)) {
        (true, 0..6) | (false, 0) => Apart::OtherKind,
        (_, 9) => Apart::Everybody,
        _ => Apart::Nobody,
    };
    need
}

/// Units, those of one kind often several.
pub fn units(dice: &mut Dice, count: usize) -> Vec<Device> {
    let mut wanted: Vec<Need> = Vec::new();
    for at in 0..count {
        let new = if at > 0 && dice.chance(0.4) { wanted[at - 1].clone() } else { need(dice) };
        wanted.push(new);
    }
    let device = |(id, need)| {
        let mut device = loads::unit(id, need);
        if dice.chance(0.35) {
            device.part = dice.pick(&["mild-drive", "sustain-fuzz", "compressor"]).to_owned();
        }
        if let Kind::Buffer(buffer) = &mut device.kind
            && dice.chance(0.3)
        {
            buffer.stage.level = Decibels::of(dice.pick(&[6.0, 14.0, 20.0, 20.5]));
        }
        device
    };
    (10..).zip(wanted).map(device).collect()
}

/// Some units as they may hang now, right or wrong.
fn plug_in(dice: &mut Dice, rig: &mut Rig) {
    let sources = rig.supplies().filter(|(host, _)| host.power.need().is_none());
    let outlets: Vec<OutletRef> = sources
        .flat_map(|(host, supply)| {
            (1..=u8::MAX).zip(&supply.outlets).map(|(number, _)| OutletRef::new(host.id, number))
        })
        .collect();
    let units: Vec<DeviceId> =
        rig.devices.iter().filter(|device| device.kind.supply().is_none()).map(|device| device.id).collect();
    for unit in units {
        let outlet = dice.pick(&outlets);
        if dice.chance(0.5) && rig.feed_from(outlet).is_none() {
            rig.feeds.push(Feed::straight(FeedId(900 + unit.0), outlet, unit));
        }
    }
}

fn setting(dice: &mut Dice) -> Setting {
    let (volts, form) = match dice.below(12) {
        0 => (18.0, CentreNegative),
        1 => (9.0, CentrePositive),
        2 => (9.0, Alternating),
        3 => (12.0, CentreNegative),
        _ => (9.0, CentreNegative),
    };
    let no_load = (form == CentreNegative && volts == 9.0 && dice.chance(0.1)).then(|| dice.pick(&[9.5, 13.6]));
    let limit = Amperes::of(dice.pick(&[0.05, 0.1, 0.1, 0.25, 0.5]));
    Setting { volts: Volts::of(volts), limit, form, no_load: no_load.map(Volts::of) }
}

fn outlets(dice: &mut Dice, count: usize) -> Vec<Outlet> {
    let alike = dice.chance(0.4).then(|| vec![setting(dice)]);
    let shares = dice.chance(0.5);
    let parallel = dice.chance(0.4);
    let outlet = |at: usize, dice: &mut Dice| {
        let settings = alike.clone().unwrap_or_else(|| (0..dice.pick(&[1, 1, 2])).map(|_| setting(dice)).collect());
        let zero_volt = match (shares, dice.below(5)) {
            (true, 0) => ZeroVolt::Inlet,
            (true, 1) => ZeroVolt::Group(1),
            (true, 2) => ZeroVolt::Group(2),
            _ => ZeroVolt::Group(10 + at as u8),
        };
        let connector = if dice.chance(0.08) { Connector::Link } else { Connector::Barrel21 };
        let chosen = 1 + dice.below(settings.len()) as u8;
        Outlet { settings, chosen, connector, zero_volt, parallel: parallel && dice.chance(0.8) }
    };
    (0..count).map(|at| outlet(at, dice)).collect()
}

fn limited(dice: &mut Dice, outlets: Vec<Outlet>, efficiency: f64) -> Supply {
    let mut groups = Vec::new();
    for outlet in &outlets {
        let known = groups.iter().any(|group: &GroupLimit| group.zero_volt == outlet.zero_volt);
        if !known && dice.chance(0.25) {
            let limit = Watts::of(dice.pick(&[0.4, 0.9, 2.0]));
            groups.push(GroupLimit { zero_volt: outlet.zero_volt, limit });
        }
    }
    let total = dice.chance(0.25).then(|| Watts::of(dice.pick(&[0.5, 1.0, 3.0, 6.0])));
    Supply { outlets, total, groups, efficiency: Turn::of(efficiency), passes: false }
}

fn source(dice: &mut Dice, id: u64, count: usize) -> Device {
    let outlets = outlets(dice, count);
    let mains = Mains {
        least: Volts::of(100.0),
        most: Volts::of(240.0),
        earthed: dice.chance(0.4),
        plug_top: false,
        draw: Watts::of(1.0),
        power_factor: Turn::FULL,
    };
    loads::supply(id, Power::Mains(mains), limited(dice, outlets, 0.8))
}

/// A converter, a doubler, or a distributor of wire alone.
fn module(dice: &mut Dice, id: u64) -> Device {
    let wire = dice.chance(0.4);
    let volts = dice.pick(&[9.0, 9.0, 18.0]);
    let limit = Amperes::of(dice.pick(&[0.1, 0.3]));
    let zero_volt = if wire { ZeroVolt::Inlet } else { dice.pick(&[ZeroVolt::Inlet, ZeroVolt::Group(1)]) };
    let gives =
        Setting { volts: Volts::of(if wire { 9.0 } else { volts }), limit, form: CentreNegative, no_load: None };
    let outlet = Outlet {
        settings: vec![gives],
        chosen: 1,
        connector: Connector::Barrel21,
        zero_volt,
        parallel: dice.chance(0.2),
    };
    let outlets = vec![outlet; 1 + dice.below(3)];
    let own = if wire { 0.0 } else { 5.0 };
    let inlet = Need {
        ways: vec![way(9.0, dice.pick(&[9.0, 12.0, 18.0]), CentreNegative, own, 2.0 * own)],
        connector: if dice.chance(0.2) { Connector::Link } else { Connector::Barrel21 },
        ..Need::default()
    };
    let mut supply = limited(dice, outlets, if wire { 1.0 } else { 0.8 });
    supply.passes = wire;
    loads::supply(id, Power::Low(inlet), supply)
}

/// Plugs a module in where it gets what it takes.
fn hang(rig: &mut Rig, module: DeviceId) {
    let Some(need) = rig.device(module).and_then(|device| device.power.need()).cloned() else { return };
    let places = rig.supplies().filter(|(host, _)| host.power.need().is_none());
    let mut fitting = places.flat_map(|(host, supply)| {
        let numbered = (1..=u8::MAX).zip(&supply.outlets);
        numbered.filter(|(_, outlet)| outlet.connector == need.connector).filter_map(|(number, outlet)| {
            let now = outlet.setting()?;
            let no_load = now.no_load.unwrap_or(now.volts).get();
            let takes = |way: &Way| way.form == now.form && way.takes(now.volts.get(), 0.1) && way.takes(no_load, 0.1);
            need.ways.iter().any(takes).then(|| OutletRef::new(host.id, number))
        })
    });
    let free = fitting.find(|outlet| rig.feed_from(*outlet).is_none());
    drop(fitting);
    if let Some(outlet) = free {
        rig.feeds.push(Feed::straight(FeedId(800 + module.0), outlet, module));
    }
}

/// Up to three supplies, two modules, loose or plugged in, and a dozen units.
pub fn rig(dice: &mut Dice) -> Rig {
    let mut rig = Rig::default();
    for id in 1..=dice.pick(&[1, 1, 2, 3]) {
        let count = 1 + dice.below(5);
        // A second one is often like the first, perhaps with an outlet less.
        let mut new = match rig.devices.first() {
            Some(first) if dice.chance(0.4) => Device { id: DeviceId(id), ..first.clone() },
            _ => source(dice, id, count),
        };
        if let Kind::Supply(supply) = &mut new.kind
            && supply.outlets.len() > 1
            && id > 1
            && dice.chance(0.3)
        {
            supply.outlets.pop();
        }
        rig.devices.push(new);
    }
    for id in 4..4 + dice.pick(&[0, 0, 1, 2]) {
        rig.devices.push(module(dice, id));
        if dice.chance(0.4) {
            hang(&mut rig, DeviceId(id));
        }
    }
    let count = 3 + dice.below(10);
    rig.devices.extend(units(dice, count));
    if dice.chance(0.5) {
        plug_in(dice, &mut rig);
    }
    rig
}

/// Rules, strict and lax.
pub fn rules(dice: &mut Dice, rig: &Rig) -> Rules {
    let weight =
        |dice: &mut Dice| dice.pick(&[Weight::Wish, Weight::Wish, Weight::Wish, Weight::Must, Weight::Nothing]);
    let mut rules = Rules {
        adapters: dice.chance(0.6),
        pairs: dice.chance(0.75),
        across: dice.chance(0.7),
        most_plugs: dice.pick(&[1, 2, 3, 5]),
        keep_apart: weight(dice),
        few_gains: weight(dice),
        margin: weight(dice),
        selectors: dice.chance(0.8),
        ..Rules::default()
    };
    for unit in rig.devices.iter().filter(|device| device.kind.supply().is_none()) {
        if dice.chance(0.06) {
            rules.own_outlet.insert(unit.id);
        }
        if dice.chance(0.06) {
            rules.isolated.insert(unit.id);
        }
        if dice.chance(0.1) {
            rules.released.insert(unit.id);
        }
    }
    rules
}
