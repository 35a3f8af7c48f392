//! The runs of one state: stretches between one isolating output and the next inputs.

use std::collections::{BTreeMap, BTreeSet};

use super::{Alternative, Behaviour, Plan, Spot, Tail, Wire};
use crate::rig::{DeviceId, Jack, JackRef, LeadId, State};
use crate::units::Level;

/// Where a run begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// At `starts[i]`.
    Start(usize),
    /// At an output of `stations[station]`, which isolates in this state.
    Output {
        /// The station.
        station: usize,
        /// Which of its outs.
        out: usize,
    },
}

/// A run in one state.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Where it begins.
    pub origin: Origin,
    /// The jack there.
    pub from: JackRef,
    /// The runs, each with the station at one of its ends, that feed this one:
    /// none of a start, several where signals add up.
    pub fed_by: Vec<(usize, usize)>,
    /// Level between that station's input and the open output; of a start, its own level.
    pub gain: Level,
    /// The leads in it, in the signal's order, side branches after what they branch from.
    pub leads: Vec<LeadId>,
    /// Stations that it goes through.
    pub passed: Vec<usize>,
    /// Stations in which it ends.
    pub ends: Vec<usize>,
    /// Whether it counts as high-impedance.
    pub high_impedance: bool,
}

/// One run on a signal's way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RouteRun {
    /// Where the run begins.
    pub origin: Origin,
    /// Where in it the level is wanted.
    pub spot: Spot,
    /// What comes before it: the level of the start or of the station that it leaves.
    pub gain: Level,
    /// Whether it is no ladder behind the one before: the same start's signal comes to
    /// it by several ways, which add up, or a junction joins other circuits to it.
    pub adds_up: bool,
}

impl Run {
    /// One of which nothing is known but where it begins.
    fn new(origin: Origin, from: JackRef, gain: Level, high_impedance: bool) -> Self {
        let (fed_by, leads, passed, ends) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        Self { origin, from, fed_by, gain, leads, passed, ends, high_impedance }
    }
}

impl Plan {
    /// All runs of a state, each after the first of those that feed it.
    #[must_use]
    pub fn runs(&self, state: &State) -> Vec<Run> {
        let mut runs: Vec<Run> = self
            .starts
            .iter()
            .enumerate()
            .map(|(i, start)| Run::new(Origin::Start(i), start.jack, start.in_state(state).1, start.high_impedance))
            .collect();
        let mut known: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        let mut at = 0;
        while let Some(run) = runs.get(at) {
            let mut run = run.clone();
            if let Some(wire) = self.first_wire(run.origin) {
                self.follow(wire, state, &mut run);
            }
            for &end in &run.ends {
                let station = &self.stations[end];
                let Some(alternative) = station.alternative_in(state) else { continue };
                let Behaviour::Isolate { level, high_impedance, .. } = &alternative.behaviour else { continue };
                for (out, _) in station.wires(alternative) {
                    if let Some(fed) = known.get(&(end, out)) {
                        runs[*fed].fed_by.push((at, end));
                        continue;
                    }
                    known.insert((end, out), runs.len());
                    let (origin, jack) = (Origin::Output { station: end, out }, station.outs[out].jack);
                    let new = Run::new(origin, jack.unwrap_or(station.jack), *level, *high_impedance);
                    runs.push(Run { fed_by: vec![(at, end)], ..new });
                }
            }
            runs[at] = run;
            at += 1;
        }
        runs
    }

    pub(super) fn first_wire(&self, origin: Origin) -> Option<&Wire> {
        match origin {
            Origin::Start(i) => self.starts.get(i)?.wire.as_ref(),
            Origin::Output { station, out } => self.stations.get(station)?.outs.get(out)?.wire.as_ref(),
        }
    }

    fn follow(&self, wire: &Wire, state: &State, run: &mut Run) {
        run.leads.extend(wire.lead);
        let Some(at) = wire.to else { return };
        let station = &self.stations[at];
        // Two ways of one run come to a junction, and go on from there as one.
        if station.is_junction && run.passed.contains(&at) {
            return;
        }
        match station.alternative_in(state) {
            Some(alternative @ Alternative { behaviour: Behaviour::Pass { high_impedance, .. }, .. }) => {
                run.passed.push(at);
                run.high_impedance |= high_impedance;
                station.wires(alternative).for_each(|(_, wire)| self.follow(wire, state, run));
            }
            _ => run.ends.push(at),
        }
    }

