//! Every passive stretch of the way, evaluated once: |A + B·Y|² and its inverse.

use crate::cascade::{self, Bank};
use crate::network::{Onward, Row, Spectrum};
use crate::plan::Position;
use crate::rig::DeviceId;
use crate::watch::{Pace, Stopped};

use super::choice::Choice;
use super::effort::Effort;
use super::path::Path;

/// A device in a mode, or the start, or what hangs on the spot in one of its choices.
#[derive(Debug, Clone)]
pub struct Node {
    /// 0 is the start; stop s of the path is s + 1; the spot comes last.
    pub level: usize,
    /// The device and its switch's position; none for the start and the spot.
    pub device: Option<(DeviceId, Position)>,
    /// Level in dB between its input and its output; of the start, its own.
    pub gain_db: f64,
    /// Devices that are on when it is chosen.
    pub on: Vec<DeviceId>,
}

/// A stretch between two nodes, with one value for each combination of the side
/// runs between them.
#[derive(Debug, Clone)]
pub struct Stretch {
    /// Node where it starts.
    pub from: usize,
    /// Node where it ends.
    pub to: usize,
    /// |E/V|² at each frequency, for each combination; none where it is silent.
    pub loss: Vec<Option<Vec<f64>>>,
    /// 1/loss.
    pub gain: Vec<Option<Vec<f64>>>,
}

/// All stretches of a path.
#[derive(Debug)]
pub struct Table {
    /// The nodes, in the signal's order: the start first, the spot's choices last.
    pub nodes: Vec<Node>,
    /// The stretches, by where they start and then by where they end.
    pub stretches: Vec<Stretch>,
    /// `stretch[from][to]`: index into `stretches`.
    pub between: Vec<Vec<Option<usize>>>,
    /// The choices of each side run, and the level that it hangs at, in order.
    pub legs: Vec<(usize, Vec<Choice>)>,
    /// The choices of what hangs on the spot.
    pub rest: Vec<Choice>,
}

impl Table {
    /// The choices in a combination of the side runs between two levels.
    pub fn chosen(&self, from: usize, to: usize, mut combination: usize) -> Vec<&Choice> {
        let mut found = Vec::new();
        for (_, choices) in self.legs.iter().filter(|(level, _)| *level > from && *level < to) {
            found.push(&choices[combination % choices.len()]);
            combination /= choices.len();
        }
        found
    }

    /// How many frequencies there are, if anything sounds.
    pub fn points(&self) -> Option<usize> {
        self.stretches.iter().flat_map(|stretch| &stretch.loss).flatten().next().map(Vec::len)
    }

    /// The stretch between two nodes, if no barrier stands between them.
    pub fn stretch(&self, from: usize, to: usize) -> Option<&Stretch> {
        self.between[from][to].map(|at| &self.stretches[at])
    }
}

/// Evaluates every stretch of a path.
pub fn table(
    path: &Path,
    legs: Vec<(usize, Vec<Choice>)>,
    rest: Vec<Choice>,
    bank: &mut Bank,
    pace: &mut Pace<'_>,
) -> Result<Table, Stopped> {
    let mut nodes = vec![Node { level: 0, device: None, gain_db: path.gain_db, on: Vec::new() }];
    for (at, stop) in path.stops.iter().enumerate() {
        for mode in &stop.modes {
            let on = if mode.position == Position::On { vec![stop.device] } else { Vec::new() };
            let device = Some((stop.device, mode.position));
            nodes.push(Node { level: at + 1, device, gain_db: mode.gain_db, on });
        }
    }
    let spot = path.stops.len() + 1;
    nodes.extend(rest.iter().map(|choice| Node { level: spot, device: None, gain_db: 0.0, on: choice.on.clone() }));
    let loads = loads(path, &rest, bank);
    let mut table =
        Table { between: vec![vec![None; nodes.len()]; nodes.len()], nodes, stretches: Vec::new(), legs, rest };
    for from in 0..table.nodes.len() {
        if table.nodes[from].level < spot {
            walk(path, from, &loads, &mut table, bank, pace)?;
        }
    }
    Ok(table)
}

/// What each node puts at the end of a stretch; nothing for the start.
fn loads(path: &Path, rest: &[Choice], bank: &mut Bank) -> Vec<Onward> {
    let mut loads = vec![Onward::Open];
    for stop in &path.stops {
        loads.extend(stop.modes.iter().map(|mode| cascade::onward(&mode.load.rungs, bank)));
    }
    loads.extend(rest.iter().map(|choice| choice.seen.clone()));
    loads
}

/// All stretches that start at a node.
fn walk(
    path: &Path,
    from: usize,
    loads: &[Onward],
    table: &mut Table,
    bank: &mut Bank,
    pace: &mut Pace<'_>,
) -> Result<(), Stopped> {
    let start = table.nodes[from].level;
    let source = match start {
        0 => &path.source,
        level => {
            let first = table.nodes.iter().position(|node| node.level == level).unwrap_or(from);
            &path.stops[level - 1].modes[from - first].source
        }
    };
    let mut rows = vec![cascade::row_through(&source.rungs, bank)];
    for level in start + 1..=path.stops.len() + 1 {
        let stop = path.stops.get(level - 1);
        let arrive = stop.map_or(&path.last, |stop| &stop.arrive);
        rows = rows.into_iter().map(|row| cascade::row_on(row, &arrive.rungs, bank)).collect();
        for to in (0..table.nodes.len()).filter(|&to| table.nodes[to].level == level) {
            let loss: Vec<Option<Vec<f64>>> = rows.iter().map(|row| loss(row, &loads[to])).collect();
            let gain =
                loss.iter().map(|loss| loss.as_ref().map(|loss| loss.iter().map(|x| 1.0 / x).collect())).collect();
            table.between[from][to] = Some(table.stretches.len());
            pace.did(Effort::of_stretches(loss.len()).steps(bank.sweep().len()))?;
            table.stretches.push(Stretch { from, to, loss, gain });
        }
        let Some((_, rungs)) = stop.and_then(|stop| stop.pass.as_ref()) else { break };
        rows = rows.into_iter().map(|row| cascade::row_on(row, &rungs.rungs, bank)).collect();
        for (_, choices) in table.legs.iter().filter(|(at, _)| *at == level) {
            rows = choices.iter().flat_map(|choice| rows.iter().map(|row| hung(row, &choice.seen))).collect();
        }
    }
    Ok(())
}

fn hung(row: &Row, seen: &Onward) -> Row {
    let mut row = row.clone();
    row.hang(seen);
    row
}

fn loss(row: &Row, load: &Onward) -> Option<Vec<f64>> {
    let square = |a: &Spectrum| a.re.iter().zip(&a.im).map(|(re, im)| re * re + im * im).collect();
    match load {
        _ if row.silent => None,
        Onward::Short => None,
        Onward::Open => Some(square(&row.a)),
        Onward::Admittance(y) => {
            let a = row.a.re.iter().zip(&row.a.im);
            let b = row.b.re.iter().zip(&row.b.im);
            let y = y.re.iter().zip(&y.im);
            Some(
                a.zip(b)
                    .zip(y)
                    .map(|(((ar, ai), (br, bi)), (yr, yi))| {
                        let re = ar + br * yr - bi * yi;
                        let im = ai + br * yi + bi * yr;
                        re * re + im * im
                    })
                    .collect(),
            )
        }
    }
}
