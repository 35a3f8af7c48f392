//! A high impedance drives a long lead, and no guitar is to blame.

use super::inspection::Inspection;
use super::mend::{self, Mend};
use super::passage::Passage;
use super::rig_at_target::{RigAtTarget, series_ohms};
use super::words::{ohms, plain};
use super::{About, Diagnosis, Remedy, Severity, SizedFinding, rules, wrong_treadle};
use crate::cascade::LineCache;
use crate::plan::{Behaviour, Spot, plan};
use crate::response::Minus3;
use crate::rig::{DeviceId, Kind, Lead, LeadId, SwitchSetting, Treadle};
use crate::units::{Level, hertz, metres};
use crate::watch::{Stopped, Watch};
use crate::words::few;

/// The fall is told here, in Hz, from the level at 200 Hz.
const TOLD_HZ: f64 = 5000.0;
const REFERENCE_HZ: f64 = 200.0;

/// A unit with a high output resistance, and the long lead that it drives.
struct Drive {
    source: Source,
    ohms: f64,
    lead: LeadId,
    falls: Falls,
}

/// A feeble output.
#[derive(Clone)]
struct Source {
    device: DeviceId,
    /// The units that have to be on for it: it, or none.
    on: Vec<SwitchSetting>,
}

/// How far the level falls at the end of the lead.
struct Falls {
    minus3: Option<Minus3>,
    /// At 5 kHz from 200 Hz, in dB.
    db: f64,
}

pub fn check(
    inspection: &Inspection<'_>,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Vec<SizedFinding>, Stopped> {
    let mut drives: Vec<Drive> = Vec::new();
    for source in sources(&inspection.now) {
        if !watch.go_on(0.0) {
            return Err(Stopped);
        }
        drives.extend(drive(&inspection.now, source, inspection.limits.long_lead.get(), cache));
    }
    // What falls beyond hearing needs no word.
    drives.retain(|drive| drive.falls.minus3.is_some());
    drives.sort_by(|a, b| b.falls.db.total_cmp(&a.falls.db));
    let mut leads: Vec<LeadId> = drives.iter().map(|drive| drive.lead).collect();
    leads.sort();
    leads.dedup();
    let mut found = Vec::new();
    for lead in leads.into_iter().filter_map(|lead| inspection.now.rig.lead(lead)) {
        let same: Vec<&Drive> = drives.iter().filter(|drive| drive.lead == lead.id).collect();
        found.extend(told(inspection, lead, &same, cache));
    }
    Ok(found)
}

/// Outputs as feeble as a guitar's, the guitars left out.
fn sources(at_target: &RigAtTarget) -> Vec<Source> {
    let always = |device: DeviceId| Source { device, on: Vec::new() };
    let mut found: Vec<Source> = Vec::new();
    let starts = at_target.plan.starts.iter().filter(|start| start.high_impedance).map(|start| start.jack.device);
    found.extend(starts.filter(|id| !is_guitar(at_target, *id)).map(always));
    for station in &at_target.plan.stations {
        let device = station.device();
        for alternative in &station.alternatives {
            match &alternative.behaviour {
                Behaviour::Isolate { high_impedance: true, level: Level::Decibels(_), .. } => {
                    let on = station.setting(alternative).filter(|setting| !station.at_rest(*setting));
                    let on = on.into_iter().collect();
                    found.push(Source { device, on });
                }
                // A treadle for straight after the guitar has a rule of its own.
                Behaviour::Pass { high_impedance: true, .. } if !wrong_treadle::is_high(at_target, device) => {
                    found.push(always(device));
                }
                _ => {}
            }
        }
    }
    found
}

fn is_guitar(at_target: &RigAtTarget, device: DeviceId) -> bool {
    at_target.rig.device(device).is_some_and(|device| device.kind.is_passive_instrument())
}

