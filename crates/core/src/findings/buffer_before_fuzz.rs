//! A fuzz that should see the guitar sees a buffer.

use super::inspection::Inspection;
use super::mend;
use super::rig_at_target::{RigAtTarget, can_be};
use super::words::ohms;
use super::{About, Diagnosis, Remedy, Severity, SizedFinding, rules};
use crate::cascade::{LineCache, row_through};
use crate::network::{Ladder, Sweep};
use crate::plan::{Behaviour, Origin, Run, Spot};
use crate::rig::{Bypass, Device, DeviceId, Edit, Kind, Position, Treadle};
use crate::units::Level;
use crate::watch::{Stopped, Watch};
use crate::words::few;

pub fn check(inspection: &Inspection<'_>, watch: &dyn Watch) -> Result<Vec<SizedFinding>, Stopped> {
    let mut found = Vec::new();
    for device in inspection.now.rig.devices.iter().filter(|device| device.is_low_fuzz(inspection.limits)) {
        if !watch.go_on(0.0) {
            return Err(Stopped);
        }
        found.extend(always(inspection, device).or_else(|| while_on(inspection, device)));
    }
    Ok(found)
}

/// The run that ends in a fuzz while it alone is on.
pub fn run_into(at_target: &RigAtTarget, fuzz: DeviceId) -> Option<Run> {
    let station = at_target.station(fuzz)?;
    at_target.plan.runs(&at_target.with_on(&[fuzz])).into_iter().find(|run| run.ends.contains(&station))
}

/// What drives a fuzz while it alone is on, if it isn't a passive guitar.
fn driver(at_target: &RigAtTarget, fuzz: DeviceId) -> Option<(DeviceId, Run)> {
    let run = run_into(at_target, fuzz)?;
    let from = run.from.device;
    let is_guitar = at_target.rig.device(from)?.kind.is_passive_instrument();
    (!is_guitar && starts_at_an_instrument(at_target, &run, fuzz)).then_some((from, run))
}

/// A fuzz in an amp's loop has no guitar to see.
fn starts_at_an_instrument(at_target: &RigAtTarget, run: &Run, fuzz: DeviceId) -> bool {
    let Some(station) = at_target.station(fuzz) else { return false };
    let state = at_target.with_on(&[fuzz]);
    let runs = at_target.plan.runs(&state);
    let route = at_target.plan.route(&runs, &state, Spot::Input(station)).unwrap_or_default();
    let origin = route.first().map_or(run.origin, |route_run| route_run.origin);
    matches!(origin, Origin::Start(at) if at_target.plan.starts[at].is_instrument)
}

fn always(inspection: &Inspection<'_>, fuzz: &Device) -> Option<SizedFinding> {
    let at_target = &inspection.now;
    let (buffer, run) = driver(at_target, fuzz.id)?;
    let (name, other) = (at_target.name(fuzz.id), at_target.name(buffer));
    let sees = source_at_1_khz(at_target, fuzz.id, run.origin)?;
    let guitar = the_guitars(at_target, fuzz.id);
    let instead = guitar.map_or_else(String::new, |(noun, z)| format!(" instead of the {noun}'s {}", ohms(z)));
    let text = if matches!(run.origin, Origin::Start(_)) {
        format!("{other} drives {name} from {} at 1 kHz, and a fuzz like it expects a passive pickup.", ohms(sees))
    } else {
        format!("{other} stands before {name}, which sees {} at 1 kHz{instead}.", ohms(sees))
    };
    let input = fuzz.kind.pedal()?.on.input.resistance.get();
    let fixes = fixes(inspection, fuzz);
    // An instrument with electronics of its own can't be helped.
    let severity = if guitar.is_some() || !fixes.is_empty() { Severity::Act } else { Severity::Know };
    let told = Diagnosis {
        why: format!(
            "With an input of {} its gain depends on what drives it: it expects to see the guitar, and a buffer before \
             it changes it.",
            ohms(input)
        ),
        about: About {
            devices: vec![fuzz.id, buffer],
            leads: run.leads.clone(),
            among: Some(at_target.rig.all_turned_on(&[fuzz.id])),
            ..About::default()
        },
        remedies: fixes,
        ..Diagnosis::new(rules::BUFFER_BEFORE_FUZZ, severity, text)
    };
    Some(SizedFinding::new(told, inspection.limits.fuzz.get(), input))
}

