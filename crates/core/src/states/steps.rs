//! What a row goes through on its way: every passive stretch's |A + B·Y|².

use crate::cascade::{self, Bank};
use crate::network::{Row, Rung};

use super::lanes::{Complex, Lanes, Port, RowLanes, blocks};
use super::layout::Layout;
use super::path::{Exit, Path};

/// All that rows meet, block by block.
#[derive(Debug)]
pub struct Steps {
    /// From each node but the spot's: the row where its first level begins.
    begin: Vec<Vec<RowLanes>>,
    /// What each node puts at the end of a stretch.
    loads: Vec<Vec<Complex>>,
    /// The nodes whose rows begin at each level.
    beginning: Vec<Vec<usize>>,
    /// The routes that lead on from each level, with what is on them.
    onward: Vec<Vec<Past>>,
}

/// From where a level begins to where the next one does.
#[derive(Debug)]
struct Past {
    /// Which route it is.
    route: usize,
    /// The level that it leads to.
    to: usize,
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
        let mut onward = vec![Vec::new()];
        let mut route = 0;
        for stop in &path.stops {
            for mode in &stop.modes {
                let row = cascade::row_through(&mode.source.rungs, bank);
                begin.push(in_blocks(&cascade::row_on(row, arrive(mode.to), bank)));
                loads.push(Complex::onward(&cascade::onward(&mode.load.rungs, bank), points));
            }
            let mut exits = Vec::new();
            for exit in &stop.exits {
                exits.push(Past::new(route, exit, arrive(exit.to), layout, bank));
                route += 1;
            }
            onward.push(exits);
        }
        loads.extend(layout.rest.iter().map(|choice| Complex::onward(&choice.seen, points)));
        onward.push(Vec::new());
        let mut beginning = vec![Vec::new(); layout.spot() + 1];
        (0..layout.spots().start).for_each(|node| beginning[layout.nodes[node].to].push(node));
        Self { begin, loads, beginning, onward }
    }

    /// The losses |E/V|² of all entries in a block; no number where one is silent.
    pub fn losses(&self, layout: &Layout, block: usize, rows: &mut Rows, losses: &mut [Lanes]) {
        rows.clear(layout.spot());
        for level in 1..=layout.spot() {
            let mut here = std::mem::take(&mut rows.at[level]);
            for &from in &self.beginning[level] {
                here.begin(&self.begin[from][block], from);
            }
            for (number, to) in layout.at_level(level).enumerate() {
                here.end(layout, level, number, &self.loads[to][block], losses);
            }
            // The last way on takes the rows along; others take copies.
            for (number, past) in self.onward[level].iter().enumerate() {
                let is_last = number + 1 == self.onward[level].len();
                let mut taken = if is_last { std::mem::take(&mut here) } else { here.clone() };
                past.carry(layout, level, block, &mut taken);
                rows.at[past.to].take_in(taken);
            }
        }
    }
}

impl Past {
    fn new(route: usize, exit: &Exit, arrive: &[Rung], layout: &Layout, bank: &mut Bank) -> Self {
        let points = bank.sweep().len();
        let legs = layout.onward[route].legs.iter();
        let legs: Vec<Vec<Vec<Complex>>> =
            legs.map(|choices| choices.iter().map(|choice| Complex::onward(&choice.seen, points)).collect()).collect();
        let (before, behind) = if legs.is_empty() {
            (None, ports(&[&exit.rungs.rungs, arrive], bank))
        } else {
            let before = (!exit.rungs.rungs.is_empty()).then(|| ports(&[&exit.rungs.rungs], bank));
            (before, ports(&[arrive], bank))
        };
        Self { route, to: exit.to, before, legs, behind }
    }

    /// Carries rows on, one for each choice of the side runs.
    fn carry(&self, layout: &Layout, level: usize, block: usize, rows: &mut Waiting) {
        if let Some(before) = &self.before {
            rows.all.iter_mut().for_each(|row| row.carry(&before[block]));
        }
        let mut kinds = 1;
        for choices in &self.legs {
            rows.hang(layout, level, kinds, choices.iter().map(|choice| &choice[block]));
            kinds *= choices.len();
        }
        rows.all.iter_mut().for_each(|row| row.carry(&self.behind[block]));
        if layout.is_plain {
            return;
        }
        for piece in &mut rows.pieces {
            piece.first += layout.by_route(layout.nodes[piece.from].to, self.route);
        }
    }
}

/// The rows at each level, while they are carried on.
#[derive(Debug, Default)]
pub struct Rows {
    at: Vec<Waiting>,
}

impl Rows {
    fn clear(&mut self, spot: usize) {
        self.at.resize_with(spot + 1, Waiting::default);
        self.at.iter_mut().for_each(|level| {
            level.all.clear();
            level.pieces.clear();
        });
    }
}

/// The rows that have come to a level: all of them go through the same next step.
#[derive(Debug, Default, Clone)]
struct Waiting {
    all: Vec<RowLanes>,
    pieces: Vec<Piece>,
}

/// Some rows from one node, neighbours among all that came from there.
#[derive(Debug, Clone, Copy)]
struct Piece {
    from: usize,
    /// How many.
    rows: usize,
    /// The number of the first of them at this level.
    first: usize,
}

impl Waiting {
    fn begin(&mut self, row: &RowLanes, from: usize) {
        self.all.push(*row);
        self.pieces.push(Piece { from, rows: 1, first: 0 });
    }

    /// The load of one of a level's nodes ends a stretch from everywhere.
    fn end(&self, layout: &Layout, level: usize, number: usize, load: &Complex, losses: &mut [Lanes]) {
        let mut rows = self.all.iter();
        for piece in &self.pieces {
            let all = layout.rows_at(layout.nodes[piece.from].to, level);
            let first = layout.entries_at(piece.from, level) + number * all + piece.first;
            for (loss, row) in losses[first..first + piece.rows].iter_mut().zip(&mut rows) {
                *loss = row.loss(load);
            }
        }
    }

    /// What hangs here makes one row of each for each of its choices; side runs
    /// before it have made so many of each already.
    fn hang<'a>(
        &mut self,
        layout: &Layout,
        level: usize,
        kinds: usize,
        choices: impl Iterator<Item = &'a Complex> + Clone,
    ) {
        let mut old = std::mem::take(&mut self.all).into_iter();
        let mut pieces = Vec::with_capacity(self.pieces.len() * choices.clone().count());
        for piece in &self.pieces {
            let rows: Vec<RowLanes> = old.by_ref().take(piece.rows).collect();
            let all = layout.rows_at(layout.nodes[piece.from].to, level) * kinds;
            for (number, choice) in choices.clone().enumerate() {
                let first = self.all.len();
                self.all.extend(&rows);
                self.all[first..].iter_mut().for_each(|row| row.hang(choice));
                pieces.push(Piece { first: piece.first + number * all, ..*piece });
            }
        }
        self.pieces = pieces;
    }

    /// Rows that came by another way.
    fn take_in(&mut self, other: Self) {
        if self.all.is_empty() {
            *self = other;
        } else {
            self.all.extend(other.all);
            self.pieces.extend(other.pieces);
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
