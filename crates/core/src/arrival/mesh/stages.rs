//! The stages of a mesh that carry the signal: what goes into each, and out of it.

use std::collections::{BTreeMap, BTreeSet};

use num_complex::Complex64;

use super::circuit::Point;
use super::explore::Joined;
use super::{Entry, Mesh};
use crate::arrival::{Begin, Goal};
use crate::network::Spectrum;
use crate::plan::{Alternative, Behaviour, Plan, Spot, Tail};
use crate::rig::Polarity;
use crate::units::Level;

/// Each of them doubles the work.
const MOST_UNCORRELATED: usize = 5;

/// A signal at a stage's input, on its way to the stage's output or to a sum.
#[derive(Debug, Clone, Copy)]
pub struct Heard {
    /// The point whose voltage it is.
    pub at: Point,
    /// The gain from there, with its sign.
    pub ratio: f64,
    /// The delay from there.
    pub seconds: f64,
}

impl Heard {
    /// A part of an EMF after the gain and the delay.
    pub fn of(&self, part: &Spectrum, omega: &[f64]) -> Spectrum {
        let late = |at: usize| Complex64::from_polar(self.ratio, -omega[at] * self.seconds);
        let factor = Spectrum {
            re: (0..part.len()).map(|at| late(at).re).collect(),
            im: (0..part.len()).map(|at| late(at).im).collect(),
        };
        part.times(&factor)
    }
}

impl Joined<'_> {
    /// Whether a station's outputs carry the signal.
    pub(super) fn sounds(&self, at: usize) -> bool {
        let through = self.stations.get(&at).map(|alternative| &alternative.behaviour);
        matches!(through, Some(Behaviour::Isolate { level: Level::Decibels(_), .. }))
    }

    /// The stages behind which phases are a thing of chance; past so many the others count as alike.
    pub(super) fn uncorrelated(&self) -> Vec<usize> {
        let found = self.stations.iter().filter(|(at, one)| {
            self.sounds(**at) && matches!(one.behaviour, Behaviour::Isolate { polarity: Polarity::Uncorrelated, .. })
        });
        found.map(|(at, _)| *at).take(MOST_UNCORRELATED).collect()
    }
}

/// The stages of a mesh that carry the signal, and what goes into each.
pub struct Stages {
    /// Of each station that isolates: what its EMF is made of.
    pub heard: BTreeMap<usize, Vec<Heard>>,
    /// What the voltage at the goal is made of.
    pub at_goal: Vec<Heard>,
}

impl Stages {
    /// Those of a mesh in one setting, some of its stages turned over.
    pub(super) fn of(mesh: &Mesh<'_>, joined: &Joined<'_>, turned: &[usize]) -> Self {
        let outputs = joined.outputs.iter().filter(|((at, _), _)| joined.sounds(*at));
        let not_added = outputs.filter(|((at, out), one)| !is_added_up(mesh.plan, *at, *out, one));
        let stages: BTreeSet<usize> = not_added.map(|((at, _), _)| *at).collect();
        let heard = stages.into_iter().map(|at| (at, through_stage(mesh, joined, turned, at)));
        let at_goal = match mesh.goal {
            None => Vec::new(),
            Some(Goal::Sum(at)) => at_input(mesh, joined, turned, at),
            Some(Goal::Spot(Spot::Input(at))) => at_input(mesh, joined, turned, at),
            Some(Goal::Spot(Spot::Lead { .. })) => vec![Heard { at: Point::Goal, ratio: 1.0, seconds: 0.0 }],
        };
        Self { heard: heard.collect(), at_goal }
    }
}

/// What a stage makes of what is at its input.
fn through_stage(mesh: &Mesh<'_>, joined: &Joined<'_>, turned: &[usize], at: usize) -> Vec<Heard> {
    let Some(Alternative {
        behaviour: Behaviour::Isolate { level: Level::Decibels(db), polarity, latency, .. }, ..
    }) = joined.stations.get(&at)
    else {
        return Vec::new();
    };
    let sign = if turned.contains(&at) { -polarity.sign() } else { polarity.sign() };
    let ratio = sign * 10f64.powf(db / 20.0);
    let through = |heard: Heard| Heard { ratio: heard.ratio * ratio, seconds: heard.seconds + latency.get(), ..heard };
    at_input(mesh, joined, turned, at).into_iter().map(through).collect()
}

/// What is at a station's input: the voltage there, or what stages add up to.
fn at_input(mesh: &Mesh<'_>, joined: &Joined<'_>, turned: &[usize], at: usize) -> Vec<Heard> {
    let added: Vec<usize> = mesh
        .plan
        .wires_to(at)
        .filter(|tail| joined.wires.contains(tail))
        .filter_map(|tail| {
            let Tail::Out { station, out } = tail else { return None };
            let alternative = joined.outputs.get(&(station, out))?;
            is_added_up(mesh.plan, station, out, alternative).then_some(station)
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
        _ if joined.sounds(at) => through_stage(mesh, joined, turned, at),
        _ => Vec::new(),
    };
    added.into_iter().flat_map(through).collect()
}

/// Whether what a stage gives is added to what others give, none of them feeling another.
pub fn is_added_up(plan: &Plan, at: usize, out: usize, alternative: &Alternative) -> bool {
    let Some(wire) = plan.stations[at].outs[out].wire.as_ref() else { return false };
    let is_ideal = matches!(&alternative.behaviour, Behaviour::Isolate { output, .. } if output.rungs.is_empty());
    let to = wire.to.filter(|_| wire.lead.is_none() && is_ideal);
    to.is_some_and(|to| plan.stations[to].adds_up())
}
