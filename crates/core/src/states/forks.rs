//! What a switch does that sends the signal another way: a loop that is put in.
//!
//! Between the place where ways part and the one where they meet again each
//! position has a branch of its own. Of a branch, the level between a row that
//! comes there and a stretch behind is the greatest, or the least, of its passive
//! rows and of the ways over the units in it; the units in different branches
//! don't know of one another.

use std::collections::BTreeSet;

use super::audible_ways::{AudibleWays, Side};
use super::contexts::{OnTheWay, Step, entries_behind};
use super::lanes::{EQUAL, LANES, Lanes, Range};
use super::layout::{Layout, Place};
use super::table::Table;
use crate::rig::SwitchSetting;

/// A step on such a switch.
#[derive(Debug)]
pub struct Fork {
    /// Nodes from which rows come to where ways part, with the number of each row.
    starts: Vec<(usize, usize)>,
    /// Before the step, and after it.
    branches: [Branch; 2],
    /// In how many settings of the others there is a level before and after.
    pub contexts: usize,
}

/// Room for what is worked out at the frequencies of a block, before the step and after it.
#[derive(Debug, Default)]
pub struct Room {
    branches: [BranchRoom; 2],
    /// From a start to each stretch behind, before the step.
    behind: Vec<Range>,
}

/// The same of one branch.
#[derive(Debug, Default)]
struct BranchRoom {
    /// To each stretch behind from each node in the branch, one stretch after another.
    onward: Vec<Range>,
    /// From a start to each node.
    inside: Vec<Range>,
}

/// What lies between parting and meeting in one position.
#[derive(Debug)]
struct Branch {
    /// The nodes in it, in the signal's order.
    inner: Vec<Inner>,
    /// How many stretches there are behind.
    far: usize,
    /// Of each start: what it comes to.
    ways: Vec<Ways>,
}

/// A node in a branch.
#[derive(Debug)]
struct Inner {
    node: usize,
    /// Power ratio between its input and its output.
    ratio: f64,
    /// Earlier nodes in the branch, each with an entry that leads here.
    from: Vec<(usize, usize)>,
    /// Rows from here past the meeting: the entry of each stretch behind.
    onward: Vec<Vec<u32>>,
}

/// What a row comes to in a branch.
#[derive(Debug)]
struct Ways {
    /// Nodes in the branch, each with an entry that leads there.
    enter: Vec<(usize, usize)>,
    /// Passive rows past the meeting: the entry of each stretch behind.
    direct: Vec<Vec<u32>>,
}

/// The furthest context at one frequency.
#[derive(Debug, Clone, Default)]
pub struct FoundContext {
    /// Entries that the signal goes through after the step only.
    pub with: Vec<usize>,
    /// Entries that it goes through before it only.
    pub without: Vec<usize>,
    /// Levels of the nodes after it, less those before it, in dB.
    pub gain_db: f64,
    /// The other switches that are moved.
    pub among: BTreeSet<SwitchSetting>,
}

impl Fork {
    /// None where a position of the switch isn't on the way, or the ways don't meet.
    pub fn new(layout: &Layout, step: Step) -> Option<Self> {
        let ways = [step.way(layout, step.from)?, step.way(layout, step.to)?];
        let level = match ways[0] {
            OnTheWay::Node(node) => layout.nodes[node].level,
            OnTheWay::Route(route) => layout.routes.all[route].from,
        };
        let meeting = meeting(layout, ways)?;
        let before = layout.at_level(level).start;
        let rows = |from: usize| layout.rows_at(layout.nodes[from].to, level);
        let starts = (0..before).flat_map(|from| (0..rows(from)).map(move |row| (from, row)));
        let starts: Vec<(usize, usize)> = starts.collect();
        let branches = ways.map(|way| Branch::new(layout, way, meeting, &starts));
        let each = |branch: &Branch| branch.ways.iter().map(|ways| branch.count(ways)).collect::<Vec<_>>();
        let (from, to) = (each(&branches[0]), each(&branches[1]));
        let far = branches.iter().flat_map(|branch| branch.ways.iter().flat_map(|ways| &ways.direct));
        let inner = branches.iter().flat_map(|branch| branch.inner.iter().flat_map(|inner| &inner.onward));
        let far = far.chain(inner).map(Vec::len).max().unwrap_or(0);
        let contexts = from.iter().zip(&to).map(|(a, b)| a.saturating_mul(*b).saturating_mul(far));
        let contexts = contexts.fold(0, usize::saturating_add);
        Some(Self { starts, branches, contexts })
    }

