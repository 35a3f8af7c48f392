//! The rules written down once more, for whole assignments, and every assignment tried.

use crate::assignment::mix::{Avoids, Member};
use crate::assignment::{Cost, Instance, Kind, LAST_BIT, Levels, Pair, Placement, Size};

/// Where each item is, if it is anywhere.
type Places = [Option<Placement>];

/// An item in one slot.
struct There<'a> {
    kind: &'a Kind,
    mode: u8,
    flipped: bool,
    size: Size,
    /// The part of its size there.
    part: f64,
    alone: bool,
}

/// What an assignment costs, if it keeps all rules.
pub fn judge(it: &Instance, places: &Places) -> Option<Cost> {
    let placed: Vec<Placement> = places.iter().flatten().copied().collect();
    let (mut tight, mut conflicts, mut shared) = (it.tight as usize, 0, 0);
    for slot in 0..it.slots.len() {
        let items = in_slot(it, &placed, slot);
        let (is_tight, is_mixed) = judge_slot(it, slot, &items)?;
        tight += usize::from(is_tight);
        conflicts += usize::from(is_mixed);
        shared += items.len().saturating_sub(1);
    }
    for group in 0..it.groups.len() {
        let (met, more) = judge_group(it, group, &placed)?;
        conflicts += met;
        shared += more;
    }
    for budget in 0..it.budgets.len() {
        tight += usize::from(judge_budget(it, budget, &placed)?);
    }
    let without = places.len() - placed.len();
    let ways = placed.iter().map(|placement| match placement {
        Placement::Single(_, single) => single.cost,
        Placement::Pair(_, pair) => pair.cost,
    });
    let conflicts = if it.weighs_conflicts { conflicts } else { 0 };
    let counted = Levels {
        unplaced: without as u32,
        conflicts: conflicts as u32,
        tight: tight as u32,
        shared: shared as u32,
        ..Levels::default()
    };
    Some(Cost::of(&counted) + ways.sum::<Cost>())
}

fn in_slot<'a>(it: &'a Instance, placed: &[Placement], slot: usize) -> Vec<There<'a>> {
    let there = |placement: &Placement| {
        let kind = &it.kinds[placement.kind()];
        let paired =
            |pair: &Pair, mode, part| There { kind, mode, flipped: pair.flipped, size: pair.size, part, alone: true };
        match placement {
            Placement::Single(_, one) if one.slot == slot => Some(There {
                kind,
                mode: one.mode,
                flipped: one.flipped,
                size: one.size,
                part: 1.0,
                alone: kind.alone_in_slot,
            }),
            Placement::Pair(_, pair) if pair.first == slot => Some(paired(pair, pair.modes.0, pair.shares.0)),
            Placement::Pair(_, pair) if pair.second == slot => Some(paired(pair, pair.modes.1, pair.shares.1)),
            _ => None,
        }
    };
    placed.iter().filter_map(there).collect()
}

