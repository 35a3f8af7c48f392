//! With everything off, the rig sounds like too much lead.

use super::inspection::Inspection;
use super::mend::{self, LONGEST_PATCH, Mend};
use super::rig_at_target::{First, RigAtTarget, capacitance};
use super::words::{A_LEAD_TO_BUY, count};
use super::{About, Diagnosis, Remedy, Severity, SizedFinding, peak_lost, rules};
use crate::cascade::LineCache;
use crate::parts::catalogue;
use crate::response::{NoEquivalent, NoPeak, PointAnswer, Request, respond};
use crate::rig::{Bypass, DeviceId, Edit, JackRef, Lead, LeadId, Rig};
use crate::units::{Metres, engineering, metres};
use crate::watch::{Stopped, Watch};
use crate::words::few;

use std::sync::Arc;

/// The guitar's lead is not offered shorter than this: it has to reach the board. [practice, S: mends]
const SHORTEST: Metres = Metres::of(3.0);
/// A fix takes away this part of what is too much, or nobody would bother.
const WORTH_IT: f64 = 0.4;
/// So many fixes are offered.
const MOST_FIXES: usize = 4;
/// How metres are told that capacitance alone amounts to.
const AS_MUCH: &str = "as much as";

pub fn check(
    inspection: &Inspection<'_>,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Vec<SizedFinding>, Stopped> {
    let Some(first) = inspection.now.first() else { return Ok(Vec::new()) };
    let Some(answer) = inspection.now.answer(&[], cache) else { return Ok(Vec::new()) };
    let shares = shares(&inspection.now, first);
    let run: f64 = shares.iter().map(|share| share.farads).sum();
    let limit = inspection.limits.dull.get();
    let dull = dullness(&answer, run, own_farads_per_metre(&inspection.now, first));
    let drives = format!("the {} drives {}", first.noun, engineering(run, "F", 3));
    let as_much = format!("{drives}, {AS_MUCH} {} of its lead", in_metres(dull));
    let mut why = why(&inspection.now, &shares, run);
    let text = match &answer.lead_equivalent {
        _ if dull.is_nan() || own_farads_per_metre(&inspection.now, first) == 0.0 => return Ok(Vec::new()),
        Ok(equivalent) if *equivalent > limit => format!("All off, this rig sounds like {} of lead.", in_metres(dull)),
        Err(NoEquivalent::MoreThanLongest) => "All off, this rig sounds like more than 100 m of lead.".to_owned(),
        Err(NoEquivalent::OtherHeight { rig_db, lead_db, .. }) if dull > limit => {
            let damped = if rig_db < lead_db { ", and its peak is damped besides" } else { "" };
            format!("All off, {as_much}{damped}.")
        }
        Err(NoEquivalent::NoPeak(NoPeak::TooLow { .. } | NoPeak::NoMaximum)) if dull > limit => {
            let lost = if has_a_peak_to_lose(inspection, cache) { ", and its peak is lost" } else { "" };
            format!("All off, {as_much}{lost}.")
        }
        Err(NoEquivalent::NoPeak(NoPeak::TooLow { .. } | NoPeak::NoMaximum)) => {
            return Ok(peak_lost::check(inspection, first, cache).into_iter().collect());
        }
        _ => return Ok(Vec::new()),
    };
    let fixes = fixes(inspection, first, dull, &shares, cache, watch)?;
    if text.contains(AS_MUCH) || fixes.iter().any(|fix| fix.words.contains(AS_MUCH)) {
        why += " “As much as” counts capacitance; “sounds like” goes by where the peak stands, and so may differ.";
    }
    let mut leads: Vec<(LeadId, f64)> =
        first.run.leads.iter().filter_map(|id| Some((*id, inspection.now.rig.lead(*id)?.capacitance()))).collect();
    leads.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut devices = devices(&inspection.now, first);
    devices.sort_by(|a, b| b.1.total_cmp(&a.1));
    let told = Diagnosis {
        why,
        about: About {
            devices: devices.into_iter().map(|(device, _)| device).collect(),
            leads: leads.into_iter().map(|(lead, _)| lead).collect(),
            among: Some(Vec::new()),
            hz: answer.peak.ok().map(|peak| peak.hz),
            ..About::default()
        },
        remedies: fixes,
        ..Diagnosis::new(rules::DULL_ALL_OFF, Severity::Act, text)
    };
    Ok(vec![SizedFinding::new(told, dull.max(limit), limit)])
}

