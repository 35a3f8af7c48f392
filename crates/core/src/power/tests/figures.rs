//! Loads, voltages and what is taken of the mains, each calculated by hand.

use super::*;
use crate::power::{Check, Headroom, check};
use crate::units::Metres;

fn looked_at(rig: &Rig) -> Check {
    check(rig, &Headroom::default())
}

fn near(got: f64, expected: f64, within: f64) {
    assert!((got - expected).abs() <= within, "{got} instead of {expected}");
}

/// [S: daisy-drop]: AWG 24, 0.5 m feed, a plug every 0.2 m, both conductors.
#[test]
fn a_daisy_lead_loses_what_the_handbook_says() {
    let loads = [20.0, 20.0, 5.0, 300.0, 100.0, 60.0];
    let lead = |loads: &[f64]| {
        let mut devices = vec![supply(1, mains(false), isolated(&[setting(9.0, 1000.0, CentreNegative)]))];
        devices.extend((10..).zip(loads).map(|(id, ma)| unit(id, nine(*ma))));
        let check = looked_at(&rig(devices, vec![daisy(50, at(1, 1), &[10, 11, 12, 13, 14, 15])]));
        check.feeds[0].clone()
    };
    let feed = lead(&loads);
    for (tap, expected) in feed.taps.iter().zip([42.53, 58.87, 74.53, 90.02, 95.41, 97.43]) {
        near(tap.drop * 1e3, expected, 0.005);
        near(tap.volts.unwrap(), 9.0 - expected * 1e-3, 1e-5);
    }
    near(feed.return_offset * 1e3, 27.45, 0.005);
    let mut reversed = loads;
    reversed.reverse();
    near(lead(&reversed).taps[5].drop * 1e3, 72.68, 0.005);
}

#[test]
fn loads_add_up_at_outlets_groups_and_the_whole() {
    let outlets = vec![
        outlet(ZeroVolt::Group(1), vec![setting(9.0, 300.0, CentreNegative)]),
        outlet(ZeroVolt::Group(1), vec![setting(18.0, 100.0, CentreNegative)]),
        outlet(ZeroVolt::Group(2), vec![setting(9.0, 100.0, CentreNegative)]),
    ];
    let brick = with(supply(1, mains(false), outlets), |device| {
        let Kind::Supply(supply) = &mut device.kind else { unreachable!() };
        supply.total = Some(Watts::of(10.0));
        supply.groups = vec![crate::rig::GroupLimit { zero_volt: ZeroVolt::Group(1), limit: Watts::of(5.0) }];
    });
    let hungry = needs(vec![way(9.0, 9.0, CentreNegative, 180.0, 250.0)]);
    let high = needs(vec![way(18.0, 18.0, CentreNegative, 50.0, 70.0)]);
    let devices = vec![brick, unit(10, hungry), unit(11, nine(85.0)), unit(12, high), unit(13, nine(10.0))];
    let feeds = vec![daisy(50, at(1, 1), &[10, 11]), straight(51, at(1, 2), 12), straight(52, at(1, 3), 13)];
    let check = looked_at(&rig(devices, feeds));
    let supply = check.supply(DeviceId(1)).unwrap();
    let loads: Vec<(f64, f64)> =
        supply.outlets.iter().map(|outlet| (outlet.load.running, outlet.load.start_up)).collect();
    for (got, expected) in loads.iter().zip([(0.265, 0.335), (0.05, 0.07), (0.01, 0.01)]) {
        near(got.0, expected.0, 1e-12);
        near(got.1, expected.1, 1e-12);
    }
    near(supply.outlets[0].load.part(), 0.265 / 0.3, 1e-12);
    // 9 V · 265 mA + 18 V · 50 mA = 3.285 W in the group, and 0.09 W more in all.
    near(supply.groups[0].load.running, 3.285, 1e-12);
    near(supply.total.running, 3.375, 1e-12);
    // Four fifths come out of what goes in, and 1 W is its own: 3.375 / 0.8 + 1.
    near(supply.taken, 5.218_75, 1e-12);
    near(check.mains.watts(), 5.218_75, 1e-12);
    // Nobody has said a power factor.
    near(check.mains.volt_amperes, 5.218_75, 1e-12);
    near(check.mains.watt_hours(3.0), 15.656_25, 1e-12);
    assert_eq!(check.mains.plugs, 1);
    assert_eq!(check.zero_volts.all().map(|(_, devices)| devices.len()).collect::<Vec<_>>(), [3, 1]);
}

