//! How far the level swings at most when one switch between two ends is trodden on.

use crate::rig::{Position, SwitchRef};
use crate::watch::Stopped;

use super::super::choice_settings::ChoiceSettings;
use super::super::contexts::Step;
use super::chain::{Chain, Node};
use super::stretches::{Stretch, Stretches};
use crate::arrival::Choice;
use crate::arrival::Stand;
use crate::watch::Pace;

/// The largest swing of some contexts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    /// The greater of |V_on/V_off|² and its inverse.
    pub ratio: f64,
    /// Which switch.
    pub switch: SwitchRef,
    /// At which frequency, by index.
    pub at: usize,
}

/// The larger of two.
pub fn larger(a: Option<Swing>, b: Option<Swing>) -> Option<Swing> {
    match (a, b) {
        (Some(a), Some(b)) => Some(if b.ratio > a.ratio { b } else { a }),
        (a, b) => a.or(b),
    }
}

/// The largest and the smallest ratio so far at each frequency.
#[derive(Debug, Clone)]
pub struct Extremes {
    /// The largest.
    pub high: Vec<f64>,
    /// The smallest.
    pub low: Vec<f64>,
}

impl Extremes {
    /// None yet.
    pub fn none(points: usize) -> Self {
        Self { high: vec![0.0; points], low: vec![f64::INFINITY; points] }
    }

    fn clear(&mut self) {
        self.high.fill(0.0);
        self.low.fill(f64::INFINITY);
    }

    /// Takes in what `of` gives for each pair of values.
    fn take(&mut self, a: &[f64], b: &[f64], of: impl Fn(f64, f64) -> f64) {
        for (((high, low), a), b) in self.high.iter_mut().zip(&mut self.low).zip(a).zip(b) {
            let new = of(*a, *b);
            // Plain comparisons are one instruction each; `f64::max` minds what is no number.
            *high = if new > *high { new } else { *high };
            *low = if new < *low { new } else { *low };
        }
    }
}

/// A switch in a side run or behind the spot, and the choices (on, off) that differ in it alone.
struct Beside {
    switch: SwitchRef,
    /// Choices by their number; one that doesn't hear the switch stands twice.
    pairs: Vec<(usize, usize)>,
}

/// All switches of a run that lead from one choice to another.
fn beside<'a>(choices: impl IntoIterator<Item = &'a Choice> + Clone) -> Vec<Beside> {
    let said = ChoiceSettings::of(choices);
    let each = said
        .switches()
        .map(|switch| Beside { switch, pairs: said.pairs(Step { switch, from: Position::OFF, to: Position::ON }) });
    each.filter(|one| !one.pairs.is_empty()).collect()
}

/// Looks for swings between the ends of a chain's stretches.
pub struct Swings<'c> {
    chain: &'c Chain,
    stretches: &'c Stretches,
    /// The units that let a stretch go on while off, by coordinate.
    through: Vec<Node>,
    /// The units of each side run.
    side_runs: Vec<Vec<Beside>>,
    /// The units behind the spot.
    rest: Vec<Beside>,
    products: Extremes,
}

impl<'c> Swings<'c> {
    /// Nothing looked at yet.
    pub fn new(chain: &'c Chain, stretches: &'c Stretches) -> Self {
        let through = |node: &&Node| {
            let isolates =
                chain.path.stops[node.at / 2 - 1].modes.iter().any(|mode| Stand::is(mode.stand, Position::OFF));
            Stand::is(node.stand, Position::ON) && !isolates && chain.passes[node.at / 2]
        };
        Self {
            chain,
            stretches,
            through: chain.nodes.iter().filter(through).copied().collect(),
            side_runs: chain.side_runs.iter().map(|(_, choices)| beside(choices)).collect(),
            rest: beside(chain.rest.iter().map(|(choice, _)| choice)),
            products: Extremes::none(stretches.points()),
        }
    }

    /// The units that isolate on and off, on and off.
    pub fn halved(&self) -> Vec<(Node, Node)> {
        let on = self.chain.nodes.iter().filter(|node| Stand::is(node.stand, Position::ON));
        on.filter_map(|on| Some((*on, *self.chain.node(on.device, Position::OFF)?))).collect()
    }

    /// The largest swing of any switch between two ends, these two isolating.
    pub fn between(&mut self, source: usize, sink: usize, pace: &mut Pace<'_>) -> Result<Option<Swing>, Stopped> {
        let Some(whole) = self.stretches.between(source, sink) else { return Ok(None) };
        let (from, to) = (self.chain.sources[source].at, self.chain.sinks[sink].at);
        let first = self.through.partition_point(|node| node.at <= from);
        let last = self.through.partition_point(|node| node.at < to);
        let mut found = None;
        if first < last {
            for combination in 0..whole.many {
                found = larger(found, self.on_the_way(source, sink, whole, combination, first..last));
                pace.did(((last - first + 1) * self.stretches.points()) as u64)?;
            }
        }
        for side_run in 0..self.side_runs.len() {
            let at = self.chain.side_runs[side_run].0;
            if from < at && at < to && !self.side_runs[side_run].is_empty() {
                found = larger(found, self.in_leg(side_run, (from, to), whole, pace)?);
            }
        }
        Ok(found)
    }

