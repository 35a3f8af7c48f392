//! Where several ways hold at once: from where they part to where all have met again.
//!
//! Levels of such ways don't add. What lies between is one thing, a block, and
//! stands on the path as one stop that can be as many things as its switches make.

use std::ops::Range;

/// The ways on from a station: of each of its alternatives the places in order that it leads to.
pub type Onward = Vec<Vec<usize>>;

/// The blocks of a graph in which every way leads to a higher place: where each
/// begins, and where all its ways have met. Places outside of a block lead only to
/// its beginning, and from it only past its end. Each of `whole` lies in one block.
///
/// `may_meet` says of a place whether a block may end there. The last place is where
/// the level is wanted, and comes behind all that lead on.
pub fn blocks(onward: &[Onward], whole: &[Range<usize>], may_meet: impl Fn(usize) -> bool) -> Vec<Range<usize>> {
    let parts = |at: &usize| onward[*at].iter().any(|alternative| alternative.len() > 1);
    let partings = (0..onward.len()).filter(parts).map(|at| at..at + 1);
    let mut found: Vec<Range<usize>> = Vec::new();
    for seed in whole.iter().cloned().chain(partings) {
        if found.iter().any(|block| block.start <= seed.start && seed.end <= block.end) {
            continue;
        }
        let mut new = around(onward, seed, &may_meet);
        while let Some(at) = found.iter().position(|old| old.start < new.end && new.start < old.end) {
            let old = found.swap_remove(at);
            new = around(onward, old.start.min(new.start)..old.end.max(new.end), &may_meet);
        }
        found.push(new);
    }
    found.sort_by_key(|block| block.start);
    found
}

/// The block that holds these places, and in which the ways that part there meet again.
fn around(onward: &[Onward], seed: Range<usize>, may_meet: &impl Fn(usize) -> bool) -> Range<usize> {
    let mut first = seed.start;
    loop {
        let last = meeting(onward, first, seed.end, may_meet);
        let inside = reached(onward, first, |at| at >= last);
        let comes_in = |at: &usize| leads_to(onward, *at).any(|to| to > first && to < last && inside[to]);
        let outside: Vec<usize> = (0..last).filter(|at| *at != first && !inside[*at]).filter(comes_in).collect();
        if outside.is_empty() {
            return first..last;
        }
        // Every way to what is inside goes by where the block begins.
        let all_go_by = |place: &usize| {
            let round = reached(onward, 0, |at| at == *place);
            !round[first] && outside.iter().all(|at| !round[*at] || at == place)
        };
        let before = outside.iter().copied().fold(first, usize::min);
        first = (1..=before).rev().filter(|place| *place < first).find(all_go_by).unwrap_or(0);
    }
}

/// The first place from `least` on, and behind another, that all ways from that go by,
/// if a block may end there.
fn meeting(onward: &[Onward], first: usize, least: usize, may_meet: &impl Fn(usize) -> bool) -> usize {
    let end = onward.len();
    let goes_round = |place: usize| reached(onward, first, |at| at == place)[end];
    (least.max(first + 1)..end).filter(|place| may_meet(*place)).find(|place| !goes_round(*place)).unwrap_or(end)
}

fn leads_to(onward: &[Onward], at: usize) -> impl Iterator<Item = usize> + '_ {
    onward[at].iter().flatten().copied()
}

/// The places to which ways lead from one, that go no further from where they stop.
fn reached(onward: &[Onward], first: usize, stops: impl Fn(usize) -> bool) -> Vec<bool> {
    let mut found = vec![false; onward.len() + 1];
    found[first] = !stops(first);
    for at in first..onward.len() {
        if found[at] && !stops(at) {
            leads_to(onward, at).for_each(|to| found[to] |= !stops(to));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ways as lists of alternatives, each a list of places; the last place is the goal.
    fn found(onward: &[&[&[usize]]], adds_up: &[usize]) -> Vec<(usize, usize)> {
        let onward: Vec<Onward> =
            onward.iter().map(|ways| ways.iter().map(|alternative| alternative.to_vec()).collect()).collect();
        blocks(&onward, &[], |at| adds_up.contains(&at)).into_iter().map(|block| (block.start, block.end)).collect()
    }

    #[test]
    fn a_row_and_a_choice_of_ways_have_none() {
        assert_eq!(found(&[&[&[1]], &[&[2], &[2]], &[&[3]]], &[]), []);
        // Out: past. In: by way of place 1.
        assert_eq!(found(&[&[&[2], &[1]], &[&[2]], &[&[3]]], &[2]), []);
    }

    #[test]
    fn a_block_ends_where_all_its_ways_have_met() {
        // 0 parts into 1 and 2, which meet at 3.
        assert_eq!(found(&[&[&[1, 2]], &[&[3]], &[&[3]], &[&[4]]], &[3]), [(0, 3)]);
        // Two one behind another.
        let two: &[&[&[usize]]] = &[&[&[1, 2]], &[&[3]], &[&[3]], &[&[4, 5]], &[&[6]], &[&[6]], &[&[7]]];
        assert_eq!(found(two, &[3, 6]), [(0, 3), (3, 6)]);
        // One in another: the inner one isn't told.
        let nested: &[&[&[usize]]] = &[&[&[1, 4]], &[&[2, 3]], &[&[5]], &[&[5]], &[&[5]], &[&[6]]];
        assert_eq!(found(nested, &[5]), [(0, 5)]);
    }

    #[test]
    fn a_block_takes_in_what_leads_into_it() {
        // A choice at 0 leads to the parting at 1, or straight into one of its ways at 3.
        let into: &[&[&[usize]]] = &[&[&[1], &[3]], &[&[2, 3]], &[&[4]], &[&[4]], &[&[5]]];
        assert_eq!(found(into, &[4]), [(0, 4)]);
    }

    #[test]
    fn what_has_to_be_in_one_block_is() {
        // A row of six in which places 2 and 3 are joined: the next that may end it is 5.
        let row: Vec<Onward> = (1..7).map(|to| vec![vec![to]]).collect();
        let whole = |places: Range<usize>| vec![places];
        assert_eq!(blocks(&row, &whole(2..4), |at| at == 1 || at == 5), whole(2..5));
        // Joined with what the ways from 0 come together in: it begins where they part.
        let parted: Vec<Onward> = [&[1, 2][..], &[3], &[3], &[4], &[5]].map(|to| vec![to.to_vec()]).into();
        assert_eq!(blocks(&parted, &whole(1..4), |at| at == 4), whole(0..4));
    }

    #[test]
    fn ways_that_meet_nowhere_else_meet_at_the_goal() {
        assert_eq!(found(&[&[&[1, 2]], &[&[3]], &[&[3]]], &[]), [(0, 3)]);
    }
}