/// The magnitude in Ω of what a fuzz sees at 1 kHz, looking back.
fn source_at_1_khz(at_target: &RigAtTarget, fuzz: DeviceId, origin: Origin) -> Option<f64> {
    let marked = at_target.plan.ladder(origin, &at_target.with_on(&[fuzz]), Spot::Input(at_target.station(fuzz)?))?;
    impedance_at_1_khz(&Ladder { rungs: marked.ladder.rungs.get(..marked.mark)?.to_vec() })
}

fn impedance_at_1_khz(ladder: &Ladder) -> Option<f64> {
    let row = row_through(&ladder.rungs, &mut LineCache::new(Sweep::at(&[1000.0])));
    let size = |re: &[f64], im: &[f64]| Some(re.first()?.hypot(*im.first()?));
    let (a, b) = (size(&row.a.re, &row.a.im)?, size(&row.b.re, &row.b.im)?);
    (!row.silent && a > 0.0).then(|| b / a)
}

/// What the fuzz would see at 1 kHz at the end of the guitar's own lead, and
/// what the instrument is called.
fn the_guitars(at_target: &RigAtTarget, fuzz: DeviceId) -> Option<(&'static str, f64)> {
    let state = at_target.with_on(&[fuzz]);
    let runs = at_target.plan.runs(&state);
    let origin = at_target.plan.route(&runs, &state, Spot::Input(at_target.station(fuzz)?))?.first()?.origin;
    let Origin::Start(at) = origin else { return None };
    let start = at_target.plan.starts.get(at)?;
    let guitar = at_target.rig.device(start.jack.device)?;
    if !guitar.kind.is_passive_instrument() {
        return None;
    }
    let wire = start.wire.as_ref()?;
    let mut ladder = start.source.clone();
    wire.add_to(&mut ladder);
    Some((guitar.kind.noun(), impedance_at_1_khz(&ladder)?))
}

/// What stands between the guitar and a fuzz and always isolates, in the signal's order.
fn in_between(at_target: &RigAtTarget, fuzz: DeviceId) -> Option<Vec<DeviceId>> {
    let state = at_target.with_on(&[fuzz]);
    let runs = at_target.plan.runs(&state);
    let route = at_target.plan.route(&runs, &state, Spot::Input(at_target.station(fuzz)?))?;
    let before = route.iter().filter_map(|route_run| match route_run.origin {
        Origin::Output { station, .. } => Some(at_target.plan.stations[station].device()),
        Origin::Start(_) => None,
    });
    Some(before.collect())
}

fn fixes(inspection: &Inspection<'_>, fuzz: &Device) -> Vec<Remedy> {
    let between = in_between(&inspection.now, fuzz.id).unwrap_or_default();
    let Some(&foremost) = between.first() else { return Vec::new() };
    let (name, other) = (inspection.now.name(fuzz.id), inspection.now.name(foremost));
    let mut found: Vec<(String, Edit, Option<String>)> = Vec::new();
    // Nobody wants a fuzz between the guitar and what is on the strap.
    let on_the_strap =
        inspection.now.rig.device(foremost).is_some_and(|device| matches!(device.kind, Kind::Wireless(_)));
    if let Some(lead) = inspection.now.lead_into(foremost).filter(|_| !on_the_strap) {
        let edit = mend::move_onto(inspection, fuzz.id, lead);
        let gives_up = inspection.tried(&edit).and_then(|moved| mend::passed_by(inspection, fuzz.id, &moved));
        found.push((format!("Move {name} before {other}"), edit, gives_up));
    }
    let devices: Vec<&Device> = between.iter().filter_map(|id| inspection.now.rig.device(*id)).collect();
    if devices.iter().all(|device| can_be(device, Bypass::True)) {
        let names: Vec<String> = devices.iter().map(|device| inspection.now.name(device.id)).collect();
        let edits: Vec<Edit> = devices.iter().map(|device| mend::bypass(inspection, device, Bypass::True)).collect();
        let edit = if edits.len() == 1 { edits[0].clone() } else { Edit::Batch(edits) };
        // A tail that is cut is heard more than leads that load.
        let mut lost = devices.iter().filter_map(|device| mend::without_a_buffer(&inspection.now, device));
        let gives_up =
            devices.iter().find_map(|device| mend::cuts_a_tail(&inspection.now, device)).or_else(|| lost.next());
        found.push((format!("Set {} to true bypass", few(&names, 4)), edit, gives_up));
    }
    let mended = |edit: &Edit| inspection.tried(edit).is_some_and(|at_target| sees_the_guitar(&at_target, fuzz.id));
    let fixes = found.into_iter().filter(|(_, edit, _)| mended(edit));
    let fix = |(words, edit, gives_up)| Remedy {
        words: format!("{words}: it sees the guitar then"),
        gives_up,
        edit: Some(edit),
    };
    fixes.map(fix).collect()
}

