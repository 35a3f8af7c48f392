//! A quick look at a rig: a jump that it has, so that its worst can't be smaller.
//!
//! Each switch is looked at in one context: all units off, and every side run as
//! its first choice. With all off, what a point sees onward is the same whether
//! the unit before it is on or off, so one way out and one way back do for all
//! units: n steps where all contexts take n³.

use crate::cascade::{self, LineCache};
use crate::network::{ChainRow, SeenAdmittance};
use crate::rig::Position;

use super::super::Question;
use super::super::path::Exit;
use super::NoCuts;
use super::chain::{Chain, Node};
use super::stretches::powers;
use crate::arrival::Stand;

/// What a quick look finds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glimpse {
    /// The worst jump is at least this large, in dB.
    pub jump_db: f64,
    /// With everything off: capacitance in F from the source to the first unit
    /// that isolates, side runs and that unit's input left out.
    pub farads: f64,
}

/// Looks at each switch in one context, at the cache's frequencies.
pub fn glimpse(question: &Question, line_cache: &mut LineCache) -> Result<Glimpse, NoCuts> {
    line_cache.next_generation();
    let chain = Chain::lay_out(question, &[], line_cache)?;
    let spot = chain.path.stops.len() + 1;
    let barriers = (1..spot).filter(|level| !chain.passes[*level]).chain([spot]);
    let mut look = Look { chain: &chain, line_cache, ratio: 1.0, halved: None };
    let mut from = 0;
    let mut farads = None;
    for to in barriers {
        look.stretch(from, to);
        farads = farads.or(Some(capacitance(&chain, to)));
        from = to;
    }
    Ok(Glimpse { jump_db: 10.0 * look.ratio.log10(), farads: farads.unwrap_or(0.0) })
}

/// From the start to a level, in F.
fn capacitance(chain: &Chain, to: usize) -> f64 {
    let arrive = (0..to).map(|level| chain.arrive(level).capacitance()).sum::<f64>();
    let passed = chain.path.stops.iter().take(to - 1).filter_map(|stop| stop.pass());
    arrive + passed.map(|exit| exit.rungs.capacitance()).sum::<f64>()
}

struct Look<'a> {
    chain: &'a Chain,
    line_cache: &'a mut LineCache,
    /// The greatest swing so far, as a ratio of powers.
    ratio: f64,
    /// |V_on/V_off|² before a unit that isolates on and off; what is behind it comes next.
    halved: Option<Vec<f64>>,
}

impl<'a> Look<'a> {
    /// From one barrier to the next, by their levels.
    fn stretch(&mut self, from: usize, to: usize) {
        let chain = self.chain;
        // Outward: what arrives at each unit that is on, and the row behind it while it is off.
        let start = self.base(from).map_or(0, |node| node.source);
        let mut row = cascade::row_through(chain.rungs(start), self.line_cache);
        let mut units = Vec::with_capacity(to - from);
        for level in from + 1..to {
            row = cascade::row_on(row, &chain.arrive(level - 1).rungs, self.line_cache);
            let on = self.node(level, Position::ON).map(|node| powers(&row, &chain.sinks[node.sink].load));
            if let Some(Exit { rungs, .. }) = chain.path.stops[level - 1].pass() {
                row = cascade::row_on(row, &rungs.rungs, self.line_cache);
            }
            side_runs(chain, level).for_each(|seen| row.hang(seen));
            units.push((level, on, row.clone()));
        }
        row = cascade::row_on(row, &chain.arrive(to - 1).rungs, self.line_cache);
        // Back: what each of them sees onward.
        let end = self.base(to).map_or(chain.spot_sink(), |node| node.sink);
        let mut seen = cascade::admittance_into_loaded(
            chain.sinks[end].load.clone(),
            &chain.arrive(to - 1).rungs,
            self.line_cache,
        );
        while let Some((level, on, off)) = units.pop() {
            if let (Some(on), Some(node)) = (on, self.node(level, Position::ON)) {
                let source = self.row_of(node);
                let with = on.iter().zip(powers(&source, &seen)).map(|(on, behind)| on * behind);
                self.take(with.zip(powers(&off, &seen)).map(|(with, without)| without / with));
            }
            for side_run in side_runs(chain, level) {
                seen = seen.beside(side_run.clone());
            }
            if let Some(Exit { rungs, .. }) = chain.path.stops[level - 1].pass() {
                seen = cascade::admittance_into_loaded(seen, &rungs.rungs, self.line_cache);
            }
            seen = cascade::admittance_into_loaded(seen, &chain.arrive(level - 1).rungs, self.line_cache);
        }
        self.behind(from, &seen);
        self.before(to, &row);
    }

    /// A unit that isolates on and off, and what it sees onward.
    fn behind(&mut self, level: usize, seen: &SeenAdmittance) {
        let Some(before) = self.halved.take() else { return };
        let (Some(on), Some(off)) = (self.node(level, Position::ON), self.node(level, Position::OFF)) else { return };
        let own = 10f64.powf(-off.gain_db / 10.0);
        let (on, off) = (powers(&self.row_of(on), seen), powers(&self.row_of(off), seen));
        self.take(before.iter().zip(on.iter().zip(off)).map(|(before, (on, off))| before * own * off / on));
    }

    /// The same, and what arrives at it.
    fn before(&mut self, level: usize, row: &ChainRow) {
        let load = |node: &Node| &self.chain.sinks[node.sink].load;
        if let (Some(on), Some(off)) = (self.node(level, Position::ON), self.node(level, Position::OFF)) {
            let ratios = powers(row, load(off)).into_iter().zip(powers(row, load(on)));
            self.halved = Some(ratios.map(|(off, on)| off / on).collect());
        }
    }

    fn take(&mut self, ratios: impl Iterator<Item = f64>) {
        self.ratio = ratios.fold(self.ratio, |most, ratio| most.max(ratio).max(1.0 / ratio));
    }

    fn row_of(&mut self, node: &Node) -> ChainRow {
        cascade::row_through(self.chain.rungs(node.source), self.line_cache)
    }

    /// What a stop is with everything off, if it isolates then.
    fn base(&self, level: usize) -> Option<&'a Node> {
        self.chain.nodes.iter().find(|node| node.at == 2 * level)
    }

    fn node(&self, level: usize, position: Position) -> Option<&'a Node> {
        self.chain.nodes.iter().find(|node| node.at == 2 * level && Stand::is(node.stand, position))
    }
}

/// What the side runs behind a stop are to it, each as its first choice that is no short.
fn side_runs(chain: &Chain, level: usize) -> impl Iterator<Item = &SeenAdmittance> {
    let here = chain.side_runs.iter().filter(move |(at, _)| *at == 2 * level);
    here.filter_map(|(_, choices)| {
        choices.iter().map(|choice| &choice.seen).find(|seen| **seen != SeenAdmittance::Short)
    })
}
