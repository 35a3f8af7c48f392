//! The lowest and the highest level at each frequency, and the state that makes each.

use super::table::Table;
use crate::rig::DeviceId;

/// One edge of the envelope.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// Level in dB at each frequency.
    pub db: Vec<f64>,
    /// The way there, one a frequency: spot's node, then back to the start.
    ways: Vec<Vec<Hop>>,
}

/// One stretch of a way.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Hop {
    from: u32,
    to: u32,
    combination: u32,
}

/// How a node is best reached at one frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Step {
    db: f64,
    from: u32,
    combination: u32,
    /// Units that are on so far: fewer is better where levels are equal.
    on: u32,
}

/// Levels closer than this are equal, and the simpler state names them.
const EQUAL_DB: f64 = 1e-11;

/// The lowest levels and the highest. `None` where no way reaches the spot with a sound.
pub fn edges(table: &Table) -> Option<(Edge, Edge)> {
    let points = table.points()?;
    let nothing = Step { db: f64::NAN, from: u32::MAX, combination: 0, on: 0 };
    let mut steps: Vec<Vec<Step>> = vec![vec![nothing; points]; table.nodes.len()];
    for step in &mut steps[0] {
        step.db = 0.0;
    }
    let (mut lowest, mut highest) = (steps.clone(), steps);
    let mut gain_db = vec![0.0; points];
    for stretch in &table.stretches {
        let (from, to) = (&table.nodes[stretch.from], &table.nodes[stretch.to]);
        for (combination, loss) in stretch.loss.iter().enumerate() {
            let Some(loss) = loss else { continue };
            // Logarithms are most of the work, so both edges share them.
            for (gain_db, loss) in gain_db.iter_mut().zip(loss) {
                *gain_db = from.gain_db - 10.0 * loss.log10();
            }
            let legs = table.chosen(from.level, to.level, combination);
            let more = legs.iter().map(|choice| choice.on.len()).sum::<usize>() + to.on.len();
            let step = Step { db: 0.0, from: stretch.from as u32, combination: combination as u32, on: more as u32 };
            extend(&mut lowest, stretch.to, step, &gain_db, false);
            extend(&mut highest, stretch.to, step, &gain_db, true);
        }
    }
    Some((edge(table, &lowest, false)?, edge(table, &highest, true)?))
}

/// Takes one more step to a node where it is better than what led there before.
fn extend(steps: &mut [Vec<Step>], to: usize, step: Step, gain_db: &[f64], highest: bool) {
    // A stretch ends behind where it begins.
    let (before, behind) = steps.split_at_mut(to);
    for ((kept, before), gain_db) in behind[0].iter_mut().zip(&before[step.from as usize]).zip(gain_db) {
        let new = Step { db: before.db + gain_db, on: before.on + step.on, ..step };
        if !new.db.is_nan() && better(&new, kept, highest) {
            *kept = new;
        }
    }
}

/// The best of what reaches the spot, with the ways there.
fn edge(table: &Table, steps: &[Vec<Step>], highest: bool) -> Option<Edge> {
    let ends: Vec<usize> = (0..table.points()?).map(|at| end(table, steps, at, highest)).collect::<Option<_>>()?;
    let db = ends.iter().enumerate().map(|(at, &end)| steps[end][at].db).collect();
    let ways = ends.iter().enumerate().map(|(at, &end)| way(steps, at, end)).collect();
    Some(Edge { db, ways })
}

/// The spot's best choice at one frequency.
fn end(table: &Table, steps: &[Vec<Step>], at: usize, highest: bool) -> Option<usize> {
    // The spot's choices are the last nodes.
    let first = table.nodes.len() - table.rest.len();
    let reached = (first..table.nodes.len()).filter(|&spot| !steps[spot][at].db.is_nan());
    reached.reduce(|best, spot| if better(&steps[spot][at], &steps[best][at], highest) { spot } else { best })
}

/// Back from a node to the start, as one frequency was reached best.
fn way(steps: &[Vec<Step>], at: usize, mut node: usize) -> Vec<Hop> {
    let mut found = Vec::new();
    while node != 0 {
        let step = steps[node][at];
        found.push(Hop { from: step.from, to: node as u32, combination: step.combination });
        node = step.from as usize;
    }
    found
}

impl Edge {
    /// The units that are on in the state that makes the edge at a frequency's index.
    pub fn state(&self, table: &Table, at: usize) -> Vec<DeviceId> {
        let mut on = Vec::new();
        for hop in self.ways.get(at).into_iter().flatten() {
            let (from, to) = (&table.nodes[hop.from as usize], &table.nodes[hop.to as usize]);
            on.extend(&to.on);
            for choice in table.chosen(from.level, to.level, hop.combination as usize) {
                on.extend(&choice.on);
            }
        }
        on.sort_unstable();
        on.dedup();
        on
    }
}

fn better(new: &Step, old: &Step, highest: bool) -> bool {
    if old.db.is_nan() {
        return true;
    }
    let by = if highest { new.db - old.db } else { old.db - new.db };
    by > EQUAL_DB || (by > -EQUAL_DB && (new.on, new.from) < (old.on, old.from))
}
