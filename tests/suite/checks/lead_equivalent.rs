//! The lead equivalent: the metres of the guitar's own lead, straight into the
//! amp at the same knob positions, that put the peak at the same place; or why
//! there are none (`design.md` §4).

use std::sync::Arc;

use rigwright_core::cascade::Bank;
use rigwright_core::network::Sweep;
use rigwright_core::response::{NoEquivalent, NoPeak, Request, respond};
use rigwright_core::rig::{
    Cable, Control, Kind, LeadId, Rig, State, TestPoint, Tuner,
};
use rigwright_core::units::Turn;

use crate::printed::near;
use crate::rigs::{
    HB, SC, amp, bare_cable, buffer, chain, input, on, real_cable, response, straight, true_bypass,
    turned,
};

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
    let states = [State::default(), turned(1, Control::Tone, 0.4), turned(1, Control::Volume, 0.9)];
    for state in states {
        for metres in [0.0, 0.15, 7.3, 40.0, 99.9] {
            for cable in [bare_cable(), real_cable()] {
                let rig = plain(metres, &cable);
                match equivalent(&rig, &state) {
                    Ok(found) => near(found, metres, 1e-3),
                    // A pot turned down may leave no peak; then there is nothing to match.
                    Err(NoEquivalent::NoPeak(_)) if state != State::default() => {}
                    // At the very ends a rounding may fall outside.
                    Err(why) => panic!("{metres} m of {}: {why:?}", cable.name),
                }
            }
        }
    }
    near(equivalent(&plain(7.3, &real_cable()), &State::default()).expect("7.3 m"), 7.3, 1e-3);
}

/// E19's board, all off: all its capacitance hangs on one point, 1480 pF with
/// the amp's 100 pF, which the straight lead meets too: 13.8 m [arithmetic].
#[test]
fn a_board_of_true_bypass_is_so_many_metres() {
    let unit = || true_bypass(20e-12);
    let kinds = vec![
        ("guitar", Kind::Guitar(SC.guitar())),
        ("first", unit()),
        ("second", unit()),
        ("third", unit()),
        ("fourth", unit()),
        ("fifth", unit()),
        ("amp", amp(1e6, 100e-12)),
    ];
    let rig = chain(kinds, &[5.0, 0.45, 0.45, 0.45, 0.45, 6.0], &bare_cable());
    near(equivalent(&rig, &State::default()).expect("metres"), 13.8, 1e-3);
}

fn behind_buffer(load: f64) -> Rig {
    chain(
        vec![
            ("guitar", Kind::Guitar(HB.guitar())),
            ("loading unit", buffer(load, 1e3)),
            ("amp", amp(1e6, 0.0)),
        ],
        &[5.0, 3.0],
        &bare_cable(),
    )
}

/// physics.md §1 and E20: a resistive load lowers the peak as no lead does: 1.828
/// dB at 200 kΩ, and the lead that puts a peak at 2522 Hz stands dBs above.
#[test]
fn resistive_loading_is_no_lead_and_is_named() {
    match equivalent(&behind_buffer(200e3), &State::default()) {
        Err(NoEquivalent::OtherHeight { rig_db, lead_db, loaded_by }) => {
            // The lead's peak at 2522 Hz, from the closed form of E1-E2 with the
            // tone capacitor a short [textbook]: about 6.4 dB above DC.
            assert!((5.0..8.0).contains(&lead_db), "{lead_db}");
            assert!((1.5..3.0).contains(&rig_db), "{rig_db}");
            assert_eq!(loaded_by.as_deref(), Some("loading unit"));
        }
        other => panic!("expected another height, got {other:?}"),
    }
    let why = equivalent(&behind_buffer(200e3), &State::default()).unwrap_err().to_string();
    assert!(why.contains("loading unit"), "{why}");
}

/// physics.md §1's own example, 100 kΩ: its top is 0.25 dB above 20 Hz, which
/// by design.md §4 is no peak, so that this is the reason.
#[test]
fn a_hundred_kilohms_leave_no_peak_to_match() {
    match equivalent(&behind_buffer(100e3), &State::default()) {
        Err(NoEquivalent::NoPeak(NoPeak::TooLow { height_db })) => {
            assert!((0.0..0.5).contains(&height_db), "{height_db}");
        }
        other => panic!("expected no peak, got {other:?}"),
    }
}

/// An amp of 300 pF loads the straight lead; a buffer right at the guitar doesn't.
#[test]
fn a_buffer_at_the_guitar_beats_any_lead() {
    let rig = chain(
        vec![
            ("guitar", Kind::Guitar(HB.guitar())),
            ("buffer", buffer(1e6, 1e3)),
            ("amp", amp(1e6, 300e-12)),
        ],
        &[0.1, 6.0],
        &bare_cable(),
    );
    assert_eq!(equivalent(&rig, &State::default()), Err(NoEquivalent::LessThanNoLead));
}

#[test]
fn past_a_hundred_metres_there_is_none() {
    let fifty = || {
        chain(
            vec![
                ("guitar", Kind::Guitar(HB.guitar())),
                ("unit", true_bypass(20e-12)),
                ("amp", amp(1e6, 0.0)),
            ],
            &[50.0, 55.0],
            &bare_cable(),
        )
    };
    assert_eq!(equivalent(&fifty(), &State::default()), Err(NoEquivalent::MoreThanLongest));
    // The unit on, the guitar sees 50.2 m, and the 1 MΩ of its input as the amp's.
    near(equivalent(&fifty(), &on(&[2])).expect("metres"), 50.2, 1e-3);
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
    let rig = chain(
        vec![("guitar", Kind::Guitar(HB.guitar())), ("tuner", tap)],
        &[5.0],
        &bare_cable(),
    );
    let point = TestPoint { lead: LeadId(1001), along: Turn::FULL };
    let request =
        Request { rig: Arc::new(rig), state: State::default(), test_point: Some(point) };
    let answer = respond(&request, &mut Bank::new(Sweep::audio()));
    assert!(answer.endpoints.is_empty());
    let at = answer.test_point.expect("the tuner hears the guitar");
    assert!(at.peak.is_ok());
    assert_eq!(at.lead_equivalent, Err(NoEquivalent::NoGuitarLead));
}
