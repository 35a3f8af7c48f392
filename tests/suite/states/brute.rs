//! Every state by itself: 2ⁿ plans' runs, one after another.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::rigs::turned_on;
use rigwright_core::cascade::{LineCache, levels};
use rigwright_core::plan::{Plan, Run, Spot, plan};
use rigwright_core::rig::{DeviceId, Jack, JackRef, Position, Rig, State, SwitchSetting};
use rigwright_core::states::{Question, Target};
use rigwright_core::units::Level;

/// The levels at a target in every state; a state's number has bit k set where switch k is on.
pub struct Brute {
    /// The units with a footswitch.
    pub switches: Vec<DeviceId>,
    /// The state in which each stands at its default.
    at_rest: usize,
    /// dB at each frequency, none where the state is silent there.
    pub levels: Vec<Option<Vec<f64>>>,
    /// The units that the signal to the target goes through, with the level of each while on.
    through: Vec<(DeviceId, f64)>,
}

/// The units of a rig that have a footswitch.
pub fn switches(rig: &Rig) -> Vec<DeviceId> {
    rig.devices.iter().filter(|device| device.has_footswitch()).map(|device| device.id).collect()
}

impl Brute {
    /// Asks for each state. `None` if no signal gets there in any.
    pub fn force(question: &Question, line_cache: &mut LineCache) -> Option<Self> {
        let (rig, controls) = (&*question.rig, &question.controls);
        let plan = plan(rig, controls).without_power(&question.unfed);
        let spot = spot(&plan, question.target)?;
        // A switch of a unit without power does nothing.
        let mut switches = switches(rig);
        switches.retain(|device| !question.unfed.contains(device));
        let rests_on = |id: &DeviceId| rig.device(*id).is_some_and(|device| device.is_on(&State::default()));
        let at_rest = switches.iter().enumerate().filter(|(_, id)| rests_on(id)).map(|(bit, _)| 1 << bit).sum();
        let mut found = Vec::with_capacity(1 << switches.len());
        for mask in 0..1_usize << switches.len() {
            let state = turned_on(rig, chosen(&switches, mask), controls);
            let runs = plan.runs(&state);
            found.push(at(&plan, &runs, &state, spot, line_cache)?);
        }
        Some(Self { switches, at_rest, levels: found, through: through(question) })
    }

    /// The number of the state in which just these units are on.
    pub fn mask(&self, on: impl IntoIterator<Item = DeviceId>) -> usize {
        on.into_iter().fold(0, |mask, device| {
            let at = self.switches.iter().position(|switch| *switch == device);
            mask | 1 << at.expect("only a unit with a switch can be on")
        })
    }

    /// The number of the state that is told by the switches which aren't at their defaults.
    pub fn state(&self, moved: &[SwitchSetting]) -> usize {
        moved.iter().fold(self.at_rest, |mask, setting| {
            let bit = self.mask([setting.switch.device]);
            if setting.to == Position::ON { mask | bit } else { mask & !bit }
        })
    }

    /// What a unit's own set level adds to the target while it is on.
    pub fn own_db(&self, device: DeviceId) -> f64 {
        self.through.iter().find(|(id, _)| *id == device).map_or(0.0, |(_, db)| *db)
    }

    /// Whether the signal to the target goes through a unit.
    pub fn is_through(&self, device: DeviceId) -> bool {
        self.through.iter().any(|(id, _)| *id == device)
    }

    /// The lowest or highest level of any state that sounds, at each frequency.
    pub fn edge(&self, highest: bool) -> Option<Vec<f64>> {
        self.levels.iter().flatten().cloned().reduce(|a, b| extreme(&a, &b, highest))
    }

    /// Levels on less levels off, in every setting of the others in which both sound.
    pub fn differences(&self, device: DeviceId) -> Vec<Vec<f64>> {
        let bit = self.mask([device]);
        let off = (0..self.levels.len()).filter(|mask| mask & bit == 0);
        off.filter_map(|mask| self.difference(device, mask)).collect()
    }

    /// The same in one setting.
    pub fn difference(&self, device: DeviceId, others: usize) -> Option<Vec<f64>> {
        let (off, on) = (self.levels[others].as_ref()?, self.levels[others | self.mask([device])].as_ref()?);
        Some(on.iter().zip(off).map(|(on, off)| on - off).collect())
    }
}

/// The levels at a target in one state; none where it is silent, or no signal gets there.
pub fn in_state(question: &Question, on: &[DeviceId], line_cache: &mut LineCache) -> Option<Vec<f64>> {
    let plan = plan(&question.rig, &question.controls).without_power(&question.unfed);
    let state = turned_on(&question.rig, on.iter().copied(), &question.controls);
    at(&plan, &plan.runs(&state), &state, spot(&plan, question.target)?, line_cache)?
}

fn spot(plan: &Plan, target: Target) -> Option<Spot> {
    Some(match target {
        Target::Endpoint(jack) => Spot::Input(plan.stations.iter().position(|station| station.jack == jack)?),
        Target::Point(point) => Spot::Lead { lead: point.lead, along: point.along.get() },
    })
}

/// The greater or the lesser of two, at each frequency.
pub fn extreme(a: &[f64], b: &[f64], highest: bool) -> Vec<f64> {
    a.iter().zip(b).map(|(a, b)| if highest { a.max(*b) } else { a.min(*b) }).collect()
}

fn chosen(switches: &[DeviceId], mask: usize) -> BTreeSet<DeviceId> {
    switches.iter().enumerate().filter(|(bit, _)| mask >> bit & 1 == 1).map(|(_, id)| *id).collect()
}

/// Levels in one state; `Some(None)` where silent, `None` where no signal gets there.
fn at(plan: &Plan, runs: &[Run], state: &State, spot: Spot, line_cache: &mut LineCache) -> Option<Option<Vec<f64>>> {
    let mut sum = vec![Level::Decibels(0.0); line_cache.sweep().len()];
    for route_run in plan.route(runs, state, spot)? {
        let marked = plan.ladder(route_run.origin, state, route_run.spot)?;
        for (sum, level) in sum.iter_mut().zip(levels(&marked.ladder, marked.mark, line_cache)) {
            *sum = sum.then(route_run.gain).then(level);
        }
    }
    let sounding = sum.iter().filter(|level| **level != Level::Silent).count();
    assert!(sounding == 0 || sounding == sum.len(), "silent at some frequencies only: {sum:?}");
    Some(sum.into_iter().map(Level::decibels).collect())
}

/// Walks back from the target, lead by lead.
fn through(question: &Question) -> Vec<(DeviceId, f64)> {
    let rig = &*question.rig;
    let mut lead = match question.target {
        Target::Endpoint(jack) => rig.lead_to(jack),
        Target::Point(point) => rig.lead(point.lead),
    };
    let mut found = Vec::new();
    while let Some(from) = lead.map(|lead| lead.from) {
        if !matches!(from.jack, Jack::Out | Jack::SecondOut) {
            break;
        }
        if let Some(pedal) = rig.device(from.device).and_then(|device| device.kind.pedal()) {
            found.push((from.device, pedal.on.level.get()));
        }
        lead = rig.lead_to(JackRef::new(from.device, Jack::In));
    }
    found
}

/// A question about a rig with its controls full up.
pub fn question(rig: Rig, target: Target) -> Question {
    Question { rig: Arc::new(rig), controls: State::default(), target, unfed: Default::default() }
}
