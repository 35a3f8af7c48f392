//! A rig at a target with everything off, as rules read it: the way there, its runs,
//! and what arrives.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::arrival::Probe;
use crate::cascade::LineCache;
use crate::network::{Ladder, Rung};
use crate::plan::{Behaviour, Plan, RouteRun, Run, Spot, plan};
use crate::response::{PointAnswer, Request, peak_at, respond};
use crate::rig::{Bypass, Device, DeviceId, Jack, JackRef, LeadId, Limits, Rig, State, SwitchSetting, device_name};
use crate::states::{self, NoStates, States, Target};

/// A rig at a target, controls as asked and every switch off.
pub struct RigAtTarget {
    /// The rig.
    pub rig: Arc<Rig>,
    /// Where the level is wanted.
    pub target: Target,
    /// Controls as asked, nothing on but what stays on.
    pub off: State,
    /// The devices that get no power.
    pub unfed: BTreeSet<DeviceId>,
    /// The rig's plan.
    pub plan: Plan,
    /// The runs with everything off.
    pub runs: Vec<Run>,
    /// The way to the target with everything off.
    pub route_runs: Vec<RouteRun>,
}

/// The passive instrument at the start of the way, and what it drives.
#[derive(Clone, Copy)]
pub struct First<'a> {
    /// The instrument.
    pub device: &'a Device,
    /// "guitar" or "bass".
    pub noun: &'static str,
    /// The run that it drives with everything off.
    pub run: &'a Run,
    /// Its own lead.
    pub lead: LeadId,
}

impl RigAtTarget {
    /// None if no signal gets to the target.
    pub fn new(rig: Arc<Rig>, off: State, target: Target, unfed: BTreeSet<DeviceId>) -> Option<Self> {
        let plan = plan(&rig, &off).without_power(&unfed);
        let runs = plan.runs(&off);
        let spot = spot(&plan, target)?;
        let route_runs = plan.route(&runs, &off, spot)?;
        Some(Self { rig, target, off, unfed, plan, runs, route_runs })
    }

