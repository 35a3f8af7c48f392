//! One run of one state as a ladder, with a mark where the level is wanted.

use super::{Alternative, Behaviour, Origin, Plan, Station, Wire};
use crate::network::Ladder;
use crate::rig::{LeadId, State};

/// A place where a level can be asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spot {
    /// On a lead, `along` from 0 at its output end to 1.
    Lead {
        /// The lead.
        lead: LeadId,
        /// How far along it.
        along: f64,
    },
    /// At the input jack of `stations[i]`.
    Input(usize),
}

/// A run's ladder.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkedLadder {
    /// From the EMF to the far end.
    pub ladder: Ladder,
    /// The level is wanted before this rung.
    pub mark: usize,
    /// So many rungs at the beginning are the source's own.
    pub source_rungs: usize,
}

impl Plan {
    /// The ladder of the run that begins at `origin`, in a state, marked at
    /// `spot`. `None` if the run doesn't come by there, or if a junction joins other
    /// circuits to it, so that no ladder tells its levels.
    #[must_use]
    pub fn ladder(&self, origin: Origin, state: &State, spot: Spot) -> Option<MarkedLadder> {
        if self.is_joined(origin, state) { None } else { self.ladder_alone(origin, state, spot) }
    }

    /// The same, what a junction joins to it being left out.
    #[must_use]
    pub fn ladder_alone(&self, origin: Origin, state: &State, spot: Spot) -> Option<MarkedLadder> {
        let mut ladder = self.source(origin, state)?;
        let source_rungs = ladder.rungs.len();
        let mark = self.wire_rungs(self.first_wire(origin)?, state, spot, &mut Vec::new(), &mut ladder)?;
        Some(MarkedLadder { ladder, mark, source_rungs })
    }

    /// What stands between the EMF at a run's origin and its jack.
    #[must_use]
    pub fn source(&self, origin: Origin, state: &State) -> Option<Ladder> {
        match origin {
            Origin::Start(i) => Some(self.starts.get(i)?.in_state(state).0.clone()),
            Origin::Output { station, .. } => match self.stations.get(station)?.in_state(state)? {
                Behaviour::Isolate { output, .. } => Some(output.clone()),
                _ => None,
            },
        }
    }

    /// Adds a wire and all that hangs on it; the rung of the mark, if the spot is there.
    /// What comes behind a junction that was met before is there already.
    fn wire_rungs(
        &self,
        wire: &Wire,
        state: &State,
        spot: Spot,
        met: &mut Vec<usize>,
        ladder: &mut Ladder,
    ) -> Option<usize> {
        let mut mark = None;
        match (spot, &wire.line) {
            (Spot::Lead { lead, along }, Some(line)) if wire.lead == Some(lead) => {
                let (near, far) = line.cut(along);
                ladder.shunt(wire.plug.clone());
                ladder.line(near);
                mark = Some(ladder.rungs.len());
                ladder.line(far);
                ladder.shunt(wire.plug.clone());
            }
            _ => wire.add_to(ladder),
        }
        let Some(at) = wire.to else { return mark };
        let station = &self.stations[at];
        if station.is_junction {
            if met.contains(&at) {
                return mark;
            }
            met.push(at);
        }
        if spot == Spot::Input(at) {
            mark = Some(ladder.rungs.len());
        }
        ladder.shunt(station.wiring.clone());
        let Some(alternative) = station.alternative_in(state) else { return mark };
        match &alternative.behaviour {
            Behaviour::Isolate { load, .. } | Behaviour::End { load } => ladder.shunt(load.clone()),
            Behaviour::Pass { rungs, .. } => {
                ladder.extend(rungs);
                let onward = self.outs_rungs(station, alternative, (state, spot), met, ladder);
                mark = mark.or(onward);
            }
        }
        mark
    }

    /// The outputs of a station that passes: the one that has the spot goes on
    /// as the ladder, the others hang on it as legs.
    fn outs_rungs(
        &self,
        station: &Station,
        alternative: &Alternative,
        (state, spot): (&State, Spot),
        met: &mut Vec<usize>,
        ladder: &mut Ladder,
    ) -> Option<usize> {
        let mut wires: Vec<&Wire> = station.wires(alternative).map(|(_, wire)| wire).collect();
        let trunk = if wires.len() < 2 {
            wires.pop()?
        } else {
            let at = wires.iter().position(|wire| self.leads_to(wire, state, spot)).unwrap_or(0);
            wires.remove(at)
        };
        // First the way to the spot: what a leg joins it at is no more the leg's.
        let mut onward = Ladder::new();
        let mark = self.wire_rungs(trunk, state, spot, met, &mut onward);
        for wire in wires {
            let mut leg = Ladder::new();
            self.wire_rungs(wire, state, spot, met, &mut leg);
            ladder.leg(leg);
        }
        let before = ladder.rungs.len();
        ladder.rungs.append(&mut onward.rungs);
        mark.map(|mark| before + mark)
    }

    /// Whether the signal goes on from a station, which it passes, to the spot in the same run.
    #[must_use]
    pub fn goes_on_to(&self, station: usize, state: &State, spot: Spot) -> bool {
        let station = &self.stations[station];
        let passing = station.alternative_in(state).filter(|alternative| alternative.passes());
        passing.is_some_and(|alternative| station.wires(alternative).any(|(_, wire)| self.leads_to(wire, state, spot)))
    }

    /// Whether a run that goes along `wire` comes by the spot.
    fn leads_to(&self, wire: &Wire, state: &State, spot: Spot) -> bool {
        if matches!(spot, Spot::Lead { lead, .. } if wire.lead == Some(lead)) {
            return true;
        }
        let Some(at) = wire.to else { return false };
        spot == Spot::Input(at) || self.goes_on_to(at, state, spot)
    }
}
