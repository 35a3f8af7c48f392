//! What a side run can be: one admittance for each first isolator in it. And what
//! ways that part and meet again can be together: what is seen of them, and what
//! of the voltage where they part arrives where they have met.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use num_complex::Complex64;

use crate::cascade::{LineCache, admittance_into, admittance_into_loaded};
use crate::network::{Branch, Ladder, Rung, SeenAdmittance, Transfer};
use crate::plan::{Alternative, Behaviour, Plan, Spot, Start, Station, Wire};
use crate::rig::{Polarity, SwitchRef, SwitchSetting};
use crate::units::{Level, Seconds};
use crate::watch::{Pace, Stopped};

use super::mesh::Entry;
use super::{Begin, CHOICE_STEPS, Goal, Reach, Rest, Stand, leading_to};

/// One of the things that a side run can be.
#[derive(Debug, Clone)]
pub struct Choice {
    /// What the point that it hangs on sees.
    pub seen: SeenAdmittance,
    /// Where switches stand in it. All others may stand as they like.
    pub stands: Vec<Stand>,
    /// The switches of units that a signal gets to and that aren't heard, since
    /// something before them isolates; none where that is all that aren't heard.
    pub hidden: Option<Vec<Arc<BTreeSet<SwitchRef>>>>,
    /// What of the voltage here arrives at the goal; none where nothing does, or there is no goal.
    pub transfer: Option<Transfer>,
    /// How far others lie from it for which it stands; none where it is itself.
    pub reach: Option<Reach>,
}

impl Choice {
    /// Nothing hangs there.
    fn nothing() -> Self {
        Self { seen: SeenAdmittance::Open, stands: Vec::new(), hidden: None, transfer: None, reach: None }
    }

    /// Switches that have been moved in it.
    pub fn moved(&self) -> impl Iterator<Item = SwitchSetting> {
        self.stands.iter().filter(|stand| stand.moved).map(|stand| stand.setting)
    }

    /// The same, seen from farther in front.
    fn change(&mut self, from_here: impl FnOnce(SeenAdmittance) -> SeenAdmittance) {
        self.seen = from_here(std::mem::replace(&mut self.seen, SeenAdmittance::Open));
    }

    /// The same, seen past these rungs.
    fn behind(&mut self, rungs: &[Rung], line_cache: &mut LineCache) {
        if self.transfer.is_none() {
            return self.change(|seen| admittance_into_loaded(seen, rungs, line_cache));
        }
        for rung in rungs.iter().rev() {
            let transfer = self.transfer.take();
            self.transfer = transfer.and_then(|transfer| match rung {
                Rung::Series(branch) => transfer.behind_series(branch, &self.seen, line_cache.sweep()),
                Rung::Line(line) => transfer.behind_line(&line_cache.port(line), &self.seen),
                Rung::Shunt(branch) => (*branch != Branch::Short).then_some(transfer),
                Rung::Source(network) => transfer.behind_source(&line_cache.source(network), &self.seen),
                Rung::Leg(leg) => {
                    (admittance_into(&leg.rungs, line_cache) != SeenAdmittance::Short).then_some(transfer)
                }
            });
            self.change(|seen| admittance_into_loaded(seen, std::slice::from_ref(rung), line_cache));
        }
    }

    /// What follows the outputs of station `at` comes to be seen from its input, which is a load of its own.
    fn behind_stage(&mut self, at: usize, gain: f64, polarity: Polarity, latency: Seconds, omega: &[f64]) {
        self.seen = SeenAdmittance::Open;
        if let Some(transfer) = &mut self.transfer {
            let gain = gain * polarity.sign();
            transfer.scale(|_| Complex64::new(gain, 0.0));
            transfer.delay(latency.get(), omega);
            if polarity == Polarity::Uncorrelated {
                transfer.uncorrelate(at);
            }
        }
    }
}

