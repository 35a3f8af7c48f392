//! The lead equivalent: the metres of the guitar's own lead, straight into the
//! amp at the same knob positions, that put the peak at the same place; or why
//! there are none.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::response::{NoEquivalent, NoPeak, Request, respond};
use rigwright_core::rig::{Cable, Control, Kind, LeadId, Rig, State, TestPoint, Tuner};
use rigwright_core::units::{Metres, Turn};

use super::figures::random_guitar;
use crate::generator::Dice;
use crate::printed::{agrees, near};
use crate::rigs::{HB, SC, amp, bare_cable, buffer, chain, input, real_cable, response, straight, true_bypass, turned};

fn equivalent(rig: &Rig, state: &State) -> Result<f64, NoEquivalent> {
    response(rig, state).endpoints[0].at.lead_equivalent.clone()
}

fn plain(metres: f64, cable: &Cable) -> Rig {
    let kinds = vec![("guitar", Kind::Guitar(HB.guitar())), ("amp", amp(1e6, 100e-12))];
    chain(kinds, &[metres], cable)
}

/// A lead is its own equivalent, to 1 mm.
#[test]
fn a_straight_lead_gives_itself_back() {
    near(equivalent(&plain(7.3, &real_cable()), &State::default()).expect("7.3 m"), 7.3, 1e-3);
    for metres in [0.15, 1.0, 7.3, 40.0, 99.9] {
        gives_itself_back(metres, &State::default());
        gives_itself_back(metres, &turned(1, Control::Tone, 0.0));
    }
    for metres in [1.0, 7.3] {
        gives_itself_back(metres, &turned(1, Control::Volume, 0.95));
    }
}

/// Under a resistive load less capacitance also means a lower Q, and from some
/// length down the peak moves down again: f_pk = f_w·√(1 − 1/2Q²) [S: second-order], in
/// which Q falls as √C. The equivalent must not be lost there.
#[test]
fn a_straight_lead_gives_itself_back_with_the_tone_turned_down() {
    for metres in [0.15, 1.0, 7.3, 40.0] {
        gives_itself_back(metres, &turned(1, Control::Tone, 0.4));
    }
}

/// Whatever the guitar, a straight lead has an equivalent, and that one peaks at
/// the same place, to 0.1 Hz. (Where the peak hardly moves with the length, many
/// lengths do.)
#[test]
fn any_guitars_straight_lead_has_an_equivalent() {
    let mut dice = Dice::new(0x1ead);
    let (mut compared, mut lost) = (0, Vec::new());
    for case in 0..120 {
        let (rig, state) = random_guitar(&mut dice);
        let length = rig.leads[0].length.get();
        let at = response(&rig, &state).endpoints[0].at.clone();
        let Ok(peak) = at.peak else { continue };
        match at.lead_equivalent {
            Ok(metres) => {
                let mut other = rig.clone();
                other.leads[0].length = Metres::of(metres);
                let there = response(&other, &state).endpoints[0].at.peak.expect("a peak");
                near(there.hz, peak.hz, 0.1);
                near(there.height_db, peak.height_db, 1.0);
                compared += 1;
            }
            Err(why) => lost.push(format!("case {case}, {length} m, {peak:?}: {why:?}")),
        }
    }
    assert!(lost.is_empty(), "{} of {}: {}", lost.len(), lost.len() + compared, lost.join("\n"));
    assert!(compared > 60, "only {compared} of 120 random guitars have a peak");
}

#[track_caller]
fn gives_itself_back(metres: f64, state: &State) {
    for cable in [bare_cable(), real_cable()] {
        let at = response(&plain(metres, &cable), state).endpoints[0].at.clone();
        match at.lead_equivalent {
            Ok(found) => near(found, metres, 1e-3),
            Err(why) => panic!("{metres} m of {}: {why:?}, peak {:?}", cable.name, at.peak),
        }
    }
}

/// No lead at all is 0 m, and not "higher than with no lead".
#[test]
fn no_lead_is_no_metres() {
    for cable in [bare_cable(), real_cable()] {
        near(equivalent(&plain(0.0, &cable), &State::default()).expect("0 m"), 0.0, 1e-3);
    }
}

/// And the longest lead that is looked at is itself.
#[test]
fn the_longest_lead_is_itself() {
    for cable in [bare_cable(), real_cable()] {
        near(equivalent(&plain(100.0, &cable), &State::default()).expect("100 m"), 100.0, 1e-3);
    }
}

