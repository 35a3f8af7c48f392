//! The mains at home and on tour, against what devices are made for.

use super::*;
use crate::diagnosis::Severity;
use crate::power::{Headroom, PowerProblem, check, check_at};
use crate::rig::{Country, MainsSupply, Venue};

fn inlet(least: f64, most: f64) -> Device {
    let Power::Mains(mains) = mains(true) else { unreachable!() };
    let power = Power::Mains(Mains { least: Volts::of(least), most: Volts::of(most), ..mains });
    device(1, power, unit(1, nine(1.0)).kind)
}

fn problems(device: Device, mains: &MainsSupply) -> Vec<PowerProblem> {
    check_at(&rig(vec![device], Vec::new()), &Headroom::default(), mains).problems
}

fn home(volts: f64) -> MainsSupply {
    MainsSupply { volts: Volts::of(volts), tour: Vec::new() }
}

#[test]
fn too_high_is_a_danger_and_too_low_something_to_act_on() {
    let told = |least, most, volts| {
        let found = problems(inlet(least, most), &home(volts));
        assert!(found.len() < 2, "{found:?}");
        found.first().map(|problem| (problem.what.key(), problem.severity))
    };
    let (high, low) = (Some(("mains-too-high", Severity::Danger)), Some(("mains-too-low", Severity::Act)));
    // 230 V ± 10 %: a device for it bears 207 to 253 V. [S: mains-voltage]
    for (volts, expected) in [(206.0, low), (207.0, None), (230.0, None), (253.0, None), (254.0, high)] {
        assert_eq!(told(230.0, 230.0, volts), expected, "{volts} V");
    }
    // The nominal voltages of the world, on inlets as they are marked. [S: mains-world]
    assert_eq!(told(220.0, 240.0, 230.0), None);
    assert_eq!(told(220.0, 240.0, 120.0), low);
    assert_eq!(told(120.0, 120.0, 230.0), high);
    assert_eq!(told(120.0, 120.0, 127.0), None);
    assert_eq!(told(100.0, 100.0, 120.0), high);
    assert_eq!(told(120.0, 120.0, 100.0), low);
    for volts in [100.0, 110.0, 120.0, 127.0, 220.0, 230.0, 240.0] {
        assert_eq!(told(100.0, 240.0, volts), None, "{volts} V into a switch-mode inlet");
    }
}

#[test]
fn a_tour_names_the_country_and_tells_each_device_once() {
    let tour = [Country::UnitedStates, Country::Japan, Country::Germany].map(Venue::of).to_vec();
    let mains = MainsSupply { tour, ..MainsSupply::default() };
    let amp = with(inlet(220.0, 240.0), |device| device.name = "Valve amp".to_owned());
    let here = rig(vec![amp.clone()], Vec::new());
    let found = problems(amp, &mains);
    assert_eq!(found.len(), 1);
    assert_eq!(
        found[0].words(&here),
        "Valve amp takes 220 V of the mains at least and gets 100 V in Japan, and too little in 1 other place."
    );
    let american = with(inlet(120.0, 120.0), |device| device.name = "Organ".to_owned());
    let here = rig(vec![american.clone()], Vec::new());
    let found = problems(american, &mains);
    let said: Vec<String> = found.iter().map(|problem| problem.words(&here)).collect();
    assert_eq!(
        said,
        [
            "Organ takes 120 V of the mains at most and gets 230 V at home, and too much in 1 other place.",
            "Organ takes 120 V of the mains at least and gets 100 V in Japan.",
        ]
    );
    // What mends it passes the earth on.
    assert!(found.iter().all(|problem| problem.why().contains("passes the earth on")));
    assert!(found.iter().all(|problem| problem.what.is_of_mains()));
}

#[test]
fn an_old_project_is_played_on_230_v() {
    // [S: mains-voltage]
    assert_eq!(MainsSupply::default(), home(230.0));
    let rig = rig(vec![supply(1, mains(false), isolated(&[setting(9.0, 100.0, CentreNegative)]))], Vec::new());
    let plain = check(&rig, &Headroom::default());
    assert_eq!(check_at(&rig, &Headroom::default(), &MainsSupply::default()), plain);
}