/// The choices of a side run, or of what hangs on the spot: the one in
/// which every switch is off first. Past `most` the others are left out.
#[derive(Debug)]
pub struct Choices<'a, 'w> {
    /// The plan.
    pub plan: &'a Plan,
    /// Leads' two-ports.
    pub line_cache: &'a mut LineCache,
    /// How many choices are kept.
    pub most: usize,
    /// Who is told how far it is.
    pub pace: &'a mut Pace<'w>,
    /// Of each station the switches behind it, where ways part.
    behind: BTreeMap<usize, Arc<BTreeSet<SwitchRef>>>,
    parts: bool,
    /// What was found at stations that somebody will still ask for, and how often. A
    /// station is asked for by each alternative of those before it: begun anew each
    /// time, n of them would be 2ⁿ.
    ready: BTreeMap<usize, (usize, Vec<Choice>)>,
    /// Up to where signals are followed, if anywhere.
    goal: Option<Goal>,
    /// The stations from which a way leads to the goal, and the goal.
    leads: BTreeSet<usize>,
    /// Whether choices were left out.
    pub is_cut: bool,
}

impl<'a, 'w> Choices<'a, 'w> {
    /// The choices in a plan.
    pub fn new(plan: &'a Plan, line_cache: &'a mut LineCache, most: usize, pace: &'a mut Pace<'w>) -> Self {
        let parts = plan.stations.iter().flat_map(|station| &station.alternatives).any(|one| one.out.is_some());
        let (goal, is_cut) = (None, false);
        let (behind, ready, leads) = (BTreeMap::new(), BTreeMap::new(), BTreeSet::new());
        Self { plan, line_cache, most, pace, behind, parts, ready, goal, leads, is_cut }
    }

    /// The same, signals being followed to a goal.
    pub fn to(goal: Goal, plan: &'a Plan, line_cache: &'a mut LineCache, most: usize, pace: &'a mut Pace<'w>) -> Self {
        Self { goal: Some(goal), leads: leading_to(plan, Some(goal), &[]), ..Self::new(plan, line_cache, most, pace) }
    }

    /// Up to where signals are followed, if anywhere.
    pub(super) fn goal(&self) -> Option<Goal> {
        self.goal
    }

    /// Whether ways part anywhere, so that some units are heard in one of them only.
    pub(super) fn parts(&self) -> bool {
        self.parts
    }

    /// Of all that a start's EMF drives.
    pub fn of_start(&mut self, start: usize) -> Result<Vec<Choice>, Stopped> {
        let Some(Start { source, wire: Some(wire), .. }) = self.plan.starts.get(start) else { return Ok(Vec::new()) };
        if self.is_meshed() { self.of_mesh(Entry::Start(start)) } else { self.of_source(source, wire) }
    }

    /// Of all that an EMF drives over these rungs and a lead.
    pub fn of_source(&mut self, source: &Ladder, wire: &Wire) -> Result<Vec<Choice>, Stopped> {
        let mut found = self.of_wire(wire)?;
        found.iter_mut().for_each(|choice| choice.behind(&source.rungs, self.line_cache));
        Ok(found)
    }

    /// Of a block, its wiring at the beginning left out.
    pub fn of_block(&mut self, begin: Begin) -> Result<Vec<Choice>, Stopped> {
        if self.is_meshed() {
            return self.of_mesh(Entry::Begin(begin));
        }
        match begin {
            Begin::Station(at) => self.of_input(at),
            Begin::Outputs(at) => match self.plan.stations[at].alternatives.first() {
                Some(only) => self.of_outputs(at, only),
                None => Ok(Vec::new()),
            },
        }
    }

    /// Of a whole lead and what comes after it.
    pub fn of_wire(&mut self, wire: &Wire) -> Result<Vec<Choice>, Stopped> {
        let mut found = self.of_far_end(wire)?;
        found.iter_mut().for_each(|choice| choice.behind(&plug(wire), self.line_cache));
        Ok(found)
    }

    /// Of what hangs on the spot.
    pub fn of_rest(&mut self, rest: &Rest) -> Result<Vec<Choice>, Stopped> {
        match rest {
            Rest::Wire(wire) => self.of_far_end(wire),
            Rest::Station(at) => self.of_station(*at),
            Rest::Inside => Ok(vec![Choice::nothing()]),
        }
    }