/// Metres of the guitar's own lead: the lead equivalent where there is one, or
/// else what the run's capacitance amounts to. NaN where neither says anything.
fn dullness(answer: &PointAnswer, run: f64, farads_per_metre: f64) -> f64 {
    match &answer.lead_equivalent {
        Ok(metres) => *metres,
        Err(NoEquivalent::MoreThanLongest) => f64::INFINITY,
        Err(NoEquivalent::LessThanNoLead) => 0.0,
        Err(NoEquivalent::NoGuitarLead | NoEquivalent::NoPeak(NoPeak::Silent)) => f64::NAN,
        Err(NoEquivalent::NoPeak(_) | NoEquivalent::OtherHeight { .. }) => run / farads_per_metre,
    }
}

fn own_farads_per_metre(at_target: &RigAtTarget, first: First<'_>) -> f64 {
    at_target.rig.lead(first.lead).map_or(f64::NAN, |lead| lead.cable.capacitance.get())
}

/// Whether the guitar, straight into the amp with as much lead as isn't dull yet
/// and its knobs where they are, has a peak at all.
fn has_a_peak_to_lose(inspection: &Inspection<'_>, cache: &mut LineCache) -> bool {
    let mut peak = || {
        let first = inspection.now.first()?;
        let rig = &inspection.now.rig;
        let end = inspection.now.plan.stations.iter().find(|station| station.is_endpoint)?.jack;
        let devices = vec![first.device.clone(), rig.device(end.device)?.clone()];
        let lead = Lead { to: end, length: inspection.limits.dull, ..rig.lead(first.lead)?.clone() };
        let straight = Rig { devices, leads: vec![lead], feeds: Vec::new() };
        let request = Request {
            rig: Arc::new(straight),
            state: inspection.now.off.clone(),
            test_point: None,
            unfed: inspection.now.unfed.clone(),
        };
        respond(&request, cache).endpoints.first()?.at.peak.ok()
    };
    peak().is_some()
}

/// What one thing adds to what the guitar drives.
struct Share {
    words: String,
    farads: f64,
    /// The lead, if it is one that could be another.
    lead: Option<LeadId>,
}

fn stations(first: First<'_>) -> impl Iterator<Item = usize> {
    first.run.passed.iter().chain(&first.run.ends).copied()
}

/// The devices on the guitar's run with what each hangs on it in F: a switcher does so at several places.
fn devices(at_target: &RigAtTarget, first: First<'_>) -> Vec<(DeviceId, f64)> {
    let mut found: Vec<(DeviceId, f64)> = Vec::new();
    for at in stations(first) {
        let (device, farads) = (at_target.plan.stations[at].device(), capacitance(at_target, at));
        match found.iter_mut().find(|(known, _)| *known == device) {
            Some((_, sum)) => *sum += farads,
            None => found.push((device, farads)),
        }
    }
    found
}

/// All that the guitar drives, the largest first. Units go with their patch leads.
fn shares(at_target: &RigAtTarget, first: First<'_>) -> Vec<Share> {
    let off_board = |jack: JackRef| at_target.rig.device(jack.device).is_none_or(|device| device.is_off_board());
    let mut found = Vec::new();
    let (mut units, mut pooled) = (0, 0.0);
    for lead in first.run.leads.iter().filter_map(|id| at_target.rig.lead(*id)) {
        let farads = lead.capacitance();
        let words = if lead.id == first.lead {
            format!("the {}'s lead", first.noun)
        } else if off_board(lead.to) || lead.length > LONGEST_PATCH {
            format!("the lead to {}", at_target.name(lead.to.device))
        } else {
            pooled += farads;
            continue;
        };
        found.push(Share { words, farads, lead: Some(lead.id) });
    }
    let is_endpoint = |device: DeviceId| {
        stations(first).map(|at| &at_target.plan.stations[at]).any(|at| at.device() == device && at.is_endpoint)
    };
    for (device, farads) in devices(at_target, first) {
        if is_endpoint(device) {
            found.push(Share { words: format!("the input of {}", at_target.name(device)), farads, lead: None });
        } else {
            units += 1;
            pooled += farads;
        }
    }
    if pooled > 0.0 {
        let words = match units {
            0 => "patch leads".to_owned(),
            1 => "one unit with its patch leads".to_owned(),
            n => format!("{} units with their patch leads", count(n)),
        };
        found.push(Share { words, farads: pooled, lead: None });
    }
    found.sort_by(|a, b| b.farads.total_cmp(&a.farads));
    found
}

fn why(at_target: &RigAtTarget, shares: &[Share], run: f64) -> String {
    let told: Vec<String> = shares
        .iter()
        .map(|share| {
            let part = if run > 0.0 { 100.0 * share.farads / run } else { 0.0 };
            format!("{} {} ({part:.0} %)", share.words, engineering(share.farads, "F", 3))
        })
        .collect();
    let noun = at_target.first().map_or("guitar", |first| first.noun);
    format!("The {noun} drives {}: {}.", engineering(run, "F", 3), few(&told, 4))
}

