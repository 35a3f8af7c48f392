//! What a row goes through on its way: every passive stretch's |A + B·Y|².

use std::collections::BTreeMap;

use crate::cascade::{self, LineCache};
use crate::network::{ChainRow, Rung};

use super::lanes::{Complex, Lanes, Port, RowLanes, blocks, in_lanes, losses, product};
use super::layout::Layout;
use super::path::{Exit, Path};

/// All that rows meet, block by block.
#[derive(Debug)]
pub struct Steps {
    /// From each node but the spot's: the row where its first level begins.
    begin: Vec<Vec<RowLanes>>,
    /// What each node puts at the end of a stretch.
    loads: Vec<Vec<Complex>>,
    /// The loss between there and where the next stretch begins, of nodes of blocks.
    inside: BTreeMap<usize, Vec<Lanes>>,
    /// Of nodes that stand for others, how far these are.
    reaches: BTreeMap<usize, ReachLanes>,
    /// What happens at each level.
    levels: Vec<AtLevel>,
}

/// What nodes that stand for others are taken as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// As they are.
    Exact,
    /// As that of the others at which the level is highest, or higher.
    Above,
    /// As that at which it is lowest, or lower.
    Below,
}

/// How far those are for which a node stands, block by block.
#[derive(Debug)]
struct ReachLanes {
    /// The radius of their admittances, in S.
    radius: Vec<Lanes>,
    /// The losses of the most and of the least that arrives.
    least: Vec<Lanes>,
    greatest: Vec<Lanes>,
}

/// What happens at a level.
#[derive(Debug, Default)]
struct AtLevel {
    /// The nodes whose rows begin here.
    beginning: Vec<usize>,
    /// Where the rows that come here end, in their order.
    ends: Vec<End>,
    /// The routes that lead on from here, with what is on them.
    onward: Vec<Past>,
}

/// Where some rows from one node, neighbours in the order of all from there, end.
#[derive(Debug, Clone, Copy)]
struct End {
    /// The entry of the first of them at the level's first node.
    first: usize,
    /// How many they are.
    rows: usize,
    /// How many rows from that node come here in all: the entries of the next node are so far away.
    all: usize,
}

/// From where a level begins to where the next one does.
#[derive(Debug)]
struct Past {
    /// The level that it leads to.
    to: usize,
    /// Up to where side runs hang.
    before: Option<Vec<Port>>,
    /// What hangs there, in each choice of each side run.
    side_runs: Vec<SideRun>,
    /// On to the next level.
    behind: Vec<Port>,
}

/// A side run on a route.
#[derive(Debug)]
struct SideRun {
    /// What is seen of it in each of its choices.
    choices: Vec<Vec<Complex>>,
    /// How many rows of one node stand together, before each of them becomes one for each choice.
    together: Vec<usize>,
}

/// Some rows from one node, while it is laid out where rows end.
#[derive(Debug, Clone, Copy)]
struct Piece {
    from: usize,
    rows: usize,
    /// The number of the first of them at this level.
    first: usize,
}