#[test]
fn apparent_power_is_told_where_the_power_factor_is() {
    let of = |power: Power, factor: f64| {
        let Power::Mains(mains) = power else { unreachable!() };
        Power::Mains(Mains { power_factor: Turn::of(factor), ..mains })
    };
    let adaptor = supply(1, of(mains(false), 0.6), isolated(&[setting(9.0, 500.0, CentreNegative)]));
    let amp = device(2, of(mains(true), 0.0), unit(2, nine(1.0)).kind);
    let check = looked_at(&rig(vec![adaptor, amp, unit(10, nine(100.0))], vec![straight(50, at(1, 1), 10)]));
    // 0.9 W / 0.8 + 1 W = 2.125 W, over 0.6 that is 3.5417 VA [S: power-factor]; of the
    // amp's 1 W nobody can say: a power factor of 0 is none.
    let supply = check.supply(DeviceId(1)).unwrap();
    near(supply.taken, 2.125, 1e-12);
    near(supply.volt_amperes, 3.541_667, 1e-6);
    near(check.mains.watts(), 3.125, 1e-12);
    near(check.mains.volt_amperes, 4.541_667, 1e-6);
}

#[test]
fn what_is_over_in_milliseconds_is_told_from_what_lasts() {
    let kind = |digital, heaters| {
        let mut need = nine(100.0);
        need.set_kind(digital, heaters);
        need
    };
    // Digital 3-10 times for milliseconds, heaters 3-5 times for a second, analogue once. [S: start-up]
    for (digital, heaters, factors, lasts) in
        [(false, false, 1.0..=1.0, true), (true, false, 3.0..=10.0, false), (false, true, 3.0..=5.0, true)]
    {
        let need = kind(digital, heaters);
        let (running, start_up) = (need.ways[0].running.get(), need.ways[0].start_up.get());
        assert!(factors.contains(&(start_up / running)), "{start_up}");
        near(need.lasting(&need.ways[0]), if lasts { start_up } else { running }, 1e-12);
    }
    // What was typed stays.
    let mut typed = needs(vec![way(9.0, 9.0, CentreNegative, 100.0, 123.0)]);
    typed.set_kind(true, false);
    near(typed.ways[0].start_up.get(), 0.123, 1e-12);
    // Through a converter of 80 % and up to the outlet that feeds it, both kinds add up apart.
    let inlet = Power::Low(needs(vec![way(9.0, 9.0, CentreNegative, 0.0, 0.0)]));
    let devices = vec![
        supply(1, mains(false), isolated(&[setting(9.0, 2000.0, CentreNegative)])),
        supply(2, inlet, isolated(&[setting(9.0, 1000.0, CentreNegative); 2])),
        unit(10, kind(true, false)),
        unit(11, kind(false, true)),
    ];
    let feeds = vec![straight(50, at(1, 1), 2), straight(51, at(2, 1), 10), straight(52, at(2, 2), 11)];
    let load = looked_at(&rig(devices, feeds)).outlet(at(1, 1)).unwrap().load;
    near(load.running, 0.2 / 0.8, 1e-12);
    near(load.lasting, (0.1 + 0.3) / 0.8, 1e-12);
    near(load.start_up, (0.5 + 0.3) / 0.8, 1e-12);
}

#[test]
fn modules_draw_what_hangs_on_them_at_any_depth() {
    // 24 V hub → converter of 80 % with 10 mA of its own → doubler the same → 18 V, 40 mA.
    let inlet = |volts, own| Power::Low(needs(vec![way(volts, volts, CentrePositive, own, own)]));
    let hub = supply(1, mains(true), vec![outlet(ZeroVolt::Inlet, vec![setting(24.0, 1000.0, CentrePositive)])]);
    let converter = supply(2, inlet(24.0, 10.0), isolated(&[setting(9.0, 500.0, CentrePositive)]));
    let doubler = supply(3, inlet(9.0, 10.0), isolated(&[setting(18.0, 100.0, CentreNegative)]));
    let high = unit(10, needs(vec![way(18.0, 18.0, CentreNegative, 40.0, 40.0)]));
    // Drawn from the far end, so that the order of drawing doesn't matter.
    let feeds = vec![straight(50, at(3, 1), 10), straight(51, at(2, 1), 3), straight(52, at(1, 1), 2)];
    let check = looked_at(&rig(vec![doubler, hub, high, converter], feeds));
    let running = |supply, outlet| check.outlet(at(supply, outlet)).unwrap().load.running;
    near(running(3, 1), 0.04, 1e-12);
    // 0.72 W / 0.8 / 9 V + 10 mA = 110 mA.
    near(running(2, 1), 0.11, 1e-12);
    // 0.99 W / 0.8 / 24 V + 10 mA = 61.5625 mA.
    near(running(1, 1), 0.061_562_5, 1e-12);
    near(check.supply(DeviceId(1)).unwrap().taken, 0.061_562_5 * 24.0 / 0.8 + 1.0, 1e-12);
    assert!(check.problems.is_empty(), "{:?}", check.problems);
    assert!(check.unfed.is_empty());
}

