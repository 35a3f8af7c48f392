//! Small random instances in which every rule has something to say.

use rigwright_tests::Dice;

use crate::assignment::mix::{Avoids, Colour, Ease, Member};
use crate::assignment::{Budget, Cost, Group, Instance, Kind, Levels, Mode, Pair, Single, Size, Slot};

/// Sizes and capacities are multiples of this, so that sums are exact.
const STEP: i64 = 250_000_000;

/// An instance, and how many items of each kind are to be placed.
pub fn instance(dice: &mut Dice) -> (Instance, Vec<usize>) {
    let types: Vec<Vec<Mode>> =
        (0..1 + dice.below(3)).map(|_| (0..1 + dice.below(2)).map(|_| mode(dice)).collect()).collect();
    let count = 2 + dice.below(3);
    let shares = dice.chance(0.5);
    let mut groups = Vec::new();
    let mut slots = Vec::new();
    let budgets: Vec<Budget> = (0..dice.below(3)).map(|_| budget(dice)).collect();
    for _ in 0..count {
        if groups.is_empty() || !shares || dice.chance(0.4) {
            groups.push(Group { closed: dice.chance(0.05) });
        }
        let exchange = dice.below(types.len());
        let weights = (0..budgets.len()).filter(|_| dice.chance(0.6)).collect::<Vec<_>>();
        let budgets = weights.into_iter().map(|at| (at, dice.pick(&[1.0, 1.0, 0.5]))).collect();
        let group = if shares { dice.below(groups.len()) } else { groups.len() - 1 };
        slots.push(Slot { modes: types[exchange].clone(), group, budgets, exchange, symmetry: 0 });
    }
    let kinds: Vec<Kind> = (0..1 + dice.below(3)).map(|_| kind(dice, &types, &slots)).collect();
    let counts = kinds.iter().map(|_| dice.pick(&[1, 1, 2, 2, 3])).collect();
    let mixes_colours = dice.chance(0.6);
    let mut it = Instance {
        kinds,
        slots,
        groups,
        budgets,
        most_items: dice.pick(&[1, 2, 3]),
        mixes_colours,
        minds_mixed: mixes_colours && dice.chance(0.6),
        ease: Ease { marked: dice.pick(&[0, 1, 2]), weight: dice.pick(&[5, 10]) },
        allows_excess: dice.chance(0.6),
        weighs_conflicts: dice.chance(0.7),
        tight: dice.pick(&[0, 0, 2]),
    };
    // A kind that is as another in all but its size, so that one is heavier.
    if dice.chance(0.4) {
        let mut light = it.kinds[0].clone();
        light.singles.iter_mut().for_each(|single| single.size.steady -= STEP.min(single.size.steady));
        it.kinds.push(light);
    }
    let mut counts: Vec<usize> = counts;
    counts.resize(it.kinds.len(), 1);
    while counts.iter().sum::<usize>() > 5 {
        let most = (0..counts.len()).max_by_key(|at| counts[*at]).unwrap();
        counts[most] -= 1;
    }
    it.find_symmetries();
    (it, counts)
}

fn mode(dice: &mut Dice) -> Mode {
    let (steady, spare) = (STEP * (1 + dice.below(4) as i64), dice.pick(&[0, 0, 1]));
    Mode {
        steady,
        easy: steady - STEP * spare,
        peak: steady + STEP * dice.below(2) as i64,
        factor: dice.pick(&[1.0, 2.0]),
        quality: dice.below(2) as u64,
        exclusive: dice.chance(0.15),
    }
}

fn budget(dice: &mut Dice) -> Budget {
    let steady = 0.5 * (1 + dice.below(5)) as f64;
    let easy = if dice.chance(0.1) { -0.5 } else { steady - dice.pick(&[0.0, 0.5]) };
    Budget { steady, peak: steady + dice.pick(&[0.0, 1.0]), easy }
}

fn member(dice: &mut Dice) -> Member {
    Member {
        colour: dice.pick(&[Colour::First, Colour::Second]),
        avoids: dice.pick(&[Avoids::Nobody, Avoids::Nobody, Avoids::OtherColour, Avoids::Everybody]),
        marked: dice.chance(0.4),
        weight: dice.pick(&[0, 0, 4, 7]),
    }
}

fn cost(dice: &mut Dice) -> Cost {
    let mut few = |chance| u32::from(dice.chance(chance));
    let levels = Levels { major: few(0.2), minor: few(0.3), ..Levels::default() };
    Cost::of(&levels) + Cost::amount(dice.below(3) as u64)
}

/// Slots of one type and like neighbours have like ways.
fn kind(dice: &mut Dice, types: &[Vec<Mode>], slots: &[Slot]) -> Kind {
    let size = Size { steady: STEP * dice.below(4) as i64, peak: STEP * dice.below(4) as i64 };
    let aside = dice.chance(0.1);
    let ways: Vec<Vec<(bool, Cost)>> =
        types.iter().map(|modes| modes.iter().map(|_| (dice.chance(0.7), cost(dice))).collect()).collect();
    let flips = dice.chance(0.3);
    let mut singles = Vec::new();
    for (at, slot) in slots.iter().enumerate() {
        for (mode, (may, cost)) in (0..).zip(&ways[slot.exchange]) {
            let there = &slot.modes[usize::from(mode)];
            if !may || size.steady > there.steady || size.peak > there.peak {
                continue;
            }
            for flipped in [false, true].into_iter().take(1 + usize::from(flips)) {
                let cost = *cost + Cost::MINOR * usize::from(flipped);
                singles.push(Single { slot: at, mode, flipped, size, cost });
            }
        }
    }
    let pairs = if aside || dice.chance(0.5) { Vec::new() } else { pairs(dice, types, slots) };
    Kind {
        singles,
        pairs,
        aside,
        member: member(dice),
        alone_in_slot: aside || dice.chance(0.2),
        alone_in_group: !aside && dice.chance(0.1),
        strict: dice.chance(0.2),
        sealed: dice.chance(0.1),
        shares_exclusive: dice.chance(0.4),
        exchange: 0,
        heavier: Vec::new(),
    }
}

/// In series of two groups, or side by side.
fn pairs(dice: &mut Dice, types: &[Vec<Mode>], slots: &[Slot]) -> Vec<Pair> {
    let size = Size { steady: STEP * 2 * dice.below(3) as i64, peak: STEP * 2 * dice.below(3) as i64 };
    let may: Vec<Vec<bool>> = types.iter().map(|_| types.iter().map(|_| dice.chance(0.5)).collect()).collect();
    let (shares, series, cost) =
        if dice.chance(0.5) { ((1.0, 1.0), true, cost(dice)) } else { ((0.5, 0.5), false, cost(dice)) };
    let mut found = Vec::new();
    for (first, a) in slots.iter().enumerate() {
        for (second, b) in slots.iter().enumerate() {
            let apart = a.group != b.group;
            if first == second || !may[a.exchange][b.exchange] || (series && !apart) {
                continue;
            }
            let fits = |slot: &Slot, part: f64| {
                let of = |size: i64| (size as f64 * part) as i64;
                of(size.steady) <= slot.modes[0].steady && of(size.peak) <= slot.modes[0].peak
            };
            if fits(a, shares.0) && fits(b, shares.1) {
                found.push(Pair { first, second, modes: (0, 0), flipped: false, size, shares, cost });
            }
        }
    }
    found
}
