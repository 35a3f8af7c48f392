//! What a mesh does in one setting: a small nodal solve.
//!
//! Between outputs that isolate, circuits are passive: what of each EMF arrives at
//! each input follows from their admittances. The EMFs behind the entry's follow from
//! what arrives at the inputs before them, and may be felt there again over a
//! junction.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use num_complex::Complex64;

use super::explore::Joined;
use super::{Entry, Mesh};
use crate::arrival::{Begin, Goal};
use crate::cascade::{LineCache, admittance_into};
use crate::network::{Branch, Ladder, Nodal, Rung, SeenAdmittance, Spectrum, Transfer};
use crate::plan::{Alternative, Spot, Station, Tail, Through};
use crate::units::Level;

/// A point of a circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Point {
    /// 0 V.
    Ground,
    /// The EMF of a start.
    Start(usize),
    /// The EMF behind the outputs of a station that isolates.
    Emf(usize),
    /// An input jack.
    Input(usize),
    /// The outputs of a station that passes.
    Passed(usize),
    /// One output of a station that isolates, or of a start.
    Jack(Tail),
    /// The goal, where that is on a lead.
    Goal,
    /// Between two rungs.
    Between(usize),
}

/// A part of a circuit.
#[derive(Debug, Clone)]
enum Element {
    /// A branch to 0 V.
    Shunt(Point, Arc<Spectrum>),
    /// A branch between two points.
    Join(Point, Point, Arc<Spectrum>),
    /// Nothing is between the two.
    Same(Point, Point),
}

/// What elements stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Piece {
    Wiring(usize),
    Load(usize, usize),
    Passing(usize, usize),
    Output(usize, usize, usize),
    Source(usize),
    Wire(Tail),
    Loose(Tail),
}

/// A signal at a stage's input, on its way to the stage's output or to a sum.
#[derive(Debug, Clone, Copy)]
struct Heard {
    at: Point,
    /// With the sign.
    ratio: f64,
    seconds: f64,
}

/// A voltage over the entry's.
#[derive(Debug, Clone)]
struct Voltage {
    sum: Spectrum,
    /// The magnitudes of what it is made of, added up.
    magnitudes: Vec<f64>,
    /// The least and the greatest delay of a way, in s.
    delays: (f64, f64),
}

/// The circuit of a mesh, its parts kept from one setting to the next.
#[derive(Debug)]
pub struct Circuit<'m, 'a> {
    mesh: &'m Mesh<'a>,
    pieces: BTreeMap<Piece, Vec<Element>>,
    between: usize,
}

impl<'m, 'a> Circuit<'m, 'a> {
    pub(super) fn new(mesh: &'m Mesh<'a>) -> Self {
        Self { mesh, pieces: BTreeMap::new(), between: 0 }
    }

    /// What is seen at the entry, and what of the voltage there arrives at the goal.
    pub(super) fn solved(&mut self, joined: &Joined<'a>, bank: &mut LineCache) -> (SeenAdmittance, Option<Transfer>) {
        let points = bank.sweep().len();
        let elements = self.elements(joined, bank);
        let stages = Stages::of(self.mesh, joined);
        let entry = match self.mesh.entry {
            Entry::Begin(Begin::Station(at)) | Entry::Input(at) => Point::Input(at),
            Entry::Begin(Begin::Outputs(at)) => Point::Emf(at),
            Entry::Start(start) => Point::Start(start),
        };
        // Of what drives the circuit only the entry and the stages behind it sound.
        let sounding: Vec<usize> = stages.heard.keys().copied().collect();
        let held: Vec<Point> = [entry].into_iter().chain(sounding.iter().map(|at| Point::Emf(*at))).collect();
        let wanted: BTreeSet<Point> =
            stages.heard.values().chain([&stages.at_goal]).flatten().map(|heard| heard.at).collect();
        let net = Net::new(&elements, &held, points);
        let Some(net) = net else { return (SeenAdmittance::Short, None) };
        let reduced = net.reduced(&held, &wanted);
        let voltages = reduced.voltages(&stages, &sounding, bank.sweep().omega());
        let sum = reduced.sum(&stages.at_goal, &voltages, bank.sweep().omega());
        let transfer = sum.map(|Voltage { sum, magnitudes, delays }| {
            let mut transfer = Transfer { sum, magnitudes, delays };
            transfer.silence_nulls();
            transfer
        });
        let seen = match self.mesh.entry {
            Entry::Begin(Begin::Outputs(_)) | Entry::Start(_) => SeenAdmittance::Open,
            Entry::Begin(Begin::Station(_)) | Entry::Input(_) => reduced.seen(&voltages),
        };
        (seen, transfer)
    }

