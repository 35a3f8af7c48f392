//! The lowest and the highest level at each frequency, and the state that makes each.

use std::array::from_fn;

use super::lanes::{EQUAL, EQUAL_DB, LANES, Lanes, decibels, product};
use super::layout::Layout;
use crate::rig::SwitchSetting;

/// One edge of the envelope.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Edge {
    /// Level in dB at each frequency.
    pub db: Vec<f64>,
    /// The switches that are moved in a state that makes it; neighbouring frequencies often share one.
    states: Vec<Vec<SwitchSetting>>,
    /// Which state makes it at each frequency.
    which: Vec<usize>,
}

impl Edge {
    /// The switches that are moved in the state that makes the edge at a frequency's index.
    pub fn state(&self, at: usize) -> Vec<SwitchSetting> {
        self.which.get(at).map_or_else(Vec::new, |&state| self.states[state].clone())
    }

    /// Says of all its states that these switches are moved in them, too.
    pub fn among(&mut self, moved: &[SwitchSetting]) {
        for state in &mut self.states {
            state.extend(moved);
            state.sort_unstable();
        }
    }

    /// Takes in what other states make, where it lies farther out: above, for the highest edge.
    pub fn widen(&mut self, other: Self, highest: bool) {
        let sign = if highest { 1.0 } else { -1.0 };
        let first = self.states.len();
        self.states.extend(other.states);
        for (at, (db, which)) in other.db.into_iter().zip(other.which).enumerate() {
            if sign * (db - self.db[at]) > EQUAL_DB {
                self.db[at] = db;
                self.which[at] = first + which;
            }
        }
    }
}

/// Ranks tell states apart where levels are equal: switches that are moved come first,
/// then the entry by which a node is reached. Both are whole and exact in a double.
const ONE_ON: f64 = 4_294_967_296.0;
/// A value past 2^±this is brought back to about 1, and all that it meets with it.
const FAR: i32 = 256;

/// How a node is reached best at the frequencies of a block.
#[derive(Debug, Clone, Copy)]
struct Best {
    /// The largest product of ratios; zero where nothing has reached it.
    value: Lanes,
    /// Units that are on so far, and the entry by which it was reached.
    rank: Lanes,
}

const UNREACHED: Best = Best { value: [0.0; LANES], rank: [f64::INFINITY; LANES] };

/// Looks for one edge, block after block. Both edges are greatest products, the
/// highest of gains and the lowest of losses.
#[derive(Debug)]
pub struct Search<'a> {
    layout: &'a Layout,
    /// What the units on the way through an entry add to a rank.
    weights: &'a [f64],
    /// The ratio between a node's input and its output.
    ratios: Vec<f64>,
    best: Vec<Best>,
    /// The way that the last frequency's state goes, from the spot back.
    way: Vec<usize>,
    sign: f64,
    /// What was found so far.
    pub edge: Edge,
}

/// What each entry adds to the rank of what goes through it.
pub fn weights(layout: &Layout) -> Vec<f64> {
    let weight = |entry: usize| {
        let place = layout.place(entry);
        (layout.nodes[place.to].moved.len() + layout.count_between(place)) as f64 * ONE_ON + entry as f64
    };
    (0..layout.entries).map(weight).collect()
}

impl<'a> Search<'a> {
    /// Begins to look for the highest edge or the lowest.
    pub fn new(layout: &'a Layout, weights: &'a [f64], highest: bool) -> Self {
        let sign = if highest { 1.0 } else { -1.0 };
        let ratios = layout.nodes.iter().map(|node| 10f64.powf(sign * node.gain_db / 10.0)).collect();
        let best = vec![UNREACHED; layout.nodes.len()];
        Self { layout, weights, ratios, best, way: Vec::new(), sign, edge: Edge::default() }
    }

    /// Looks at one block more: gains of all entries for the highest edge, losses
    /// for the lowest. So many of its lanes count. `None` where nothing comes through.
    pub fn look(&mut self, values: &[Lanes], width: usize) -> Option<()> {
        let exponents = self.spread(values);
        let spots = self.layout.spots();
        for (lane, exponent) in exponents.into_iter().enumerate().take(width) {
            let at = |spot: usize| (self.best[spot].value[lane], self.best[spot].rank[lane]);
            let better = |a: usize, b: usize| if better(at(b), at(a)) { b } else { a };
            let end = spots.clone().reduce(better).filter(|end| at(*end).1 < f64::INFINITY)?;
            let level = decibels(self.best[end].value[lane]) + f64::from(exponent) * decibels(2.0);
            self.edge.db.push(self.sign * level);
            self.trace(end, lane);
        }
        Some(())
    }

