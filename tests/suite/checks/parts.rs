//! The catalogue's figures against the ranges and the circuits that they stand for.

use num_complex::Complex64;
use rigwright_core::parts::{Group, catalogue};
use rigwright_core::plan::{Through, plan};
use rigwright_core::rig::{Amp, Bypass, DeviceId, Kind, Power, State, Treadle};

use crate::printed::near;
use crate::rigs::{SC, bare_cable, chain};

fn kind(key: &str) -> Kind {
    catalogue().part(key).unwrap_or_else(|| panic!("no part {key}")).kind.clone()
}

fn amp(key: &str) -> Amp {
    let Kind::Amp(amp) = kind(key) else { panic!("{key} is no amp") };
    amp
}

/// A valve input has about 105-150 pF in all, its stray capacitance and its grid's. [memory]
#[test]
fn a_valve_input_has_its_grid_and_its_strays() {
    for key in ["valve-amp", "valve-amp-loop", "small-valve-amp"] {
        let amp = amp(key);
        let all = amp.input.capacitance.get() + amp.grid.expect("a valve").miller().get();
        assert!((105e-12..=150e-12).contains(&all), "{key}: {all}");
    }
}

/// The low jack: 68 kΩ to the grid, and from there 68 kΩ beside 99.2 pF (E18)
/// to 0 V. What that is at the jack is worked here as it stands in the circuit
/// [Kirchhoff]; the part has an equivalent.
#[test]
fn the_low_jack_shows_its_grid() {
    let amp = amp("valve-amp-low-jack");
    let strays = amp.input.capacitance.get();
    let rig = chain(vec![("guitar", Kind::Guitar(SC.guitar())), ("amp", Kind::Amp(amp))], &[5.0], &bare_cable());
    let plan = plan(&rig, &State::default());
    let Some(Through::End { load }) = plan.stations[0].in_state(&State::default()) else { panic!("an end") };
    for hz in [20.0, 1e3, 5e3, 20e3, 100e3] {
        let w = std::f64::consts::TAU * hz;
        let below = (Complex64::new(1.0 / 68e3, 0.0) + Complex64::new(0.0, w * 99.2e-12)).inv();
        let expected = (Complex64::new(68e3, 0.0) + below).inv() + Complex64::new(0.0, w * strays);
        let got = load.admittance(w);
        assert!((got - expected).norm() / expected.norm() < 1e-9, "{hz}: {got} {expected}");
    }
    near(load.conductance(), 1.0 / 136e3, 1e-12);
}

/// A true-bypass unit with its patch lead has 60-75 pF in all. [page: player article]
#[test]
fn a_unit_with_its_patch_lead() {
    let patch = catalogue().cable("patch-lead").expect("there is one");
    let lead = patch.cable.capacitance.get() * patch.default_length.get() + 2.0 * patch.cable.plug.get();
    let mut units = 0;
    for part in &catalogue().parts {
        let Some(pedal) = part.kind.pedal().filter(|pedal| pedal.bypass == Bypass::True) else { continue };
        let all = pedal.wiring.get() + lead;
        assert!((60e-12..=75e-12).contains(&all), "{}: {all}", part.key);
        units += 1;
    }
    assert!(units > 12, "{units}");
}

/// A wah has 70-150 kΩ, unless a buffer stands inside. [memory]
#[test]
fn a_wah_damps_the_pickup() {
    for (key, buffered) in [("wah", false), ("old-wah", false), ("wah-buffered", true)] {
        let Kind::Treadle(Treadle::Wah { pedal }) = kind(key) else { panic!("{key} is no wah") };
        let ohms = pedal.on.input.resistance.get();
        assert_eq!((70e3..=150e3).contains(&ohms), !buffered, "{key}: {ohms}");
    }
}

/// A tuner takes 20-100 mA; a plug-in wireless set runs on batteries of its own. [memory]
#[test]
fn what_tuners_and_plugs_take() {
    let tuners = catalogue().parts.iter().filter(|part| part.group == Group::Tuners);
    for part in tuners {
        let need = part.power.need().expect("a tuner takes power");
        assert!(need.ways.iter().all(|way| (20e-3..=100e-3).contains(&way.running.get())), "{}", part.key);
    }
    let plug = catalogue().part("small-wireless").expect("there is one").device(DeviceId(1));
    assert!(matches!(plug.power, Power::Battery(_)), "{:?}", plug.power);
}
