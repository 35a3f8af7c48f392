//! The runs of one state: stretches between one isolating output and the next inputs.

use std::collections::BTreeMap;

use super::{Alternative, Plan, Spot, Through, Wire};
use crate::rig::{JackRef, LeadId, State};
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
pub struct Hop {
    /// Where the run begins.
    pub origin: Origin,
    /// Where in it the level is wanted.
    pub spot: Spot,
    /// What comes before it: the level of the start or of the station that it leaves.
    pub gain: Level,
    /// Whether the same start's signal comes to it by several ways, which add up.
    pub adds_up: bool,
}

impl Plan {
    /// All runs of a state, each after the first of those that feed it.
    #[must_use]
    pub fn runs(&self, state: &State) -> Vec<Run> {
        let mut runs: Vec<Run> = self
            .starts
            .iter()
            .enumerate()
            .map(|(i, start)| Run {
                origin: Origin::Start(i),
                from: start.jack,
                fed_by: Vec::new(),
                gain: start.level,
                leads: Vec::new(),
                passed: Vec::new(),
                ends: Vec::new(),
                high_impedance: start.high_impedance,
            })
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
                let Through::Isolate { level, high_impedance, .. } = &alternative.through else { continue };
                for (out, _) in station.wires(alternative) {
                    if let Some(fed) = known.get(&(end, out)) {
                        runs[*fed].fed_by.push((at, end));
                        continue;
                    }
                    known.insert((end, out), runs.len());
                    runs.push(Run {
                        origin: Origin::Output { station: end, out },
                        from: station.outs[out].jack.unwrap_or(station.jack),
                        fed_by: vec![(at, end)],
                        gain: *level,
                        leads: Vec::new(),
                        passed: Vec::new(),
                        ends: Vec::new(),
                        high_impedance: *high_impedance,
                    });
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
        match station.alternative_in(state) {
            Some(alternative @ Alternative { through: Through::Pass { high_impedance, .. }, .. }) => {
                run.passed.push(at);
                run.high_impedance |= high_impedance;
                station.wires(alternative).for_each(|(_, wire)| self.follow(wire, state, run));
            }
            _ => run.ends.push(at),
        }
    }

    /// The way of the signal to a spot, from its start: one hop a run. Where
    /// signals add up it is the way of the first of them. `None` if no signal
    /// gets there in this state.
    #[must_use]
    pub fn route(&self, runs: &[Run], spot: Spot) -> Option<Vec<Hop>> {
        let roots = self.roots(runs);
        let comes_by = |run: &Run| match spot {
            Spot::Lead { lead, .. } => run.leads.contains(&lead),
            Spot::Input(station) => run.passed.contains(&station) || run.ends.contains(&station),
        };
        let mut at = (0..runs.len()).find(|at| roots[*at].is_some() && comes_by(&runs[*at]))?;
        // Of several signals the one whose start comes first; it may come several ways.
        let start = roots[at];
        let feeders = |at: usize| runs[at].fed_by.iter().filter(|(feeder, _)| roots[*feeder] == start);
        let hop = |at: usize, spot| {
            let Run { origin, gain, .. } = runs[at];
            Hop { origin, spot, gain, adds_up: feeders(at).count() > 1 }
        };
        let mut hops = vec![hop(at, spot)];
        while let Some(&(feeder, station)) = feeders(at).next() {
            at = feeder;
            hops.push(hop(at, Spot::Input(station)));
        }
        hops.reverse();
        Some(hops)
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