    fn elements(&mut self, joined: &Joined<'a>, bank: &mut LineCache) -> Vec<Element> {
        let mut pieces: Vec<Piece> = Vec::new();
        let number = |at: usize, alternative: &Alternative| {
            self.mesh.plan.stations[at].alternatives.iter().position(|one| std::ptr::eq(one, alternative)).unwrap_or(0)
        };
        for (at, alternative) in &joined.stations {
            if self.mesh.entry != Entry::Begin(Begin::Station(*at)) {
                pieces.push(Piece::Wiring(*at));
            }
            pieces.push(match alternative.passes() {
                true => Piece::Passing(*at, number(*at, alternative)),
                false => Piece::Load(*at, number(*at, alternative)),
            });
        }
        pieces.extend(joined.outputs.iter().map(|((at, out), one)| Piece::Output(*at, *out, number(*at, one))));
        pieces.extend(joined.starts.iter().map(|start| Piece::Source(*start)));
        pieces.extend(joined.wires.iter().map(|tail| Piece::Wire(*tail)));
        pieces.extend(joined.loose.iter().map(|tail| Piece::Loose(*tail)));
        let mut all = Vec::new();
        for piece in pieces {
            if !self.pieces.contains_key(&piece) {
                let made = self.made(piece, bank);
                self.pieces.insert(piece, made);
            }
            all.extend(self.pieces[&piece].iter().cloned());
        }
        // Where a wire begins depends on what its station is.
        let begins = joined.wires.iter().filter_map(|tail| match *tail {
            Tail::Out { station, .. } if !joined.outputs.contains_key(&out_of(*tail)) => {
                Some(Element::Same(Point::Jack(*tail), Point::Passed(station)))
            }
            _ => None,
        });
        all.extend(begins);
        // What drives the circuit and doesn't sound is at 0 V.
        let is_entry = |point: Point| match self.mesh.entry {
            Entry::Start(start) => point == Point::Start(start),
            Entry::Begin(Begin::Outputs(at)) => point == Point::Emf(at),
            _ => false,
        };
        let emfs = joined.outputs.keys().filter(|(at, _)| !joined.sounds(*at)).map(|(at, _)| Point::Emf(*at));
        let dead = emfs.chain(joined.starts.iter().map(|start| Point::Start(*start))).filter(|point| !is_entry(*point));
        all.extend(dead.map(|point| Element::Same(point, Point::Ground)));
        all
    }

    fn made(&mut self, piece: Piece, bank: &mut LineCache) -> Vec<Element> {
        let plan = self.mesh.plan;
        let mut made = Vec::new();
        match piece {
            Piece::Wiring(at) => shunt(Point::Input(at), &plan.stations[at].wiring, bank, &mut made),
            Piece::Load(at, number) => match &plan.stations[at].alternatives[number].through {
                Through::Isolate { load, .. } | Through::End { load } => {
                    shunt(Point::Input(at), load, bank, &mut made);
                }
                Through::Pass { .. } => {}
            },
            Piece::Passing(at, number) => {
                if let Through::Pass { rungs, .. } = &plan.stations[at].alternatives[number].through {
                    self.rungs([Point::Input(at), Point::Passed(at)], rungs, bank, &mut made);
                }
            }
            Piece::Output(at, out, number) => {
                if let Through::Isolate { output, .. } = &plan.stations[at].alternatives[number].through
                    && !is_added_up(self.mesh, at, out, number)
                {
                    let jack = Point::Jack(Tail::Out { station: at, out });
                    self.rungs([Point::Emf(at), jack], output, bank, &mut made);
                }
            }
            Piece::Source(start) => {
                let source = &plan.starts[start].source;
                self.rungs([Point::Start(start), Point::Jack(Tail::Start(start))], source, bank, &mut made);
            }
            Piece::Wire(tail) => self.wire(tail, Point::Jack(tail), bank, &mut made),
            Piece::Loose(tail) => {
                let near = self.new_point();
                self.wire(tail, near, bank, &mut made);
            }
        }
        made
    }