    /// How much it is to look at, in products.
    pub fn work(&self) -> usize {
        let of = |branch: &Branch| {
            let direct: usize = branch.ways.iter().flat_map(|ways| &ways.direct).map(Vec::len).sum();
            let onward: usize = branch.inner.iter().flat_map(|inner| &inner.onward).map(Vec::len).sum();
            direct + onward * branch.ways.len()
        };
        2 * self.branches.iter().map(of).sum::<usize>()
    }

    /// The greatest and the least ratio of powers after the step to powers before it.
    pub fn range(&self, gains: &[Lanes], losses: &[Lanes], room: &mut Room) -> Range {
        let mut all = Range::NONE;
        let [first, second] = &self.branches;
        let Room { branches: [before, after], behind } = room;
        first.onward(gains, before);
        second.onward(gains, after);
        for start in 0..self.starts.len() {
            second.inside(start, gains, after);
            // What one row makes alone has its loss ready, and needs no division.
            if let Some(entries) = first.only_way(start) {
                second.to(start, gains, after, |number, after| {
                    let loss = entries.get(number).map(|entry| &losses[*entry as usize]);
                    loss.into_iter().for_each(|loss| all.take_in(&after.times(loss)));
                });
                continue;
            }
            first.inside(start, gains, before);
            behind.clear();
            first.to(start, gains, before, |_, before| behind.push(*before));
            second.to(start, gains, after, |number, after| {
                if let Some(before) = behind.get(number).filter(|before| after.is_any() && before.is_any()) {
                    let high = before.low.map(|gain| 1.0 / gain);
                    all.take_in(&after.and(&Range { high, low: before.high.map(|gain| 1.0 / gain) }));
                }
            });
        }
        all
    }

    /// The context that goes furthest at one frequency; of equal ones the one with
    /// fewest switches moved.
    pub fn furthest(
        &self,
        layout: &Layout,
        table: &Table,
        audible_ways: &AudibleWays,
        at: usize,
        sign: f64,
    ) -> Option<FoundContext> {
        let gains: Vec<f64> = table.column(at).into_iter().map(|loss| 1.0 / loss).collect();
        let gain = |entry: usize| gains[entry];
        let search = |number: usize, start, sign| self.branches[number].best(layout, start, sign, &gain);
        let mut best: Option<(f64, usize, (usize, usize))> = None;
        for (start, (from, _)) in self.starts.iter().enumerate() {
            let (before, after) = (search(0, start, -sign), search(1, start, sign));
            let moved_before = audible_ways.count_before(layout, *from);
            for (number, (before, after)) in before.behind.iter().zip(&after.behind).enumerate() {
                let (Some(before), Some(after)) = (before, after) else { continue };
                let far = if sign > 0.0 { after.level / before.level } else { before.level / after.level };
                if best.is_some_and(|(kept, ..)| far <= kept * (1.0 - EQUAL)) || !far.is_finite() {
                    continue;
                }
                let end = layout.place(after.entry as usize).to;
                let moved = before.moved + after.moved + moved_before + audible_ways.count_behind(layout, end);
                if best.is_none_or(|(kept, fewest, _)| far > kept * (1.0 + EQUAL) || moved < fewest) {
                    best = Some((far, moved, (start, number)));
                }
            }
        }
        let (_, _, (start, number)) = best?;
        let way = |branch: usize, sign: f64| search(branch, start, sign).way(number, &self.branches[branch].inner);
        let ((without, nodes_before), (with, nodes_after)) = (way(0, -sign)?, way(1, sign)?);
        let gain_db = |nodes: &[usize]| nodes.iter().map(|node| layout.nodes[*node].gain_db).sum::<f64>();
        let gain_db = gain_db(&nodes_after) - gain_db(&nodes_before);
        let mut found = FoundContext { with, without, gain_db, among: BTreeSet::new() };
        let ends = |place: Place| [(place.from, Side::Before), (place.to, Side::Behind)];
        let places = found.with.iter().chain(&found.without).map(|entry| layout.place(*entry));
        let among: BTreeSet<SwitchSetting> = places
            .flat_map(|place| {
                let outside = ends(place).into_iter().filter(|(node, _)| self.is_outside(*node));
                let ways = outside.flat_map(|(node, side)| audible_ways.moved_beyond(layout, node, side));
                let inside = ends(place).into_iter().flat_map(|(node, _)| layout.nodes[node].moved.clone());
                layout.moved_between(place).chain(ways).chain(inside).collect::<Vec<_>>()
            })
            .collect();
        found.among = among;
        Some(found)
    }

