//! The order in which units usually stand, as a second opinion.
//!
//! [common practice, no source]

use std::sync::Arc;

use super::orders;
use super::signal_path::{MovableUnits, SignalPath};
use super::trial::{Idea, Trial};
use crate::parts::{Group, shipped_part};
use crate::rig::{
    Bypass, Device, DeviceId, Edit, KeptOrder, Kind, Limits, Rig, Treadle, Tuner, Variant, device_name, own_key_of,
};

/// What a unit is for, in the usual order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Job {
    /// A fuzz that wants to see the guitar, where a buffer would come before it.
    FirstFuzz,
    Tuner,
    Fuzz,
    Filter,
    Dynamics,
    Drive,
    Modulation,
    Volume,
    Delay,
    Reverb,
}

/// The rig in the usual order, if it isn't in it already. Kept orders hold;
/// buffers, splitters and units of no known job stay where they are.
pub fn order(trial: &mut Trial<'_>) -> Option<Idea> {
    let (old, limits) = (trial.question.variant.clone(), trial.question.limits);
    let (target, controls) = (trial.question.target, &trial.question.controls);
    let rows = SignalPath::to(target, &old.rig, controls)?.movable_rows(&old.rig, target);
    let mut variant = Arc::clone(&old);
    let mut edits = Vec::new();
    for row in &rows {
        let wanted = usual(row, &old, &limits);
        for (at, &device) in wanted.iter().enumerate() {
            let path = SignalPath::to(target, &variant.rig, controls)?;
            let first = path.units.iter().position(|unit| row.units.contains(unit))?;
            let (unit, lead) = (*path.units.get(first + at)?, *path.leads.get(first + at)?);
            if unit != device {
                let edit = Edit::Move { variant: old.id, device, onto: lead };
                variant = trial.edited(&variant, &edit)?;
                edits.push(edit);
            }
        }
    }
    if edits.is_empty() || !orders::are_kept(&old, &variant) {
        return None;
    }
    let path = SignalPath::to(target, &variant.rig, controls)?;
    let named: Vec<String> = jobs(&variant.rig, &path).map(|(unit, _)| device_name(&variant.rig, unit)).collect();
    let words = format!("Put the units in the usual order: {} [common practice, no source]", named.join(", "));
    Some(Idea { words, steps: edits.len(), edit: Edit::Batch(edits), variant })
}

/// The units on a path that have a job, in the signal's order.
fn jobs<'a>(rig: &'a Rig, path: &'a SignalPath) -> impl Iterator<Item = (DeviceId, Job)> + 'a {
    path.units.iter().filter_map(|unit| Some((*unit, job(rig.device(*unit)?)?)))
}

/// What to mind of units in another order: which of them stand the other way
/// round than usual and didn't before. A fuzz that wants to see the guitar may
/// stand before anything.
pub fn unusual(before: (&Rig, &SignalPath), after: (&Rig, &SignalPath), limits: &Limits) -> Option<String> {
    let pairs = |(rig, path): (&Rig, &SignalPath)| {
        let units: Vec<(DeviceId, Job)> = jobs(rig, path).collect();
        let mut found: Vec<(usize, DeviceId, DeviceId)> = Vec::new();
        for (at, (first, a)) in units.iter().enumerate() {
            let late = units[at + 1..].iter().filter(|(_, b)| b < a);
            found.extend(late.map(|(second, b)| (*a as usize - *b as usize, *first, *second)));
        }
        found.retain(|(_, first, _)| !rig.device(*first).is_some_and(|device| device.is_low_fuzz(limits)));
        found
    };
    let old = pairs(before);
    let new = pairs(after).into_iter().filter(|pair| !old.contains(pair));
    // The widest apart speaks for all.
    let (_, first, second) = new.reduce(|widest, pair| if pair.0 > widest.0 { pair } else { widest })?;
    let (first, second) = (device_name(after.0, first), device_name(after.0, second));
    Some(format!("{first} would then stand before {second}, which is not the usual order [common practice, no source]"))
}

