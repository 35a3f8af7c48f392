//! What of the entry's voltage arrives where in a mesh, over its passive circuits and its stages.

use std::collections::{BTreeMap, BTreeSet};

use super::circuit::{Element, Point};
use super::stages::{Heard, Stages};
use crate::network::{Nodal, SeenAdmittance, Spectrum, Transfer};

/// A circuit as numbered nodes.
struct Net {
    nodes: BTreeMap<Point, usize>,
    nodal: Nodal,
    points: usize,
}

impl Net {
    /// None if the first held point is at 0 V.
    fn new(elements: &[Element], held: &[Point], points: usize) -> Option<Self> {
        let mut same = Same::default();
        for element in elements {
            if let Element::Same(one, other) = element {
                same.join(*one, *other);
            }
        }
        let ground = same.root(Point::Ground);
        if same.root(held[0]) == ground {
            return None;
        }
        let mut roots: BTreeMap<Point, usize> = BTreeMap::new();
        let mut nodes: BTreeMap<Point, usize> = BTreeMap::new();
        let ends = |element: &Element| match *element {
            Element::Shunt(one, _) => [one, one],
            Element::Join(one, other, _) | Element::Same(one, other) => [one, other],
        };
        for point in held.iter().copied().chain(elements.iter().flat_map(ends)) {
            let root = same.root(point);
            if root != ground {
                let next = roots.len();
                nodes.insert(point, *roots.entry(root).or_insert(next));
            }
        }
        let mut nodal = Nodal::new(roots.len(), points);
        for element in elements {
            match element {
                Element::Shunt(one, seen) => nodes.get(one).into_iter().for_each(|node| nodal.shunt(*node, seen)),
                Element::Join(one, other, through) => match (nodes.get(one), nodes.get(other)) {
                    (Some(one), Some(other)) => nodal.join(*one, *other, through),
                    (Some(node), None) | (None, Some(node)) => nodal.shunt(*node, through),
                    (None, None) => {}
                },
                Element::Same(..) => {}
            }
        }
        Some(Self { nodes, nodal, points })
    }

    fn reduced(self, held: &[Point], wanted: &BTreeSet<Point>) -> Solved {
        let numbers: Vec<usize> = held.iter().filter_map(|point| self.nodes.get(point).copied()).collect();
        // A stage shorted at its output sounds nowhere, and has no number.
        let column: Vec<Option<usize>> = {
            let mut next = 0;
            let number = |point: &Point| {
                self.nodes.contains_key(point).then(|| {
                    next += 1;
                    next - 1
                })
            };
            held.iter().map(number).collect()
        };
        let listening: Vec<(Point, usize)> =
            wanted.iter().filter_map(|point| Some((*point, *self.nodes.get(point)?))).collect();
        let nodes: Vec<usize> = listening.iter().map(|(_, node)| *node).collect();
        let reduced = self.nodal.reduced(&numbers, &nodes);
        let pick = |from: &[Option<Spectrum>]| -> Vec<Option<Spectrum>> {
            column.iter().map(|at| at.and_then(|at| from.get(at).cloned().flatten())).collect()
        };
        let transfers = listening.iter().zip(&reduced.transfers).map(|((point, _), from)| (*point, pick(from)));
        Solved { transfers: transfers.collect(), at_first: pick(&reduced.at_first), points: self.points }
    }
}

/// What of each EMF arrives where.
pub struct Solved {
    transfers: BTreeMap<Point, Vec<Option<Spectrum>>>,
    at_first: Vec<Option<Spectrum>>,
    points: usize,
}

impl Solved {
    /// With the entry's voltage and the stages' EMFs held, of which alone anything
    /// sounds; none if the entry is at 0 V.
    pub fn of(elements: &[Element], entry: Point, stages: &Stages, points: usize) -> Option<Self> {
        let held: Vec<Point> = [entry].into_iter().chain(stages.heard.keys().map(|at| Point::Emf(*at))).collect();
        let made_of = stages.heard.values().chain([&stages.at_goal]).flatten();
        let wanted: BTreeSet<Point> = made_of.map(|heard| heard.at).collect();
        Some(Net::new(elements, &held, points)?.reduced(&held, &wanted))
    }