    fn wire(&mut self, tail: Tail, near: Point, bank: &mut LineCache, made: &mut Vec<Element>) {
        let Some(wire) = self.mesh.plan.wire_from(tail) else { return };
        let far = match wire.to {
            Some(at) => Point::Input(at),
            None => self.new_point(),
        };
        let mut ladder = Ladder::new();
        ladder.shunt(wire.plug.clone());
        match (self.mesh.goal, &wire.line) {
            (Some(goal @ Goal::Spot(Spot::Lead { along, .. })), Some(line)) if goal.is_on(wire) => {
                let (before, behind) = line.cut(along);
                ladder.line(before);
                self.rungs([near, Point::Goal], &ladder, bank, made);
                ladder = Ladder::new();
                ladder.line(behind);
                ladder.shunt(wire.plug.clone());
                self.rungs([Point::Goal, far], &ladder, bank, made);
            }
            _ => {
                wire.line.iter().for_each(|line| ladder.line(*line));
                ladder.shunt(wire.plug.clone());
                self.rungs([near, far], &ladder, bank, made);
            }
        }
    }

    /// A ladder between two points.
    fn rungs(&mut self, [from, to]: [Point; 2], ladder: &Ladder, bank: &mut LineCache, made: &mut Vec<Element>) {
        let mut here = from;
        for rung in &ladder.rungs {
            match rung {
                Rung::Shunt(branch) => shunt(here, branch, bank, made),
                Rung::Leg(leg) => match admittance_into(&leg.rungs, bank) {
                    SeenAdmittance::Open => {}
                    SeenAdmittance::Short => made.push(Element::Same(here, Point::Ground)),
                    SeenAdmittance::Admittance(seen) => made.push(Element::Shunt(here, Arc::new(seen))),
                },
                Rung::Series(Branch::Short) => {}
                // A break: nothing joins what is before it and what is behind.
                Rung::Series(Branch::Open) => here = self.new_point(),
                Rung::Series(branch) => {
                    let next = self.new_point();
                    let through = Spectrum::from_fn(bank.sweep().omega(), |omega| branch.admittance(omega));
                    made.push(Element::Join(here, next, Arc::new(through)));
                    here = next;
                }
                Rung::Line(line) => {
                    let port = bank.port(line);
                    // Of a symmetrical two-port with a² − b·c = 1, (a − 1)/b is c/(a + 1).
                    let at_each_end = ratio(&port.c, |at| port.a.at(at) + 1.0);
                    let at_each_end = Arc::new(at_each_end);
                    made.push(Element::Shunt(here, Arc::clone(&at_each_end)));
                    if line.has_impedance() {
                        let next = self.new_point();
                        let one = Spectrum::constant(1.0.into(), port.b.len());
                        made.push(Element::Join(here, next, Arc::new(ratio(&one, |at| port.b.at(at)))));
                        here = next;
                    }
                    made.push(Element::Shunt(here, at_each_end));
                }
            }
        }
        made.push(Element::Same(here, to));
    }

    fn new_point(&mut self) -> Point {
        self.between += 1;
        Point::Between(self.between)
    }
}

impl Joined<'_> {
    /// Whether a station's outputs carry the signal.
    fn sounds(&self, at: usize) -> bool {
        let through = self.stations.get(&at).map(|alternative| &alternative.through);
        matches!(through, Some(Through::Isolate { level: Level::Decibels(_), .. }))
    }
}

/// The stages of a mesh that carry the signal, and what goes into each.
struct Stages {
    heard: BTreeMap<usize, Vec<Heard>>,
    at_goal: Vec<Heard>,
}

