//! The catalogue's figures against the ranges and the circuits that they stand for.

use num_complex::Complex64;
use rigwright_core::parts::{Group, catalogue};
use rigwright_core::plan::{Behaviour, plan};
use rigwright_core::rig::{
    ActiveSource, Amp, Bypass, DeviceId, Instrument, Kind, LevelPot, Pot, Power, State, Taper, Treadle,
};
use rigwright_core::units::{Farads, Ohms, Ratio, Turn};

use crate::printed::{agrees, near};
use crate::rigs::{SC, bare_cable, chain, db, response};

fn kind(key: &str) -> Kind {
    catalogue().part(key).unwrap_or_else(|| panic!("no part {key}")).kind.clone()
}

fn amp(key: &str) -> Amp {
    let Kind::Amp(amp) = kind(key) else { panic!("{key} is no amp") };
    amp
}

/// A valve input has about 105-150 pF in all, its stray capacitance and its grid's. [S: valve-inputs]
#[test]
fn a_valve_input_has_its_grid_and_its_strays() {
    for key in ["valve-amp", "valve-amp-loop", "small-valve-amp"] {
        let amp = amp(key);
        let all = amp.input.capacitance.get() + amp.grid.expect("a valve").miller().get();
        assert!((105e-12..=150e-12).contains(&all), "{key}: {all}");
    }
}

/// The low jack: 68 kΩ to the grid, and from there 68 kΩ beside 99.2 pF [S: miller]
/// to 0 V. What that is at the jack is worked here as it stands in the circuit
/// [S: nodal]; the part has an equivalent.
#[test]
fn the_low_jack_shows_its_grid() {
    let amp = amp("valve-amp-low-jack");
    let strays = amp.input.capacitance.get();
    let rig = chain(vec![("guitar", Kind::Guitar(SC.guitar())), ("amp", Kind::Amp(amp))], &[5.0], &bare_cable());
    let plan = plan(&rig, &State::default());
    let Some(Behaviour::End { load }) = plan.stations[0].in_state(&State::default()) else { panic!("an end") };
    for hz in [20.0, 1e3, 5e3, 20e3, 100e3] {
        let w = std::f64::consts::TAU * hz;
        let below = (Complex64::new(1.0 / 68e3, 0.0) + Complex64::new(0.0, w * 99.2e-12)).inv();
        let expected = (Complex64::new(68e3, 0.0) + below).inv() + Complex64::new(0.0, w * strays);
        let got = load.admittance(w);
        assert!((got - expected).norm() / expected.norm() < 1e-9, "{hz}: {got} {expected}");
    }
    near(load.conductance(), 1.0 / 136e3, 1e-12);
}

/// A true-bypass unit with its patch lead has 60-75 pF in all. [S: true-bypass-unit]
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

/// A wah has 70-150 kΩ, unless a buffer stands inside. [S: wah-input]
#[test]
fn a_wah_damps_the_pickup() {
    for (key, buffered) in [("wah", false), ("old-wah", false), ("wah-buffered", true)] {
        let Kind::Treadle(Treadle::Wah { pedal }) = kind(key) else { panic!("{key} is no wah") };
        let ohms = pedal.on.input.resistance.get();
        assert_eq!((70e3..=150e3).contains(&ohms), !buffered, "{key}: {ohms}");
    }
}

/// A tuner takes 20-100 mA; a plug-in wireless set runs on batteries of its own. [S: tuner-draw]
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

