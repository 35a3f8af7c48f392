//! What a row goes through on its way: every passive stretch's |A + B·Y|².

use crate::cascade::{self, Bank};
use crate::network::{Row, Rung};

use super::lanes::{Complex, Lanes, Port, RowLanes, blocks};
use super::layout::Layout;
use super::path::Path;

/// All that rows meet, block by block.
#[derive(Debug)]
pub struct Steps {
    /// From each node but the spot's: the row where the next level begins.
    begin: Vec<Vec<RowLanes>>,
    /// What each node puts at the end of a stretch.
    loads: Vec<Vec<Complex>>,
    /// The way past each level, if the signal can go past it.
    past: Vec<Option<Past>>,
}

/// From where a level begins to where the next one does.
#[derive(Debug)]
struct Past {
    /// Up to where side runs hang.
    before: Option<Vec<Port>>,
    /// What hangs there, in each choice of each side run.
    legs: Vec<Vec<Vec<Complex>>>,
    /// On to the next level.
    behind: Vec<Port>,
}

impl Steps {
    /// Evaluates what stands between the nodes.
    pub fn new(path: &Path, layout: &Layout, bank: &mut Bank) -> Self {
        let points = bank.sweep().len();
        let arrive = |level: usize| match path.stops.get(level - 1) {
            Some(stop) => &stop.arrive.rungs,
            None => &path.last.rungs,
        };
        let row = cascade::row_through(&path.source.rungs, bank);
        let mut begin = vec![in_blocks(&cascade::row_on(row, arrive(1), bank))];
        let mut loads = vec![Vec::new()];
        let mut past = vec![None];
        for (at, stop) in path.stops.iter().enumerate() {
            for mode in &stop.modes {
                let row = cascade::row_through(&mode.source.rungs, bank);
                begin.push(in_blocks(&cascade::row_on(row, arrive(at + 2), bank)));
                loads.push(Complex::onward(&cascade::onward(&mode.load.rungs, bank), points));
            }
            past.push(stop.pass.as_ref().map(|(_, rungs)| {
                let legs: Vec<Vec<Vec<Complex>>> = layout
                    .legs_at(at + 1)
                    .map(|choices| choices.iter().map(|choice| Complex::onward(&choice.seen, points)).collect())
                    .collect();
                if legs.is_empty() {
                    Past { before: None, legs, behind: ports(&[&rungs.rungs, arrive(at + 2)], bank) }
                } else {
                    let before = (!rungs.rungs.is_empty()).then(|| ports(&[&rungs.rungs], bank));
                    Past { before, legs, behind: ports(&[arrive(at + 2)], bank) }
                }
            }));
        }
        loads.extend(layout.rest.iter().map(|choice| Complex::onward(&choice.seen, points)));
        Self { begin, loads, past }
    }

    /// The losses |E/V|² of all entries in a block; no number where one is silent.
    pub fn losses(&self, layout: &Layout, block: usize, rows: &mut Rows, losses: &mut [Lanes]) {
        rows.clear();
        for level in 1..=layout.nodes[layout.spots().start].level {
            for from in layout.at_level(level - 1) {
                rows.begin(&self.begin[from][block], layout.entries_from(from).start);
            }
            for to in layout.at_level(level) {
                rows.end(&self.loads[to][block], losses);
            }
            match &self.past[level.min(self.past.len() - 1)] {
                Some(past) => past.carry(block, rows),
                None => rows.clear(),
            }
        }
    }
}

impl Past {
    fn carry(&self, block: usize, rows: &mut Rows) {
        if let Some(before) = &self.before {
            rows.all.iter_mut().for_each(|row| row.carry(&before[block]));
        }
        for choices in &self.legs {
            rows.hang(choices.iter().map(|choice| &choice[block]));
        }
        rows.all.iter_mut().for_each(|row| row.carry(&self.behind[block]));
    }
}

/// The rows that have come to a level, in the order of where they began: all of
/// them go through the same next step.
#[derive(Debug, Default)]
pub struct Rows {
    all: Vec<RowLanes>,
    groups: Vec<Group>,
}

/// The rows from one node, one for each combination of the side runs so far.
#[derive(Debug)]
struct Group {
    rows: usize,
    /// The entry of the stretch that ends next.
    entry: usize,
}

impl Rows {
    fn clear(&mut self) {
        self.all.clear();
        self.groups.clear();
    }

    fn begin(&mut self, row: &RowLanes, entry: usize) {
        self.all.push(*row);
        self.groups.push(Group { rows: 1, entry });
    }

    /// A load ends a stretch from everywhere.
    fn end(&mut self, load: &Complex, losses: &mut [Lanes]) {
        let mut rows = self.all.iter();
        for group in &mut self.groups {
            let entries = group.entry..group.entry + group.rows;
            group.entry = entries.end;
            for (loss, row) in losses[entries].iter_mut().zip(&mut rows) {
                *loss = row.loss(load);
            }
        }
    }

    /// What hangs here makes one row of each for each of its choices.
    fn hang<'a>(&mut self, choices: impl Iterator<Item = &'a Complex> + Clone) {
        let mut old = std::mem::take(&mut self.all).into_iter();
        for group in &mut self.groups {
            let rows: Vec<RowLanes> = old.by_ref().take(group.rows).collect();
            for choice in choices.clone() {
                self.all.extend(&rows);
                let first = self.all.len() - rows.len();
                self.all[first..].iter_mut().for_each(|row| row.hang(choice));
            }
            group.rows = rows.len() * choices.clone().count();
        }
    }
}

/// A row, block by block.
fn in_blocks(row: &Row) -> Vec<RowLanes> {
    (0..blocks(row.a.len())).map(|block| RowLanes::of(row, block)).collect()
}

/// The chain matrices of rungs after one another: a row is carried on linearly,
/// so two rows tell what becomes of any.
fn ports(rungs: &[&[Rung]], bank: &mut Bank) -> Vec<Port> {
    let points = bank.sweep().len();
    let mut through = |row: Row| rungs.iter().fold(row, |row, rungs| cascade::row_on(row, rungs, bank));
    let (first, second) = (through(Row::ideal(points)), through(Row::second(points)));
    let port = |block| Port { first: RowLanes::of(&first, block), second: RowLanes::of(&second, block) };
    (0..blocks(points)).map(port).collect()
}