impl Stages {
    fn of(mesh: &Mesh<'_>, joined: &Joined<'_>) -> Self {
        let outputs = joined.outputs.keys().filter(|(at, _)| joined.sounds(*at));
        let not_added = outputs.filter(|(at, out)| {
            let station = &mesh.plan.stations[*at];
            let number = station.alternatives.iter().position(|one| std::ptr::eq(one, joined.outputs[&(*at, *out)]));
            !number.is_some_and(|number| is_added_up(mesh, *at, *out, number))
        });
        let stages: BTreeSet<usize> = not_added.map(|(at, _)| *at).collect();
        let heard = stages.into_iter().map(|at| (at, through_stage(mesh, joined, at)));
        let at_goal = match mesh.goal {
            None => Vec::new(),
            Some(Goal::Sum(at)) => at_input(mesh, joined, at),
            Some(Goal::Spot(Spot::Input(at))) => at_input(mesh, joined, at),
            Some(Goal::Spot(Spot::Lead { .. })) => vec![Heard { at: Point::Goal, ratio: 1.0, seconds: 0.0 }],
        };
        Self { heard: heard.collect(), at_goal }
    }
}

/// What a stage makes of what is at its input.
fn through_stage(mesh: &Mesh<'_>, joined: &Joined<'_>, at: usize) -> Vec<Heard> {
    let Some(Alternative { through: Through::Isolate { level: Level::Decibels(db), polarity, latency, .. }, .. }) =
        joined.stations.get(&at)
    else {
        return Vec::new();
    };
    let ratio = polarity.sign() * 10f64.powf(db / 20.0);
    let through = |heard: Heard| Heard { ratio: heard.ratio * ratio, seconds: heard.seconds + latency.get(), ..heard };
    at_input(mesh, joined, at).into_iter().map(through).collect()
}

/// What is at a station's input: the voltage there, or what stages add up to.
fn at_input(mesh: &Mesh<'_>, joined: &Joined<'_>, at: usize) -> Vec<Heard> {
    let added: Vec<usize> = mesh
        .plan
        .wires_to(at)
        .filter(|tail| joined.wires.contains(tail))
        .filter_map(|tail| {
            let (station, out) = out_of(tail);
            let alternative = joined.outputs.get(&(station, out))?;
            let number =
                mesh.plan.stations[station].alternatives.iter().position(|one| std::ptr::eq(one, *alternative))?;
            is_added_up(mesh, station, out, number).then_some(station)
        })
        .collect();
    if added.is_empty() {
        return vec![Heard { at: Point::Input(at), ratio: 1.0, seconds: 0.0 }];
    }
    let through = |at: usize| match mesh.entry {
        // Behind its outputs the entry's own gain is past.
        Entry::Begin(Begin::Outputs(entry)) if entry == at => {
            vec![Heard { at: Point::Emf(at), ratio: 1.0, seconds: 0.0 }]
        }
        _ if joined.sounds(at) => through_stage(mesh, joined, at),
        _ => Vec::new(),
    };
    added.into_iter().flat_map(through).collect()
}

/// Whether what a stage gives is added to what others give, none of them feeling another.
fn is_added_up(mesh: &Mesh<'_>, at: usize, out: usize, number: usize) -> bool {
    let station: &Station = &mesh.plan.stations[at];
    let Some(wire) = station.outs[out].wire.as_ref() else { return false };
    let is_ideal =
        |one: &Alternative| matches!(&one.through, Through::Isolate { output, .. } if output.rungs.is_empty());
    let to = wire.to.filter(|_| wire.lead.is_none() && is_ideal(&station.alternatives[number]));
    to.is_some_and(|to| mesh.plan.stations[to].adds_up())
}

/// A station and one of its outs; of a start neither is there.
fn out_of(tail: Tail) -> (usize, usize) {
    match tail {
        Tail::Out { station, out } => (station, out),
        Tail::Start(_) => (usize::MAX, 0),
    }
}

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
struct Solved {
    transfers: BTreeMap<Point, Vec<Option<Spectrum>>>,
    at_first: Vec<Option<Spectrum>>,
    points: usize,
}

