//! The contexts of a switch: all settings of the others that it can tell apart.

use std::collections::BTreeSet;
use std::ops::Range;

use super::choice::Choice;
use super::layout::Layout;
use crate::plan::Position;
use crate::rig::DeviceId;

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

/// The contexts of a device's switch, in halves that don't know of one another:
/// before a unit that isolates on and off, and behind it. Others have one.
pub fn halves(layout: &Layout, device: DeviceId) -> Vec<Vec<Fan>> {
    let node = |position: Position| layout.nodes.iter().position(|node| node.device == Some((device, position)));
    match (node(Position::On), node(Position::Off)) {
        // Behind it: seg(on, j) − seg(off, j), over the same stretches.
        (Some(on), Some(off)) => {
            vec![before(layout, on, off), vec![both(layout.entries_from(on), layout.entries_from(off))]]
        }
        (Some(on), None) => vec![through(layout, on)],
        (None, _) => vec![beside(layout, device)],
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
fn beside(layout: &Layout, device: DeviceId) -> Vec<Fan> {
    let mut found = Vec::new();
    for (index, (level, choices)) in layout.legs.iter().enumerate() {
        let pairs = pairs(choices, device);
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
    for (on, off) in pairs(&layout.rest, device) {
        found.extend(before(layout, spots.start + on, spots.start + off));
    }
    found
}

/// Choices (on, off) that differ in a device and agree wherever both say
/// something; where a choice doesn't hear the device, it twice. Empty if the
/// run hasn't the device.
fn pairs(choices: &[Choice], device: DeviceId) -> Vec<(usize, usize)> {
    let said: Vec<(Bits, Bits)> = {
        let all: BTreeSet<DeviceId> =
            choices.iter().flat_map(|choice| choice.on.iter().chain(&choice.off)).copied().collect();
        let all: Vec<DeviceId> = all.into_iter().filter(|other| *other != device).collect();
        choices.iter().map(|choice| (Bits::of(&choice.on, &all), Bits::of(&choice.off, &all))).collect()
    };
    let having = |list: fn(&Choice) -> &Vec<DeviceId>| {
        (0..choices.len()).filter(move |&at| list(&choices[at]).contains(&device)).collect::<Vec<_>>()
    };
    let (on, off) = (having(|choice| &choice.on), having(|choice| &choice.off));
    let mut found = Vec::new();
    for &a in &on {
        let agrees = |b: &usize| !said[a].0.meets(&said[*b].1) && !said[a].1.meets(&said[*b].0);
        found.extend(off.iter().copied().filter(agrees).map(|b| (a, b)));
    }
    if !found.is_empty() {
        found.extend((0..choices.len()).filter(|at| !on.contains(at) && !off.contains(at)).map(|at| (at, at)));
    }
    found
}

/// A set of units, as bits by their place in a list.
struct Bits(Vec<u64>);

impl Bits {
    fn of(devices: &[DeviceId], all: &[DeviceId]) -> Self {
        let mut words = vec![0; all.len().div_ceil(64)];
        for at in devices.iter().filter_map(|device| all.binary_search(device).ok()) {
            words[at / 64] |= 1 << (at % 64);
        }
        Self(words)
    }

    fn meets(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).any(|(a, b)| a & b != 0)
    }
}
