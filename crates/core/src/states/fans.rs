//! The contexts of a switch: all settings of the others that it can tell apart.

use std::ops::Range;

use super::choice::Choice;
use super::layout::Layout;
use super::path::Stand;
use super::said::Said;
use crate::rig::{Position, SwitchRef};

/// Contexts of a switch that have their first stretch in common: entries whose
/// gains and losses make up |V_on/V_off|².
///
/// A unit that lets the stretch go on while off has the level
/// seg(i,k) + seg(k,j) − seg(i,j): a fan has one i, one setting of the side runs
/// before k, and all that can be behind it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fan {
    /// The entry whose gain all of them have, if any.
    pub shared: Option<u32>,
    /// Of each context the entry with the switch on, whose gain counts.
    pub with: Run,
    /// And the entry with the switch off, whose loss counts.
    pub without: Run,
    /// How many contexts there are.
    pub len: u32,
}

/// Entries at equal distances.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Run {
    first: u32,
    step: u32,
}

/// The entries of one context.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Context {
    /// The entry whose gain comes first, if any.
    pub shared: Option<usize>,
    /// The entry with the switch on.
    pub with: usize,
    /// The entry with it off.
    pub without: usize,
}

impl Run {
    fn new(first: usize, step: usize) -> Self {
        Self { first: first as u32, step: step as u32 }
    }

    /// The entry of a context.
    pub fn at(self, index: usize) -> usize {
        self.first as usize + index * self.step as usize
    }

    /// The entries of so many contexts, if they are neighbours.
    pub fn neighbours(self, len: usize) -> Option<Range<usize>> {
        let first = self.first as usize;
        (self.step == 1).then(|| first..first + len)
    }
}

impl Fan {
    /// One of its contexts.
    pub fn context(&self, index: usize) -> Context {
        Context {
            shared: self.shared.map(|entry| entry as usize),
            with: self.with.at(index),
            without: self.without.at(index),
        }
    }
}

/// What the choices of all side runs say, and of what hangs on the spot.
#[derive(Debug)]
pub struct Sides {
    legs: Vec<Said>,
    rest: Said,
}

impl Sides {
    /// Of a layout.
    pub fn of(layout: &Layout) -> Self {
        let legs = layout.legs.iter().map(|(_, choices)| Said::of(choices)).collect();
        Self { legs, rest: Said::of(&layout.rest) }
    }
}

/// The contexts of a switch, in halves that don't know of one another: before a
/// unit that isolates on and off, and behind it. Others have one.
pub fn halves(layout: &Layout, sides: &Sides, switch: SwitchRef) -> Vec<Vec<Fan>> {
    let takes = |stand: Option<Stand>, position: Position| {
        stand.is_some_and(|stand| stand.setting.switch == switch && stand.setting.to == position)
    };
    let node = |position: Position| layout.nodes.iter().position(|node| takes(node.stand, position));
    match (node(Position::ON), node(Position::OFF)) {
        // Behind it: seg(on, j) − seg(off, j), over the same stretches.
        (Some(on), Some(off)) => {
            vec![before(layout, on, off), vec![both(layout.entries_from(on), layout.entries_from(off))]]
        }
        (Some(on), None) => vec![through(layout, on)],
        (None, _) => vec![beside(layout, sides, switch)],
    }
}

/// Both stretches whole, one on and the other off, the same side runs between.
fn both(with: Range<usize>, without: Range<usize>) -> Fan {
    let len = with.len() as u32;
    Fan { shared: None, with: Run::new(with.start, 1), without: Run::new(without.start, 1), len }
}

/// Before a unit that isolates on and off: seg(i, on) − seg(i, off).
fn before(layout: &Layout, on: usize, off: usize) -> Vec<Fan> {
    (0..on.min(off)).filter_map(|from| Some(both(layout.between(from, on)?, layout.between(from, off)?))).collect()
}

/// A unit that lets the stretch go on while off.
fn through(layout: &Layout, on: usize) -> Vec<Fan> {
    let Some(next) = layout.from(on).first().map(|stretch| stretch.to) else { return Vec::new() };
    let far = layout.entries_from(on);
    let own: usize = layout.legs_at(layout.nodes[on].level).map(<[Choice]>::len).product();
    let mut found = Vec::new();
    for from in 0..on {
        let (Some(near), Some(whole)) = (layout.between(from, on), layout.between(from, next)) else { continue };
        // The same side runs stand in all three terms: of the whole stretch's
        // combination, those before the unit count fastest, then its own.
        for (at, shared) in near.clone().enumerate() {
            for own_choice in 0..own {
                let without = Run::new(whole.start + own_choice * near.len() + at, own * near.len());
                let with = Run::new(far.start, 1);
                found.push(Fan { shared: Some(shared as u32), with, without, len: far.len() as u32 });
            }
        }
    }
    found
}

/// A unit in a side run, or behind the spot: two choices of that run that
/// differ in it alone, or one that doesn't hear it.
fn beside(layout: &Layout, sides: &Sides, switch: SwitchRef) -> Vec<Fan> {
    let mut found = Vec::new();
    for (index, (level, choices)) in layout.legs.iter().enumerate() {
        let pairs = sides.legs[index].pairs(switch);
        if pairs.is_empty() {
            continue;
        }
        for stretch in &layout.stretches {
            let ends = (layout.nodes[stretch.from].level, layout.nodes[stretch.to].level);
            if *level <= ends.0 || ends.1 <= *level {
                continue;
            }
            let inside = |(at, _): &&(usize, Vec<Choice>)| *at > ends.0 && *at < ends.1;
            let nearer: usize = layout.legs[..index].iter().filter(inside).map(|(_, choices)| choices.len()).product();
            let each = nearer * choices.len();
            for &(on, off) in &pairs {
                for near in 0..nearer {
                    let run = |choice: usize| Run::new(stretch.entries.start + choice * nearer + near, each);
                    let len = (stretch.entries.len() / each) as u32;
                    found.push(Fan { shared: None, with: run(on), without: run(off), len });
                }
            }
        }
    }
    let spots = layout.spots();
    for (on, off) in sides.rest.pairs(switch) {
        found.extend(before(layout, spots.start + on, spots.start + off));
    }
    found
}