    /// The EMFs over the entry's: first the entry's own, then those of the stages.
    pub fn voltages(&self, stages: &Stages, omega: &[f64]) -> Vec<Option<Transfer>> {
        let many = stages.heard.len() + 1;
        // Row by row: what of each EMF goes into this one.
        let mut rows: Vec<Vec<Option<Spectrum>>> = vec![vec![None; many]; many];
        for (row, heard) in (1..).zip(stages.heard.values()) {
            for heard in heard {
                for (into, part) in rows[row].iter_mut().zip(self.transfers.get(&heard.at).into_iter().flatten()) {
                    add(into, part.as_ref().map(|part| heard.of(part, omega)));
                }
            }
        }
        let round = round_a_circle(&rows);
        for row in 1..many {
            // What comes back to an input from its own stage.
            if let Some(back) = rows[row][row].take() {
                let parts = rows[row].iter_mut().flatten();
                parts.for_each(|part| *part = part.over(|at| 1.0 - back.at(at)));
            }
            let own = rows[row].clone();
            for other in (1..many).filter(|other| *other != row) {
                let Some(through) = rows[other][row].take() else { continue };
                for (into, part) in rows[other].iter_mut().zip(&own) {
                    add(into, part.as_ref().map(|part| part.times(&through)));
                }
            }
        }
        let mut found: Vec<Option<Transfer>> = vec![None; many];
        found[0] = Some(Transfer::whole(self.points));
        let sums: Vec<Option<Spectrum>> = rows.into_iter().map(|mut row| row.swap_remove(0)).collect();
        // Round a circle magnitudes would add up without end: there they are those of the sum.
        for (row, sum) in sums.iter().enumerate().skip(1).filter(|(row, _)| round[*row]) {
            found[row] = sum.as_ref().map(|sum| Transfer {
                sum: sum.clone(),
                magnitudes: (0..self.points).map(|at| sum.at(at).norm()).collect(),
                delays: (0.0, 0.0),
                apart: Vec::new(),
            });
        }
        // Along the ways, the longest of which goes through all stages.
        for _ in 1..many {
            for (row, heard) in (1..).zip(stages.heard.values()) {
                let (Some(sum), false) = (&sums[row], round[row]) else { continue };
                let Some(Transfer { magnitudes, delays, .. }) = self.sum(heard, &found, omega) else { continue };
                found[row] = Some(Transfer { sum: sum.clone(), magnitudes, delays, apart: Vec::new() });
            }
        }
        found
    }

    /// What is heard at several points, added up; none where no way leads to any of them.
    pub fn sum(&self, heard: &[Heard], voltages: &[Option<Transfer>], omega: &[f64]) -> Option<Transfer> {
        let mut all: Option<Transfer> = None;
        for one in heard {
            for (part, emf) in self.transfers.get(&one.at).into_iter().flatten().zip(voltages) {
                let (Some(part), Some(emf)) = (part, emf) else { continue };
                let part = one.of(part, omega);
                let size = |at: usize| part.at(at).norm() * emf.magnitudes[at];
                let delays = (emf.delays.0 + one.seconds, emf.delays.1 + one.seconds);
                let product = part.times(&emf.sum);
                match &mut all {
                    Some(all) => {
                        all.sum.add(&product);
                        all.magnitudes.iter_mut().enumerate().for_each(|(at, sum)| *sum += size(at));
                        all.delays = (all.delays.0.min(delays.0), all.delays.1.max(delays.1));
                    }
                    None => {
                        let magnitudes = (0..self.points).map(size).collect();
                        all = Some(Transfer { sum: product, magnitudes, delays, apart: Vec::new() });
                    }
                }
            }
        }
        all
    }

    /// The current into the entry over the voltage there.
    pub fn seen(&self, voltages: &[Option<Transfer>]) -> SeenAdmittance {
        let mut sum: Option<Spectrum> = None;
        for (number, (between, emf)) in self.at_first.iter().zip(voltages).enumerate() {
            let Some(between) = between else { continue };
            let mut current = between.clone();
            if let Some(emf) = emf.as_ref().filter(|_| number > 0) {
                current.add_scaled(&between.times(&emf.sum), -1.0);
            }
            add(&mut sum, Some(current));
        }
        sum.map_or(SeenAdmittance::Open, SeenAdmittance::Admittance)
    }
}

/// Of each row whether what it is made of is made of it.
fn round_a_circle(rows: &[Vec<Option<Spectrum>>]) -> Vec<bool> {
    let many = rows.len();
    let mut leads: Vec<Vec<bool>> = rows.iter().map(|row| row.iter().map(Option::is_some).collect()).collect();
    for by in 0..many {
        for from in 0..many {
            if leads[from][by] {
                let more = leads[by].clone();
                leads[from].iter_mut().zip(more).for_each(|(leads, more)| *leads |= more);
            }
        }
    }
    (0..many).map(|at| leads[at][at]).collect()
}

/// Points between which nothing is.
#[derive(Debug, Default)]
struct Same {
    parent: BTreeMap<Point, Point>,
}

impl Same {
    fn root(&self, mut point: Point) -> Point {
        while let Some(parent) = self.parent.get(&point) {
            point = *parent;
        }
        point
    }

    fn join(&mut self, one: Point, other: Point) {
        let (one, other) = (self.root(one), self.root(other));
        // The first in their order stays, 0 V before all others.
        if one != other {
            self.parent.insert(one.max(other), one.min(other));
        }
    }
}

fn add(sum: &mut Option<Spectrum>, more: Option<Spectrum>) {
    match (sum, more) {
        (Some(sum), Some(more)) => sum.add(&more),
        (empty, more @ Some(_)) => *empty = more,
        (_, None) => {}
    }
}