    /// Whether a node lies before the parting or behind the meeting.
    fn is_outside(&self, node: usize) -> bool {
        !self.branches.iter().flat_map(|branch| &branch.inner).any(|inner| inner.node == node)
    }
}

/// The level where the ways of both positions meet again, whatever happens between.
fn meeting(layout: &Layout, ways: [OnTheWay; 2]) -> Option<usize> {
    let first = ways.map(|way| way.leads_to(layout));
    let start = first[0].min(first[1]);
    let mut reached = vec![false; layout.spot() + 1];
    first.iter().for_each(|level| reached[*level] = true);
    // The furthest level that a way from before leads to past each.
    let mut furthest = first[0].max(first[1]);
    for level in start..=layout.spot() {
        if !reached[level] {
            continue;
        }
        if level >= furthest && level >= first[0].max(first[1]) {
            return Some(level);
        }
        let routes = layout.routes.from(level).map(|route| layout.routes.all[route].to);
        let nodes = layout.at_level(level).map(|node| layout.nodes[node].to);
        for to in routes.chain(nodes) {
            reached[to] = true;
            furthest = furthest.max(to);
        }
    }
    None
}

impl Branch {
    fn new(layout: &Layout, way: OnTheWay, meeting: usize, starts: &[(usize, usize)]) -> Self {
        // A unit that isolates where the ways part is the first in its branch.
        let own = match way {
            OnTheWay::Node(node) => Some(node),
            OnTheWay::Route(_) => None,
        };
        let behind = layout.at_level(meeting).start;
        let reached = nodes_between(layout, way.leads_to(layout), meeting);
        let nodes: Vec<usize> = own.into_iter().chain(reached).collect();
        let inner = nodes.iter().enumerate().map(|(at, node)| {
            let earlier = nodes[..at].iter().enumerate();
            let from = earlier.filter_map(|(number, from)| Some((number, layout.between(*from, *node)?)));
            let rows: Vec<usize> = (0..layout.rows_at(layout.nodes[*node].to, meeting)).collect();
            Inner {
                node: *node,
                ratio: 10f64.powf(layout.nodes[*node].gain_db / 10.0),
                from: from.flat_map(|(number, entries)| entries.map(move |entry| (number, entry))).collect(),
                onward: entries_behind(layout, *node, meeting, &rows),
            }
        });
        let inner: Vec<Inner> = inner.collect();
        let ways = starts.iter().map(|(from, row)| match way {
            OnTheWay::Node(node) => {
                let entry = layout.between(*from, node).map(|entries| entries.start + row);
                Ways { enter: entry.into_iter().map(|entry| (0, entry)).collect(), direct: Vec::new() }
            }
            OnTheWay::Route(route) => Self::ways(layout, route, (*from, *row), &nodes, (meeting, behind)),
        });
        let ways: Vec<Ways> = ways.collect();
        let direct = ways.iter().flat_map(|ways| &ways.direct);
        let far = inner.iter().flat_map(|inner| &inner.onward).chain(direct).map(Vec::len).max().unwrap_or(0);
        Self { inner, far, ways }
    }

    /// What a row comes to by a route.
    fn ways(
        layout: &Layout,
        route: usize,
        (from, row): (usize, usize),
        nodes: &[usize],
        (meeting, behind): (usize, usize),
    ) -> Ways {
        let way = layout.routes.all[route];
        let first = layout.nodes[from].to;
        let all = layout.rows_at(first, way.from);
        let base = layout.by_route(first, route);
        let rows: Vec<usize> = (0..way.choices as usize).map(|choice| base + choice * all + row).collect();
        let (mut enter, mut direct) = (Vec::new(), Vec::new());
        for entries in entries_behind(layout, from, way.to, &rows) {
            let mut past: Vec<u32> = Vec::with_capacity(entries.len());
            for entry in entries {
                let to = layout.place(entry as usize).to;
                if to >= behind {
                    past.push(entry);
                } else if let Some(inner) = nodes.iter().position(|node| *node == to) {
                    enter.push((inner, entry as usize));
                }
            }
            // Several rows of one stretch behind are several passive rows of the branch.
            direct.extend(by_row(layout, past, (way.to, meeting)));
        }
        Ways { enter, direct }
    }

