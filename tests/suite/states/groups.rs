//! Too many switches to go through all their settings: they are taken in groups,
//! and what is told is never wider than the truth.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::response::{Request, respond};
use rigwright_core::rig::{Jack, JackRef, State};
use rigwright_core::states::{MOST_STEPS, Question, States, Target, explore, explore_within, work};
use rigwright_core::watch::Unwatched;

use super::brute::question;
use super::cap::{tree, within};
use crate::large::{chain, unit};
use crate::rigs::true_bypass;
use rigwright_core::rig::{Bypass, Rig};

fn line_cache() -> LineCache {
    LineCache::new(Sweep::logarithmic(20.0, 20_000.0, 6))
}

fn at_the_amp(rig: Rig) -> Question {
    let amp = rig.devices.last().expect("an amp").id;
    question(rig, Target::Endpoint(JackRef::new(amp, Jack::In)))
}

fn three_kinds(units: usize) -> Question {
    let kinds = [Bypass::True, Bypass::AlwaysLoading, Bypass::True, Bypass::Buffered, Bypass::True];
    at_the_amp(chain(units, |at| unit(kinds[at % kinds.len()], at)))
}

fn in_steps(most: u64, question: &Question) -> States {
    explore_within(most, question, &mut line_cache(), &Unwatched).expect("the guitar is heard")
}

#[test]
fn groups_are_never_wider_than_all_states() {
    for question in [three_kinds(9), at_the_amp(chain(9, |_| true_bypass(20e-12))), tree(4, 3, 3)] {
        let all = in_steps(u64::MAX, &question);
        assert!(all.exact);
        // What all of it takes at as many frequencies.
        let takes = work(&question) / 256 * line_cache().sweep().len() as u64;
        for most in [1, takes / 4, takes - 1] {
            let states = in_steps(most, &question);
            assert!(!states.exact, "{most} steps");
            assert!(states.note().contains("at least this wide, since"), "{}", states.note());
            within(&question, &states);
            // What there is to look at is counted all the same.
            assert_eq!((&states.switch_states, &states.different), (&all.switch_states, &all.different));
        }
    }
}

/// As many steps as the answer takes make it exact to the last bit; one less doesn't.
#[test]
fn what_fits_is_exact_to_the_digit() {
    let question = three_kinds(9);
    let plain = explore(&question, &mut LineCache::new(Sweep::audio())).expect("the guitar is heard");
    let takes = work(&question);
    let just = explore_within(takes, &question, &mut LineCache::new(Sweep::audio()), &Unwatched).expect("the same");
    assert!(plain.exact && just.exact);
    assert_eq!((plain.lowest_db(), plain.highest_db()), (just.lowest_db(), just.highest_db()));
    assert_eq!(plain.jumps, just.jumps);
    assert_eq!(plain.counted(), just.counted());
    let less = explore_within(takes - 1, &question, &mut LineCache::new(Sweep::audio()), &Unwatched).expect("groups");
    assert!(!less.exact);
}

/// All of 998 switches are told of, in a bounded number of steps: all their contexts
/// would be 998·997·996/6 and more, at 256 frequencies each 42·10⁹ [S: by-hand].
#[test]
fn a_thousand_devices_take_bounded_steps() {
    let question = at_the_amp(chain(998, |_| true_bypass(20e-12)));
    let states = explore(&question, &mut LineCache::new(Sweep::audio())).expect("the guitar is heard");
    assert!(!states.exact);
    let counted = states.counted();
    assert!(counted.context_steps + 8 * counted.stretch_steps <= MOST_STEPS, "{counted:?}");
    assert!(work(&question) <= 2 * MOST_STEPS, "{}", work(&question));
    assert_eq!(states.jumps.len(), 998);
    let order: Vec<u64> = states.jumps.iter().map(|jump| jump.device().0).collect();
    assert!(order.is_sorted(), "in the order of the signal");
    // The states that are named are real ones, and as loud as is said.
    for at in [0, 100, 200, 255] {
        for (db, on) in
            [(states.lowest_db()[at], states.lowest_state(at)), (states.highest_db()[at], states.highest_state(at))]
        {
            let state = State::default().with(&question.rig, &on);
            let request =
                Request { rig: Arc::clone(&question.rig), state, test_point: None, unfed: Default::default() };
            let answer = respond(&request, &mut LineCache::new(Sweep::at(&[states.hz()[at]])));
            let alone = answer.endpoints[0].at.curve.levels()[0].decibels().expect("a sound");
            // Neighbouring capacitors are added up before they are divided by: rounding, a thousand leads long.
            assert!((alone - db).abs() <= 1e-9, "{db} dB against {alone} dB");
        }
    }
}

/// Where there is time for some switches only, the others have no jump, and it is said.
#[test]
fn with_too_few_steps_some_switches_are_left_out() {
    let question = at_the_amp(chain(400, |_| true_bypass(20e-12)));
    let states = explore_within(1 << 20, &question, &mut line_cache(), &Unwatched).expect("the guitar is heard");
    assert!(!states.exact);
    assert!(!states.jumps.is_empty() && states.jumps.len() < 400, "{}", states.jumps.len());
    assert!(states.note().ends_with("only some were looked at, all others off"), "{}", states.note());
}
