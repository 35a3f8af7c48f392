//! The figures of a response, as the program defines them: the highest
//! interior maximum at least 0.5 dB above 200 Hz; the highest frequency
//! 10·log10(2) dB below 200 Hz; each with its reason for being none.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::response::{NoMinus3, NoPeak, Request, respond};
use rigwright_core::rig::{Control, Jack, JackRef, Kind, LeadId, Rig, State, TestPoint};
use rigwright_core::units::{Level, Ohms, Turn};

use crate::generator::Dice;
use crate::oracle;
use crate::printed::{agrees, near};
use crate::rigs::{HB, SC, amp, bare_cable, buffer, chain, db, real_cable, response, straight, turned};

/// A straight guitar with everything drawn at random from the catalogue's ranges.
pub fn random_guitar(dice: &mut Dice) -> (Rig, State) {
    let mut guitar = HB.guitar();
    guitar.pickup.resistance = Ohms::of(dice.log(5e3, 20e3));
    guitar.pickup.inductance = rigwright_core::units::Henries::of(dice.log(1.0, 10.0));
    guitar.pickup.eddy_loss = dice.chance(0.5).then(|| Ohms::of(dice.log(300e3, 3e6)));
    let mut rig = straight(guitar, dice.log(0.5, 20.0));
    rig.leads[0].cable = real_cable();
    (rig, turned(1, Control::Tone, dice.unit()))
}

/// To 0.1 Hz against the nodal solve, scanned at every 0.02 Hz around the
/// place and at every 0.2 % over the whole band.
#[test]
fn the_peak_is_where_a_dense_scan_finds_it() {
    let mut dice = Dice::new(0x9ea6);
    let mut found = 0;
    for _ in 0..40 {
        let (rig, state) = random_guitar(&mut dice);
        let answer = response(&rig, &state);
        let netlist = oracle::Netlist::of(&rig, &state, None);
        let end = JackRef::new(rig.devices[1].id, Jack::In);
        let level = |hz: f64| netlist.level_at_jack(end, hz).expect("it sounds").db;
        let coarse: Vec<_> = (0..=3453).map(|i| 20.0 * 1.002_f64.powi(i)).map(|hz| (hz, level(hz))).collect();
        let tops = coarse.windows(3).filter(|w| w[1].1 > w[0].1 && w[1].1 >= w[2].1).map(|w| w[1]);
        let Some((place, top)) = tops.max_by(|a, b| a.1.total_cmp(&b.1)) else {
            assert_eq!(answer.endpoints[0].at.peak, Err(NoPeak::NoMaximum));
            continue;
        };
        let fine = (-400..=400).map(|i| place * (1.0 + f64::from(i) * 1e-5));
        let (place, _) = highest(fine, &level);
        let finest = (-50..=50).map(|i| place + f64::from(i) * 0.02);
        let (place, _) = highest(finest, &level);
        let height = top - level(200.0);
        match answer.endpoints[0].at.peak {
            Ok(peak) => {
                found += 1;
                near(peak.hz, place, 0.1);
                near(peak.db, level(place), 1e-6);
                near(peak.height_db, level(place) - level(200.0), 1e-6);
                assert!(height >= 0.5 - 1e-3);
            }
            Err(NoPeak::TooLow { height_db }) => {
                assert!(height_db < 0.5);
                near(height_db, height, 1e-3);
            }
            Err(why) => panic!("a maximum at {place} Hz was missed: {why:?}"),
        }
    }
    assert!(found >= 20, "only {found} of 40 random guitars have a peak to compare");
}

fn highest(hz: impl Iterator<Item = f64>, level: &impl Fn(f64) -> f64) -> (f64, f64) {
    hz.map(|hz| (hz, level(hz))).max_by(|a, b| a.1.total_cmp(&b.1)).expect("a scan")
}

/// Half a decibel is the border, which lies between 109 and 110 kΩ: loads on both
/// sides of it. [S: input-load]
#[test]
fn a_peak_begins_at_half_a_decibel() {
    for kilohms in 92..=140 {
        let kinds = vec![("guitar", Kind::Guitar(HB.guitar())), ("amp", amp(f64::from(kilohms) * 1e3, 0.0))];
        let answer = response(&chain(kinds, &[5.0], &bare_cable()), &State::default());
        let at = &answer.endpoints[0].at;
        match at.peak {
            Ok(peak) => {
                assert!(kilohms >= 110, "{kilohms} kΩ");
                if kilohms == 110 {
                    agrees(peak.height_db, "0.514");
                }
            }
            Err(NoPeak::TooLow { height_db }) => {
                assert!(kilohms <= 109, "{kilohms} kΩ");
                if kilohms == 109 {
                    agrees(height_db, "0.490");
                }
            }
            other => panic!("{kilohms} kΩ: {other:?}"),
        }
    }
}

