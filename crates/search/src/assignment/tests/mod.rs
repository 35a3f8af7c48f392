//! The search beside every assignment there is, on small random instances.

mod judge;
mod random;

use std::cell::Cell;

use rigwright_tests::Dice;

use super::*;
use crate::watch::{Stopped, Unwatched, Watch};
use crate::{Answer, LeftOut};

const RUNS: u64 = 3000;

fn best(it: &Instance, counts: &[usize], options: Options<'_>) -> Answer<Vec<Placement>, Cost> {
    solve(it, counts, options, &Unwatched).unwrap()
}

#[test]
fn the_optimum_is_that_of_every_assignment_tried() {
    let (mut with_pairs, mut short, mut conflicts, mut heavier) = (0, 0, 0, 0);
    for seed in 0..RUNS {
        let (it, counts) = random::instance(&mut Dice::new(seed));
        let least = judge::least(&it, &counts);
        let plenty = Allowance::of(u64::MAX);
        let found = best(&it, &counts, Options::all(&plenty));
        assert!(found.proved && found.left_out.is_nothing(), "{seed}");
        assert_eq!(found.value.map(Cost::levels), Some(least.levels()), "{seed}: ours beside every assignment");
        assert_eq!(found.bound, least, "{seed}");
        // What the answer says is what its placements come to, one after another and by the rules written anew.
        let placements = found.best.unwrap();
        let (cost, fit) = evaluate(&it, &counts, &placements);
        assert_eq!((cost, fit.iter().all(|fits| *fits)), (least, true), "{seed}");
        let mut places: Vec<Option<Placement>> = placements.iter().copied().map(Some).collect();
        places.resize(counts.iter().sum(), None);
        assert_eq!(judge::judge(&it, &places), Some(least), "{seed}");
        with_pairs += usize::from(placements.iter().any(|placement| matches!(placement, Placement::Pair(..))));
        short += usize::from(least.unplaced() > 0);
        conflicts += usize::from(least.levels().conflicts > 0);
        heavier += usize::from(it.kinds.iter().any(|kind| !kind.heavier.is_empty()));
    }
    // The cases that are to be looked at are among them.
    assert!(
        with_pairs > 100 && short > 300 && conflicts > 50 && heavier > 50,
        "{with_pairs} {short} {conflicts} {heavier}"
    );
}

#[test]
fn nothing_costs_less_than_the_bound_wherever_the_search_ends() {
    let (mut cut, mut touched) = (0, 0);
    for seed in 0..RUNS {
        let mut dice = Dice::new(seed);
        let (it, counts) = random::instance(&mut dice);
        let least = judge::least(&it, &counts);
        let (plenty, few) = (Allowance::of(u64::MAX), Allowance::of(dice.below(2000) as u64));
        let nodes = Options { most_nodes: 1 + dice.below(6) as u64, ..Options::all(&plenty) };
        for options in [nodes, Options::all(&few)] {
            let found = best(&it, &counts, options);
            assert!(found.bound <= least, "{seed}: {:?} is no bound of {:?}", found.bound.levels(), least.levels());
            assert!(found.value.is_none_or(|value| value >= least), "{seed}");
            assert_eq!(found.proved, found.left_out.is_nothing());
            if found.proved {
                assert_eq!((found.value, found.bound), (Some(least), least), "{seed}");
            } else {
                cut += 1;
                touched += usize::from(found.bound == least);
            }
            assert!(found.nodes <= options.most_nodes.saturating_add(1));
        }
        // A greedy assignment is one.
        if let Some((cost, placements)) = greedy(&it, &counts, Options::all(&plenty)) {
            assert!(cost >= least, "{seed}");
            let (again, fit) = evaluate(&it, &counts, &placements);
            assert!(fit.iter().all(|fits| *fits), "{seed}");
            assert_eq!(again, cost, "{seed}");
        }
    }
    // A search that is cut off says so, and its bound is worth something.
    assert!(cut > 500 && touched > cut / 4, "{touched} of {cut}");
}