/// What is left after a fix.
struct AfterFix {
    mend: Mend,
    metres: f64,
    figure: String,
}

fn fixes(
    inspection: &Inspection<'_>,
    first: First<'_>,
    now: f64,
    shares: &[Share],
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Vec<Remedy>, Stopped> {
    let limit = inspection.limits.dull.get();
    let mut found: Vec<AfterFix> = Vec::new();
    for mend in candidates(inspection, first, shares) {
        if !watch.go_on(0.0) {
            return Err(Stopped);
        }
        let Some(at_target) = inspection.tried(&mend.edit) else { continue };
        let (Some(after), Some(answer)) = (at_target.first(), at_target.answer(&[], cache)) else { continue };
        let run: f64 = self::shares(&at_target, after).iter().map(|share| share.farads).sum();
        let metres = dullness(&answer, run, own_farads_per_metre(&at_target, after));
        // A little less dull is no reason to buy something.
        let worth_it = metres <= limit || now.is_infinite() || metres <= now - WORTH_IT * (now - limit);
        let figure = match answer.lead_equivalent {
            Ok(_) => format!("{} left", in_metres(metres)),
            Err(_) => format!("{AS_MUCH} {} left", in_metres(metres)),
        };
        if worth_it && metres < now {
            found.push(AfterFix { mend, metres, figure });
        }
    }
    // What is no longer dull comes first, and what leaves the fuzz its guitar.
    found.sort_by(|a, b| {
        let key = |left: &AfterFix| (!left.mend.hides.is_empty(), left.metres > limit);
        key(a).cmp(&key(b)).then(a.metres.total_cmp(&b.metres))
    });
    found.truncate(MOST_FIXES);
    Ok(found.into_iter().map(|left| left.mend.fix(&inspection.now, &left.figure)).collect())
}

fn candidates(inspection: &Inspection<'_>, first: First<'_>, shares: &[Share]) -> Vec<Mend> {
    let rig = &inspection.now.rig;
    let mut found: Vec<Mend> = mend::buffer_first(inspection, first).into_iter().collect();
    // The last fuzz that sees the guitar: behind it a buffer is in nobody's way.
    let fuzzes = inspection.now.fuzzes_behind(first.run, first.lead, inspection.limits);
    if let Some(&fuzz) = fuzzes.last() {
        found.extend(mend::buffer_behind(inspection, fuzz));
        found.extend(mend::fuzz_first_then_buffer(inspection, first, fuzz));
    }
    let passed = first.run.passed.iter().map(|at| inspection.now.plan.stations[*at].device());
    let selectable =
        passed.filter_map(|id| rig.device(id)).find(|device| super::rig_at_target::can_be(device, Bypass::Buffered));
    found.extend(selectable.map(|device| mend::set_bypass(inspection, device, Bypass::Buffered)));
    let largest = shares.first().and_then(|share| rig.lead(share.lead?));
    found.extend(largest.and_then(|lead| another_lead(inspection, first, lead)));
    found
}

/// A shorter lead from the guitar, or one of less capacitance in another place.
/// From the guitar, less capacitance would be told in metres of that new lead.
fn another_lead(inspection: &Inspection<'_>, first: First<'_>, lead: &Lead) -> Option<Mend> {
    let (words, changed, gives_up) = if lead.id == first.lead {
        let changed = Lead { length: SHORTEST, ..lead.clone() };
        let words = format!("Use {} from the {}", a_lead_of(SHORTEST), first.noun);
        let gives_up = "It has to reach from where you stand to the board.";
        (lead.length > SHORTEST).then_some((words, changed, gives_up))?
    } else {
        let cable = &catalogue().cable("low-capacitance-lead")?.cable;
        let words = format!("Use a low-capacitance lead to {}", inspection.now.name(lead.to.device));
        let less = cable.capacitance < lead.cable.capacitance;
        let changed = Lead { cable: cable.clone(), ..lead.clone() };
        less.then_some((words, changed, A_LEAD_TO_BUY))?
    };
    let edit = Edit::SetLead { variant: inspection.question.variant.id, lead: Box::new(changed) };
    Some(Mend { words, edit, hides: Vec::new(), gives_up: Some(gives_up.to_owned()) })
}

/// A tenth of a metre is as fine as anybody cuts a lead.
fn in_metres(length: f64) -> String {
    metres((length * 10.0).round() / 10.0)
}

fn a_lead_of(length: Metres) -> String {
    format!("a lead of {}", in_metres(length.get()))
}