/// The board of [S: tone-jump], all off: all its capacitance hangs on one point, 1480 pF with
/// the amp's 100 pF, which the straight lead meets too: 13.8 m [S: dull-board].
#[test]
fn a_board_of_true_bypass_is_so_many_metres() {
    let rig = super::board::board(SC);
    near(equivalent(&rig, &State::default()).expect("metres"), 13.8, 1e-3);
}

fn behind_buffer(load: f64) -> Rig {
    chain(
        vec![("guitar", Kind::Guitar(HB.guitar())), ("loading unit", buffer(load, 1e3)), ("amp", amp(1e6, 0.0))],
        &[5.0, 3.0],
        &bare_cable(),
    )
}

/// A resistive load lowers the peak as no lead does [S: lead-equivalent]: 2.402 dB
/// above 200 Hz with 200 kΩ, and the lead that puts a peak at 2522 Hz leaves 6.766.
#[test]
fn resistive_loading_is_no_lead_and_is_named() {
    match equivalent(&behind_buffer(200e3), &State::default()) {
        Err(NoEquivalent::OtherHeight { rig_db, lead_db, loaded_by }) => {
            agrees(rig_db, "2.402");
            agrees(lead_db, "6.766");
            assert_eq!(loaded_by.as_deref(), Some("loading unit"));
        }
        other => panic!("expected another height, got {other:?}"),
    }
    let why = equivalent(&behind_buffer(200e3), &State::default()).unwrap_err().to_string();
    assert!(why.contains("loading unit"), "{why}");
}

/// [S: input-load]: 100 kΩ leave a top 0.28 dB above 200 Hz. That is no peak by
/// the program's definition, so that this is the reason.
#[test]
fn a_hundred_kilohms_leave_no_peak_to_match() {
    match equivalent(&behind_buffer(100e3), &State::default()) {
        Err(NoEquivalent::NoPeak(NoPeak::TooLow { height_db })) => {
            agrees(height_db, "0.28");
        }
        other => panic!("expected no peak, got {other:?}"),
    }
}

/// An amp of 300 pF loads the straight lead; a buffer right at the guitar doesn't.
#[test]
fn a_buffer_at_the_guitar_beats_any_lead() {
    let rig = chain(
        vec![("guitar", Kind::Guitar(HB.guitar())), ("buffer", buffer(1e6, 1e3)), ("amp", amp(1e6, 300e-12))],
        &[0.1, 6.0],
        &bare_cable(),
    );
    assert_eq!(equivalent(&rig, &State::default()), Err(NoEquivalent::LessThanNoLead));
}

#[test]
fn past_a_hundred_metres_there_is_none() {
    let long = chain(
        vec![("guitar", Kind::Guitar(HB.guitar())), ("unit", true_bypass(20e-12)), ("amp", amp(1e6, 0.0))],
        &[50.0, 55.0],
        &bare_cable(),
    );
    assert_eq!(equivalent(&long, &State::default()), Err(NoEquivalent::MoreThanLongest));
}

#[test]
fn silence_has_no_equivalent() {
    let silent = turned(1, Control::Volume, 0.0);
    let expected = Err(NoEquivalent::NoPeak(NoPeak::Silent));
    assert_eq!(equivalent(&straight(SC.guitar(), 6.0), &silent), expected);
}

/// A guitar on a tuner's tap and nowhere else: there is a peak at the test
/// point, and no amp to plug the straight lead into.
#[test]
fn without_an_endpoint_there_is_none() {
    let tap = Kind::Tuner(Tuner::Tap { input: input(1e6, 0.0) });
    let rig = chain(vec![("guitar", Kind::Guitar(HB.guitar())), ("tuner", tap)], &[5.0], &bare_cable());
    let point = TestPoint { lead: LeadId(1001), along: Turn::FULL };
    let request =
        Request { rig: Arc::new(rig), state: State::default(), test_point: Some(point), unfed: Default::default() };
    let answer = respond(&request, &mut LineCache::new(Sweep::audio()));
    assert!(answer.endpoints.is_empty());
    let at = answer.test_point.expect("the tuner hears the guitar");
    assert!(at.peak.is_ok());
    assert_eq!(at.lead_equivalent, Err(NoEquivalent::NoGuitarLead));
}
