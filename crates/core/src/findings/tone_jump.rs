//! A footswitch moves the tone.

use std::collections::BTreeMap;

use super::inspection::Inspection;
use super::jumps::{self, without_fuzzes};
use super::mend::{self, Mend};
use super::rig_at_target::{RigAtTarget, can_be};
use super::words::{count, plain, signed};
use super::{About, Diagnosis, Remedy, Severity, SizedFinding, jump_cause, rules};
use crate::cascade::LineCache;
use crate::network::Sweep;
use crate::plan::Run;
use crate::response::MovedPeak;
use crate::rig::{
    Bypass, Device, DeviceId, Edit, LeadId, SwitchRef, SwitchSetting, moved_words, step_words, switch_words,
    unmoved_word,
};
use crate::states::words::level_not_counted;
use crate::states::{Furthest, Jump, States, heard_hz};
use crate::units::hertz;
use crate::watch::{Stopped, Watch};
use crate::words::{capital, few};

/// So many jumps are told with their fixes; the rest is one line.
const MOST_TOLD: usize = 2;
/// So many fixes are offered for each.
const MOST_FIXES: usize = 2;
/// Places for a buffer are compared at so many frequencies; the best are then
/// worked out in full.
const ROUGH_POINTS: usize = 24;

/// A jump past the limit.
struct Big<'a> {
    device: &'a Device,
    jump: &'a Jump,
    furthest: Furthest,
    /// What drives the unit where it jumps furthest: jumps of one cause go together.
    driver: Option<DeviceId>,
}

impl Big<'_> {
    fn size(&self) -> f64 {
        self.furthest.db.abs()
    }

    /// The context of its larger extreme, which is that of the furthest or near it.
    fn roughly_among(&self) -> &[SwitchSetting] {
        if self.furthest.db > 0.0 { &self.jump.rise.among } else { &self.jump.fall.among }
    }

    fn is_its_output(&self, at_target: &RigAtTarget) -> bool {
        jump_cause::is_its_output(at_target, self.device, self.furthest, self.roughly_among())
    }
}

/// Of `told_of` it has been told that their outputs are feeble; a fall that
/// comes of that isn't told again.
pub fn check(
    inspection: &Inspection<'_>,
    told_of: &[DeviceId],
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Vec<SizedFinding>, Stopped> {
    let Some(all) = inspection.states else { return Ok(Vec::new()) };
    if !watch.go_on(0.0) {
        return Err(Stopped);
    }
    let own;
    let states = if inspection.now.rig.has_fuzz_switch(inspection.limits) {
        let Ok(answer) = without_fuzzes(&inspection.now, inspection.limits, cache) else { return Ok(Vec::new()) };
        own = answer;
        &own
    } else {
        all
    };
    let mut bigs = bigs(inspection, states);
    let known = |big: &Big<'_>| told_of.contains(&big.device.id) && big.is_its_output(&inspection.now);
    bigs.retain(|big| !known(big));
    let mut found = Vec::new();
    let mut told: BTreeMap<Option<DeviceId>, SwitchRef> = BTreeMap::new();
    for big in &bigs {
        if told.len() == MOST_TOLD || told.contains_key(&big.driver) {
            continue;
        }
        told.insert(big.driver, big.furthest.switch);
        let fixes = fixes(inspection, big, cache, watch)?;
        let among = jumps::all(&inspection.now).without_fuzzes(inspection.limits).company(states, big.furthest);
        let peak = jump_cause::moved_peak(&inspection.now, big.furthest, &among, cache);
        found.push(one(inspection, big, among, peak, fixes));
    }
    let others: Vec<&Big<'_>> =
        bigs.iter().filter(|big| !told.values().any(|switch| *switch == big.furthest.switch)).collect();
    found.extend(together(inspection, &others));
    found.extend(fuzz(inspection, told_of, all, cache));
    Ok(found)
}

/// The jumps past the limit, the largest first.
fn bigs<'a>(inspection: &'a Inspection<'_>, states: &'a States) -> Vec<Big<'a>> {
    let bigs = states.jumps.iter().filter_map(|jump| {
        let furthest = states.furthest_jump(jump).filter(|it| it.db.abs() > inspection.limits.jump.get())?;
        let device = inspection.now.rig.device(jump.device())?;
        let extreme = if furthest.db > 0.0 { &jump.rise } else { &jump.fall };
        let driver = run_of(&inspection.now, device.id, &extreme.among).map(|run| run.from.device);
        Some(Big { device, jump, furthest, driver })
    });
    let mut bigs: Vec<Big<'_>> = bigs.collect();
    bigs.sort_by(|a, b| b.size().total_cmp(&a.size()));
    bigs
}