    /// The passive instrument, if the signal starts at one and it has a lead.
    pub fn first(&self) -> Option<First<'_>> {
        let origin = self.route_runs.first()?.origin;
        let run = self.runs.iter().find(|run| run.origin == origin)?;
        let device = self.rig.device(run.from.device)?;
        let lead = *run.leads.first()?;
        device.kind.is_passive_instrument().then(|| First { device, noun: device.kind.noun(), run, lead })
    }

    /// What arrives at the target with these switches set and all others off.
    pub fn answer(&self, set: &[SwitchSetting], cache: &mut LineCache) -> Option<PointAnswer> {
        let response = respond(&self.request(set), cache);
        match self.target {
            Target::Point(_) => response.test_point,
            Target::Endpoint(jack) => response.endpoints.into_iter().find(|end| end.jack == jack).map(|end| end.at),
        }
    }

    /// The peak at the target with these switches set and all others off, in Hz.
    pub fn peak_hz(&self, set: &[SwitchSetting], cache: &mut LineCache) -> Option<f64> {
        peak_at(&self.request(set), self.endpoint(), cache).map(|peak| peak.hz)
    }

    /// The endpoint, unless the level is wanted at a test point.
    pub fn endpoint(&self) -> Option<JackRef> {
        match self.target {
            Target::Point(_) => None,
            Target::Endpoint(jack) => Some(jack),
        }
    }

    /// The response at the target with these switches set and all others off, as a request.
    pub fn request(&self, set: &[SwitchSetting]) -> Request {
        let test_point = match self.target {
            Target::Point(point) => Some(point),
            Target::Endpoint(_) => None,
        };
        Request { rig: Arc::clone(&self.rig), state: self.with(set), test_point, unfed: self.unfed.clone() }
    }

    /// The plan with other devices in the places of those with their ids.
    pub fn plan_with(&self, others: &[Device], state: &State) -> Plan {
        let devices = self.rig.devices.iter().map(|old| others.iter().find(|new| new.id == old.id).unwrap_or(old));
        let rig = Rig { devices: devices.cloned().collect(), leads: self.rig.leads.clone(), feeds: Vec::new() };
        plan(&rig, state).without_power(&self.unfed)
    }

    /// The level at the target in a state, with another device in one's place, in dB.
    pub fn level_with(&self, device: &Device, state: &State, hz: f64) -> Option<f64> {
        let plan = self.plan_with(std::slice::from_ref(device), state);
        let route = plan.route(&plan.runs(state), state, spot(&plan, self.target)?)?;
        Probe::new(&plan, state, &route)?.level_at(hz).decibels()
    }

    /// The level at the target with everything off, in dB; none for silence.
    pub fn level_db(&self, hz: f64) -> Option<f64> {
        Probe::new(&self.plan, &self.off, &self.route_runs)?.level_at(hz).decibels()
    }

    /// The state with these switches set and all others off.
    pub fn with(&self, set: &[SwitchSetting]) -> State {
        self.off.with(&self.rig, set)
    }

    /// The state with these units on and all others off.
    pub fn with_on(&self, on: &[DeviceId]) -> State {
        self.with(&self.rig.all_turned_on(on))
    }

    /// The devices that a run goes through and ends in, each once: a switcher is met several times.
    pub fn devices_on(&self, run: &Run) -> Vec<DeviceId> {
        let mut seen = BTreeSet::new();
        let stations = run.passed.iter().chain(&run.ends).map(|at| self.plan.stations[*at].device());
        stations.filter(|device| seen.insert(*device)).collect()
    }

    /// The station at a device's input.
    pub fn station(&self, device: DeviceId) -> Option<usize> {
        let jack = JackRef::new(device, Jack::In);
        self.plan.stations.iter().position(|station| station.jack == jack)
    }

    /// The way to the target in a state.
    pub fn route(&self, state: &State) -> Option<Vec<RouteRun>> {
        let runs = self.plan.runs(state);
        self.plan.route(&runs, state, spot(&self.plan, self.target)?)
    }

    /// What a device is called.
    pub fn name(&self, device: DeviceId) -> String {
        device_name(&self.rig, device)
    }

    /// The lead into a device.
    pub fn lead_into(&self, device: DeviceId) -> Option<LeadId> {
        self.rig.lead_to(JackRef::new(device, Jack::In)).map(|lead| lead.id)
    }

    /// Whether a lead starts at a device or behind it.
    pub fn lead_is_behind(&self, device: DeviceId, lead: LeadId) -> bool {
        let from = self.rig.lead(lead).map(|lead| lead.from.device);
        from.is_some_and(|from| from == device || self.is_behind(device, from))
    }

    /// Units with a low-impedance input that a run feeds behind one of its leads.
    pub fn fuzzes_behind(&self, run: &Run, lead: LeadId, limits: &Limits) -> Vec<DeviceId> {
        let Some(lead) = self.rig.lead(lead) else { return Vec::new() };
        let stations = run.passed.iter().chain(&run.ends).map(|at| self.plan.stations[*at].device());
        stations
            .filter(|id| self.rig.device(*id).is_some_and(|device| device.is_low_fuzz(limits)))
            .filter(|id| *id == lead.to.device || self.is_behind(lead.to.device, *id))
            .collect()
    }

    /// Whether a signal that goes through one device comes to the other after it.
    pub fn is_behind(&self, before: DeviceId, behind: DeviceId) -> bool {
        let reached = |at: usize| {
            let (mut todo, mut seen) = (vec![at], BTreeSet::new());
            while let Some(at) = todo.pop() {
                let onward = self.plan.stations[at].outs.iter().filter_map(|out| out.wire.as_ref()?.to);
                for next in onward.filter(|next| seen.insert(*next)) {
                    if self.plan.stations[next].device() == behind {
                        return true;
                    }
                    todo.push(next);
                }
            }
            false
        };
        let plays = |start: &&crate::plan::Start| start.jack.device == before;
        let first = self.plan.starts.iter().find(plays).and_then(|start| start.wire.as_ref()?.to);
        match (first, self.station(before)) {
            (Some(first), _) => self.plan.stations[first].device() == behind || reached(first),
            (None, Some(at)) => reached(at),
            (None, None) => false,
        }
    }
}

/// All states of a rig at a target.
pub fn explore(
    at_target: &RigAtTarget,
    rig: &Arc<Rig>,
    target: Target,
    cache: &mut LineCache,
) -> Result<States, NoStates> {
    states::explore(
        &states::Question {
            rig: Arc::clone(rig),
            controls: at_target.off.clone(),
            target,
            unfed: at_target.unfed.clone(),
        },
        cache,
    )
}

fn spot(plan: &Plan, target: Target) -> Option<Spot> {
    match target {
        Target::Endpoint(jack) => plan.stations.iter().position(|station| station.jack == jack).map(Spot::Input),
        Target::Point(point) => Some(Spot::Lead { lead: point.lead, along: point.along.get() }),
    }
}

/// Whether a unit's bypass can be set to this kind and isn't.
pub fn can_be(device: &Device, bypass: Bypass) -> bool {
    let pedal = device.kind.pedal().filter(|_| !device.stays_on);
    pedal.is_some_and(|pedal| pedal.bypass != bypass && pedal.selectable.contains(&bypass))
}

/// Capacitance in F that a station hangs on the run which comes by or ends there.
pub fn capacitance(at_target: &RigAtTarget, at: usize) -> f64 {
    let station = &at_target.plan.stations[at];
    let inside = match station.in_state(&at_target.off) {
        Some(Behaviour::Isolate { load, .. } | Behaviour::End { load }) => load.capacitance(),
        Some(Behaviour::Pass { rungs, .. }) => rungs.capacitance(),
        None => 0.0,
    };
    station.wiring.capacitance() + inside
}

/// The resistance in Ω in the signal's way from an EMF to its jack.
pub fn series_ohms(source: &Ladder) -> f64 {
    let ohms = |rung: &Rung| match rung {
        Rung::Series(branch) => branch.impedance(1.0).re,
        Rung::Source(network) => network.thevenin_at(1.0).1.re,
        _ => 0.0,
    };
    source.rungs.iter().map(ohms).sum()
}