    /// Of a lead without its near plug.
    fn of_far_end(&mut self, wire: &Wire) -> Result<Vec<Choice>, Stopped> {
        let mut found = match wire.to {
            Some(at) if self.goal == Some(Goal::Sum(at)) => vec![Choice::nothing()],
            Some(at) => self.of_station(at)?,
            None => vec![Choice::nothing()],
        };
        if wire.to.is_some() && self.goal.and_then(Goal::station) == wire.to {
            found.iter_mut().for_each(|choice| choice.transfer = Some(Transfer::whole(self.line_cache.sweep().len())));
        }
        let Some(line) = &wire.line else { return Ok(found) };
        let (near, far) = match self.goal {
            Some(goal @ Goal::Spot(Spot::Lead { along, .. })) if goal.is_on(wire) => {
                let (near, far) = line.cut(along);
                (Some(near), far)
            }
            _ => (None, *line),
        };
        let sweep_points = self.line_cache.sweep().len();
        let mut rungs = vec![Rung::Line(far)];
        rungs.extend(plug(wire));
        for choice in &mut found {
            choice.behind(&rungs, self.line_cache);
            if let Some(near) = near {
                choice.transfer = Some(Transfer::whole(sweep_points));
                choice.behind(&[Rung::Line(near)], self.line_cache);
            }
            self.pace.did(CHOICE_STEPS * sweep_points as u64)?;
        }
        Ok(found)
    }

    /// Whether a wire leads to the goal.
    fn leads(&self, wire: &Wire) -> bool {
        self.goal.is_some_and(|goal| goal.is_on(wire)) || wire.to.is_some_and(|to| self.leads.contains(&to))
    }

    fn of_station(&mut self, at: usize) -> Result<Vec<Choice>, Stopped> {
        if self.is_meshed() {
            return self.of_mesh(Entry::Input(at));
        }
        if !self.ready.contains_key(&at) {
            self.prepare(at)?;
        }
        match self.ready.get_mut(&at) {
            Some((left, found)) if *left > 1 => {
                *left -= 1;
                Ok(found.clone())
            }
            _ => Ok(self.ready.remove(&at).map_or_else(Vec::new, |(_, found)| found)),
        }
    }

    /// Gets a station ready and, before it, all that it asks for. Rigs may be longer
    /// than a thread's stack is deep.
    fn prepare(&mut self, at: usize) -> Result<(), Stopped> {
        let mut asked: BTreeMap<usize, usize> = BTreeMap::from([(at, 1)]);
        let mut order = Vec::new();
        let mut visits = vec![(at, self.asks_for(at))];
        while let Some((here, open)) = visits.last_mut() {
            let Some(next) = open.pop() else {
                order.push(*here);
                visits.pop();
                continue;
            };
            let times = asked.entry(next).or_default();
            *times += 1;
            if *times == 1 {
                visits.push((next, self.asks_for(next)));
            }
        }
        for here in order {
            let found = self.of_new_station(here)?;
            self.ready.insert(here, (asked[&here], found));
        }
        Ok(())
    }

    /// The stations that a station asks for, each as often as it does.
    fn asks_for(&mut self, at: usize) -> Vec<usize> {
        let station = &self.plan.stations[at];
        let mut found = Vec::new();
        for alternative in &station.alternatives {
            let isolates = match &alternative.behaviour {
                Behaviour::Pass { .. } => false,
                Behaviour::Isolate { level: Level::Decibels(_), .. } => true,
                Behaviour::Isolate { .. } | Behaviour::End { .. } => continue,
            };
            for (_, wire) in station.wires(alternative) {
                if !isolates || self.leads(wire) {
                    found.extend(wire.to.filter(|to| self.goal != Some(Goal::Sum(*to))));
                }
            }
        }
        found
    }

    fn of_new_station(&mut self, at: usize) -> Result<Vec<Choice>, Stopped> {
        let mut found = self.of_input(at)?;
        let wiring = &self.plan.stations[at].wiring;
        found.iter_mut().for_each(|choice| choice.behind(&shunt(wiring), self.line_cache));
        Ok(found)
    }