/// The peak leads, for that is what is heard; how far a level jumps comes after it.
fn one(
    inspection: &Inspection<'_>,
    big: &Big<'_>,
    among: Vec<SwitchSetting>,
    peak: MovedPeak,
    fixes: Vec<Remedy>,
) -> SizedFinding {
    let why = jump_cause::why(&inspection.now, big.device, big.furthest, &among);
    let moved = moved_words(&among, |device| inspection.now.name(device), |names| few(names, 3));
    let context = moved.unwrap_or_else(|| format!("all else {}", unmoved_word(&inspection.now.rig)));
    let level = big.device.kind.pedal().map_or(0.0, |pedal| pedal.on.level.get());
    let own = if level == 0.0 { String::new() } else { format!(" {}", level_not_counted(level)) };
    let told = Diagnosis {
        why: format!("{why}{own}"),
        about: About {
            devices: vec![big.device.id],
            leads: behind(&inspection.now, big.device.id, &among),
            among: Some(among),
            hz: Some(big.furthest.hz),
            ..About::default()
        },
        remedies: fixes,
        ..Diagnosis::new(
            rules::TONE_JUMP,
            Severity::Act,
            format!(
                "{} {}{}{} at {}, with {context}.",
                capital(&step_words(&inspection.now.rig, big.furthest.setting(), &inspection.now.name(big.device.id))),
                peak.told().map_or_else(|| "makes the tone jump by ".to_owned(), |told| format!("{told}, ")),
                inspection.at_least(),
                signed(big.furthest.db),
                hertz(big.furthest.hz)
            ),
        )
    };
    SizedFinding::new(told, big.size(), inspection.limits.jump.get())
}

/// One line for all that are like those told.
fn together(inspection: &Inspection<'_>, others: &[&Big<'_>]) -> Option<SizedFinding> {
    let (most, least) = (others.first()?, others.last()?);
    let words = |big: &Big<'_>| switch_words(big.furthest.switch, &inspection.now.name(big.device.id));
    let each = |big: &&Big<'_>| format!("{} {}", words(big), signed(big.furthest.db));
    let each: Vec<String> = others.iter().map(each).collect();
    let (many, makes) = match others.len() {
        1 => ("one more switch".to_owned(), "makes"),
        n => (format!("{} more switches", count(n)), "make"),
    };
    let (low, high) = (plain(least.size()), plain(most.size()));
    let range = if low == high { high } else { format!("{:.1} to {high}", least.size()) };
    let told = Diagnosis {
        why: format!("{}.", few(&each, 5)),
        about: About { devices: others.iter().map(|big| big.device.id).collect(), ..About::default() },
        ..Diagnosis::new(
            rules::TONE_JUMP,
            Severity::Know,
            capital(&format!("{many} {makes} the tone jump, by {}{range}.", inspection.at_least())),
        )
    };
    Some(SizedFinding::new(told, most.size(), inspection.limits.jump.get()))
}

/// The fuzz that goes furthest: good to know, and no fault of the rig's.
fn fuzz(
    inspection: &Inspection<'_>,
    told_of: &[DeviceId],
    all: &States,
    cache: &mut LineCache,
) -> Option<SizedFinding> {
    let jumps = all.jumps.iter().filter_map(|jump| {
        let device = inspection.now.rig.device(jump.device()).filter(|device| device.is_low_fuzz(inspection.limits))?;
        let furthest = all.furthest_jump(jump).filter(|it| it.db.abs() > inspection.limits.jump.get())?;
        Some(Big { device, jump, furthest, driver: None })
    });
    let unknown = jumps.filter(|big| !(told_of.contains(&big.device.id) && big.is_its_output(&inspection.now)));
    let big = unknown.max_by(|a, b| a.size().total_cmp(&b.size()))?;
    let among = jumps::all(&inspection.now).company(all, big.furthest);
    let driver = run_of(&inspection.now, big.device.id, &among).map(|run| run.from.device);
    let peak = jump_cause::moved_peak(&inspection.now, big.furthest, &among, cache);
    let mut told = one(inspection, &big, among, peak, Vec::new());
    if driver.is_some() && driver == inspection.now.first().map(|first| first.device.id) {
        told.diagnosis.why += " A fuzz with so low an input works like that: nothing to fix.";
    }
    told.diagnosis.severity = Severity::Know;
    Some(told)
}

/// The run that comes by a unit, or ends there, with these on and it off.
pub fn run_of(at_target: &RigAtTarget, device: DeviceId, among: &[SwitchSetting]) -> Option<Run> {
    let station = at_target.station(device)?;
    let mut runs = at_target.plan.runs(&at_target.with(among)).into_iter();
    runs.find(|run| run.passed.contains(&station) || run.ends.contains(&station))
}

