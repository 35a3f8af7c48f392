//! How many states and stretches there are, where it can be counted on paper.

use std::sync::Arc;

use rigwright_core::cascade::LineCache;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{DeviceId, Jack, JackRef, Kind, Rig, State};
use rigwright_core::states::{NoStates, Question, States, Target, explore};

use crate::printed::near;
use crate::rigs::{HB, amp, chain, real_cable, true_bypass};

/// So many true-bypass units between a guitar and an amp.
fn row(units: usize) -> Rig {
    let mut kinds = vec![("guitar", Kind::Guitar(HB.guitar()))];
    kinds.extend((0..units).map(|_| ("unit", true_bypass(20e-12))));
    kinds.push(("amp", amp(1e6, 100e-12)));
    let metres: Vec<f64> = (0..=units).map(|at| 0.3 + 0.01 * at as f64).collect();
    chain(kinds, &metres, &real_cable())
}

fn ask(rig: Rig, device: u64) -> Result<States, NoStates> {
    let target = Target::Endpoint(JackRef::new(DeviceId(device), Jack::In));
    let question = Question { rig: Arc::new(rig), controls: State::default(), target, unfed: Default::default() };
    explore(&question, &mut LineCache::new(Sweep::at(&[100.0, 1e3, 5e3])))
}

fn of_row(units: usize) -> States {
    ask(row(units), units as u64 + 2).expect("the guitar is heard")
}

/// [S: state-count]: 2ⁿ states, C(n + 2, 2) stretches; 45 for n = 8
/// against 256 states.
#[test]
fn stretches_and_states_of_a_row() {
    for (units, stretches, states) in [(0, 1, "1"), (1, 3, "2"), (2, 6, "4"), (5, 21, "32"), (8, 45, "256")] {
        let answer = of_row(units);
        assert_eq!(answer.stretches(), stretches);
        assert_eq!(answer.switch_states.to_string(), states);
        // Each of them sounds different in principle: some stretch is another one.
        assert_eq!(answer.different.to_string(), states);
        near(answer.switch_states.log2(), units as f64, 0.0);
        assert!(answer.exact && answer.jumps.len() == units);
    }
}

/// 2⁶⁴ [S: state-count] is one more than the largest number of 64 bits.
#[test]
fn sixty_four_units_are_counted_and_covered() {
    let answer = of_row(64);
    assert_eq!(answer.switch_states.to_string(), "18446744073709551616");
    assert_eq!(answer.switch_states.to_string(), (u128::from(u64::MAX) + 1).to_string());
    assert_eq!(answer.different, answer.switch_states);
    near(answer.switch_states.log2(), 64.0, 0.0);
    assert_eq!(answer.stretches(), 66 * 65 / 2);
    assert!(answer.exact);
    let states = ["18", "446", "744", "073", "709", "551", "616"].join("\u{202F}");
    assert_eq!(answer.note(), format!("{states} footswitch states, every one covered exactly"));
    // In the order of the signal.
    assert_eq!(answer.jumps.iter().map(|jump| jump.device().0).collect::<Vec<_>>(), (2..66).collect::<Vec<_>>());
}

#[test]
fn what_is_not_there_has_no_way() {
    assert_eq!(ask(row(3), 77).expect_err("no such device"), NoStates::NoWay);
    let mut cut = row(3);
    cut.leads.remove(2);
    assert_eq!(ask(cut, 5).expect_err("a lead is missing"), NoStates::NoWay);
}