/// A level pot as a source: what is above its wiper, the stage that drives it
/// before that, beside what is below [S: level-pot]. At half of its resistance and
/// driven from next to nothing a quarter of it: 25 kΩ of 100 kΩ.
#[test]
fn a_level_pot_is_a_source_by_where_it_stands() {
    let pot = |ohms: f64, turn: f64| LevelPot { pot: Pot::of(Ohms::of(ohms), Taper::Linear), turn: Turn::of(turn) };
    near(pot(100e3, 0.5).output(Ohms::of(0.0)).get(), 25e3, 1e-9);
    near(pot(500e3, 0.5).output(Ohms::of(0.0)).get(), 125e3, 1e-9);
    // α(1 − α)R at a tenth: 0.1·0.9·500 kΩ = 45 kΩ.
    near(pot(500e3, 0.1).output(Ohms::of(0.0)).get(), 45e3, 1e-6);
    // Full up only the pot itself lies beside the stage: 10 ∥ 100 = 9.0909 kΩ; closed there is nothing.
    near(pot(100e3, 1.0).output(Ohms::of(10e3)).get(), 1e9 / 110e3, 1e-6);
    assert_eq!(pot(100e3, 0.0).output(Ohms::of(10e3)).get(), 0.0);
}

/// The pots that parts name [S: level-pot]: a two-transistor fuzz has 500 kΩ, and an output that
/// nobody made up beside it.
#[test]
fn outputs_of_level_pots_follow_the_pot_that_is_named() {
    let pot = |key: &str| catalogue().part(key).unwrap().kind.pedal().unwrap().level_pot.expect(key);
    for key in ["low-impedance-fuzz", "classic-fuzz"] {
        assert_eq!(pot(key).pot.resistance, Ohms::of(500e3), "{key}");
    }
    // 25.25 kΩ: (1 + 50) beside 50 kΩ [S: by-hand].
    let distortion = catalogue().part("hard-clipping-distortion").unwrap().kind.pedal().unwrap().output();
    near(distortion.get(), 51e3 * 50e3 / 101e3, 1e-6);
    // 15 % of 100 kΩ below the wiper: (1 + 85) beside 15 kΩ.
    let drive = catalogue().part("mild-drive").unwrap().kind.pedal().unwrap().output();
    near(drive.get(), 86e3 * 15e3 / 101e3, 1e-6);
}

/// A treble booster has 8-20 kΩ behind about 5 nF, and 15-25 dB. [S: treble-booster]
/// Behind a buffer of 10 kΩ, off, it takes what a divider of complex impedances says [S: nodal].
#[test]
fn a_treble_booster_lets_only_treble_in() {
    let booster = kind("treble-booster");
    let pedal = booster.pedal().unwrap();
    let (ohms, farads) = (pedal.on.input.resistance.get(), pedal.on.input.coupling.expect("a capacitor").get());
    assert!((8e3..=20e3).contains(&ohms) && (4e-9..=6e-9).contains(&farads), "{ohms} {farads}");
    assert!((15.0..=25.0).contains(&pedal.on.level.get()));
    assert_eq!(pedal.on.input, pedal.off.input, "it hangs on the guitar while off, too");
    let source = ActiveSource::of(Instrument::Guitar, Ohms::of(10e3), Ratio::of(1.0));
    let kinds =
        vec![("source", Kind::Active(source)), ("booster", booster.clone()), ("amp", crate::rigs::amp(1e9, 0.0))];
    let answer = response(&chain(kinds, &[0.0, 0.0], &bare_cable()), &State::default());
    for hz in [100.0, 1e3, 5e3] {
        let w = std::f64::consts::TAU * hz;
        let inside = Complex64::new(1.0 / ohms, w * pedal.off.input.capacitance.get()).inv();
        let load = (inside + Complex64::new(0.0, -1.0 / (w * farads))).inv();
        let all = load + Complex64::new(1e-9, w * pedal.wiring.get());
        let expected = -20.0 * (1.0 + 10e3 * all).norm().log10();
        near(db(answer.endpoints[0].at.level_at(hz)), expected, 1e-9);
    }
}