#[test]
fn a_distributor_passes_on_what_comes_in() {
    let adaptor = with(supply(1, mains(false), isolated(&[setting(9.0, 300.0, CentreNegative)])), |device| {
        let Kind::Supply(supply) = &mut device.kind else { unreachable!() };
        supply.outlets[0].settings[0].no_load = Some(Volts::of(13.6));
    });
    let sockets = vec![outlet(ZeroVolt::Inlet, vec![setting(9.0, 1000.0, CentreNegative)]); 2];
    let passive =
        with(supply(2, Power::Low(needs(vec![way(9.0, 18.0, CentreNegative, 0.0, 0.0)])), sockets), |device| {
            let Kind::Supply(supply) = &mut device.kind else { unreachable!() };
            (supply.passes, supply.efficiency) = (true, Turn::of(1.0));
        });
    let devices = vec![adaptor, passive, unit(10, nine(100.0)), unit(11, nine(50.0))];
    let feeds = vec![straight(50, at(1, 1), 2), straight(51, at(2, 1), 10), straight(52, at(2, 2), 11)];
    let check = looked_at(&rig(devices, feeds));
    // Half loaded, half-way from 13.6 V down to 9 V: 11.3 V; both share the adaptor's 0 V.
    near(check.outlet(at(1, 1)).unwrap().volts.unwrap(), 11.3, 1e-12);
    // 0.5 m of AWG 24, both ways, carry 150 mA up to the distributor. [S: gauge]
    let lost = 2.0 * 0.5 * 0.084_21 * 0.15;
    near(check.outlet(at(2, 1)).unwrap().volts.unwrap(), 11.3 - lost, 1e-6);
    assert_eq!(check.zero_volts.all().next().unwrap().1, [DeviceId(10), DeviceId(11)]);
}

#[test]
fn pairs_carry_it_together() {
    let outlets = isolated(&[setting(9.0, 100.0, CentreNegative), setting(9.0, 100.0, CentreNegative)]);
    let high = unit(10, needs(vec![way(18.0, 18.0, CentreNegative, 70.0, 70.0)]));
    let devices = vec![supply(1, mains(false), outlets.clone()), high];
    let check = looked_at(&rig(devices, vec![series(50, at(1, 1), at(1, 2), 10)]));
    assert!(check.problems.is_empty(), "{:?}", check.problems);
    near(check.feeds[0].volts.unwrap(), 18.0, 1e-12);
    for outlet in &check.supplies[0].outlets {
        near(outlet.load.running, 0.07, 1e-12);
    }
    let may = outlets.into_iter().map(|outlet| Outlet { parallel: true, ..outlet }).collect();
    let devices = vec![supply(1, mains(false), may), unit(10, nine(150.0))];
    let check = looked_at(&rig(devices, vec![parallel(50, at(1, 1), at(1, 2), 10)]));
    assert!(check.problems.is_empty(), "{:?}", check.problems);
    for outlet in &check.supplies[0].outlets {
        near(outlet.load.running, 0.075, 1e-12);
    }
}

#[test]
fn circles_and_what_is_missing_are_passed_over() {
    let module = |id| supply(id, Power::Low(nine(10.0)), isolated(&[setting(9.0, 500.0, CentreNegative)]));
    let feeds = vec![
        straight(50, at(1, 1), 2),
        straight(51, at(2, 1), 1),
        straight(52, at(7, 1), 10),
        straight(53, at(3, 9), 77),
        Feed { taps: Vec::new(), ..straight(54, at(3, 1), 10) },
    ];
    let check = looked_at(&rig(vec![module(1), module(2), module(3), unit(10, nine(5.0))], feeds));
    assert!(check.supplies.iter().all(|supply| !supply.fed));
    assert!(check.feeds.iter().all(|feed| feed.volts.is_none()));
    let lengthy = Feed {
        taps: vec![Tap { length: Metres::of(300.0), ..Tap::first(DeviceId(10)) }],
        ..straight(50, at(1, 1), 10)
    };
    let long = looked_at(&rig(vec![battery(1, 0.5), unit(10, nine(100.0))], vec![lengthy]));
    assert!(long.feeds[0].taps[0].volts.unwrap() < 9.0);
}
