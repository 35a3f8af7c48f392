//! The search beside every selection there is, on small random instances.

use std::cell::Cell;

use rigwright_tests::Dice;

use super::*;
use crate::watch::Unwatched;

const RUNS: u64 = 1500;

/// What is true of selections, of which the demands of an instance say a part.
struct Truth {
    /// Rows that have to be met too.
    hidden: Vec<Row>,
    /// A column that gives nothing towards the last hidden row without one of another.
    needs: Vec<Option<usize>>,
    /// In a part of all cases it isn't known whether a selection does.
    unknown: u64,
    asked: Cell<u64>,
}

impl Truth {
    /// What a selection gives towards a hidden row.
    fn gives(&self, row: usize, counts: &[usize]) -> f64 {
        let last = row + 1 == self.hidden.len();
        let counts_for = |column: usize| !last || self.needs[column].is_none_or(|other| counts[other] > 0);
        let each = (0..counts.len()).filter(|column| counts_for(*column));
        each.map(|column| self.hidden[row].gives[column] * counts[column] as f64).sum()
    }

    fn broken(&self, counts: &[usize]) -> Option<usize> {
        (0..self.hidden.len()).find(|row| self.gives(*row, counts) < self.hidden[*row].demand - EPSILON)
    }

    fn row_of(&self, items: Option<&[usize]>) -> usize {
        items.and_then(|items| items.iter().position(|count| *count > 0)).unwrap_or(self.hidden.len() - 1)
    }
}

impl Oracle for Truth {
    fn verdict(&mut self, counts: &[usize], _allowance: &Allowance<'_>, watch: &dyn Watch) -> Result<Verdict, Stopped> {
        if !watch.go_on(0.0) {
            return Err(Stopped);
        }
        self.asked.set(self.asked.get() + 1);
        if self.unknown > 0 && self.asked.get().is_multiple_of(self.unknown) {
            return Ok(Verdict::Unknown);
        }
        Ok(match self.broken(counts) {
            None => Verdict::Feasible,
            Some(row) => Verdict::Infeasible((0..self.hidden.len()).map(|at| usize::from(at == row)).collect()),
        })
    }

    fn row(&mut self, items: Option<&[usize]>, _allowance: &Allowance<'_>) -> Row {
        self.hidden[self.row_of(items)].clone()
    }

    fn helps(&mut self, items: Option<&[usize]>, _counts: &[usize], _allowance: &Allowance<'_>) -> Vec<bool> {
        let gives = &self.hidden[self.row_of(items)].gives;
        (0..gives.len()).map(|column| gives[column] > 0.0 || self.needs.contains(&Some(column))).collect()
    }
}

fn row(dice: &mut Dice, columns: usize, takes: f64) -> Row {
    let gives = |dice: &mut Dice| if dice.chance(takes) { -1.0 } else { dice.below(4) as f64 };
    Row { demand: dice.below(7) as f64, gives: (0..columns).map(|_| gives(dice)).collect() }
}

fn instance(dice: &mut Dice) -> (Instance, Truth) {
    let columns = 2 + dice.below(4);
    let free = dice.chance(0.3);
    let first = |dice: &mut Dice| if free && dice.chance(0.6) { 0.0 } else { 1.0 + dice.below(6) as f64 };
    let costs = (0..columns).map(|_| Cost { first: first(dice), then: 1.0 + dice.below(4) as f64 }).collect();
    let most = (0..columns).map(|_| 1 + dice.below(3)).collect();
    let mut it = Instance { demands: Vec::new(), columns: vec![Vec::new(); columns], costs, most };
    for _ in 0..1 + dice.below(3) {
        let row = row(dice, columns, 0.15);
        it.add_row(row);
    }
    let hidden = (0..1 + dice.below(2)).map(|_| row(dice, columns, 0.0)).collect();
    let needs = (0..columns).map(|at| Some(dice.below(columns)).filter(|other| *other != at && dice.chance(0.3)));
    let needs = needs.collect::<Vec<_>>();
    (it, Truth { hidden, needs, unknown: 0, asked: Cell::new(0) })
}