/// A passive piezo is an EMF behind about 1 nF: into R it falls 3 dB at 1/2πRC,
/// 159.2 Hz for 1 MΩ [S: piezo], and a lead's capacitance c takes the same of
/// all above it, 20·log10(1 + c/C), with 600 pF 4.08 dB.
#[test]
fn a_bare_piezo_loses_its_lows_in_a_megohm() {
    let Kind::Active(source) = kind("passive-piezo") else { panic!("a source") };
    assert_eq!(source.piezo.map(Farads::get), Some(1e-9));
    let source = ActiveSource { output: Ohms::of(0.0), ..source };
    let level = |metres: f64, hz: f64| {
        let kinds = vec![("piezo", Kind::Active(source.clone())), ("amp", crate::rigs::amp(1e6, 0.0))];
        let answer = response(&chain(kinds, &[metres], &bare_cable()), &State::default());
        db(answer.endpoints[0].at.level_at(hz))
    };
    near(level(0.0, 159.154_943), -10.0 * 2f64.log10(), 1e-6);
    // At 20 kHz the 1 MΩ still take their ten-thousandth of a decibel.
    let conductance = 1e-6 / (std::f64::consts::TAU * 20e3 * 1e-9);
    near(level(6.0, 20e3), -20.0 * 1.6f64.hypot(conductance).log10(), 1e-6);
    assert!(level(0.0, 20.0) < -18.0);
}

/// What lies across an output rolls off with its resistance: 10 kΩ and 1 nF
/// at 15.92 kHz [S: corner].
#[test]
fn a_capacitance_at_an_output_is_behind_its_resistance() {
    let mut stage = crate::rigs::stage(1e9, 10e3);
    stage.output_capacitance = Farads::of(1e-9);
    let unit = Kind::Buffer(rigwright_core::rig::Buffer { stage, wiring: Farads::of(0.0) });
    let source = ActiveSource::of(Instrument::Guitar, Ohms::of(0.0), Ratio::of(1.0));
    let kinds = vec![("source", Kind::Active(source)), ("unit", unit), ("amp", crate::rigs::amp(1e9, 0.0))];
    let answer = response(&chain(kinds, &[0.0, 0.0], &bare_cable()), &State::default());
    let corner = 1.0 / (std::f64::consts::TAU * 10e3 * 1e-9);
    agrees(corner / 1e3, "15.92");
    near(db(answer.endpoints[0].at.level_at(corner)), -10.0 * 2f64.log10(), 1e-3);
}

/// Highest voltages by kind, a string struck hard: single coil 0.3-1 V, humbucker
/// 0.5-2, high output 3, active 2-4, bass 1-3. [S: instrument-peaks]
#[test]
fn instruments_say_how_loud_they_are() {
    let ranges = [
        ("single-coil-guitar", 0.3..=1.0),
        ("parallel-coils-guitar", 0.3..=1.0),
        ("vintage-humbucker-guitar", 0.5..=2.0),
        ("covered-humbucker-guitar", 0.5..=2.0),
        ("high-output-guitar", 3.0..=3.0),
        ("passive-bass", 1.0..=3.0),
        ("active-bass", 2.0..=4.0),
        ("active-pickup-guitar", 2.0..=4.0),
    ];
    for (key, range) in ranges {
        let peak = match kind(key) {
            Kind::Guitar(guitar) => guitar.peak,
            Kind::Active(source) => source.peak,
            other => panic!("{other:?}"),
        };
        let volts = peak.unwrap_or_else(|| panic!("{key} says nothing")).get();
        assert!(range.contains(&volts), "{key}: {volts}");
    }
}

/// Guitar amps to 5 kHz, what is made for all frequencies to 10. [S: heard-to]
#[test]
fn how_far_up_a_change_is_heard() {
    let heard = |key: &str| catalogue().part(key).unwrap().device(DeviceId(1)).heard_to().map(|hz| hz.get());
    for key in ["valve-amp", "solid-state-amp", "small-valve-amp"] {
        assert_eq!(heard(key), Some(5e3), "{key}");
    }
    for key in ["acoustic-amp", "active-di", "transformer-di", "interface-hi-z", "interface-line", "powered-speaker"] {
        assert_eq!(heard(key), Some(10e3), "{key}");
    }
    assert_eq!(heard("mild-drive"), None);
}
