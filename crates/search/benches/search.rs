//! How long the searches take: `cargo bench -p rigwright-search --bench search`.
//!
//! `assign`: 24 items of fifteen kinds over sixteen slots, some of them in two
//! modes, up to five items a slot, pairs allowed, to the best and its proof; each
//! slot a group of its own or four a group; all fit, or some go without. `select`:
//! the cheapest of forty columns that meets twelve demands. `relax` and `match_up`
//! are what a node of them takes: one linear relaxation, one matching. It says
//! what was found, what was proved, and in how many nodes.

#![allow(clippy::print_stdout, clippy::expect_used, missing_docs, reason = "it prints figures, and nobody looks on")]

use divan::{Bencher, black_box};
use rigwright_search::assignment::mix::{Avoids, Colour, Ease, Member};
use rigwright_search::assignment::{self, Budget, Cost, Group, Kind, Mode, Options, Pair, Single, Size, Slot};
use rigwright_search::cover::{self, Oracle, Row, Verdict};
use rigwright_search::{Allowance, Answer, Stopped, Unwatched, Watch, matching, simplex};
use rigwright_tests::Dice;

const CASES: [(usize, bool); 4] = [(1, true), (4, true), (1, false), (4, false)];

fn main() {
    for (to_a_group, fits) in CASES {
        let (it, counts) = sixteen_slots(to_a_group, fits);
        let found = assigned(&it, &counts);
        println!(
            "assign, {to_a_group} to a group, {}: {:?}, proved {}, {} nodes",
            if fits { "all fit" } else { "too many" },
            found.value.map(Cost::levels),
            found.proved,
            found.nodes
        );
    }
    for seed in 0..3 {
        let found = selected(&forty_columns(seed));
        println!("select {seed}: {:?}, proved {}, {} nodes", found.value, found.proved, found.nodes);
    }
    divan::main();
}

/// What a way costs by itself grows with what it takes.
fn cost(size: Size, minor: usize) -> Cost {
    Cost::MINOR * minor + Cost::amount(size.steady as u64 / 1000)
}

/// In millions.
fn size(steady: i64, peak: i64) -> Size {
    Size { steady: steady * 1_000_000, peak: peak * 1_000_000 }
}

fn mode(capacity: i64, quality: u64, factor: f64) -> Mode {
    let all = size(capacity, capacity);
    Mode {
        steady: all.steady * 9 / 10,
        easy: all.steady * 9 / 10,
        peak: all.peak,
        factor,
        quality,
        exclusive: quality == 3,
    }
}

/// Ways into all slots that have a mode of a quality.
fn singles(slots: &[Slot], quality: u64, size: Size) -> Vec<Single> {
    let mut found = Vec::new();
    for (at, slot) in slots.iter().enumerate() {
        for (number, mode) in (0..).zip(&slot.modes) {
            if mode.quality == quality && size.steady <= mode.steady && size.peak <= mode.peak {
                found.push(Single { slot: at, mode: number, flipped: false, size, cost: cost(size, 0) });
            }
        }
    }
    found
}

/// Two slots of the usual quality, of two groups, make one of the double.
fn pairs(slots: &[Slot], size: Size) -> Vec<Pair> {
    let usual = |at: usize| slots[at].modes[0].quality == 0 && size.steady <= slots[at].modes[0].steady;
    let places = (0..slots.len()).flat_map(|a| (0..slots.len()).map(move |b| (a, b)));
    let found = places.filter(|(a, b)| slots[*a].group != slots[*b].group && usual(*a) && usual(*b));
    let pair = |(first, second)| Pair {
        first,
        second,
        modes: (0, 0),
        flipped: false,
        size,
        shares: (1.0, 1.0),
        cost: cost(size, 1),
    };
    found.map(pair).collect()
}