/// The cheapest of all selections.
fn least(it: &Instance, truth: &Truth) -> Option<Cost> {
    let mut best: Option<Cost> = None;
    let mut counts = vec![0; it.columns.len()];
    loop {
        let met = it.wanted(&counts).iter().all(|wanted| *wanted <= EPSILON);
        if met && truth.broken(&counts).is_none() {
            let cost = it.cost(&counts);
            best = Some(best.filter(|best| best.total_cmp(&cost).is_le()).unwrap_or(cost));
        }
        let Some(at) = (0..counts.len()).find(|at| counts[*at] < it.most[*at]) else { return best };
        counts[at] += 1;
        counts[..at].fill(0);
    }
}

fn options<'a>(allowance: &'a Allowance<'a>) -> Options<'a> {
    Options { known: None, most_nodes: u64::MAX, allowance }
}

#[test]
fn the_cheapest_selection_is_that_of_every_selection_tried() {
    let (mut some, mut none) = (0, 0);
    for seed in 0..RUNS {
        let (it, mut truth) = instance(&mut Dice::new(seed));
        let least = least(&it, &truth);
        let plenty = Allowance::of(u64::MAX);
        let found = solve(it.clone(), &mut truth, options(&plenty), &Unwatched).unwrap();
        assert_eq!((found.value, found.proved), (least, true), "{seed}: ours beside every selection");
        assert_eq!(found.bound, least.unwrap_or(Cost::WORST), "{seed}");
        if let Some(counts) = &found.best {
            assert_eq!(Some(it.cost(counts)), least, "{seed}");
            assert!(truth.broken(counts).is_none(), "{seed}");
        }
        *(if least.is_some() { &mut some } else { &mut none }) += 1;
        // One that is known already isn't found again, and is the answer where nothing is cheaper.
        let mut known = options(&plenty);
        known.known.clone_from(&found.best);
        let again = solve(it, &mut truth, known, &Unwatched).unwrap();
        assert_eq!((again.best, again.proved), (found.best, true), "{seed}");
    }
    assert!(some > 200 && none > 100, "{some} {none}");
}

#[test]
fn nothing_is_cheaper_than_the_bound_wherever_the_search_ends() {
    let (mut cut, mut undecided) = (0, 0);
    for seed in 0..RUNS {
        let mut dice = Dice::new(seed);
        let (it, mut truth) = instance(&mut dice);
        let least = least(&it, &truth).unwrap_or(Cost::WORST);
        let (plenty, few) = (Allowance::of(u64::MAX), Allowance::of(dice.below(400) as u64));
        let nodes = Options { most_nodes: 1 + dice.below(8) as u64, ..options(&plenty) };
        for options in [nodes, options(&few)] {
            let found = solve(it.clone(), &mut truth, options, &Unwatched).unwrap();
            assert!(found.bound.total_cmp(&least).is_le(), "{seed}: {:?} is no bound of {least:?}", found.bound);
            assert!(found.value.is_none_or(|value| value.total_cmp(&least).is_ge()), "{seed}");
            assert_eq!(found.proved, found.left_out.is_nothing(), "{seed}");
            cut += usize::from(!found.proved);
        }
        truth.unknown = 2;
        let found = solve(it, &mut truth, options(&plenty), &Unwatched).unwrap();
        assert!(found.value.is_none_or(|value| value.total_cmp(&least).is_ge()), "{seed}");
        assert!(found.bound.total_cmp(&least).is_le(), "{seed}");
        if found.proved {
            assert_eq!(found.value.unwrap_or(Cost::WORST), least, "{seed}");
        }
        undecided += usize::from(found.left_out.undecided);
    }
    assert!(cut > 300 && undecided > 100, "{cut} {undecided}");
}

#[test]
fn implied_rows_say_nothing_more() {
    for seed in 0..RUNS / 3 {
        let (it, mut truth) = instance(&mut Dice::new(seed));
        let mut fewer = it.clone();
        fewer.remove_implied_rows();
        assert!(fewer.demands.len() <= it.demands.len());
        let plenty = Allowance::of(u64::MAX);
        let all = solve(it, &mut truth, options(&plenty), &Unwatched).unwrap();
        assert_eq!(solve(fewer, &mut truth, options(&plenty), &Unwatched).unwrap().value, all.value, "{seed}");
    }
}
