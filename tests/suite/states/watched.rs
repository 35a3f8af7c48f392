//! Long work is watched: it says how far it is, and stops when told. And what
//! work there will be is known beforehand.

use std::cell::RefCell;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind, LeadId, TestPoint};
use rigwright_core::states::{NoStates, Question, Target, explore, explore_watched, work};
use rigwright_core::units::Turn;
use rigwright_core::watch::Watch;

use super::brute::question;
use super::cap::tree;
use crate::generator::healthy;
use crate::rigs::{HB, amp, chain, real_cable, true_bypass};

/// Notes what it is told, and says stop at the so-manieth time.
struct Noting {
    told: RefCell<Vec<f64>>,
    stop_at: usize,
}

impl Noting {
    fn until(stop_at: usize) -> Self {
        Self { told: RefCell::default(), stop_at }
    }

    fn calls(&self) -> usize {
        self.told.borrow().len()
    }
}

impl Watch for Noting {
    fn go_on(&self, done: f64) -> bool {
        self.told.borrow_mut().push(done);
        self.calls() < self.stop_at
    }
}

fn row(units: usize) -> Question {
    let mut kinds = vec![("guitar", Kind::Guitar(HB.guitar()))];
    kinds.extend((0..units).map(|_| ("unit", true_bypass(20e-12))));
    kinds.push(("amp", amp(1e6, 100e-12)));
    let metres: Vec<f64> = (0..=units).map(|at| 0.3 + 0.01 * at as f64).collect();
    let target = Target::Endpoint(JackRef::new(DeviceId(units as u64 + 2), Jack::In));
    question(chain(kinds, &metres, &real_cable()), target)
}

fn line_cache() -> LineCache {
    LineCache::new(Sweep::audio())
}

/// So many steps may pass between two calls: a few milliseconds on a slow machine.
const SELDOM: f64 = 2_500_000.0;

/// Many units in the way; side runs with too many choices; a row behind the spot.
fn long_ones() -> Vec<(&'static str, Question)> {
    let point = TestPoint { lead: LeadId(1002), along: Turn::of(0.5) };
    vec![
        ("in the way", row(64)),
        ("beside it", tree(4, 4, 12)),
        ("behind the spot", Question { target: Target::Point(point), ..row(40) }),
    ]
}

#[test]
fn it_says_how_far_it_is() {
    for (name, question) in long_ones() {
        let watch = Noting::until(usize::MAX);
        let watched = explore_watched(&question, &mut line_cache(), &watch).expect("a sound");
        let told = watch.told.borrow();
        assert_eq!(told[0], 0.0, "{name}: asked before anything is done");
        assert!(told.iter().all(|done| (0.0..=1.0).contains(done)), "{name}: {told:?}");
        assert!(told.is_sorted(), "{name}: {told:?}");
        assert!(told[told.len() - 1] > 0.7, "{name}: {told:?}");
        let total = work(&question) as f64;
        for pair in told.windows(2) {
            assert!((pair[1] - pair[0]) * total < SELDOM, "{name}: {pair:?} of {total} steps");
        }
        // Being watched changes nothing.
        let alone = explore(&question, &mut line_cache()).expect("a sound");
        assert_eq!((watched.lowest_db(), watched.highest_db()), (alone.lowest_db(), alone.highest_db()));
        assert_eq!(watched.jumps, alone.jumps);
    }
}

#[test]
fn it_stops_when_told_and_asks_no_more() {
    for (name, question) in long_ones() {
        let whole = Noting::until(usize::MAX);
        explore_watched(&question, &mut line_cache(), &whole).expect("a sound");
        let all = whole.calls();
        assert!(all > 5, "{name}: {all} calls");
        let some = [1, 2, 3, all / 3, all / 2, 2 * all / 3, all - 1, all];
        for stop_at in some {
            let watch = Noting::until(stop_at);
            let answer = explore_watched(&question, &mut line_cache(), &watch);
            assert_eq!(answer.err(), Some(NoStates::Stopped), "{name}, told at call {stop_at}");
            assert_eq!(watch.calls(), stop_at, "{name}");
        }
    }
}

/// Short work is asked once, before it begins.
#[test]
fn the_shortest_can_be_stopped_too() {
    let watch = Noting::until(1);
    let answer = explore_watched(&row(0), &mut LineCache::new(Sweep::at(&[1e3])), &watch);
    assert_eq!((answer.err(), watch.calls()), (Some(NoStates::Stopped), 1));
    let none = Question { target: Target::Endpoint(JackRef::new(DeviceId(77), Jack::In)), ..row(1) };
    assert_eq!(explore_watched(&none, &mut line_cache(), &Noting::until(1)).err(), Some(NoStates::NoWay));
}

/// [S: state-count]: C(n + 2, 2) stretches. Each is a context of the units that
/// are off in it, so there are Σ d·(n + 2 − d) over its units inside, which is
/// C(n + 2, 3): a first end, a unit and a last end of n + 2 places.
#[test]
fn a_row_takes_what_can_be_counted() {
    let mut before = 0;
    for units in [0_u64, 1, 2, 3, 5, 8, 13, 21, 34, 64] {
        let question = row(units as usize);
        let points = 10;
        let mut line_cache = LineCache::new(Sweep::logarithmic(20.0, 20_000.0, points));
        let counted = explore(&question, &mut line_cache).expect("a sound").counted();
        let places = units + 2;
        assert_eq!(counted.stretch_steps, places * (places - 1) / 2 * points as u64, "{units} units");
        let contexts = places * (places - 1) * (places - 2) / 6;
        assert_eq!(counted.context_steps, contexts * points as u64, "{units} units");
        // Two edges; of each unit two extremes, two curves and one alone.
        assert_eq!(counted.logarithms, (2 + 5 * units) * points as u64, "{units} units");
        // It grows with each unit, and is never less than what is counted then.
        let work = work(&question);
        let least = (counted.stretch_steps + counted.context_steps) / points as u64 * 256;
        assert!(work > before && work >= least, "{units} units: {work} after {before}, {least} counted");
        before = work;
    }
}

/// It grows with what hangs beside the way as well, and stops growing at the cap.
#[test]
fn work_of_side_runs() {
    let of_sides: Vec<u64> = (0..9).map(|sides| work(&tree(2, 2, sides))).collect();
    assert!(of_sides.windows(2).all(|pair| pair[0] < pair[1]), "{of_sides:?}");
    let (many, more) = (work(&tree(2, 2, 30)), work(&tree(2, 2, 40)));
    assert!(many > of_sides[8] && more < 2 * many, "{many} and {more}");
}

/// On random rigs the estimate covers what is counted, and has something to say
/// wherever there is an answer.
#[test]
fn work_covers_what_is_counted() {
    let mut seen = 0;
    for seed in 40_000..40_150 {
        let case = healthy(seed, 3 + seed as usize % 14);
        let leads = case.rig.leads.clone();
        for lead in leads.iter().take(4) {
            let point = TestPoint { lead: lead.id, along: Turn::of(0.5) };
            let mut question = question(case.rig.clone(), Target::Point(point));
            question.controls = case.state.clone();
            let Ok(states) = explore(&question, &mut LineCache::new(Sweep::at(&[1e3]))) else { continue };
            let counted = states.counted();
            let least = (counted.stretch_steps + counted.context_steps) * 256;
            assert!(work(&question) >= least, "seed {seed}: {} of {least}", work(&question));
            seen += 1;
        }
    }
    assert!(seen > 300, "{seen}");
}
