//! Random small rigs, and rules for them.

use rigwright_tests::Dice;

use super::judge::is_legal;
use crate::power::allocate::units;
use crate::power::tests::*;
use crate::power::{Rules, Weight};
use crate::rig::GroupLimit;

/// In a tame case nearly all is as it mostly is on boards, and often all units can be fed.
fn random_need(dice: &mut Dice, tame: bool) -> Need {
    let odd = |dice: &mut Dice, part: f64| dice.chance(if tame { part / 4.0 } else { part });
    let most = if tame { 5 } else { 7 };
    let current = dice.pick(&[0.5, 10.0, 20.0, 20.0, 60.0, 100.0, 180.0][..most]);
    let start = current * dice.pick(&[1.0, 1.0, 2.0]);
    let form = if odd(dice, 0.1) { CentrePositive } else { CentreNegative };
    let usual = way(9.0, 9.0, form, current, start);
    let ways = match dice.below(if tame { 14 } else { 10 }) {
        0 => vec![way(18.0, 18.0, form, current, start)],
        1 => vec![usual, way(18.0, 18.0, form, current * 0.8, start)],
        2 => vec![way(9.0, 18.0, form, current, start)],
        3 => vec![way(9.0, 9.0, Alternating, current, start)],
        4 => vec![way(12.0, 12.0, form, current, start)],
        _ => vec![usual],
    };
    let mut need = needs(ways);
    if odd(dice, 0.2) {
        (need.digital, need.apart) = (true, if dice.chance(0.7) { Apart::OtherKind } else { Apart::Nobody });
    } else if odd(dice, 0.1) {
        need.apart = dice.pick(&[Apart::OtherKind, Apart::Everybody]);
    } else if odd(dice, 0.1) {
        need.positive_ground = true;
    }
    need.apart_must = odd(dice, 0.1);
    need.shares_winding = dice.chance(0.3);
    if odd(dice, 0.1) {
        need.connector = Connector::Barrel25;
    }
    need
}

fn random_setting(dice: &mut Dice, tame: bool) -> Setting {
    let ma = dice.pick(&[50.0, 100.0, 100.0, 250.0]);
    match dice.below(if tame { 25 } else { 10 }) {
        0 => setting(18.0, ma, CentreNegative),
        1 => setting(9.0, ma, CentrePositive),
        2 => setting(9.0, ma, Alternating),
        3 => setting(12.0, ma, CentreNegative),
        4 => Setting { no_load: Some(Volts::of(dice.pick(&[9.5, 13.6]))), ..setting(9.0, ma, CentreNegative) },
        _ => setting(9.0, ma, CentreNegative),
    }
}

fn random_outlets(dice: &mut Dice, count: usize, tame: bool) -> Vec<Outlet> {
    let alike = dice.chance(0.4).then(|| vec![random_setting(dice, tame)]);
    let shares = dice.chance(0.4);
    (0..count)
        .map(|at| {
            let settings = alike.clone().unwrap_or_else(|| {
                let count = 1 + usize::from(dice.chance(0.3));
                (0..count).map(|_| random_setting(dice, tame)).collect()
            });
            let zero_volt = match (shares, dice.below(4)) {
                (true, 0) => ZeroVolt::Inlet,
                (true, 1) => ZeroVolt::Group(1),
                _ => ZeroVolt::Group(10 + at as u8),
            };
            let parallel = dice.chance(0.3);
            let chosen = 1 + dice.below(settings.len()) as u8;
            Outlet { chosen, parallel, ..outlet(zero_volt, settings) }
        })
        .collect()
}

fn limited(dice: &mut Dice, mut device: Device) -> Device {
    let Kind::Supply(supply) = &mut device.kind else { unreachable!() };
    if dice.chance(0.2) {
        supply.total = Some(Watts::of(dice.pick(&[0.5, 1.0, 3.0])));
    }
    if dice.chance(0.2) {
        supply.groups.push(GroupLimit { zero_volt: ZeroVolt::Group(1), limit: Watts::of(0.9) });
    }
    device
}

pub struct Case {
    /// As it is drawn.
    pub rig: Rig,
    pub rules: Rules,
}

/// The part of the catalogue that a test's drives are of.
pub const DRIVE: &str = "mild-drive";

/// A unit, so many of a hundred a drive, some louder while on.
fn random_unit(dice: &mut Dice, id: u64, need: Need, drives: f64) -> Device {
    let mut device = unit(id, need);
    if dice.chance(drives) {
        device.part = DRIVE.to_owned();
    }
    if let Kind::Buffer(buffer) = &mut device.kind
        && dice.chance(0.3)
    {
        buffer.stage.level = Decibels::of(dice.pick(&[6.0, 14.0, 20.0, 20.5]));
    }
    device
}