    /// In how many ways a row gets through, at a stretch behind.
    fn count(&self, ways: &Ways) -> usize {
        let mut to = vec![0_usize; self.inner.len()];
        ways.enter.iter().for_each(|(inner, _)| to[*inner] += 1);
        let mut all = ways.direct.len();
        for (at, inner) in self.inner.iter().enumerate() {
            to[at] = inner.from.iter().fold(to[at], |sum, (from, _)| sum.saturating_add(to[*from]));
            all = all.saturating_add(to[at].saturating_mul(inner.onward.len()));
        }
        all
    }

    /// Of each node in the branch the greatest and the least gain of its rows past
    /// the meeting, at each stretch behind: the same for all starts.
    fn onward(&self, gains: &[Lanes], room: &mut BranchRoom) {
        let many = self.inner.len();
        room.onward.clear();
        room.onward.resize(many * self.far, Range::NONE);
        for (at, inner) in self.inner.iter().enumerate() {
            for entries in &inner.onward {
                let found = room.onward.iter_mut().skip(at).step_by(many);
                found.zip(entries).for_each(|(range, entry)| range.take(&gains[*entry as usize]));
            }
        }
    }

    /// The greatest and the least gain from a start to each node in the branch, its own
    /// level included; those that it comes to are listed.
    fn inside(&self, start: usize, gains: &[Lanes], room: &mut BranchRoom) {
        let inside = &mut room.inside;
        inside.clear();
        inside.resize(self.inner.len(), Range::NONE);
        self.ways[start].enter.iter().for_each(|(inner, entry)| inside[*inner].take(&gains[*entry]));
        for (at, inner) in self.inner.iter().enumerate() {
            for (from, entry) in &inner.from {
                let before = inside[*from];
                if before.is_any() {
                    inside[at].take_in(&before.times(&gains[*entry]));
                }
            }
            if inside[at].is_any() {
                inside[at] = inside[at].times(&[inner.ratio; LANES]);
            }
        }
    }

    /// The entries of the stretches behind, where a start comes to them by one row and no node.
    fn only_way(&self, start: usize) -> Option<&[u32]> {
        match (&self.inner[..], &self.ways[start].direct[..]) {
            ([], [entries]) => Some(entries),
            _ => None,
        }
    }

    /// The greatest and the least gain from a start to each stretch behind; of no
    /// number where it doesn't get there. One stretch after another, so that what
    /// is found stays at hand while all ways to it are looked at.
    #[inline]
    fn to(&self, start: usize, gains: &[Lanes], room: &BranchRoom, mut found: impl FnMut(usize, &Range)) {
        let (direct, many) = (&self.ways[start].direct[..], self.inner.len());
        for number in 0..self.far {
            let mut range = Range::NONE;
            for entries in direct {
                if let Some(entry) = entries.get(number) {
                    range.take(&gains[*entry as usize]);
                }
            }
            let onward = &room.onward[number * many..(number + 1) * many];
            for (here, onward) in room.inside.iter().zip(onward) {
                if here.is_any() {
                    range.take_in(&here.and(onward));
                }
            }
            found(number, &range);
        }
    }

