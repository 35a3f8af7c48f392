//! How long batteries last, against figures that stand elsewhere.

use super::*;
use crate::power::battery::{capacity, used};
use crate::power::{BatteryLife, Headroom, check};

fn near(got: f64, expected: f64, within: f64) {
    assert!((got - expected).abs() <= within, "{got} instead of {expected}");
}

fn lives(rig: &Rig) -> Vec<BatteryLife> {
    check(rig, &Headroom::default()).batteries
}

/// 500-600 mAh at 25 mA, about 400 at 100, 250 at 250. [S: block]
#[test]
fn a_block_gives_less_the_more_is_drawn() {
    for (current, least, most) in [(0.001, 0.5, 0.6), (0.025, 0.5, 0.6), (0.1, 0.38, 0.42), (0.25, 0.23, 0.27)] {
        let got = capacity(0.55, current);
        assert!((least..=most).contains(&got), "{current} A: {got} Ah");
    }
    assert!(capacity(0.55, 0.05) < capacity(0.55, 0.03));
    assert_eq!((capacity(0.55, 20.0), capacity(0.0, 0.1), capacity(0.55, 0.0)), (0.0, 0.0, 0.55));
}

/// Half is used at 1.25 V a cell, at 0.9 V it is empty. [S: discharge]
#[test]
fn the_voltage_falls_as_an_alkaline_cells_does() {
    near(used(7.5 / 9.0), 0.5, 1e-9);
    near(used(5.4 / 9.0), 1.0, 1e-9);
    assert_eq!((used(1.2), used(0.3)), (0.0, 1.0));
    let parts: Vec<f64> = (30..110).map(|part| used(f64::from(part) / 100.0)).collect();
    assert!(parts.windows(2).all(|pair| pair[0] >= pair[1]), "{parts:?}");
}

/// The least that a 6LR61 must serve down to 5.4 V: 620 Ω 2 h a day 33 h, 270 Ω 1 h a day 12 h.
/// [S: least-service]
#[test]
fn the_least_service_that_the_standard_asks_lies_in_the_band() {
    for (ohms, hours) in [(620.0, 33.0), (270.0, 12.0)] {
        // A resistor draws less as the voltage falls: a hundred steps, each at its own current.
        let (mut least, mut most) = (0.0, 0.0);
        let steps: Vec<f64> = (60..=104).map(|percent| f64::from(percent) / 100.0).collect();
        for pair in steps.windows(2) {
            let amperes = 9.0 * 0.5 * (pair[0] + pair[1]) / ohms;
            let devices = vec![battery(1, 0.55), unit(10, nine(amperes * 1e3))];
            let life = lives(&rig(devices, vec![straight(50, at(1, 1), 10)]))[0].life.unwrap();
            let (empty, part) = (life.empty.unwrap(), used(pair[0]) - used(pair[1]));
            least += part * empty.least;
            most += part * empty.most;
        }
        assert!((least..=most).contains(&hours), "{ohms} Ω: {least} to {most} h, and the standard's {hours} h");
        // It is what the worst must do, so it lies in the lower half.
        assert!(hours < 0.5 * (least + most), "{ohms} Ω: {least} to {most} h");
    }
}

/// Blocks of five makes gave 310-490 mAh at 100 mA. [S: block]
#[test]
fn measured_blocks_lie_in_the_band_or_just_beside_it() {
    let devices = vec![battery(1, 0.55), unit(10, nine(100.0))];
    let life = lives(&rig(devices, vec![straight(50, at(1, 1), 10)]))[0].life.unwrap();
    let empty = life.empty.unwrap();
    // They were run down to nothing, past what counts as empty.
    assert!(empty.least * 0.1 < 0.310 && empty.most * 0.1 > 0.310 && empty.most * 0.1 < 0.490, "{empty:?}");
}

#[test]
fn a_battery_lasts_down_to_what_its_unit_is_made_for() {
    let own =
        Power::Battery(Battery { volts: Volts::of(9.0), capacity: AmpereHours::of(0.5), draw: Amperes::of(0.001) });
    let active = device(3, own, unit(3, nine(1.0)).kind);
    let of = |need: Need| {
        let devices = vec![battery(1, 0.55), battery(2, 0.35), active.clone(), unit(10, need)];
        let found = check(&rig(devices, vec![straight(50, at(1, 1), 10)]), &Headroom::default());
        assert_eq!((found.mains.plugs, found.mains.watts()), (0, 0.0));
        found.batteries
    };
    let found = of(nine(11.0));
    // 550 mAh / 11 mA are 50 h; of them 0.6-1.1 to 5.4 V, and a quarter of those to 8.1 V, 1.35 V a cell.
    let life = found[0].life.unwrap();
    near(life.empty.unwrap().least, 30.0, 1e-9);
    near(life.empty.unwrap().most, 55.0, 1e-9);
    near(life.until.unwrap(), 8.1, 1e-9);
    near(life.hours.least, 7.5, 1e-9);
    near(life.hours.most, 13.75, 1e-9);
    // Nothing on the second; the third's own device: 500 mAh / 1 mA.
    assert_eq!(found[1].life, None);
    let own = found[2].life.unwrap();
    near(own.hours.least, 300.0, 1e-9);
    near(own.hours.most, 550.0, 1e-9);
    assert_eq!(own.empty, None);
    // A unit that works down to 6 V, less a tenth: there it is empty.
    let modest = of(needs(vec![way(6.0, 9.0, CentreNegative, 11.0, 11.0)]))[0].life.unwrap();
    near(modest.until.unwrap(), 5.4, 1e-9);
    near(modest.hours.middle(), 42.5, 1e-9);
    assert_eq!(modest.empty, None);
}

#[test]
fn a_pack_behind_a_converter_keeps_its_voltage() {
    let pack = with(battery(1, 5.0), |device| {
        let Power::Battery(battery) = &mut device.power else { unreachable!() };
        battery.volts = Volts::of(11.0);
        let Kind::Supply(supply) = &mut device.kind else { unreachable!() };
        supply.efficiency = Turn::of(0.9);
    });
    let life = lives(&rig(vec![pack, unit(10, nine(100.0))], vec![straight(50, at(1, 1), 10)]))[0].life.unwrap();
    // 55 Wh over 0.9 W / 0.9 = 1 W; a fifth less when it is old. [S: pack]
    near(life.hours.most, 55.0, 1e-9);
    near(life.hours.least, 44.0, 1e-9);
    assert_eq!((life.until, life.empty), (None, None));
}