    /// Whether a junction joins other circuits to the run that begins there, in a state.
    #[must_use]
    pub fn is_joined(&self, origin: Origin, state: &State) -> bool {
        let junctions: Vec<usize> = self.junctions().collect();
        let (false, Some(wire)) = (junctions.is_empty(), self.first_wire(origin)) else { return false };
        let mut run = Run::new(origin, JackRef::new(DeviceId(0), Jack::Out), Level::Silent, false);
        self.follow(wire, state, &mut run);
        run.passed.iter().any(|passed| junctions.contains(passed))
    }

    /// The way of the signal to a spot, from its start: run after run. Where
    /// signals add up it is the way of the first of them. `None` if no signal
    /// gets there in this state.
    #[must_use]
    pub fn route(&self, runs: &[Run], state: &State, spot: Spot) -> Option<Vec<RouteRun>> {
        let roots = self.roots(runs);
        let junctions: Vec<usize> = self.junctions().collect();
        let comes_by = |run: &Run| match spot {
            Spot::Lead { lead, .. } => run.leads.contains(&lead),
            Spot::Input(station) => run.passed.contains(&station) || run.ends.contains(&station),
        };
        let rooted = || (0..runs.len()).filter(|at| roots[*at].is_some());
        // A signal also comes back over a junction.
        let is_felt = |at: &usize| {
            let passed = runs[*at].passed.iter().copied().filter(|passed| junctions.contains(passed));
            self.is_felt(passed.collect(), state, spot)
        };
        let mut at = rooted().find(|at| comes_by(&runs[*at])).or_else(|| rooted().find(is_felt))?;
        // Of several signals the one whose start comes first; it may come several ways.
        let start = roots[at];
        let feeders = |at: usize| runs[at].fed_by.iter().filter(|(feeder, _)| roots[*feeder] == start);
        let route_run = |at: usize, spot| {
            let Run { origin, gain, .. } = runs[at];
            let is_joined = || runs[at].passed.iter().any(|passed| junctions.contains(passed));
            RouteRun { origin, spot, gain, adds_up: feeders(at).count() > 1 || is_joined() }
        };
        let mut last = route_run(at, spot);
        // The spot itself may be where they meet.
        last.adds_up |= rooted().filter(|other| roots[*other] == start && comes_by(&runs[*other])).nth(1).is_some();
        let mut route_runs = vec![last];
        while let Some(&(feeder, station)) = feeders(at).next() {
            at = feeder;
            route_runs.push(route_run(at, Spot::Input(station)));
        }
        route_runs.reverse();
        Some(route_runs)
    }

    /// Whether what is at some junctions is felt at a spot in a state, by whatever way.
    fn is_felt(&self, junctions: Vec<usize>, state: &State, spot: Spot) -> bool {
        let (mut todo, mut seen) = (junctions, BTreeSet::new());
        let is_on = |wire: Option<&Wire>| matches!(spot, Spot::Lead { lead, .. } if wire.is_some_and(|wire| wire.lead == Some(lead)));
        while let Some(at) = todo.pop() {
            if spot == Spot::Input(at) {
                return true;
            }
            let station = &self.stations[at];
            let Some(alternative) = station.alternative_in(state).filter(|_| seen.insert(at)) else { continue };
            for (_, wire) in station.wires(alternative) {
                if is_on(Some(wire)) {
                    return true;
                }
                todo.extend(wire.to);
            }
            if !alternative.passes() {
                continue;
            }
            for tail in self.wires_to(at) {
                if is_on(self.wire_from(tail)) {
                    return true;
                }
                let Tail::Out { station, out } = tail else { continue };
                let before = self.stations[station].alternative_in(state);
                todo.extend(before.is_some_and(|before| before.passes() && before.leads_to(out)).then_some(station));
            }
        }
        false
    }

    /// Of each run the first start from which a signal comes there; none where it
    /// is silent, since another instrument is played.
    fn roots(&self, runs: &[Run]) -> Vec<Option<usize>> {
        let own = |run: &Run| match run.origin {
            Origin::Start(start) => Some(start).filter(|start| !self.starts[*start].is_idle),
            Origin::Output { .. } => None,
        };
        let mut roots: Vec<Option<usize>> = runs.iter().map(own).collect();
        loop {
            let mut is_done = true;
            for (at, run) in runs.iter().enumerate() {
                let first = run.fed_by.iter().filter_map(|(feeder, _)| roots[*feeder]).min();
                if first.is_some() && first != roots[at] {
                    // A run may come before the last of those that feed it.
                    (roots[at], is_done) = (first, false);
                }
            }
            if is_done {
                return roots;
            }
        }
    }
}