/// Some units as they may hang now, right or wrong.
fn plug_some_in(dice: &mut Dice, rig: &mut Rig) {
    let units: Vec<DeviceId> = units(rig).iter().map(|unit| unit.id).collect();
    let sources = rig.supplies().filter(|(device, _)| device.power.need().is_none());
    let outlets: Vec<OutletRef> = sources
        .flat_map(|(device, supply)| (1..=supply.outlets.len() as u8).map(|number| OutletRef::new(device.id, number)))
        .collect();
    for unit in units {
        let outlet = dice.pick(&outlets);
        let module = |feed: &&mut Feed| feed.taps.iter().any(|tap| tap.device.0 < 10);
        match rig.feeds.iter_mut().find(|feed| feed.from == FeedFrom::One(outlet)) {
            _ if !dice.chance(0.6) => {}
            None => rig.feeds.push(straight(200 + unit.0, outlet, unit.0)),
            Some(feed) if !module(&feed) => feed.taps.push(Tap::next(unit)),
            Some(_) => {}
        }
    }
}

/// Up to seven units and five outlets; sometimes a module, plugged in or loose.
pub fn random(seed: u64) -> Case {
    let dice = &mut Dice::new(seed);
    let tame = dice.chance(0.65);
    let mut outlets = 1 + dice.below(5);
    if tame {
        outlets = outlets.max(3);
    }
    let mut devices = Vec::new();
    let mut feeds = Vec::new();
    if outlets > 2 && dice.chance(0.3) {
        let volts = dice.pick(&[9.0, 18.0]);
        let settings = vec![setting(volts, 100.0, CentreNegative)];
        let count = 1 + dice.below(2);
        let inlet = Power::Low(needs(vec![way(9.0, 9.0, CentreNegative, 5.0, 10.0)]));
        let zero_volt = dice.pick(&[ZeroVolt::Inlet, ZeroVolt::Group(1)]);
        devices.push(limited(dice, supply(3, inlet, vec![outlet(zero_volt, settings); count])));
        outlets -= count;
        if dice.chance(0.5) {
            feeds.push(straight(40, at(1, 1), 3));
        }
    }
    let count = if outlets > 1 && dice.chance(0.3) { outlets - 1 } else { outlets };
    let main = random_outlets(dice, count, tame);
    let earthed = dice.chance(0.5);
    devices.insert(0, limited(dice, supply(1, mains(earthed), main)));
    if count < outlets {
        let second = random_outlets(dice, 1, tame);
        devices.insert(1, supply(2, mains(dice.chance(0.5)), second));
    }
    let units = 1 + dice.below(7);
    for id in 0..units as u64 {
        // Units of one kind are common.
        let same = id > 0 && dice.chance(0.4);
        let need = match devices.last().and_then(|device| device.power.need()) {
            Some(need) if same && devices.last().is_some_and(|d| d.kind.supply().is_none()) => need.clone(),
            _ => random_need(dice, tame),
        };
        devices.push(random_unit(dice, 10 + id, need, 0.3));
    }
    let mut rules = Rules {
        adapters: dice.chance(0.6),
        pairs: dice.chance(0.7),
        across: dice.chance(0.7),
        most_plugs: dice.pick(&[1, 2, 3, 5]),
        keep_apart: dice.pick(&[Weight::Wish, Weight::Wish, Weight::Must, Weight::Nothing]),
        few_gains: dice.pick(&[Weight::Wish, Weight::Wish, Weight::Must, Weight::Nothing]),
        margin: dice.pick(&[Weight::Wish, Weight::Wish, Weight::Must, Weight::Nothing]),
        selectors: dice.chance(0.8),
        ..Rules::default()
    };
    for id in 0..units as u64 {
        if dice.chance(if tame { 0.03 } else { 0.1 }) {
            rules.own_outlet.insert(DeviceId(10 + id));
        }
        if dice.chance(if tame { 0.03 } else { 0.1 }) {
            rules.isolated.insert(DeviceId(10 + id));
        }
        if dice.chance(0.15) {
            rules.released.insert(DeviceId(10 + id));
        }
    }
    let mut rig = rig(devices, feeds);
    if !is_legal(&rig, &rules) {
        rig.feeds.clear();
    }
    if dice.chance(0.5) {
        plug_some_in(dice, &mut rig);
    }
    Case { rig, rules }
}

