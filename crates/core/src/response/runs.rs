//! What each run amounts to: its capacitance, and what that does.

use std::collections::BTreeSet;

use crate::arrival::Superposition;
use crate::cascade::{self, LineCache};
use crate::network::Sweep;
use crate::plan::{Origin, Plan, Run, Spot};
use crate::rig::{DeviceId, JackRef, LeadId, Rig, State};
use crate::units::Level;

/// What a run amounts to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// A guitar drives it: as much capacitance as so many metres of the guitar's own lead.
    Lead {
        /// Metres.
        metres: f64,
    },
    /// An output drives it.
    Driven {
        /// The output's resistance in Ω.
        ohms: f64,
        /// The level at its end at 20 kHz less the level at 200 Hz; none where it is silent.
        fall_db: Option<f64>,
    },
}

/// A run of one state.
#[derive(Debug, Clone, PartialEq)]
pub struct RunAnswer {
    /// The jack where it begins.
    pub from: JackRef,
    /// The input jacks in which it ends.
    pub ends: Vec<JackRef>,
    /// The leads in it.
    pub leads: Vec<LeadId>,
    /// The devices that it goes through.
    pub passed: Vec<DeviceId>,
    /// Whether it counts as high-impedance.
    pub high_impedance: bool,
    /// All its capacitance in F: leads, plugs, wiring, inputs.
    pub capacitance: f64,
    /// What it amounts to.
    pub amount: Amount,
}

/// The answers for all runs, in the order of the plan's.
pub fn amounts(rig: &Rig, plan: &Plan, runs: &[Run], state: &State) -> Vec<RunAnswer> {
    runs.iter().filter(|run| !run.leads.is_empty()).filter_map(|run| amount(rig, plan, run, state)).collect()
}

fn amount(rig: &Rig, plan: &Plan, run: &Run, state: &State) -> Option<RunAnswer> {
    let first = *run.leads.first()?;
    let spot = match run.ends.first() {
        Some(&end) => Spot::Input(end),
        None => Spot::Lead { lead: *run.leads.last()?, along: 1.0 },
    };
    let marked = plan.ladder_alone(run.origin, state, spot)?;
    let loads = crate::network::Ladder { rungs: marked.ladder.rungs[marked.source_rungs..].to_vec() };
    let capacitance = loads.capacitance();
    let cable = rig.lead(first).map_or(0.0, |lead| lead.cable.capacitance.get());
    let from_guitar =
        matches!(run.origin, Origin::Start(i) if plan.starts[i].is_instrument && plan.starts[i].high_impedance);
    let amount = if from_guitar && cable > 0.0 {
        Amount::Lead { metres: capacitance / cable }
    } else {
        let levels = match plan.is_joined(run.origin, state) {
            true => {
                let mut cache = LineCache::new(Sweep::at(&[20_000.0, 200.0]));
                Superposition::of(plan, state, run.origin, spot).levels(&mut cache)
            }
            false => [20_000.0, 200.0].map(|hz| cascade::level_at(&marked.ladder, marked.mark, hz)).into(),
        };
        let fall_db = match levels[..] {
            [Level::Decibels(high), Level::Decibels(low)] => Some(high - low),
            _ => None,
        };
        let source = plan.source(run.origin, state)?;
        let ohms = source.rungs.iter().map(resistance).sum();
        Amount::Driven { ohms, fall_db }
    };
    Some(RunAnswer {
        from: run.from,
        ends: run.ends.iter().map(|&at| plan.stations[at].jack).collect(),
        leads: run.leads.clone(),
        passed: each_once(run.passed.iter().map(|&at| plan.stations[at].device())),
        high_impedance: run.high_impedance,
        capacitance,
        amount,
    })
}

/// A run may go through a device several times, by its loops.
fn each_once(devices: impl Iterator<Item = DeviceId>) -> Vec<DeviceId> {
    let mut seen = BTreeSet::new();
    devices.filter(|device| seen.insert(*device)).collect()
}

fn resistance(rung: &crate::network::Rung) -> f64 {
    match rung {
        crate::network::Rung::Series(branch) => branch.impedance(1.0).re,
        crate::network::Rung::Source(network) => network.thevenin_at(1.0).1.re,
        _ => 0.0,
    }
}