/// The leads of that run behind the unit.
fn behind(at_target: &RigAtTarget, device: DeviceId, among: &[SwitchSetting]) -> Vec<LeadId> {
    let run = run_of(at_target, device, among);
    let is_behind = |lead: &LeadId| at_target.lead_is_behind(device, *lead);
    run.map_or_else(Vec::new, |run| run.leads.into_iter().filter(is_behind).collect())
}

/// A buffer that was tried somewhere, and the jumps that it leaves.
struct TriedBuffer {
    mend: Mend,
    /// What is left of this jump, in dB.
    left: f64,
    /// What is left of the furthest of all.
    furthest: f64,
}

fn fixes(
    inspection: &Inspection<'_>,
    big: &Big<'_>,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Vec<Remedy>, Stopped> {
    let limit = inspection.limits.jump.get();
    let (from, to) = heard_hz(&inspection.now.rig, inspection.now.target);
    let mut rough = LineCache::new(Sweep::logarithmic(from, to, ROUGH_POINTS));
    let mut tried: Vec<TriedBuffer> = Vec::new();
    for mend in candidates(inspection, big) {
        if !watch.go_on(0.0) {
            return Err(Stopped);
        }
        tried.extend(try_buffer(inspection, big, mend, &mut rough));
    }
    tried.sort_by(|a, b| {
        let key = |buffer: &TriedBuffer| (!buffer.mend.hides.is_empty(), buffer.left > limit, buffer.furthest > limit);
        key(a).cmp(&key(b)).then(a.furthest.total_cmp(&b.furthest)).then(a.left.total_cmp(&b.left))
    });
    let mut found: Vec<Remedy> = Vec::new();
    let mut hides_no_fuzz = false;
    for buffer in tried {
        // One that leaves every fuzz its guitar needs no second best of its kind.
        if found.len() == MOST_FIXES || (hides_no_fuzz && buffer.mend.hides.is_empty()) {
            continue;
        }
        if !watch.go_on(0.0) {
            return Err(Stopped);
        }
        let Some(buffer) = try_buffer(inspection, big, buffer.mend, cache) else { continue };
        if buffer.left < big.size() && (buffer.left <= limit || buffer.left < 0.5 * big.size()) {
            hides_no_fuzz |= buffer.mend.hides.is_empty();
            let figure = format!("{}{} left", inspection.at_least(), plain(buffer.left));
            found.push(buffer.mend.fix(&inspection.now, &figure));
        }
    }
    Ok(found)
}

fn try_buffer(inspection: &Inspection<'_>, big: &Big<'_>, mend: Mend, cache: &mut LineCache) -> Option<TriedBuffer> {
    let at_target = inspection.tried(&mend.edit)?;
    let states = without_fuzzes(&at_target, inspection.limits, cache).ok()?;
    let all: Vec<Furthest> = states.jumps.iter().filter_map(|jump| states.furthest_jump(jump)).collect();
    let of_this = all.iter().filter(|one| one.switch == big.furthest.switch);
    let left = of_this.map(|one| one.db.abs()).fold(0.0, f64::max);
    let furthest = all.iter().map(|one| one.db.abs()).fold(0.0, f64::max);
    Some(TriedBuffer { mend, left, furthest })
}

/// Where a buffer may help, and the unit's own if it has one inside.
fn candidates(inspection: &Inspection<'_>, big: &Big<'_>) -> Vec<Mend> {
    let at_target = &inspection.now;
    let mut found: Vec<Mend> = Vec::new();
    if let Some(first) = at_target.first().filter(|first| Some(first.device.id) == big.driver) {
        found.extend(mend::buffer_first(inspection, first));
        if let Some(&fuzz) = at_target.fuzzes_behind(first.run, first.lead, inspection.limits).last() {
            found.extend(mend::fuzz_first_then_buffer(inspection, first, fuzz));
            found.extend(mend::buffer_behind(inspection, fuzz).filter(|_| at_target.is_behind(fuzz, big.device.id)));
        }
    } else if let Some(driver) = big.driver {
        found.extend(mend::buffer_behind(inspection, driver));
    }
    found.extend(mend::buffer_before(inspection, big.device.id));
    found.extend(mend::buffer_behind(inspection, big.device.id));
    if can_be(big.device, Bypass::Buffered) {
        found.push(mend::set_bypass(inspection, big.device, Bypass::Buffered));
    }
    // Behind one unit is before the next.
    let mut leads: Vec<LeadId> = Vec::new();
    found.retain(|mend| match &mend.edit {
        Edit::Insert { lead, .. } if leads.contains(lead) => false,
        Edit::Insert { lead, .. } => {
            leads.push(*lead);
            true
        }
        _ => true,
    });
    found
}