/// Up to five units on few outlets that mostly share a 0 V: some wish has to give way.
pub fn crowded_case(seed: u64) -> Case {
    let dice = &mut Dice::new(seed ^ 0xc0de);
    let count = 1 + dice.below(3);
    let outlets = (0..count as u8).map(|at| {
        let ma = dice.pick(&[60.0, 100.0, 250.0]);
        let volts = dice.pick::<&[f64]>(&[&[9.0], &[9.0], &[18.0], &[9.0, 18.0], &[12.0, 9.0]]);
        let settings: Vec<Setting> = volts.iter().map(|volts| setting(*volts, ma, CentreNegative)).collect();
        let zero_volt = dice.pick(&[ZeroVolt::Group(1), ZeroVolt::Group(1), ZeroVolt::Inlet, ZeroVolt::Group(10 + at)]);
        Outlet { chosen: 1 + dice.below(settings.len()) as u8, ..outlet(zero_volt, settings) }
    });
    let outlets = outlets.collect();
    let earthed = dice.chance(0.3);
    let mut devices = vec![limited(dice, supply(1, mains(earthed), outlets))];
    for id in 0..3 + dice.below(3) as u64 {
        let ma = dice.pick(&[5.0, 10.0, 20.0, 40.0, 55.0]);
        let one = |volts| way(volts, volts, CentreNegative, ma, ma);
        let ways = match dice.below(6) {
            0 => vec![way(9.0, 18.0, CentreNegative, ma, ma)],
            1 => vec![one(9.0), one(18.0)],
            2 => vec![way(9.0, 12.0, CentreNegative, ma, ma)],
            _ => vec![one(9.0)],
        };
        let mut need = needs(ways);
        need.digital = dice.chance(0.35);
        need.apart = match dice.below(20) {
            0 => Apart::Everybody,
            1..4 => Apart::OtherKind,
            _ if need.digital && dice.chance(0.7) => Apart::OtherKind,
            _ => Apart::Nobody,
        };
        need.positive_ground = dice.chance(0.06);
        need.apart_must = dice.chance(0.1);
        devices.push(random_unit(dice, 10 + id, need, 0.6));
    }
    let weight =
        |dice: &mut Dice| dice.pick(&[Weight::Wish, Weight::Wish, Weight::Wish, Weight::Must, Weight::Nothing]);
    let mut rules = Rules {
        adapters: dice.chance(0.2),
        pairs: dice.chance(0.4),
        most_plugs: dice.pick(&[1, 3, 5, 5]),
        keep_apart: weight(dice),
        few_gains: weight(dice),
        margin: weight(dice),
        selectors: dice.chance(0.6),
        ..Rules::default()
    };
    let mut rig = rig(devices, Vec::new());
    plug_some_in(dice, &mut rig);
    rules.released.extend(units(&rig).iter().map(|unit| unit.id).filter(|_| dice.chance(0.1)));
    Case { rig, rules }
}

/// Up to five units, most of them on AC, and few windings, some of which share a 0 V with each other or with DC.
pub fn winding_case(seed: u64) -> Case {
    let dice = &mut Dice::new(seed ^ 0xac);
    let count = 1 + dice.below(3);
    let outlets = (0..count as u8).map(|at| {
        let form = dice.pick(&[Alternating, Alternating, CentreNegative]);
        let mut settings = vec![setting(9.0, dice.pick(&[150.0, 300.0, 600.0]), form)];
        if dice.chance(0.25) {
            settings.push(setting(12.0, 300.0, Alternating));
        }
        let zero_volt =
            dice.pick(&[ZeroVolt::Group(1), ZeroVolt::Group(10 + at), ZeroVolt::Group(10 + at), ZeroVolt::Inlet]);
        let parallel = dice.chance(0.3);
        Outlet { chosen: 1 + dice.below(settings.len()) as u8, parallel, ..outlet(zero_volt, settings) }
    });
    let outlets = outlets.collect();
    let earthed = dice.chance(0.3);
    let mut devices = vec![limited(dice, supply(1, mains(earthed), outlets))];
    for id in 0..2 + dice.below(4) as u64 {
        let ma = dice.pick(&[40.0, 100.0, 100.0, 180.0]);
        let one = |volts, form| way(volts, volts, form, ma, ma);
        let ways = match dice.below(6) {
            0 => vec![one(9.0, CentreNegative)],
            1 => vec![one(9.0, Alternating), one(9.0, CentreNegative)],
            2 => vec![way(9.0, 12.0, Alternating, ma, ma)],
            _ => vec![one(9.0, Alternating)],
        };
        let mut need = needs(ways);
        need.shares_winding = dice.chance(0.65);
        need.digital = dice.chance(0.2);
        if dice.chance(0.15) {
            need.apart = dice.pick(&[Apart::OtherKind, Apart::Everybody]);
        }
        need.apart_must = dice.chance(0.1);
        devices.push(random_unit(dice, 10 + id, need, 0.2));
    }
    let rules = Rules {
        adapters: dice.chance(0.2),
        pairs: dice.chance(0.4),
        most_plugs: dice.pick(&[1, 3, 5, 5]),
        keep_apart: dice.pick(&[Weight::Wish, Weight::Wish, Weight::Must, Weight::Nothing]),
        margin: dice.pick(&[Weight::Wish, Weight::Wish, Weight::Must]),
        selectors: dice.chance(0.7),
        ..Rules::default()
    };
    let mut rig = rig(devices, Vec::new());
    plug_some_in(dice, &mut rig);
    Case { rig, rules }
}