impl Solved {
    /// The EMFs over the entry's: first the entry's own, then those of the stages.
    fn voltages(&self, stages: &Stages, sounding: &[usize], omega: &[f64]) -> Vec<Option<Voltage>> {
        let many = sounding.len() + 1;
        let whole = Voltage {
            sum: Spectrum::constant(1.0.into(), self.points),
            magnitudes: vec![1.0; self.points],
            delays: (0.0, 0.0),
        };
        // Row by row: what of each EMF goes into this one.
        let mut rows: Vec<Vec<Option<Spectrum>>> = vec![vec![None; many]; many];
        for (row, at) in sounding.iter().enumerate() {
            for heard in stages.heard.get(at).into_iter().flatten() {
                for (into, part) in rows[row + 1].iter_mut().zip(self.transfers.get(&heard.at).into_iter().flatten()) {
                    add(into, part.as_ref().map(|part| heard.of(part, omega)));
                }
            }
        }
        let round = round_a_circle(&rows);
        for row in 1..many {
            // What comes back to an input from its own stage.
            if let Some(back) = rows[row][row].take() {
                let parts = rows[row].iter_mut().flatten();
                parts.for_each(|part| *part = ratio(part, |at| 1.0 - back.at(at)));
            }
            let own = rows[row].clone();
            for other in (1..many).filter(|other| *other != row) {
                let Some(through) = rows[other][row].take() else { continue };
                for (into, part) in rows[other].iter_mut().zip(&own) {
                    add(into, part.as_ref().map(|part| part.times(&through)));
                }
            }
        }
        let mut found: Vec<Option<Voltage>> = vec![None; many];
        found[0] = Some(whole);
        let sums: Vec<Option<Spectrum>> = rows.into_iter().map(|mut row| row.swap_remove(0)).collect();
        // Round a circle magnitudes would add up without end: there they are those of the sum.
        for (row, sum) in sums.iter().enumerate().skip(1).filter(|(row, _)| round[*row]) {
            found[row] = sum.as_ref().map(|sum| Voltage {
                sum: sum.clone(),
                magnitudes: (0..self.points).map(|at| sum.at(at).norm()).collect(),
                delays: (0.0, 0.0),
            });
        }
        // Along the ways, the longest of which goes through all stages.
        for _ in 1..many {
            for (row, at) in sounding.iter().enumerate().map(|(row, at)| (row + 1, at)) {
                let (Some(sum), false) = (&sums[row], round[row]) else { continue };
                let heard = stages.heard.get(at).map(Vec::as_slice).unwrap_or_default();
                let Some(Voltage { magnitudes, delays, .. }) = self.sum(heard, &found, omega) else { continue };
                found[row] = Some(Voltage { sum: sum.clone(), magnitudes, delays });
            }
        }
        found
    }

    /// What is heard at several points, added up; none where no way leads to any of them.
    fn sum(&self, heard: &[Heard], voltages: &[Option<Voltage>], omega: &[f64]) -> Option<Voltage> {
        let mut all: Option<Voltage> = None;
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
                        all = Some(Voltage { sum: product, magnitudes, delays });
                    }
                }
            }
        }
        all
    }

    /// The current into the entry over the voltage there.
    fn seen(&self, voltages: &[Option<Voltage>]) -> SeenAdmittance {
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

impl Heard {
    /// A part of an EMF after the gain and the delay.
    fn of(&self, part: &Spectrum, omega: &[f64]) -> Spectrum {
        let late = |at: usize| Complex64::from_polar(self.ratio, -omega[at] * self.seconds);
        let factor = Spectrum {
            re: (0..part.len()).map(|at| late(at).re).collect(),
            im: (0..part.len()).map(|at| late(at).im).collect(),
        };
        part.times(&factor)
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

fn shunt(at: Point, branch: &Branch, bank: &LineCache, made: &mut Vec<Element>) {
    match branch {
        Branch::Open => {}
        Branch::Short => made.push(Element::Same(at, Point::Ground)),
        branch => {
            let seen = Spectrum::from_fn(bank.sweep().omega(), |omega| branch.admittance(omega));
            made.push(Element::Shunt(at, Arc::new(seen)));
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

fn ratio(of: &Spectrum, by: impl Fn(usize) -> Complex64) -> Spectrum {
    let mut found = of.clone();
    for (at, (re, im)) in found.re.iter_mut().zip(found.im.iter_mut()).enumerate() {
        let value = Complex64::new(*re, *im) / by(at);
        (*re, *im) = (value.re, value.im);
    }
    found
}