/// The longest lead that a feeble output drives, if it is a long one.
fn drive(at_target: &RigAtTarget, source: Source, long: f64, cache: &mut LineCache) -> Option<Drive> {
    let device = at_target.rig.device(source.device)?;
    let mut state = at_target.with(&source.on);
    let treadle = match &device.kind {
        Kind::Treadle(Treadle::PassiveVolume { pot, .. }) => {
            // Half-way it is a source of a quarter of its pot; toe down it is none.
            wrong_treadle::halve(&mut state, device.id, pot);
            Some(pot.resistance.get() / 4.0)
        }
        _ => None,
    };
    let plan = plan(&at_target.rig, &state).without_power(&at_target.unfed);
    let runs = plan.runs(&state);
    let run = runs.iter().find(|run| match treadle {
        Some(_) => run.passed.iter().any(|at| plan.stations[*at].device() == device.id),
        None => run.from.device == device.id,
    })?;
    // The guitar's own run is another matter.
    if is_guitar(at_target, run.from.device) {
        return None;
    }
    let leads = run.leads.iter().filter(|lead| at_target.lead_is_behind(device.id, **lead));
    let leads = leads.filter_map(|lead| at_target.rig.lead(*lead)).filter(|lead| lead.length.get() > long);
    let lead = leads.max_by(|a, b| a.length.get().total_cmp(&b.length.get()))?;
    let passage = Passage::new(&plan, &state, run.origin, Spot::Lead { lead: lead.id, along: 1.0 })?;
    let falls = falls(&passage, cache)?;
    let ohms = match treadle {
        Some(ohms) => ohms,
        None => series_ohms(&plan.source(run.origin, &state)?),
    };
    Some(Drive { source, ohms, lead: lead.id, falls })
}

fn falls(passage: &Passage, cache: &mut LineCache) -> Option<Falls> {
    let level = |hz: f64| passage.level_at(hz).decibels();
    Some(Falls { minus3: passage.minus3(cache).ok(), db: level(REFERENCE_HZ)? - level(TOLD_HZ)? })
}

/// One finding for a lead, whoever drives it.
fn told(inspection: &Inspection<'_>, lead: &Lead, same: &[&Drive], cache: &mut LineCache) -> Option<SizedFinding> {
    let (worst, others) = same.split_first()?;
    let at_target = &inspection.now;
    let minus3 = worst.falls.minus3?;
    let name = at_target.name(worst.source.device);
    let while_on = if worst.source.on.is_empty() { "" } else { ", while it is on," };
    let length = metres(lead.length.get());
    let output = ohms(worst.ohms);
    let drives = if worst.source.on.is_empty() && wrong_treadle::is_passive(at_target, worst.source.device) {
        format!("{name}, half-way down a source of {output}, drives {length} of lead")
    } else {
        format!("{name}{while_on} drives {length} of lead from {output}")
    };
    let mut why = format!(
        "A lead of {} to {} on so high an output is a treble cut: at 5 kHz {} are gone.",
        length,
        at_target.name(lead.to.device),
        plain(worst.falls.db)
    );
    if !others.is_empty() {
        let each: Vec<String> = others
            .iter()
            .filter_map(|drive| {
                Some(format!("{} {}", at_target.name(drive.source.device), hertz(drive.falls.minus3?.hz)))
            })
            .collect();
        why += &format!(" Others do so too: {}.", few(&each, 4));
    }
    // Less than most players hear is good to know and nothing to act on.
    let severity = if worst.falls.db > inspection.limits.useless.get() { Severity::Act } else { Severity::Know };
    let told = Diagnosis {
        why,
        about: About {
            devices: same.iter().map(|drive| drive.source.device).collect(),
            leads: vec![lead.id],
            among: Some(worst.source.on.clone()),
            hz: Some(minus3.hz),
            ..About::default()
        },
        remedies: fixes(inspection, lead, same, cache),
        ..Diagnosis::new(
            rules::LONG_LEAD_AT_HIGH_IMPEDANCE,
            severity,
            format!("{drives}: 3 dB are gone at {}.", hertz(minus3.hz)),
        )
    };
    Some(SizedFinding::new(told, 20_000.0, minus3.hz))
}

fn fixes(inspection: &Inspection<'_>, lead: &Lead, same: &[&Drive], cache: &mut LineCache) -> Vec<Remedy> {
    let Some(worst) = same.first() else { return Vec::new() };
    let at_target = &inspection.now;
    let before_lead = format!("Put a buffer before the lead to {}", at_target.name(lead.to.device));
    let mut mends: Vec<Mend> = mend::buffer(inspection, lead.id, before_lead).into_iter().collect();
    // One that stands right behind the unit is the same where that is its lead.
    if lead.from.device != worst.source.device || mends.is_empty() {
        mends.extend(mend::buffer_behind(inspection, worst.source.device));
    }
    let long = inspection.limits.long_lead.get();
    for mend in mends {
        let Some(after) = inspection.tried(&mend.edit) else { continue };
        let mut left: Vec<f64> = Vec::new();
        for other in same {
            let still = drive(&after, other.source.clone(), long, cache);
            left.extend(still.and_then(|drive| drive.falls.minus3).map(|minus3| minus3.hz));
        }
        // As good as none: all that drove it too feebly do so no longer.
        if left.is_empty() {
            let figure = "3 dB are gone beyond 20 kHz only";
            return vec![mend.fix(at_target, figure)];
        }
    }
    Vec::new()
}