/// Whether a fuzz, alone on, is driven by a passive guitar.
pub fn sees_the_guitar(at_target: &RigAtTarget, fuzz: DeviceId) -> bool {
    run_into(at_target, fuzz).is_some_and(|run| {
        at_target.rig.device(run.from.device).is_some_and(|device| device.kind.is_passive_instrument())
    })
}

/// Whether a unit is a wah.
pub fn is_a_wah(at_target: &RigAtTarget, device: DeviceId) -> bool {
    at_target.rig.device(device).is_some_and(|device| matches!(device.kind, Kind::Treadle(Treadle::Wah { .. })))
}

/// Other units hide the guitar from a fuzz, but only while they are on.
fn while_on(inspection: &Inspection<'_>, fuzz: &Device) -> Option<SizedFinding> {
    let at_target = &inspection.now;
    let run = run_into(at_target, fuzz.id).filter(|_| sees_the_guitar(at_target, fuzz.id))?;
    let hiders = run.passed.iter().filter(|at| {
        let station = &at_target.plan.stations[**at];
        let isolates = station.alternatives.iter().any(|alternative| {
            let sounds = matches!(alternative.behaviour, Behaviour::Isolate { level: Level::Decibels(_), .. });
            alternative.position == Some(Position::ON) && sounds
        });
        // A wah has a sentence of its own.
        isolates && at_target.is_behind(station.device(), fuzz.id) && !is_a_wah(at_target, station.device())
    });
    let hiders: Vec<DeviceId> = hiders.map(|at| at_target.plan.stations[*at].device()).collect();
    let &foremost = hiders.first()?;
    let (name, input) = (at_target.name(fuzz.id), fuzz.kind.pedal()?.on.input.resistance.get());
    let names: Vec<String> = hiders.iter().map(|id| at_target.name(*id)).collect();
    let noun = at_target.rig.device(run.from.device)?.kind.noun();
    let while_on = if hiders.len() == 1 { "while it is on" } else { "while one of them is on" };
    let fix = at_target.lead_into(foremost).and_then(|lead| {
        let edit = mend::move_onto(inspection, fuzz.id, lead);
        let moved = inspection.tried(&edit)?;
        let first = hiders.iter().all(|hider| !moved.is_behind(*hider, fuzz.id));
        (first && sees_the_guitar(&moved, fuzz.id)).then(|| (edit, mend::passed_by(inspection, fuzz.id, &moved)))
    });
    let words = format!("Move {name} before {}: it sees the {noun} then", at_target.name(foremost));
    let told = Diagnosis {
        why: format!("With so low an input its gain depends on what drives it: it expects to see the {noun}."),
        about: About {
            devices: std::iter::once(fuzz.id).chain(hiders.iter().copied()).collect(),
            among: Some(at_target.rig.all_turned_on(&[fuzz.id, foremost])),
            ..About::default()
        },
        remedies: fix.map(|(edit, gives_up)| Remedy { words, gives_up, edit: Some(edit) }).into_iter().collect(),
        ..Diagnosis::new(
            rules::BUFFER_BEFORE_FUZZ,
            Severity::Know,
            format!(
                "{} before {name} (an input of {}) {} the {noun} from it {while_on}.",
                few(&names, 4),
                ohms(input),
                if hiders.len() == 1 { "hides" } else { "hide" }
            ),
        )
    };
    Some(SizedFinding::new(told, inspection.limits.fuzz.get(), input))
}
