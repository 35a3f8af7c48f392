//! The runs of one state: stretches between one isolating output and the next inputs.

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
    /// The run, and the station at one of its ends, that feeds this one.
    pub fed_by: Option<(usize, usize)>,
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
}

impl Plan {
    /// All runs of a state, each after the one that feeds it.
    #[must_use]
    pub fn runs(&self, state: &State) -> Vec<Run> {
        let mut runs: Vec<Run> = self
            .starts
            .iter()
            .enumerate()
            .map(|(i, start)| Run {
                origin: Origin::Start(i),
                from: start.jack,
                fed_by: None,
                gain: start.level,
                leads: Vec::new(),
                passed: Vec::new(),
                ends: Vec::new(),
                high_impedance: start.high_impedance,
            })
            .collect();
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
                    runs.push(Run {
                        origin: Origin::Output { station: end, out },
                        from: station.outs[out].jack.unwrap_or(station.jack),
                        fed_by: Some((at, end)),
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

    /// The way of the signal to a spot, from its start: one hop a run.
    /// `None` if no signal gets there in this state.
    #[must_use]
    pub fn route(&self, runs: &[Run], spot: Spot) -> Option<Vec<Hop>> {
        let mut at = runs.iter().position(|run| match spot {
            Spot::Lead { lead, .. } => run.leads.contains(&lead),
            Spot::Input(station) => run.passed.contains(&station) || run.ends.contains(&station),
        })?;
        let mut hops = vec![Hop { origin: runs[at].origin, spot, gain: runs[at].gain }];
        while let Some((feeder, station)) = runs[at].fed_by {
            at = feeder;
            hops.push(Hop { origin: runs[at].origin, spot: Spot::Input(station), gain: runs[at].gain });
        }
        hops.reverse();
        Some(hops)
    }
}
