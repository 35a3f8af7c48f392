//! What a mesh does in one setting: the circuit that is joined then, and a small nodal solve.
//!
//! Between outputs that isolate, circuits are passive: what of each EMF arrives at
//! each input follows from their admittances. The EMFs behind the entry's follow from
//! what arrives at the inputs before them, and may be felt there again over a
//! junction.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::explore::Joined;
use super::solution::Solved;
use super::stages::{Stages, is_added_up};
use super::{Entry, Mesh};
use crate::arrival::{Begin, Goal};
use crate::cascade::{LineCache, admittance_into};
use crate::network::{Branch, Ladder, Rung, SeenAdmittance, Spectrum, Transfer};
use crate::plan::{Alternative, Behaviour, Spot, Tail};

/// A point of a circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Point {
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
pub enum Element {
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
    pub(super) fn solved(
        &mut self,
        joined: &Joined<'a>,
        line_cache: &mut LineCache,
    ) -> (SeenAdmittance, Option<Transfer>) {
        let points = line_cache.sweep().len();
        let elements = self.elements(joined, line_cache);
        let stages = Stages::of(self.mesh, joined, &[]);
        let entry = match self.mesh.entry {
            Entry::Begin(Begin::Station(at)) | Entry::Input(at) => Point::Input(at),
            Entry::Begin(Begin::Outputs(at)) => Point::Emf(at),
            Entry::Start(start) => Point::Start(start),
        };
        let Some(solved) = Solved::of(&elements, entry, &stages, points) else { return (SeenAdmittance::Short, None) };
        let voltages = solved.voltages(&stages, line_cache.sweep().omega());
        let omega = line_cache.sweep().omega();
        let mut transfer = solved.sum(&stages.at_goal, &voltages, omega);
        let chance = joined.uncorrelated();
        if let (Some(first), false) = (&transfer, chance.is_empty()) {
            let turned = |number: usize| -> Vec<usize> {
                let bits = chance.iter().enumerate().filter(|(bit, _)| number & 1 << bit != 0);
                bits.map(|(_, at)| *at).collect()
            };
            let others = (1..1 << chance.len()).filter_map(|number| {
                let stages = Stages::of(self.mesh, joined, &turned(number));
                solved.sum(&stages.at_goal, &solved.voltages(&stages, omega), omega)
            });
            let turns: Vec<Transfer> = [first.clone()].into_iter().chain(others).collect();
            transfer = Transfer::of_turns(&turns, &chance);
        }
        transfer.iter_mut().for_each(Transfer::silence_nulls);
        // Of a network of EMFs the circuit has the impedance alone.
        let source = match self.mesh.entry {
            Entry::Start(start) => self.mesh.plan.starts[start].source.rungs.first(),
            _ => None,
        };
        if let (Some(Rung::Source(network)), Some(transfer)) = (source, &mut transfer) {
            let thevenin = line_cache.source(network);
            transfer.scale(|at| thevenin.emf.at(at));
        }
        let seen = match self.mesh.entry {
            Entry::Begin(Begin::Outputs(_)) | Entry::Start(_) => SeenAdmittance::Open,
            Entry::Begin(Begin::Station(_)) | Entry::Input(_) => solved.seen(&voltages),
        };
        (seen, transfer)
    }