    /// From the start outward, each node handing on what reached it best. The
    /// values are times two to the exponents that come back.
    fn spread(&mut self, values: &[Lanes]) -> [i32; LANES] {
        let mut exponents = [0; LANES];
        self.best.fill(UNREACHED);
        self.best[0] = Best { value: [1.0; LANES], rank: [0.0; LANES] };
        for from in 0..self.layout.spots().start {
            let (here, behind) = self.best[from..].split_at_mut(1);
            let here = &mut here[0];
            rescale(here, behind, &mut exponents);
            let mut start = *here;
            for lane in 0..LANES {
                start.value[lane] *= self.ratios[from];
                start.rank[lane] = (start.rank[lane] / ONE_ON) as u64 as f64 * ONE_ON;
            }
            for stretch in self.layout.from(from) {
                let kept = &mut behind[stretch.to - from - 1];
                let entries = stretch.entries.clone();
                for (value, weight) in values[entries.clone()].iter().zip(&self.weights[entries]) {
                    kept.take(&start, value, *weight);
                }
            }
        }
        exponents
    }

    /// Notes the state that leads to a node at a frequency.
    fn trace(&mut self, end: usize, lane: usize) {
        let mut node = end;
        let mut same = !self.edge.states.is_empty();
        let mut length = 0;
        while node != 0 {
            // What is left of the rank without its units is the entry.
            let entry = self.best[node].rank[lane] as u64 as u32 as usize;
            if self.way.get(length) != Some(&entry) {
                self.way.truncate(length);
                self.way.push(entry);
                same = false;
            }
            length += 1;
            node = self.layout.place(entry).from;
        }
        same &= length == self.way.len();
        self.way.truncate(length);
        if !same {
            let mut moved = Vec::new();
            for place in self.way.iter().map(|entry| self.layout.place(*entry)) {
                moved.extend(&self.layout.nodes[place.to].moved);
                moved.extend(self.layout.moved_between(place));
            }
            moved.sort_unstable();
            moved.dedup();
            self.edge.states.push(moved);
        }
        self.edge.which.push(self.edge.states.len() - 1);
    }
}

impl Best {
    /// Takes one more way to the node where it is better than what led there before.
    #[inline]
    fn take(&mut self, start: &Best, value: &Lanes, weight: f64) {
        let new = product(&start.value, value);
        let rank: Lanes = from_fn(|l| start.rank[l] + weight);
        let better: [bool; LANES] = from_fn(|l| better((new[l], rank[l]), (self.value[l], self.rank[l])));
        self.value = from_fn(|l| if better[l] { new[l] } else { self.value[l] });
        self.rank = from_fn(|l| if better[l] { rank[l] } else { self.rank[l] });
    }
}

/// Whether a value is greater, or as great at a lower rank. What is silent is no
/// number, and never better.
#[inline]
fn better((new, rank): (f64, f64), (old, old_rank): (f64, f64)) -> bool {
    // Both sides are worked out, so that several lanes go at once.
    (new > old * (1.0 + EQUAL)) | ((new > old * (1.0 - EQUAL)) & (rank < old_rank))
}

/// A long way at low levels leaves the range of a number: where the node that
/// comes next is far from 1, it and all behind it are brought back by one power
/// of two, which is exact. What leaves the range all the same is so much smaller
/// than what the node hands on that it is never taken.
fn rescale(here: &mut Best, behind: &mut [Best], exponents: &mut [i32; LANES]) {
    for (lane, sum) in exponents.iter_mut().enumerate() {
        let value = &mut here.value[lane];
        let exponent = exponent(*value);
        if exponent.abs() <= FAR || *value == 0.0 {
            continue;
        }
        *sum += exponent;
        let factor = power_of_two(-exponent);
        *value *= factor;
        for node in &mut *behind {
            node.value[lane] *= factor;
        }
    }
}

/// The exponent of a number above zero.
fn exponent(value: f64) -> i32 {
    ((value.to_bits() >> 52) as i32 & 0x7ff) - 1023
}

/// 2ⁿ, for n of a number that isn't the least of all.
fn power_of_two(n: i32) -> f64 {
    f64::from_bits(((1023 + n.clamp(-1022, 1023)) as u64) << 52)
}