impl Steps {
    /// Evaluates what stands between the nodes.
    pub fn new(path: &Path, layout: &Layout, line_cache: &mut LineCache) -> Self {
        let points = line_cache.sweep().len();
        let arrive = |level: usize| match path.stops.get(level - 1) {
            Some(stop) => &stop.arrive.rungs,
            None => &path.last.rungs,
        };
        let row = cascade::row_through(&path.source.rungs, line_cache);
        let mut begin = vec![in_blocks(&cascade::row_on(row, arrive(1), line_cache))];
        let mut loads = vec![Vec::new()];
        let (mut inside, mut reaches) = (BTreeMap::new(), BTreeMap::new());
        let mut levels: Vec<AtLevel> = (0..=layout.spot()).map(|_| AtLevel::default()).collect();
        (0..layout.spots().start).for_each(|node| levels[layout.nodes[node].to].beginning.push(node));
        let mut waiting: Vec<Vec<Piece>> = vec![Vec::new(); layout.spot() + 1];
        let mut route = 0;
        for level in 1..=layout.spot() {
            let mut here = std::mem::take(&mut waiting[level]);
            here.extend(levels[level].beginning.iter().map(|from| Piece { from: *from, rows: 1, first: 0 }));
            let all = |piece: &Piece| layout.rows_at(layout.nodes[piece.from].to, level);
            let end = |piece: &Piece| End {
                first: layout.entries_at(piece.from, level) + piece.first,
                rows: piece.rows,
                all: all(piece),
            };
            levels[level].ends = here.iter().map(end).collect();
            let Some(stop) = path.stops.get(level - 1) else { continue };
            for mode in &stop.modes {
                let row = cascade::row_through(&mode.source.rungs, line_cache);
                begin.push(in_blocks(&cascade::row_on(row, arrive(mode.to), line_cache)));
                loads.push(Complex::onward(&cascade::admittance_into(&mode.load.rungs, line_cache), points));
            }
            if let Some(block) = &stop.block {
                let row = in_blocks(&cascade::row_on(ChainRow::ideal(points), arrive(block.to), line_cache));
                for choice in layout.choices_at(level).unwrap_or_default() {
                    if let Some(transfer) = &choice.transfer {
                        inside.insert(loads.len(), losses(&transfer.powers()));
                    }
                    if let Some(reach) = &choice.reach {
                        let (least, greatest) = (losses(&reach.most), losses(&reach.least));
                        reaches.insert(loads.len(), ReachLanes { radius: in_lanes(&reach.radius), least, greatest });
                    }
                    begin.push(row.clone());
                    loads.push(Complex::onward(&choice.seen, points));
                }
            }
            for exit in &stop.exits {
                let (past, pieces) = Past::new(route, exit, arrive(exit.to), (layout, level), here.clone(), line_cache);
                levels[level].onward.push(past);
                waiting[exit.to].extend(pieces);
                route += 1;
            }
        }
        loads.extend(layout.rest.iter().map(|choice| Complex::onward(&choice.seen, points)));
        Self { begin, loads, inside, reaches, levels }
    }

    /// The losses |E/V|² of all entries in a block; no number where one is silent.
    pub fn losses(&self, layout: &Layout, block: usize, bound: Bound, rows: &mut Rows, losses: &mut [Lanes]) {
        rows.at.resize_with(layout.spot() + 1, Vec::new);
        rows.at.iter_mut().for_each(Vec::clear);
        for (level, what) in self.levels.iter().enumerate().skip(1) {
            let mut here = std::mem::take(&mut rows.at[level]);
            here.extend(what.beginning.iter().map(|from| self.begin[*from][block]));
            for (number, to) in layout.at_level(level).enumerate() {
                let load = &self.loads[to][block];
                let own = self.inside.get(&to).map(|inside| &inside[block]);
                let reach = self.reaches.get(&to).filter(|_| bound != Bound::Exact);
                let mut rows = here.iter();
                for end in &what.ends {
                    let first = end.first + number * end.all;
                    let these = &mut losses[first..first + end.rows];
                    match (own, reach) {
                        (None, _) => these.iter_mut().zip(&mut rows).for_each(|(loss, row)| *loss = row.loss(load)),
                        (Some(own), None) => {
                            these
                                .iter_mut()
                                .zip(&mut rows)
                                .for_each(|(loss, row)| *loss = product(&row.loss(load), own));
                        }
                        (Some(_), Some(reach)) => {
                            for (loss, row) in these.iter_mut().zip(&mut rows) {
                                let (low, high) = row.losses_within(load, &reach.radius[block]);
                                *loss = match bound {
                                    Bound::Below => product(&high, &reach.greatest[block]),
                                    _ => product(&low, &reach.least[block]),
                                };
                            }
                        }
                    }
                }
            }
            if what.onward.is_empty() && here.capacity() > rows.at[1].capacity() {
                // Room for the rows of the next block.
                here.clear();
                rows.at[1] = here;
                continue;
            }
            // The last way on takes the rows along; others take copies.
            for (number, past) in what.onward.iter().enumerate() {
                let there = &mut rows.at[past.to];
                if number + 1 == what.onward.len() && there.is_empty() {
                    here = std::mem::replace(there, past.carry(block, std::mem::take(&mut here)));
                } else if past.is_bare() {
                    there.extend(here.iter().map(|row| row.carried(&past.behind[block])));
                } else {
                    there.extend(past.carry(block, here.clone()));
                }
            }
            // Room for the rows of the next block.
            here.clear();
            rows.at[level] = here;
        }
    }
}