    fn elements(&mut self, joined: &Joined<'a>, line_cache: &mut LineCache) -> Vec<Element> {
        let mut pieces: Vec<Piece> = Vec::new();
        let number = |at: usize, alternative: &Alternative| {
            self.mesh.plan.stations[at].may_be().iter().position(|one| std::ptr::eq(one, alternative)).unwrap_or(0)
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
                let made = self.made(piece, line_cache);
                self.pieces.insert(piece, made);
            }
            all.extend(self.pieces[&piece].iter().cloned());
        }
        // Where a wire begins depends on what its station is.
        let begins = joined.wires.iter().filter_map(|tail| match *tail {
            Tail::Out { station, out } if !joined.outputs.contains_key(&(station, out)) => {
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

    fn made(&mut self, piece: Piece, line_cache: &mut LineCache) -> Vec<Element> {
        let plan = self.mesh.plan;
        let mut made = Vec::new();
        match piece {
            Piece::Wiring(at) => shunt(Point::Input(at), &plan.stations[at].wiring, line_cache, &mut made),
            Piece::Load(at, number) => match &plan.stations[at].may_be()[number].behaviour {
                Behaviour::Isolate { load, .. } | Behaviour::End { load } => {
                    shunt(Point::Input(at), load, line_cache, &mut made);
                }
                Behaviour::Pass { .. } => {}
            },
            Piece::Passing(at, number) => {
                if let Behaviour::Pass { rungs, .. } = &plan.stations[at].may_be()[number].behaviour {
                    self.rungs([Point::Input(at), Point::Passed(at)], rungs, line_cache, &mut made);
                }
            }
            Piece::Output(at, out, number) => {
                let alternative = &plan.stations[at].may_be()[number];
                if let Behaviour::Isolate { output, .. } = &alternative.behaviour
                    && !is_added_up(plan, at, out, alternative)
                {
                    let jack = Point::Jack(Tail::Out { station: at, out });
                    self.rungs([Point::Emf(at), jack], output, line_cache, &mut made);
                }
            }
            Piece::Source(start) => {
                let source = &plan.starts[start].source;
                self.rungs([Point::Start(start), Point::Jack(Tail::Start(start))], source, line_cache, &mut made);
            }
            Piece::Wire(tail) => self.wire(tail, Point::Jack(tail), line_cache, &mut made),
            Piece::Loose(tail) => {
                let near = self.new_point();
                self.wire(tail, near, line_cache, &mut made);
            }
        }
        made
    }

    fn wire(&mut self, tail: Tail, near: Point, line_cache: &mut LineCache, made: &mut Vec<Element>) {
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
                self.rungs([near, Point::Goal], &ladder, line_cache, made);
                ladder = Ladder::new();
                ladder.line(behind);
                ladder.shunt(wire.plug.clone());
                self.rungs([Point::Goal, far], &ladder, line_cache, made);
            }
            _ => {
                wire.line.iter().for_each(|line| ladder.line(*line));
                ladder.shunt(wire.plug.clone());
                self.rungs([near, far], &ladder, line_cache, made);
            }
        }
    }

    /// A ladder between two points.
    fn rungs(&mut self, [from, to]: [Point; 2], ladder: &Ladder, line_cache: &mut LineCache, made: &mut Vec<Element>) {
        let mut here = from;
        for rung in &ladder.rungs {
            match rung {
                Rung::Shunt(branch) => shunt(here, branch, line_cache, made),
                Rung::Leg(leg) => match admittance_into(&leg.rungs, line_cache) {
                    SeenAdmittance::Open => {}
                    SeenAdmittance::Short => made.push(Element::Same(here, Point::Ground)),
                    SeenAdmittance::Admittance(seen) => made.push(Element::Shunt(here, Arc::new(seen))),
                },
                Rung::Series(Branch::Short) => {}
                // A break: nothing joins what is before it and what is behind.
                Rung::Series(Branch::Open) => here = self.new_point(),
                Rung::Series(branch) => {
                    let next = self.new_point();
                    let through = Spectrum::from_fn(line_cache.sweep().omega(), |omega| branch.admittance(omega));
                    made.push(Element::Join(here, next, Arc::new(through)));
                    here = next;
                }
                Rung::Source(network) if network.is_buffered() => {}
                Rung::Source(network) => {
                    let next = self.new_point();
                    let impedance = &line_cache.source(network).impedance;
                    let one = Spectrum::constant(1.0.into(), impedance.len());
                    made.push(Element::Join(here, next, Arc::new(one.over(|at| impedance.at(at)))));
                    here = next;
                }
                Rung::Line(line) => {
                    let port = line_cache.port(line);
                    // Of a symmetrical two-port with a² − b·c = 1, (a − 1)/b is c/(a + 1).
                    let at_each_end = Arc::new(port.c.over(|at| port.a.at(at) + 1.0));
                    made.push(Element::Shunt(here, Arc::clone(&at_each_end)));
                    if line.has_impedance() {
                        let next = self.new_point();
                        let one = Spectrum::constant(1.0.into(), port.b.len());
                        made.push(Element::Join(here, next, Arc::new(one.over(|at| port.b.at(at)))));
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

fn shunt(at: Point, branch: &Branch, line_cache: &LineCache, made: &mut Vec<Element>) {
    match branch {
        Branch::Open => {}
        Branch::Short => made.push(Element::Same(at, Point::Ground)),
        branch => {
            let seen = Spectrum::from_fn(line_cache.sweep().omega(), |omega| branch.admittance(omega));
            made.push(Element::Shunt(at, Arc::new(seen)));
        }
    }
}
