//! Where several ways hold at once: from where they part to where all have met again.
//!
//! Levels of such ways don't add. What lies between is one thing, a block, and
//! stands on the path as one stop that can be as many things as its switches make.

use std::ops::Range;

/// The ways on from a station: of each of its alternatives the places in order that it leads to.
pub type Onward = Vec<Vec<usize>>;

/// The blocks of a graph in which every way leads to a higher place: where each
/// begins, and where all its ways have met. Places outside of a block lead only to
/// its beginning, and from it only past its end.
///
/// `adds_up` says of a place whether ways may meet there. The last place is where
/// the level is wanted, and comes behind all that lead on.
pub fn blocks(onward: &[Onward], adds_up: impl Fn(usize) -> bool) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    for at in 0..onward.len() {
        let parts = onward[at].iter().any(|alternative| alternative.len() > 1);
        if !parts || found.last().is_some_and(|last| at < last.end) {
            continue;
        }
        let new = around(onward, at, &adds_up);
        while found.last().is_some_and(|last| last.start >= new.start) {
            found.pop();
        }
        found.push(new);
    }
    found
}

/// The block in which the ways that part at a place meet again.
fn around(onward: &[Onward], parting: usize, adds_up: &impl Fn(usize) -> bool) -> Range<usize> {
    let mut first = parting;
    loop {
        let last = meeting(onward, first, adds_up);
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

/// The first place behind another that all its ways go by, if ways may meet there.
fn meeting(onward: &[Onward], first: usize, adds_up: &impl Fn(usize) -> bool) -> usize {
    let end = onward.len();
    let goes_round = |place: usize| reached(onward, first, |at| at == place)[end];
    (first + 1..end).filter(|place| adds_up(*place)).find(|place| !goes_round(*place)).unwrap_or(end)
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
        blocks(&onward, |at| adds_up.contains(&at)).into_iter().map(|block| (block.start, block.end)).collect()
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
    fn ways_that_meet_nowhere_else_meet_at_the_goal() {
        assert_eq!(found(&[&[&[1, 2]], &[&[3]], &[&[3]]], &[]), [(0, 3)]);
    }
}