    /// The best way from a start to each stretch behind at one frequency: the
    /// greatest gain for a sign above zero, else the least.
    fn best(&self, layout: &Layout, start: usize, sign: f64, gain: &impl Fn(usize) -> f64) -> BestWays {
        let ways = &self.ways[start];
        let take = |kept: &mut Option<Best>, entry: usize, by: Option<(usize, Best)>| {
            let level = by.map_or(1.0, |(_, before)| before.level) * gain(entry);
            Best::take(kept, level, sign, || {
                let moved = layout.count_between(layout.place(entry)) + by.map_or(0, |(_, before)| before.moved);
                Best { level, moved, by: by.map(|(inner, _)| inner), entry: entry as u32 }
            });
        };
        let mut inside: Vec<Option<Best>> = vec![None; self.inner.len()];
        for (inner, entry) in &ways.enter {
            take(&mut inside[*inner], *entry, None);
        }
        let mut behind: Vec<Option<Best>> = vec![None; self.far];
        for entries in &ways.direct {
            for (kept, entry) in behind.iter_mut().zip(entries) {
                take(kept, *entry as usize, None);
            }
        }
        for (at, inner) in self.inner.iter().enumerate() {
            for (from, entry) in &inner.from {
                if let Some(before) = inside[*from] {
                    take(&mut inside[at], *entry, Some((*from, before)));
                }
            }
            let Some(here) = &mut inside[at] else { continue };
            here.level *= inner.ratio;
            here.moved += layout.nodes[inner.node].moved.len();
            let here = *here;
            for entries in &inner.onward {
                for (kept, entry) in behind.iter_mut().zip(entries) {
                    take(kept, *entry as usize, Some((at, here)));
                }
            }
        }
        BestWays { inside, behind }
    }
}

/// What was found from one start.
struct BestWays {
    /// The best way to each node in the branch, its own level included.
    inside: Vec<Option<Best>>,
    /// The best way to each stretch behind.
    behind: Vec<Option<Best>>,
}

impl BestWays {
    /// The entries of the best way to one of the stretches behind, and the nodes on it.
    fn way(&self, number: usize, inner: &[Inner]) -> Option<(Vec<usize>, Vec<usize>)> {
        let mut at = (*self.behind.get(number)?)?;
        let (mut entries, mut nodes) = (vec![at.entry as usize], Vec::new());
        while let Some(by) = at.by {
            nodes.push(inner[by].node);
            at = self.inside[by]?;
            entries.push(at.entry as usize);
        }
        Some((entries, nodes))
    }
}

/// The nodes that a row comes to which begins at one level, or a signal from
/// them, before another level.
fn nodes_between(layout: &Layout, first: usize, last: usize) -> Vec<usize> {
    let mut reached = vec![false; layout.spot() + 1];
    reached[first] = first < last;
    let mut found = Vec::new();
    for level in first..last {
        if !reached[level] {
            continue;
        }
        found.extend(layout.at_level(level));
        let routes = layout.routes.from(level).map(|route| layout.routes.all[route].to);
        routes.chain(layout.at_level(level).map(|node| layout.nodes[node].to)).for_each(|to| reached[to] = true);
    }
    found
}

/// Entries behind a meeting, in the order in which they stand, as one list for
/// each row that a row at the level `first` has become there.
fn by_row(layout: &Layout, entries: Vec<u32>, (first, meeting): (usize, usize)) -> Vec<Vec<u32>> {
    let rows = if first == meeting { 1 } else { layout.rows_at(first, meeting) };
    match rows {
        0 => Vec::new(),
        1 => vec![entries],
        _ => {
            let mut found: Vec<Vec<u32>> = (0..rows).map(|_| Vec::with_capacity(entries.len() / rows)).collect();
            // At each node the rows of the branch change fastest, then what comes behind the meeting.
            for each in entries.chunks(rows) {
                found.iter_mut().zip(each).for_each(|(row, entry)| row.push(*entry));
            }
            found
        }
    }
}

/// A way at one frequency.
#[derive(Debug, Clone, Copy)]
struct Best {
    level: f64,
    /// How many switches are moved on it.
    moved: usize,
    /// The node in the branch that it comes by last, if any.
    by: Option<usize>,
    /// The entry from there, or from the start.
    entry: u32,
}

impl Best {
    /// Takes another way of this level where it is better, or as good with fewer
    /// switches moved. Most are neither, and only of others is it asked what they are.
    #[inline]
    fn take(kept: &mut Option<Self>, level: f64, sign: f64, new: impl FnOnce() -> Self) {
        let far = match kept {
            // What is silent is no number.
            None if level.is_finite() => f64::INFINITY,
            None => return,
            Some(kept) if sign > 0.0 => level / kept.level,
            Some(kept) => kept.level / level,
        };
        if far > 1.0 - EQUAL {
            let new = new();
            if far > 1.0 + EQUAL || kept.is_none_or(|kept| new.moved < kept.moved) {
                *kept = Some(new);
            }
        }
    }
}