#[test]
fn only_what_costs_less_than_the_one_to_beat_is_an_answer() {
    for seed in 0..RUNS / 3 {
        let (it, counts) = random::instance(&mut Dice::new(seed));
        let least = judge::least(&it, &counts);
        let plenty = Allowance::of(u64::MAX);
        let none = best(&it, &counts, Options { below: least, ..Options::all(&plenty) });
        assert_eq!((none.best, none.value, none.bound, none.proved), (None, None, least, true), "{seed}");
        let just = Options { below: least + Cost::amount(1), ..Options::all(&plenty) };
        assert_eq!(best(&it, &counts, just).value, Some(least), "{seed}");
        // Known to be the least, it ends the search.
        let known = best(&it, &counts, Options { least, ..Options::all(&plenty) });
        assert_eq!((known.value, known.bound, known.proved), (Some(least), least, true), "{seed}");
    }
}

#[test]
fn how_many_go_without_is_as_few_as_can_be() {
    for seed in 0..RUNS {
        let (it, counts) = random::instance(&mut Dice::new(seed));
        let without = judge::least(&it, &counts).unplaced();
        let plenty = Allowance::of(u64::MAX);
        assert_eq!(unplaced_at_least(&it, &counts, &plenty), without, "{seed}");
        assert!(unplaced_at_least(&it, &counts, &Allowance::of(0)) <= without, "{seed}");
        let all = counts.iter().sum::<usize>();
        let most = placed_at_most(&it, &counts, None);
        assert!(most >= all - without, "{seed}");
        assert!((0..it.slots.len()).all(|slot| placed_at_most(&it, &counts, Some(slot)) <= most), "{seed}");
        let options = Options { below: Cost::UNPLACED, first: true, only_unplaced: true, ..Options::all(&plenty) };
        let found = best(&it, &counts, options);
        assert_eq!((found.best.is_some(), found.proved), (without == 0, true), "{seed}");
    }
}

struct Any(Vec<(Instance, Vec<usize>)>);

impl Alternatives for Any {
    fn count(&self) -> usize {
        self.0.len()
    }

    fn alternative(&self, at: usize) -> (&Instance, Vec<usize>) {
        (&self.0[at].0, self.0[at].1.clone())
    }
}

#[test]
fn the_best_of_alternatives_is_the_least_of_all() {
    for seed in 0..RUNS / 10 {
        let mut dice = Dice::new(seed);
        let any = Any((0..1 + dice.below(4)).map(|_| random::instance(&mut dice)).collect());
        let each: Vec<Cost> = any.0.iter().map(|(it, counts)| judge::least(it, counts)).collect();
        let least = each.iter().copied().min().unwrap();
        let found = solve_any(&any, Options::all(&Allowance::of(u64::MAX)), &Unwatched).unwrap();
        assert_eq!((found.value, found.bound, found.proved), (Some(least), least, true), "{seed}");
        let chosen = found.best.unwrap();
        assert_eq!(each[chosen.alternative], least, "{seed}");
        // With few steps it is still an assignment, and the bound is one.
        let few = Allowance::of(dice.below(4000) as u64);
        let found = solve_any(&any, Options::all(&few), &Unwatched).unwrap();
        assert!(found.bound <= least && found.value.is_some_and(|value| value >= least), "{seed}");
        assert!(found.proved || found.left_out.past_steps, "{seed}");
    }
    let none = solve_any(&Any(Vec::new()), Options::all(&Allowance::of(0)), &Unwatched).unwrap();
    assert_eq!((none.best, none.bound, none.proved, none.left_out), (None, Cost::WORST, true, LeftOut::NOTHING));
}

/// Stops at once.
struct Stop(Cell<u64>);

impl Watch for Stop {
    fn go_on(&self, _done: f64) -> bool {
        self.0.set(self.0.get() + 1);
        false
    }
}

#[test]
fn it_stops_when_told() {
    let any = Any(vec![random::instance(&mut Dice::new(1))]);
    let stop = Stop(Cell::new(0));
    assert_eq!(solve_any(&any, Options::all(&Allowance::of(u64::MAX)), &stop), Err(Stopped));
    assert_eq!(stop.0.get(), 1);
}
