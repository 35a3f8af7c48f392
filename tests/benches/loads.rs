//! The power questions of the benchmarks: units that want many things, and one supply of sixteen outlets.

#![allow(dead_code, reason = "each of the benchmarks that share this asks some of it")]

use rigwright_core::rig::{
    Apart, Body, Buffer, Connector, Device, DeviceId, Form, Input, Kind, Mains, Need, Outlet, Power, Rig, Setting,
    SizeClass, Stage, Supply, Way, ZeroVolt,
};
use rigwright_core::units::{Amperes, Decibels, Farads, Grams, Ohms, Price, Turn, Volts, Watts};

use Form::{Alternating, CentreNegative};

/// A unit that wants power.
pub fn unit(id: u64, need: Need) -> Device {
    let stage = Stage::of(Input::of(Ohms::of(1e6), Farads::of(0.0)), Ohms::of(100.0), Decibels::of(0.0));
    device(id, Power::Low(need), Kind::Buffer(Buffer { stage, wiring: Farads::of(0.0) }))
}

fn device(id: u64, power: Power, kind: Kind) -> Device {
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

/// A supply or a module.
pub fn supply(id: u64, power: Power, supply: Supply) -> Device {
    device(id, power, Kind::Supply(supply))
}

/// From one voltage to another, so many mA while it works and at the start.
pub fn way(least: f64, most: f64, form: Form, running_ma: f64, start_up_ma: f64) -> Way {
    Way::of([least, most], form, [running_ma, start_up_ma])
}

fn needs(volts: f64, form: Form, running_ma: f64, start_up_ma: f64) -> Need {
    Need { ways: vec![way(volts, volts, form, running_ma, start_up_ma)], ..Need::default() }
}

fn nine(ma: f64) -> Need {
    needs(9.0, CentreNegative, ma, 2.0 * ma)
}

fn digital(ma: f64) -> Need {
    Need { digital: true, apart: Apart::OtherKind, ..needs(9.0, CentreNegative, ma, 1.5 * ma) }
}

fn positive_ground() -> Need {
    Need { positive_ground: true, apart: Apart::Everybody, ..nine(0.5) }
}

fn rig(needs: Vec<Need>) -> Rig {
    let devices = (10..).zip(needs).map(|(id, need)| unit(id, need)).collect();
    Rig { devices, ..Rig::default() }
}

/// Eighteen units: five at 18 V, one at 12 V AC, one of positive ground, three
/// digital at 300 mA, eight small ones at 9 V.
pub fn hard_case() -> Rig {
    let eighteen = [20.0, 30.0, 30.0, 45.0, 60.0].map(|ma| needs(18.0, CentreNegative, ma, 2.0 * ma));
    let others = [needs(12.0, Alternating, 180.0, 360.0), positive_ground()];
    let digital = [digital(300.0), digital(300.0), digital(300.0)];
    let small = [5.0, 8.0, 10.0, 10.0, 12.0, 20.0, 25.0, 35.0].map(nine);
    rig(eighteen.into_iter().chain(others).chain(digital).chain(small).collect())
}

/// What the outlets of the one supply are like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sockets {
    /// Each with a 0 V of its own.
    Isolated,
    /// Four to a 0 V.
    Grouped,
}

/// How much the units want of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Load {
    /// All can be fed.
    Fits,
    /// Two more want 18 V than there is for.
    TooMuch,
}

/// One supply of sixteen outlets and 24 units, so that some share a lead.
pub fn sixteen_outlets(sockets: Sockets, load: Load) -> Rig {
    let zero_volt = |at: usize| match sockets {
        Sockets::Isolated => ZeroVolt::Group(at as u8 + 1),
        Sockets::Grouped => ZeroVolt::Group((at / 4) as u8 + 1),
    };
    let gives = |volts: f64, ma: f64, form: Form| Setting {
        volts: Volts::of(volts),
        limit: Amperes::of(ma * 1e-3),
        form,
        no_load: None,
    };
    let settings = |at: usize| match at {
        0..6 => vec![gives(9.0, 100.0, CentreNegative)],
        6..10 => vec![gives(9.0, 100.0, CentreNegative), gives(12.0, 100.0, CentreNegative)],
        10..12 => vec![gives(9.0, 200.0, CentreNegative), gives(18.0, 100.0, CentreNegative)],
        12..15 => vec![gives(9.0, 500.0, CentreNegative)],
        _ => vec![gives(9.0, 800.0, Alternating), gives(12.0, 600.0, Alternating)],
    };
    let outlets = (0..16)
        .map(|at| Outlet {
            settings: settings(at),
            chosen: 1,
            connector: Connector::Barrel21,
            zero_volt: zero_volt(at),
            parallel: false,
        })
        .collect();
    let supply = Supply { outlets, total: Some(Watts::of(30.0)), efficiency: Turn::of(0.8), ..Supply::default() };
    let mains = Mains {
        least: Volts::of(100.0),
        most: Volts::of(240.0),
        earthed: false,
        plug_top: false,
        draw: Watts::of(2.0),
        power_factor: Turn::FULL,
    };
    let high = match load {
        Load::Fits => 2,
        Load::TooMuch => 9,
    };
    let mut wanted: Vec<Need> = (0..high).map(|at| needs(18.0, CentreNegative, 15.0 + 5.0 * at as f64, 60.0)).collect();
    wanted.extend([digital(250.0), digital(250.0), digital(150.0), needs(9.0, Alternating, 300.0, 500.0)]);
    wanted.push(needs(12.0, CentreNegative, 40.0, 60.0));
    let small = [1.0, 4.0, 5.0, 5.0, 6.0, 8.0, 8.0, 10.0, 10.0, 12.0, 12.0, 15.0, 18.0, 20.0, 22.0, 25.0, 30.0];
    let left = 24 - wanted.len();
    wanted.extend(small.into_iter().take(left).map(nine));
    let mut found = rig(wanted);
    found.devices.push(self::supply(1, Power::Mains(mains), supply));
    found
}