#[test]
fn silence_has_no_figures() {
    let answer = response(&straight(SC.guitar(), 4.5), &turned(1, Control::Volume, 0.0));
    let at = &answer.endpoints[0].at;
    assert!(at.curve.levels().iter().all(|level| *level == Level::Silent));
    assert!(at.third_octaves().iter().all(|(_, level)| *level == Level::Silent));
    assert_eq!(at.peak, Err(NoPeak::Silent));
    assert_eq!(at.minus3, Err(NoMinus3::Silent));
}

/// A buffer's short lead falls 3 dB far above 20 kHz: 159.2 kHz for 1 kΩ and 1 nF [S: corner].
#[test]
fn minus3_beyond_the_band_is_none() {
    let kinds = vec![("source", Kind::Active(active(1e3))), ("amp", amp(1e6, 1e-9))];
    let answer = response(&chain(kinds, &[0.0], &bare_cable()), &State::default());
    assert_eq!(answer.endpoints[0].at.minus3, Err(NoMinus3::NeverCrosses));
    assert_eq!(answer.endpoints[0].at.peak, Err(NoPeak::NoMaximum));
}

fn active(output: f64) -> rigwright_core::rig::ActiveSource {
    let gain = rigwright_core::units::Ratio::of(1.0);
    rigwright_core::rig::ActiveSource::of(rigwright_core::rig::Instrument::Guitar, Ohms::of(output), gain)
}

/// 10·log10(2) dB below 200 Hz by definition, and lower from there on.
#[test]
fn minus3_is_the_highest_crossing() {
    for guitar in [SC, HB] {
        let answer = response(&straight(guitar.guitar(), 4.5), &State::default());
        let at = &answer.endpoints[0].at;
        let goal = db(at.level_at(200.0)) - 10.0 * 2f64.log10();
        let place = at.minus3.expect("a −3 dB point").hz;
        near(db(at.level_at(place)), goal, 1e-6);
        let above = at.curve.hz().iter().zip(at.curve.levels()).filter(|(hz, _)| **hz > place);
        assert!(above.map(|(_, level)| db(*level)).all(|level| level < goal));
    }
}

/// The curve, the level off the grid and the third-octaves are what a nodal solve
/// of the whole rig has there.
#[test]
fn curve_and_third_octaves_are_the_rigs() {
    let rig = chain(
        vec![("guitar", Kind::Guitar(SC.guitar())), ("buffer", buffer(470e3, 600.0)), ("amp", amp(1e6, 100e-12))],
        &[6.0, 9.0],
        &real_cable(),
    );
    let state = turned(1, Control::Volume, 0.7);
    let answer = response(&rig, &state);
    let at = &answer.endpoints[0].at;
    let netlist = oracle::Netlist::of(&rig, &state, None);
    let end = JackRef::new(rig.devices[2].id, Jack::In);
    let solved = |hz: f64| netlist.level_at_jack(end, hz).expect("it sounds").db;
    for (hz, level) in at.curve.hz().iter().zip(at.curve.levels()) {
        near(db(*level), solved(*hz), 1e-9);
        near(db(at.level_at(*hz)), solved(*hz), 1e-9);
    }
    // [S: third-octaves]
    let thirds = at.third_octaves();
    assert_eq!(thirds.len(), 31);
    for ((hz, level), n) in thirds.into_iter().zip(-17..) {
        let centre = 1000.0 * 10_f64.powf(f64::from(n) / 10.0);
        near(hz, centre, 1e-9 * centre);
        near(db(level), solved(centre), 1e-9);
    }
}

/// Where the curves are taken: at the test point, if one is set in this rig.
#[test]
fn the_test_point_comes_first() {
    let rig = Arc::new(straight(HB.guitar(), 5.0));
    let mut cache = LineCache::new(Sweep::audio());
    let mut at = |lead: u64| {
        let point = TestPoint { lead: LeadId(lead), along: Turn::of(0.5) };
        let request = Request {
            rig: Arc::clone(&rig),
            state: State::default(),
            test_point: Some(point),
            unfed: Default::default(),
        };
        respond(&request, &mut cache)
    };
    let there = at(1001);
    assert_eq!(there.main(), there.test_point.as_ref());
    assert!(there.test_point.is_some());
    let elsewhere = at(77);
    assert_eq!(elsewhere.test_point, None);
    assert_eq!(elsewhere.main(), Some(&elsewhere.endpoints[0].at));
}