/// The units of a row in the usual order.
fn usual(row: &MovableUnits, variant: &Variant, limits: &Limits) -> Vec<DeviceId> {
    let rig = &variant.rig;
    let jobs: Vec<Option<Job>> = row.units.iter().map(|unit| rig.device(*unit).and_then(job)).collect();
    // A tuner or filter that isolates while off would keep a low-impedance fuzz from the guitar.
    let isolates = |unit: &DeviceId| {
        let pedal = rig.device(*unit).and_then(|device| device.kind.pedal().map(|pedal| (device, pedal)));
        pedal.is_some_and(|(device, pedal)| device.stays_on || pedal.bypass == Bypass::Buffered)
    };
    let early = |job: &Option<Job>| matches!(job, Some(Job::Tuner));
    let fuzz_first = row.units.iter().zip(&jobs).any(|(unit, job)| early(job) && isolates(unit));
    let job_of = |at: usize| {
        let low = rig.device(row.units[at]).is_some_and(|device| device.is_low_fuzz(limits));
        if fuzz_first && low && jobs[at] == Some(Job::Fuzz) { Some(Job::FirstFuzz) } else { jobs[at] }
    };
    let known: Vec<usize> = (0..row.units.len()).filter(|at| jobs[*at].is_some()).collect();
    let ready = |at: usize, left: &[usize]| {
        let held = |order: &KeptOrder| {
            order.behind == row.units[at] && left.iter().any(|other| row.units[*other] == order.before)
        };
        !variant.kept_orders.iter().any(held)
    };
    let (mut left, mut wanted) = (known.clone(), row.units.clone());
    for slot in known {
        // Of those that no kept order holds back, the one of the earliest job. A
        // circle of kept orders holds all back; then the first goes.
        let free = left.iter().filter(|at| ready(**at, &left)).min_by_key(|at| (job_of(**at), **at));
        let Some(next) = free.or(left.first()).copied() else { break };
        wanted[slot] = row.units[next];
        left.retain(|at| *at != next);
    }
    wanted
}

/// Whether a unit is one that usually stands behind what distorts: modulation, echo, reverb.
pub fn stands_late(rig: &Rig, unit: DeviceId) -> bool {
    matches!(rig.device(unit).and_then(job), Some(Job::Modulation | Job::Delay | Job::Reverb))
}

/// What a unit is for, by the part that it was made from, or else by its name.
fn job(device: &Device) -> Option<Job> {
    match &device.kind {
        Kind::Tuner(Tuner::Through { .. }) => return Some(Job::Tuner),
        Kind::Treadle(Treadle::Wah { .. }) => return Some(Job::Filter),
        Kind::Treadle(Treadle::PassiveVolume { .. } | Treadle::BufferedVolume { .. }) => return Some(Job::Volume),
        Kind::Pedal(_) => {}
        _ => return None,
    }
    let part = shipped_part(&device.part);
    let named = match own_key_of(&device.part).unwrap_or(&device.part) {
        "" => device.name.to_lowercase(),
        key => key.to_owned(),
    };
    let says = |words: &[&str]| words.iter().any(|word| named.contains(word));
    match part.map(|part| part.group) {
        Some(Group::Dynamics) => Some(Job::Dynamics),
        Some(Group::Drives) => Some(Job::Drive),
        Some(Group::Fuzz) => Some(Job::Fuzz),
        Some(Group::Modulation) if says(&["filter"]) => Some(Job::Filter),
        Some(Group::Modulation) => Some(Job::Modulation),
        Some(Group::DelayReverb) if says(&["reverb", "looper"]) => Some(Job::Reverb),
        Some(Group::DelayReverb) => Some(Job::Delay),
        Some(_) => None,
        None => by_name(&says),
    }
}

fn by_name(says: &dyn Fn(&[&str]) -> bool) -> Option<Job> {
    const WORDS: [(Job, &[&str]); 9] = [
        (Job::Tuner, &["tuner"]),
        (Job::Fuzz, &["fuzz"]),
        (Job::Filter, &["wah", "filter"]),
        (Job::Dynamics, &["compress", "gate", "equal", "limiter"]),
        (Job::Drive, &["drive", "distortion", "boost"]),
        (Job::Modulation, &["chorus", "flang", "phas", "tremolo", "vibrato", "rotary", "octave", "pitch"]),
        (Job::Volume, &["volume"]),
        (Job::Delay, &["delay", "echo"]),
        (Job::Reverb, &["reverb", "looper"]),
    ];
    WORDS.iter().find(|(_, words)| says(words)).map(|(job, _)| *job)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parts::catalogue;

    #[test]
    fn every_pedal_of_the_catalogue_has_a_job() {
        let pedals = catalogue().parts.iter().filter(|part| matches!(part.kind, Kind::Pedal(_)));
        for part in pedals {
            assert!(job(&part.device(DeviceId(1))).is_some(), "{}", part.key);
        }
    }

    #[test]
    fn without_a_part_the_name_tells() {
        let mut device = catalogue().part("mild-drive").unwrap().device(DeviceId(1));
        device.part.clear();
        for (name, wanted) in [("My fuzz", Some(Job::Fuzz)), ("Slow Phaser", Some(Job::Modulation)), ("Box 3", None)] {
            name.clone_into(&mut device.name);
            assert_eq!(job(&device), wanted, "{name}");
        }
    }
}
