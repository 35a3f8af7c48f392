//! Whether a change keeps the guitar from a fuzz that wants to see it.

use crate::plan::{Origin, Plan, Run, plan};
use crate::rig::{DeviceId, Kind, Limits, Rig, State, name_of};

/// A fuzz and what stands between it and the guitar with everything off; none if nothing does.
fn stands(rig: &Rig, off: &State, limits: &Limits) -> Vec<(DeviceId, Option<DeviceId>)> {
    if !rig.devices.iter().any(|device| device.is_low_fuzz(limits)) {
        return Vec::new();
    }
    let plan = plan(rig, off);
    let runs = plan.runs(off);
    let fuzzes = rig.devices.iter().filter(|device| device.is_low_fuzz(limits));
    fuzzes.filter_map(|fuzz| Some((fuzz.id, before(&plan, &runs, fuzz.id)?))).collect()
}

/// The unit whose output drives a device; `Some(None)` for an instrument.
fn before(plan: &Plan, runs: &[Run], device: DeviceId) -> Option<Option<DeviceId>> {
    let here = |at: &usize| plan.stations[*at].device() == device;
    let run = runs.iter().find(|run| run.passed.iter().chain(&run.ends).any(here))?;
    match run.origin {
        Origin::Start(_) => Some(None),
        Origin::Output { station, .. } => Some(Some(plan.stations[station].device())),
    }
}

/// What to mind of a change: which fuzz would no longer see the guitar. `off` has everything off.
pub fn caution(before: &Rig, after: &Rig, off: &State, limits: &Limits) -> Option<String> {
    let old = stands(before, off, limits);
    let sees = |id: DeviceId| old.contains(&(id, None));
    let new = stands(after, off, limits).into_iter().filter(|(id, _)| sees(*id));
    let (fuzz, unit) = new.into_iter().find_map(|(fuzz, unit)| Some((after.device(fuzz)?, after.device(unit?)?)))?;
    Some(match unit.kind {
        Kind::Buffer(_) => format!("{} would then stand behind a buffer, which changes its sound", name_of(fuzz)),
        _ => format!("{} would then stand behind {}, which keeps the guitar from it", name_of(fuzz), name_of(unit)),
    })
}
