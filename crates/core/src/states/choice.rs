//! What a side run can be: one admittance for each first isolator in it.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::cascade::{Bank, onward_from};
use crate::network::Onward;
use crate::plan::{Plan, Through, Wire};
use crate::rig::{SwitchRef, SwitchSetting};
use crate::watch::{Pace, Stopped};

use super::effort::Effort;
use super::path::{Rest, Stand};

/// One of the things that a side run can be.
#[derive(Debug, Clone)]
pub struct Choice {
    /// What the point that it hangs on sees.
    pub seen: Onward,
    /// Where switches stand in it. All others may stand as they like.
    pub stands: Vec<Stand>,
    /// The switches of units that a signal gets to and that aren't heard, since
    /// something before them isolates; none where that is all that aren't heard.
    pub hidden: Option<Vec<Arc<BTreeSet<SwitchRef>>>>,
}

impl Choice {
    /// Nothing hangs there.
    fn nothing() -> Self {
        Self { seen: Onward::Open, stands: Vec::new(), hidden: None }
    }

    /// Switches that have been moved in it.
    pub fn moved(&self) -> impl Iterator<Item = SwitchSetting> {
        self.stands.iter().filter(|stand| stand.moved).map(|stand| stand.setting)
    }

    /// The same, seen from farther in front.
    fn change(&mut self, from_here: impl FnOnce(Onward) -> Onward) {
        self.seen = from_here(std::mem::replace(&mut self.seen, Onward::Open));
    }
}

/// The choices of a side run, or of what hangs on the spot: the one in
/// which every switch is off first. Past `most` the others are left out.
#[derive(Debug)]
pub struct Choices<'a, 'w> {
    /// The plan.
    pub plan: &'a Plan,
    /// Leads' two-ports.
    pub bank: &'a mut Bank,
    /// How many choices are kept.
    pub most: usize,
    /// Who is told how far it is.
    pub pace: &'a mut Pace<'w>,
    /// Of each station the switches behind it, where ways part.
    behind: BTreeMap<usize, Arc<BTreeSet<SwitchRef>>>,
    parts: bool,
    /// How many ways lead to each station, where ways part.
    ways: Vec<usize>,
    /// Stations to which several ways lead: how many ways haven't asked yet, and
    /// what the first found there. Where ways part n times and meet again, each
    /// of 2ⁿ ways through would else begin anew.
    shared: BTreeMap<usize, (usize, Vec<Choice>)>,
}

impl<'a, 'w> Choices<'a, 'w> {
    /// The choices in a plan.
    pub fn new(plan: &'a Plan, bank: &'a mut Bank, most: usize, pace: &'a mut Pace<'w>) -> Self {
        let parts = plan.stations.iter().flat_map(|station| &station.alternatives).any(|one| one.out.is_some());
        let ways = if parts { plan.wires_to_each() } else { Vec::new() };
        Self { plan, bank, most, pace, behind: BTreeMap::new(), parts, ways, shared: BTreeMap::new() }
    }

    /// Of a whole lead and what comes after it.
    pub fn of_wire(&mut self, wire: &Wire) -> Result<Vec<Choice>, Stopped> {
        let mut found = self.of_far_end(wire)?;
        for choice in &mut found {
            choice.change(|seen| seen.behind_shunt(&wire.plug, self.bank.sweep()));
        }
        Ok(found)
    }

    /// Of what hangs on the spot.
    pub fn of_rest(&mut self, rest: &Rest) -> Result<Vec<Choice>, Stopped> {
        match rest {
            Rest::Wire(wire) => self.of_far_end(wire),
            Rest::Station(at) => self.of_station(*at),
        }
    }

    /// Of a lead without its near plug.
    fn of_far_end(&mut self, wire: &Wire) -> Result<Vec<Choice>, Stopped> {
        let mut found = match wire.to {
            Some(at) => self.of_station(at)?,
            None => vec![Choice::nothing()],
        };
        let Some(line) = &wire.line else { return Ok(found) };
        let port = self.bank.port(line);
        let sweep = self.bank.sweep();
        for choice in &mut found {
            choice.change(|seen| seen.behind_shunt(&wire.plug, sweep).behind_line(&port, sweep));
            self.pace.did(Effort::of_choices(1).steps(sweep.len()))?;
        }
        Ok(found)
    }

    fn of_station(&mut self, at: usize) -> Result<Vec<Choice>, Stopped> {
        if let Some((left, known)) = self.shared.get_mut(&at) {
            *left -= 1;
            let (left, found) = (*left, known.clone());
            if left == 0 {
                self.shared.remove(&at);
            }
            return Ok(found);
        }
        let found = self.of_new_station(at)?;
        if let Some(others) = self.ways.get(at).and_then(|ways| ways.checked_sub(1)).filter(|others| *others > 0) {
            self.shared.insert(at, (others, found.clone()));
        }
        Ok(found)
    }

    fn of_new_station(&mut self, at: usize) -> Result<Vec<Choice>, Stopped> {
        let plan = self.plan;
        let station = &plan.stations[at];
        let mut found = Vec::new();
        for alternative in &station.alternatives {
            let here = match &alternative.through {
                Through::Isolate { load, .. } | Through::End { load } => {
                    let mut loaded = Choice::nothing();
                    loaded.hidden = self.parts.then(|| vec![self.behind(at)]);
                    loaded.change(|seen| seen.behind_shunt(load, self.bank.sweep()));
                    vec![loaded]
                }
                Through::Pass { rungs, .. } => {
                    let mut joined = vec![Choice { hidden: self.parts.then(Vec::new), ..Choice::nothing() }];
                    for (_, wire) in station.wires(alternative) {
                        let next = self.of_wire(wire)?;
                        joined = self.together(&joined, &next);
                    }
                    for choice in &mut joined {
                        choice.change(|seen| onward_from(seen, &rungs.rungs, self.bank));
                    }
                    joined
                }
            };
            for mut choice in here {
                choice.stands.extend(Stand::of(station, alternative));
                choice.change(|seen| seen.behind_shunt(&station.wiring, self.bank.sweep()));
                found.push(choice);
            }
        }
        found.truncate(self.most);
        Ok(found)
    }

    /// The switches behind a station, whatever it is.
    fn behind(&mut self, at: usize) -> Arc<BTreeSet<SwitchRef>> {
        if let Some(known) = self.behind.get(&at) {
            return Arc::clone(known);
        }
        let (mut todo, mut seen, mut found) = (vec![at], BTreeSet::new(), BTreeSet::new());
        while let Some(at) = todo.pop() {
            let onward = self.plan.stations[at].outs.iter().filter_map(|out| out.wire.as_ref()?.to);
            for next in onward.filter(|next| seen.insert(*next)) {
                found.extend(self.plan.stations[next].switch.map(|switch| switch.id));
                todo.push(next);
            }
        }
        let found = Arc::new(found);
        self.behind.insert(at, Arc::clone(&found));
        found
    }

    /// Every one of `left` with every one of `right`, on one point.
    fn together(&self, left: &[Choice], right: &[Choice]) -> Vec<Choice> {
        let both = right.iter().flat_map(|b| left.iter().map(move |a| (a, b)));
        let joined = both.map(|(a, b)| Choice {
            seen: a.seen.clone().beside(b.seen.clone()),
            stands: a.stands.iter().chain(&b.stands).copied().collect(),
            hidden: a.hidden.as_ref().map(|hidden| hidden.iter().chain(b.hidden.iter().flatten()).cloned().collect()),
        });
        joined.take(self.most).collect()
    }
}