    /// Of the units in the stretch: loss(i,k)·loss(k,j)/loss(i,j), and its inverse.
    fn on_the_way(
        &mut self,
        source: usize,
        sink: usize,
        whole: Stretch<'_>,
        combination: usize,
        units: std::ops::Range<usize>,
    ) -> Option<Swing> {
        let loss = whole.loss(combination)?;
        self.products.clear();
        let parts = |node: &Node| {
            let (first, second) =
                (self.stretches.between(source, node.sink)?, self.stretches.between(node.source, sink)?);
            // The same side runs stand in all three terms.
            Some((first.loss(combination % first.many)?, second.loss(combination / first.many)?))
        };
        for node in &self.through[units.clone()] {
            if let Some((first, second)) = parts(node) {
                self.products.take(first, second, |a, b| a * b);
            }
        }
        let (at, ratio) =
            furthest(loss.iter().zip(&self.products.high).zip(&self.products.low).map(|((loss, high), low)| {
                let (fall, rise) = (high / loss, loss / low);
                if rise > fall { rise } else { fall }
            }))?;
        // Which unit it was is asked only now.
        let switches = self.through[units].iter().filter_map(|node| {
            let (first, second) = parts(node)?;
            let product = first[at] * second[at] / loss[at];
            Some((product.max(1.0 / product), node.stand?.setting.switch))
        });
        let (_, switch) = switches.max_by(|a, b| a.0.total_cmp(&b.0))?;
        Some(Swing { ratio, switch, at })
    }

    /// Of the units of a side run that hangs on the stretch.
    fn in_leg(
        &self,
        side_run: usize,
        (from, to): (usize, usize),
        whole: Stretch<'_>,
        pace: &mut Pace<'_>,
    ) -> Result<Option<Swing>, Stopped> {
        let choices = self.chain.side_runs[side_run].1.len();
        let inside = self.chain.side_runs[..side_run].iter().filter(|(at, _)| from < *at && *at < to);
        let below: usize = inside.map(|(_, choices)| choices.len()).product();
        let above = whole.many / (below * choices);
        let mut found = None;
        for unit in &self.side_runs[side_run] {
            for &(on, off) in &unit.pairs {
                for (low, high) in (0..above).flat_map(|high| (0..below).map(move |low| (low, high))) {
                    let at = |choice: usize| whole.loss((high * choices + choice) * below + low);
                    found = larger(found, swing(unit.switch, at(on), at(off)));
                }
                pace.did((2 * above * below * self.stretches.points()) as u64)?;
            }
        }
        Ok(found)
    }

    /// The largest swing of a switch behind the spot, heard from a source.
    pub fn behind_the_spot(&self, source: usize, pace: &mut Pace<'_>) -> Result<Option<Swing>, Stopped> {
        let end = |choice: usize| self.stretches.between(source, self.chain.rest[choice].1?);
        let mut found = None;
        for unit in &self.rest {
            for &(on, off) in &unit.pairs {
                let (Some(on), Some(off)) = (end(on), end(off)) else { continue };
                for combination in 0..on.many {
                    found = larger(found, swing(unit.switch, on.loss(combination), off.loss(combination)));
                }
                pace.did((2 * on.many * self.stretches.points()) as u64)?;
            }
        }
        Ok(found)
    }

    /// |V_on/V_off|² before a unit that isolates on and off, heard from a source.
    pub fn before(&self, source: usize, on: &Node, off: &Node, into: &mut Extremes) {
        let between = |node: &Node| self.stretches.between(source, node.sink);
        self.both(between(on), between(off), into);
    }

    /// The same behind it, heard at a sink.
    pub fn behind(&self, sink: usize, on: &Node, off: &Node, into: &mut Extremes) {
        let between = |node: &Node| self.stretches.between(node.source, sink);
        self.both(between(on), between(off), into);
    }

    fn both(&self, on: Option<Stretch<'_>>, off: Option<Stretch<'_>>, into: &mut Extremes) {
        let (Some(on), Some(off)) = (on, off) else { return };
        for combination in 0..on.many.min(off.many) {
            if let (Some(on), Some(off)) = (on.loss(combination), off.loss(combination)) {
                into.take(on, off, |on, off| off / on);
            }
        }
    }
}

/// The swing between one loss and another.
fn swing(switch: SwitchRef, on: Option<&[f64]>, off: Option<&[f64]>) -> Option<Swing> {
    let each = on?.iter().zip(off?).map(|(on, off)| if on > off { on / off } else { off / on });
    furthest(each).map(|(at, ratio)| Swing { ratio, switch, at })
}

/// A unit that isolates on and off, with what may stand before it and behind it.
pub fn halves(switch: SwitchRef, off_gain_db: f64, before: &Extremes, behind: &Extremes) -> Option<Swing> {
    let own = 10f64.powf(-off_gain_db / 10.0);
    let high = before.high.iter().zip(&behind.high).map(|(a, b)| a * b * own);
    let low = before.low.iter().zip(&behind.low).map(|(a, b)| 1.0 / (a * b * own));
    furthest(high.zip(low).map(|(high, low)| if low > high { low } else { high })).map(|(at, ratio)| Swing {
        ratio,
        switch,
        at,
    })
}

/// The largest value and where it is; none if there is no value above zero.
fn furthest(values: impl Iterator<Item = f64> + Clone) -> Option<(usize, f64)> {
    // The largest first, for the plain loop is a fast one.
    let largest = values.clone().fold(0.0, |largest, value| if value > largest { value } else { largest });
    let at = values.into_iter().position(|value| value == largest)?;
    (largest > 0.0).then_some((at, largest))
}
