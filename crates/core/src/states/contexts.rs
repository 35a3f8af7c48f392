//! The contexts of a switch: all settings of the others that it can tell apart.

use std::collections::BTreeSet;

use super::choice::Choice;
use super::sounding::Sounding;
use super::table::Table;
use crate::rig::DeviceId;

/// One context: what it is like, and factors whose product is |V_on/V_off|².
pub struct Context<'t> {
    /// Two or three of them.
    pub factors: (&'t [f64], &'t [f64], Option<&'t [f64]>),
    /// Where it is.
    pub place: Place,
}

/// The stretch that a switch changes, as it is while the switch is off.
#[derive(Debug, Clone, Copy)]
pub struct Place {
    /// The node where it begins.
    pub from: usize,
    /// The node where it ends.
    pub to: usize,
    /// The combination of the side runs between.
    pub combination: usize,
}

/// A table, and which of its nodes count.
pub struct Contexts<'t> {
    /// The stretches.
    pub table: &'t Table,
    /// Nodes that some state sounds through.
    pub sounding: &'t Sounding,
}

/// A visitor of contexts.
type Visit<'v, 't> = &'v mut dyn FnMut(&Context<'t>);

impl<'t> Contexts<'t> {
    /// The other units that are on in a context.
    pub fn among(&self, place: Place) -> Vec<DeviceId> {
        let table = self.table;
        let (from, to) = (&table.nodes[place.from], &table.nodes[place.to]);
        let legs = table.chosen(from.level, to.level, place.combination);
        let mut on = self.sounding.around(table, place.from, place.to);
        on.extend(from.on.iter().chain(&to.on).chain(legs.iter().flat_map(|choice| &choice.on)));
        on
    }

    /// Whether some state sounds through a node.
    pub fn sounds(&self, node: usize) -> bool {
        self.sounding.goes_by(node)
    }

    fn nodes(&self) -> impl Iterator<Item = usize> {
        (0..self.table.nodes.len()).filter(|&node| self.sounds(node))
    }

    /// Before a unit that isolates on and off: seg(i, on) − seg(i, off).
    pub fn before(&self, on: usize, off: usize, visit: Visit<'_, 't>) {
        for from in self.nodes() {
            self.both(from, (from, on), (from, off), visit);
        }
    }

    /// Behind it: seg(on, j) − seg(off, j).
    pub fn behind(&self, on: usize, off: usize, visit: Visit<'_, 't>) {
        for to in self.nodes() {
            self.both(off, (on, to), (off, to), visit);
        }
    }

    /// One stretch on and another off, the same side runs between.
    fn both(&self, from: usize, on: (usize, usize), off: (usize, usize), visit: Visit<'_, 't>) {
        let (Some(with), Some(without)) = (self.table.stretch(on.0, on.1), self.table.stretch(off.0, off.1)) else {
            return;
        };
        for (combination, (with, without)) in with.gain.iter().zip(&without.loss).enumerate() {
            if let (Some(with), Some(without)) = (with, without) {
                visit(&Context { factors: (with, without, None), place: Place { from, to: off.1, combination } });
            }
        }
    }

    /// A unit that lets the stretch go on while off: seg(i,k) + seg(k,j) − seg(i,j).
    pub fn through(&self, on: usize, visit: Visit<'_, 't>) {
        let table = self.table;
        for from in self.nodes().take_while(|&from| from < on) {
            let Some(first) = table.stretch(from, on) else { continue };
            for to in self.nodes().filter(|&to| to > on) {
                let (Some(second), Some(whole)) = (table.stretch(on, to), table.stretch(from, to)) else { continue };
                for (combination, loss) in whole.loss.iter().enumerate() {
                    // The same side runs stand in all three terms.
                    let (near, far) = (combination % first.gain.len(), combination / first.gain.len());
                    if let (Some(loss), Some(first), Some(second)) = (loss, &first.gain[near], &second.gain[far]) {
                        let place = Place { from, to, combination };
                        visit(&Context { factors: (first, second, Some(loss)), place });
                    }
                }
            }
        }
    }

    /// A unit in a side run, or behind the spot: two choices of that run that
    /// differ in it alone, or one that doesn't hear it.
    pub fn beside(&self, device: DeviceId, visit: Visit<'_, 't>) {
        for (index, (level, choices)) in self.table.legs.iter().enumerate() {
            let pairs = pairs(choices, device);
            if pairs.is_empty() {
                continue;
            }
            for stretch in &self.table.stretches {
                let (from, to) = (stretch.from, stretch.to);
                let ends = (self.table.nodes[from].level, self.table.nodes[to].level);
                let spans = ends.0 < *level && *level < ends.1;
                if !spans || !self.sounds(from) || !self.sounds(to) {
                    continue;
                }
                let inside = |(at, _): &&(usize, Vec<Choice>)| *at > ends.0 && *at < ends.1;
                let below: usize = self.table.legs[..index].iter().filter(inside).map(|(_, c)| c.len()).product();
                let above = stretch.loss.len() / (below * choices.len());
                for &(a, b) in &pairs {
                    for (low, high) in (0..above).flat_map(|high| (0..below).map(move |low| (low, high))) {
                        let at = |choice: usize| (high * choices.len() + choice) * below + low;
                        if let (Some(with), Some(without)) = (&stretch.gain[at(a)], &stretch.loss[at(b)]) {
                            let place = Place { from, to, combination: at(b) };
                            visit(&Context { factors: (with, without, None), place });
                        }
                    }
                }
            }
        }
        let first = self.table.nodes.len() - self.table.rest.len();
        for (a, b) in pairs(&self.table.rest, device) {
            for from in self.nodes().take_while(|&from| from < first) {
                self.both(from, (from, first + a), (from, first + b), visit);
            }
        }
    }
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