impl Past {
    /// With it comes what has become of the pieces of rows that take it.
    fn new(
        route: usize,
        exit: &Exit,
        arrive: &[Rung],
        (layout, level): (&Layout, usize),
        mut pieces: Vec<Piece>,
        line_cache: &mut LineCache,
    ) -> (Self, Vec<Piece>) {
        let points = line_cache.sweep().len();
        let mut kinds = 1;
        let mut side_runs = Vec::new();
        for choices in &layout.onward[route].side_runs {
            let together = pieces.iter().map(|piece| piece.rows).collect();
            let of_piece = |piece: Piece| {
                let all = layout.rows_at(layout.nodes[piece.from].to, level) * kinds;
                (0..choices.len()).map(move |number| Piece { first: piece.first + number * all, ..piece })
            };
            pieces = pieces.into_iter().flat_map(of_piece).collect();
            kinds *= choices.len();
            let choices = choices.iter().map(|choice| Complex::onward(&choice.seen, points)).collect();
            side_runs.push(SideRun { choices, together });
        }
        if !layout.is_plain {
            pieces.iter_mut().for_each(|piece| piece.first += layout.by_route(layout.nodes[piece.from].to, route));
        }
        let (before, behind) = if side_runs.is_empty() {
            (None, ports(&[&exit.rungs.rungs, arrive], line_cache))
        } else {
            let before = (!exit.rungs.rungs.is_empty()).then(|| ports(&[&exit.rungs.rungs], line_cache));
            (before, ports(&[arrive], line_cache))
        };
        (Self { to: exit.to, before, side_runs, behind }, pieces)
    }

    /// Whether rows are only carried on: no side run hangs on the way.
    fn is_bare(&self) -> bool {
        self.before.is_none() && self.side_runs.is_empty()
    }

    /// Carries rows on, one for each choice of the side runs.
    fn carry(&self, block: usize, mut rows: Vec<RowLanes>) -> Vec<RowLanes> {
        if let Some(before) = &self.before {
            rows.iter_mut().for_each(|row| row.carry(&before[block]));
        }
        for side_run in &self.side_runs {
            let mut old = rows.as_slice();
            let mut new = Vec::with_capacity(rows.len() * side_run.choices.len());
            for &together in &side_run.together {
                let (these, others) = old.split_at(together);
                old = others;
                for choice in &side_run.choices {
                    let first = new.len();
                    new.extend_from_slice(these);
                    new[first..].iter_mut().for_each(|row: &mut RowLanes| row.hang(&choice[block]));
                }
            }
            rows = new;
        }
        rows.iter_mut().for_each(|row| row.carry(&self.behind[block]));
        rows
    }
}

/// The rows at each level, while they are carried on.
#[derive(Debug, Default)]
pub struct Rows {
    at: Vec<Vec<RowLanes>>,
}

/// A row, block by block.
fn in_blocks(row: &ChainRow) -> Vec<RowLanes> {
    (0..blocks(row.a.len())).map(|block| RowLanes::of(row, block)).collect()
}

/// The chain matrices of rungs after one another: a row is carried on linearly,
/// so two rows tell what becomes of any.
fn ports(rungs: &[&[Rung]], line_cache: &mut LineCache) -> Vec<Port> {
    let points = line_cache.sweep().len();
    let mut through = |row: ChainRow| rungs.iter().fold(row, |row, rungs| cascade::row_on(row, rungs, line_cache));
    let (first, second) = (through(ChainRow::ideal(points)), through(ChainRow::second(points)));
    let port = |block| Port { first: RowLanes::of(&first, block), second: RowLanes::of(&second, block) };
    (0..blocks(points)).map(port).collect()
}