/// None if a rule is broken; whether it is tight, and whether both colours are in it though that is minded.
fn judge_slot(it: &Instance, slot: usize, items: &[There<'_>]) -> Option<(bool, bool)> {
    let Some(There { mode, flipped, .. }) = items.first() else { return Some((false, false)) };
    let alike = items.iter().all(|item| item.mode == *mode && item.flipped == *flipped);
    let shared = items.len() > 1;
    let alone = items.iter().any(|item| item.alone);
    let mixed = items.iter().any(|item| item.kind.is_first()) && items.iter().any(|item| !item.kind.is_first());
    let mode = it.slots[slot].modes[usize::from(*mode)];
    let sum = |of: fn(&Size) -> i64| -> i64 {
        items.iter().map(|item| (of(&item.size) as f64 * item.part).round() as i64).sum()
    };
    let within = sum(|size| size.steady) <= mode.steady && sum(|size| size.peak) <= mode.peak;
    let ok = alike
        && within
        && items.len() <= usize::from(it.most_items)
        && !(shared && alone)
        && (it.mixes_colours || !mixed);
    ok.then_some((sum(|size| size.steady) > mode.easy, mixed && it.minds_mixed))
}

/// None if a rule is broken; its conflicts, and its members beyond the first.
fn judge_group(it: &Instance, group: usize, placed: &[Placement]) -> Option<(usize, usize)> {
    let group_of = |slot: usize| it.slots[slot].group;
    let members: Vec<&Placement> = placed
        .iter()
        .filter(|placement| group_of(placement.slot()) == group && !it.kinds[placement.kind()].aside)
        .collect();
    let kinds: Vec<&Kind> = members.iter().map(|placement| &it.kinds[placement.kind()]).collect();
    let closing = placed.iter().filter(|placement| match placement {
        Placement::Pair(_, pair) => group_of(pair.second) == group && group_of(pair.first) != group,
        Placement::Single(..) => false,
    });
    let closing = closing.count() + usize::from(it.groups[group].closed);
    let alone = members.iter().any(|placement| {
        let kind = &it.kinds[placement.kind()];
        let mode = match placement {
            Placement::Single(_, single) => single.mode,
            Placement::Pair(_, pair) => pair.modes.0,
        };
        let exclusive = it.slots[placement.slot()].modes[usize::from(mode)].exclusive;
        kind.alone_in_group || (exclusive && !kind.shares_exclusive)
    });
    let colours = |strict: &Kind| kinds.iter().all(|other| other.is_first() == strict.is_first());
    let strict = kinds.iter().filter(|kind| kind.strict).all(|kind| colours(kind));
    let sealed = kinds.iter().filter(|kind| kind.sealed).count();
    let one_slot = members.iter().all(|placement| placement.slot() == members[0].slot());
    // Sealed ones by themselves in one slot.
    let seals = sealed == 0 || (sealed == kinds.len() && one_slot);
    let (disturbed, excess) = conflicts(it, &kinds.iter().map(|kind| kind.member).collect::<Vec<_>>());
    let ok = closing <= 1
        && (closing == 0 || members.is_empty())
        && !(alone && members.len() > 1)
        && strict
        && seals
        && (it.allows_excess || excess == 0);
    ok.then_some((disturbed + excess, members.len().saturating_sub(1)))
}

/// Members that avoid or are avoided, and what is beyond what is easy.
fn conflicts(it: &Instance, members: &[Member]) -> (usize, usize) {
    let avoids = |a: &Member, b: &Member| match a.avoids {
        Avoids::Nobody => false,
        Avoids::OtherColour => a.colour != b.colour,
        Avoids::Everybody => true,
    };
    let meets = |at: usize| {
        let others = (0..members.len()).filter(|other| *other != at).map(|other| &members[other]);
        others.into_iter().any(|other| avoids(&members[at], other) || avoids(other, &members[at]))
    };
    let disturbed = (0..members.len()).filter(|at| meets(*at)).count();
    let marked = members.iter().filter(|member| member.marked).count();
    let weighted = members.iter().filter(|member| member.weight > 0).count();
    let weight: u32 = members.iter().map(|member| member.weight).sum();
    let heavy = weighted > 1 && weight > u32::from(it.ease.weight);
    (disturbed, marked.saturating_sub(usize::from(it.ease.marked)).max(usize::from(heavy)))
}

/// None if it is passed; whether it is tight.
fn judge_budget(it: &Instance, budget: usize, placed: &[Placement]) -> Option<bool> {
    let used = |of: fn(&Size) -> i64| -> f64 {
        let on = |slot: usize, mode: u8, size: &Size, part: f64| -> f64 {
            let weights = it.slots[slot].budgets.iter().filter(|(at, _)| *at == budget).map(|(_, weight)| *weight);
            weights.sum::<f64>() * it.slots[slot].weighed(mode, of(size), part)
        };
        let one = |placement: &Placement| match placement {
            Placement::Single(_, single) => on(single.slot, single.mode, &single.size, 1.0),
            Placement::Pair(_, pair) => {
                on(pair.first, pair.modes.0, &pair.size, pair.shares.0)
                    + on(pair.second, pair.modes.1, &pair.size, pair.shares.1)
            }
        };
        placed.iter().map(one).sum()
    };
    let most = it.budgets[budget];
    let within = used(|size| size.steady) <= most.steady + LAST_BIT && used(|size| size.peak) <= most.peak + LAST_BIT;
    let counted = most.easy >= 0.0;
    within.then_some(counted && used(|size| size.steady) > most.easy + LAST_BIT)
}

/// The least cost of all assignments.
pub fn least(it: &Instance, counts: &[usize]) -> Cost {
    let items: Vec<usize> =
        counts.iter().enumerate().flat_map(|(kind, count)| std::iter::repeat_n(kind, *count)).collect();
    let mut places = vec![None; items.len()];
    let mut best = Cost::UNPLACED * items.len() + Cost::TIGHT * it.tight as usize;
    each(it, &items, 0, 0, &mut places, &mut best);
    best
}

/// Items of one kind stand in the order of their ways, since which of them is where makes no difference.
fn each(it: &Instance, items: &[usize], at: usize, from: usize, places: &mut [Option<Placement>], best: &mut Cost) {
    let Some(&kind) = items.get(at) else {
        if let Some(cost) = judge(it, places) {
            *best = cost.min(*best);
        }
        return;
    };
    let ways = &it.kinds[kind];
    let singles = ways.singles.iter().map(|single| Placement::Single(kind, *single));
    let pairs = ways.pairs.iter().map(|pair| Placement::Pair(kind, *pair));
    let all: Vec<Option<Placement>> = singles.chain(pairs).map(Some).chain([None]).collect();
    for (number, place) in all.into_iter().enumerate().skip(from) {
        places[at] = place;
        // What breaks a rule is mended by nothing that comes after it.
        if judge(it, &places[..=at]).is_none() {
            continue;
        }
        let next = if items.get(at + 1) == Some(&kind) { number } else { 0 };
        each(it, items, at + 1, next, places, best);
    }
    places[at] = None;
}