fn sixteen_slots(to_a_group: usize, fits: bool) -> (assignment::Instance, Vec<usize>) {
    let modes = |at: usize| match at {
        0..6 => vec![mode(100, 0, 9.0)],
        6..10 => vec![mode(100, 0, 9.0), mode(100, 1, 12.0)],
        10..12 => vec![mode(200, 0, 9.0), mode(100, 2, 18.0)],
        12..15 => vec![mode(500, 0, 9.0)],
        _ => vec![mode(800, 3, 9.0)],
    };
    let slot = |at: usize| Slot {
        modes: modes(at),
        group: at / to_a_group,
        budgets: vec![(0, 1.0)],
        exchange: [0, 6, 10, 12, 15].iter().rposition(|from| at >= *from).unwrap_or(0),
        symmetry: 0,
    };
    let slots: Vec<Slot> = (0..16).map(slot).collect();
    let plain = |quality, size: Size| {
        let pairs = if quality == 2 { pairs(&slots, size) } else { Vec::new() };
        Kind { singles: singles(&slots, quality, size), pairs, ..Kind::default() }
    };
    let second = |size: Size| Kind {
        member: Member { colour: Colour::Second, avoids: Avoids::OtherColour, ..Member::default() },
        strict: true,
        ..plain(0, size)
    };
    let doubles = if fits { 2 } else { 9 };
    let mut kinds: Vec<(Kind, usize)> = (0..doubles).map(|at| (plain(2, size(15 + 5 * at, 60)), 1)).collect();
    kinds.extend([(second(size(250, 375)), 2), (second(size(150, 225)), 1), (plain(3, size(300, 500)), 1)]);
    kinds.push((plain(1, size(40, 60)), 1));
    let small = [(1, 1), (5, 4), (8, 2), (10, 3), (12, 2), (15, 2), (20, 2), (25, 1)];
    let mut left = 24 - kinds.iter().map(|(_, count)| count).sum::<usize>();
    for (steady, count) in small {
        let count = left.min(count);
        left -= count;
        kinds.push((plain(0, size(steady, 2 * steady)), count));
    }
    let (kinds, counts) = kinds.into_iter().unzip();
    let groups = vec![Group::default(); 16 / to_a_group];
    let budgets = vec![Budget { steady: 27.0, peak: 30.0, easy: 27.0 }];
    let mut it = assignment::Instance {
        kinds,
        slots,
        groups,
        budgets,
        most_items: 5,
        mixes_colours: false,
        minds_mixed: false,
        ease: Ease { marked: 2, weight: 400 },
        allows_excess: false,
        weighs_conflicts: false,
        tight: 0,
    };
    it.find_symmetries();
    (it, counts)
}

fn assigned(it: &assignment::Instance, counts: &[usize]) -> Answer<Vec<assignment::Placement>, Cost> {
    let allowance = Allowance::of(u64::MAX);
    let options = Options { most_nodes: 3_000_000, ..Options::all(&allowance) };
    assignment::solve(it, counts, options, &Unwatched).expect("nobody stops it")
}

/// All demands are there to begin with.
struct Whole;

impl Oracle for Whole {
    fn verdict(&mut self, _: &[usize], _: &Allowance<'_>, _: &dyn Watch) -> Result<Verdict, Stopped> {
        Ok(Verdict::Feasible)
    }

    fn row(&mut self, _: Option<&[usize]>, _: &Allowance<'_>) -> Row {
        Row::default()
    }

    fn helps(&mut self, _: Option<&[usize]>, counts: &[usize], _: &Allowance<'_>) -> Vec<bool> {
        vec![false; counts.len()]
    }
}

fn forty_columns(seed: u64) -> cover::Instance {
    let mut dice = Dice::new(seed);
    let column = |dice: &mut Dice| -> Vec<f64> {
        (0..12).map(|_| if dice.chance(0.35) { 1.0 + dice.below(5) as f64 } else { 0.0 }).collect()
    };
    let columns: Vec<Vec<f64>> = (0..40).map(|_| column(&mut dice)).collect();
    // What gives more costs more, by and large.
    let cost = |column: &Vec<f64>, dice: &mut Dice| cover::Cost {
        first: (10.0 * column.iter().sum::<f64>() * (0.7 + 0.01 * dice.below(61) as f64)).ceil() + 5.0,
        then: 1.0,
    };
    let costs = columns.iter().map(|column| cost(column, &mut dice)).collect();
    let demands = (0..12).map(|_| 4.0 + dice.below(12) as f64).collect();
    cover::Instance { demands, columns, costs, most: vec![20; 40] }
}

fn selected(it: &cover::Instance) -> Answer<Vec<usize>, cover::Cost> {
    let allowance = Allowance::of(u64::MAX);
    let options = cover::Options { known: None, most_nodes: 200_000, allowance: &allowance };
    cover::solve(it.clone(), &mut Whole, options, &Unwatched).expect("nobody stops it")
}

#[divan::bench(args = CASES, sample_count = 20)]
fn assign(bencher: Bencher<'_, '_>, (to_a_group, fits): (usize, bool)) {
    let (it, counts) = sixteen_slots(to_a_group, fits);
    bencher.bench_local(|| assigned(black_box(&it), &counts));
}

#[divan::bench(args = [0, 1, 2], sample_count = 20)]
fn select(bencher: Bencher<'_, '_>, seed: u64) {
    let it = forty_columns(seed);
    bencher.bench_local(|| selected(black_box(&it)));
}

#[divan::bench]
fn relax(bencher: Bencher<'_, '_>) {
    let it = forty_columns(0);
    let costs: Vec<f64> = it.costs.iter().map(|cost| cost.first).collect();
    bencher.bench_local(|| simplex::weights(black_box(&it.demands), &it.columns, &costs));
}

/// 24 things into sixteen places that take two each.
#[divan::bench]
fn match_up(bencher: Bencher<'_, '_>) {
    let mut dice = Dice::new(1);
    let wants: Vec<u128> = (0..24).map(|_| (dice.number() & dice.number() & 0xffff) as u128).collect();
    bencher.bench_local(|| matching::placed(black_box(&wants), &[2; 16]));
}
