//! Where circuits are joined at a junction: which places of the way one block has to hold.

use std::collections::BTreeSet;
use std::ops::Range;

use super::{Path, Stop, WaysToSpot};
use crate::arrival::{Begin, Goal, Rest, leading_to};
use crate::network::Ladder;
use crate::plan::{Plan, Start, Tail, Wire};

/// What may be one circuit with a junction, whatever the switches do.
struct Region {
    /// Stations that may be part of it; of those where it ends in any case only what
    /// ends it in different ways.
    stations: BTreeSet<usize>,
    /// Leads in it.
    wires: BTreeSet<Tail>,
}

impl WaysToSpot<'_> {
    /// The places that one block has to hold each, since circuits are joined there.
    pub(super) fn joined(&self, order: &[usize], first: &Wire) -> Vec<Range<usize>> {
        let reached = self.plan.reached_from(first);
        let mut regions: Vec<Region> = Vec::new();
        for junction in self.plan.junctions().filter(|at| reached.contains(at)) {
            if !regions.iter().any(|region| region.stations.contains(&junction)) {
                regions.push(Region::around(self.plan, junction));
            }
        }
        let junctions: Vec<usize> = self.plan.junctions().collect();
        let leads = leading_to(self.plan, Some(Goal::Spot(self.spot)), &junctions);
        let place = |at: &usize| order.iter().position(|one| one == at);
        let range = |region: Region| {
            let places = || region.stations.iter().filter_map(place);
            let is_on_the_way =
                region.wires.iter().filter_map(|tail| self.plan.wire_from(*tail)).any(|wire| self.is_at(wire));
            let last = places().max();
            if last.is_none() && !is_on_the_way {
                return None;
            }
            let all_lead = region
                .stations
                .iter()
                .filter(|at| self.plan.stations[**at].is_junction && reached.contains(at))
                .all(|at| place(at).is_some());
            // Against the way of the signal a part of it may go on another way.
            let parts = region.stations.iter().filter(|at| !reached.contains(at)).any(|at| {
                let station = &self.plan.stations[*at];
                let onward = station.outs.iter().filter_map(|out| out.wire.as_ref()?.to);
                onward.filter(|to| leads.contains(to)).nth(1).is_some()
            });
            // A junction beside the way, or behind the spot: what is joined there may come from anywhere.
            let (true, Some(last)) = (all_lead && !parts, last) else { return Some(0..order.len()) };
            // Entered by one way, the block begins at the junction; by several, before it.
            let begin = |junction: &usize| {
                let tails = self.plan.wires_to(*junction).filter_map(|tail| match tail {
                    Tail::Out { station, .. } => place(&station),
                    Tail::Start(_) => None,
                });
                let mut tails: Vec<usize> = tails.collect();
                tails.sort_unstable();
                match tails[..] {
                    [first, _, ..] => Some(first),
                    _ => place(junction),
                }
            };
            let inside = region.stations.iter().filter(|at| junctions.contains(at));
            inside.filter_map(begin).min().map(|begin| begin..last + 1)
        };
        regions.into_iter().filter_map(range).filter(|range| !range.is_empty()).collect()
    }
}

impl<'a> WaysToSpot<'a> {
    /// The path to a spot to which no signal goes, and that may feel one over a junction.
    pub(super) fn felt(&self, start: &Start, first: &'a Wire) -> Option<Path> {
        let reached = self.plan.reached_from(first);
        let (true, Some(at)) = (self.plan.junctions().any(|at| reached.contains(&at)), first.to) else { return None };
        let mut arrive = Ladder::new();
        first.add_to(&mut arrive);
        arrive.shunt(self.plan.stations[at].wiring.clone());
        let ways = Self { end: 2, ..Self::new(self.plan, self.spot) };
        let mut mutes = Vec::new();
        let block = ways.block(Begin::Station(at), &[at], None, &mut mutes);
        let device = self.plan.stations[at].device();
        let (modes, exits) = (Vec::new(), Vec::new());
        let stop = Stop { station: at, device, arrive, modes, exits, block: Some(block) };
        let (source, last) = (start.source.clone(), Ladder::new());
        Some(Path { source, gain_db: 0.0, stops: vec![stop], last, rest: Rest::Inside, mutes })
    }
}

impl Region {
    fn around(plan: &Plan, junction: usize) -> Self {
        let mut region = Self { stations: BTreeSet::new(), wires: BTreeSet::new() };
        let mut todo = vec![junction];
        while let Some(at) = todo.pop() {
            let station = &plan.stations[at];
            let passes = station.may_be().iter().any(|one| one.passes());
            // What ends a run in any case, and always alike, ends the block.
            if station.ends_alike() || !region.stations.insert(at) || !passes {
                continue;
            }
            for alternative in station.may_be().iter().filter(|one| one.passes()) {
                for (out, wire) in station.wires(alternative) {
                    region.wires.insert(Tail::Out { station: at, out });
                    todo.extend(wire.to);
                }
            }
            for tail in plan.wires_to(at) {
                region.wires.insert(tail);
                let Tail::Out { station, out } = tail else { continue };
                let is_joined = plan.stations[station].may_be().iter().any(|one| one.passes() && one.leads_to(out));
                todo.extend(is_joined.then_some(station));
            }
        }
        region
    }
}