    /// Of a station, its wiring left out.
    pub fn of_input(&mut self, at: usize) -> Result<Vec<Choice>, Stopped> {
        let plan = self.plan;
        let station = &plan.stations[at];
        let mut found = Vec::new();
        for alternative in &station.alternatives {
            let mut here = match &alternative.behaviour {
                Behaviour::Isolate { load, level: Level::Decibels(db), polarity, latency, .. }
                    if station.wires(alternative).any(|(_, wire)| self.leads(wire)) =>
                {
                    let mut onward = self.of_outputs(at, alternative)?;
                    let gain = 10f64.powf(db / 20.0);
                    for choice in &mut onward {
                        choice.behind_stage(at, gain, *polarity, *latency, self.line_cache.sweep().omega());
                        choice.behind(&shunt(load), self.line_cache);
                    }
                    onward
                }
                Behaviour::Isolate { load, .. } | Behaviour::End { load } => {
                    let mut loaded = Choice::nothing();
                    loaded.hidden = self.parts.then(|| vec![self.behind(at)]);
                    loaded.behind(&shunt(load), self.line_cache);
                    vec![loaded]
                }
                Behaviour::Pass { rungs, .. } => {
                    let mut joined = vec![self.nothing_hidden()];
                    for (_, wire) in station.wires(alternative) {
                        let next = self.of_wire(wire)?;
                        joined = self.together(&joined, &next);
                    }
                    joined.iter_mut().for_each(|choice| choice.behind(&rungs.rungs, self.line_cache));
                    joined
                }
            };
            here.iter_mut().for_each(|choice| choice.stands.extend(Stand::of(station, alternative)));
            found.append(&mut here);
        }
        self.is_cut |= found.len() > self.most;
        found.truncate(self.most);
        Ok(found)
    }

    /// Of the outputs of a station that isolates, seen from their EMF: a way to the
    /// goal by each that leads there.
    pub fn of_outputs(&mut self, at: usize, alternative: &Alternative) -> Result<Vec<Choice>, Stopped> {
        let station: &Station = &self.plan.stations[at];
        let Behaviour::Isolate { output, .. } = &alternative.behaviour else { return Ok(Vec::new()) };
        let mut joined = vec![self.nothing_hidden()];
        for (_, wire) in station.wires(alternative) {
            if !self.leads(wire) {
                let behind = self.parts.then(|| self.behind(at));
                joined
                    .iter_mut()
                    .for_each(|choice| choice.hidden.iter_mut().for_each(|all| all.extend(behind.clone())));
                continue;
            }
            let mut next = self.of_source(output, wire)?;
            // An output has no other beside it: each has rungs of its own.
            next.iter_mut().for_each(|choice| choice.seen = SeenAdmittance::Open);
            joined = self.together(&joined, &next);
        }
        Ok(joined)
    }

    /// Nothing hangs there, and nothing is hidden.
    fn nothing_hidden(&self) -> Choice {
        Choice { hidden: self.parts.then(Vec::new), ..Choice::nothing() }
    }

    /// The switches behind a station, whatever it is.
    pub(super) fn behind(&mut self, at: usize) -> Arc<BTreeSet<SwitchRef>> {
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
    fn together(&mut self, left: &[Choice], right: &[Choice]) -> Vec<Choice> {
        // Where ways have met a switch may be behind both.
        let both = right.iter().flat_map(|b| left.iter().map(move |a| (a, b)));
        let mut both = both.filter(|(a, b)| self.goal.is_none() || agree(&a.stands, &b.stands));
        let joined = |(a, b): (&Choice, &Choice)| Choice {
            seen: a.seen.clone().beside(b.seen.clone()),
            stands: a.stands.iter().chain(b.stands.iter().filter(|stand| !a.stands.contains(stand))).copied().collect(),
            hidden: a.hidden.as_ref().map(|hidden| hidden.iter().chain(b.hidden.iter().flatten()).cloned().collect()),
            transfer: sum(a.transfer.as_ref(), b.transfer.as_ref()),
            reach: None,
        };
        let found = both.by_ref().take(self.most).map(joined).collect();
        self.is_cut |= both.next().is_some();
        found
    }
}

/// Whether no switch stands in two positions.
fn agree(a: &[Stand], b: &[Stand]) -> bool {
    a.iter().all(|a| b.iter().all(|b| a.setting.switch != b.setting.switch || a.setting.to == b.setting.to))
}

/// What arrives over both.
fn sum(a: Option<&Transfer>, b: Option<&Transfer>) -> Option<Transfer> {
    let mut all = a.or(b)?.clone();
    if let (Some(_), Some(b)) = (a, b) {
        all.add(b);
    }
    Some(all)
}

/// The plug at one end of a lead.
fn plug(wire: &Wire) -> Vec<Rung> {
    shunt(&wire.plug)
}

/// A branch to 0 V.
fn shunt(branch: &Branch) -> Vec<Rung> {
    let mut ladder = Ladder::new();
    ladder.shunt(branch.clone());
    ladder.rungs
}
