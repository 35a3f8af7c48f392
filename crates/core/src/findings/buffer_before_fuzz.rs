//! A fuzz that should see the guitar sees a buffer.

use super::mend;
use super::scene::{Scene, View, can_be};
use super::words::ohms;
use super::{About, Diagnosis, Remedy, Severity, Told, rules};
use crate::cascade::{LineCache, row_through};
use crate::network::{Ladder, Sweep};
use crate::plan::{Origin, Run, Spot, Through};
use crate::rig::{Bypass, Device, DeviceId, Edit, Kind, Position, Treadle};
use crate::units::Level;
use crate::watch::{Stopped, Watch};
use crate::words::few;

pub fn look(scene: &Scene<'_>, watch: &dyn Watch) -> Result<Vec<Told>, Stopped> {
    let mut found = Vec::new();
    for device in scene.now.rig.devices.iter().filter(|device| device.is_low_fuzz(scene.limits)) {
        if !watch.go_on(0.0) {
            return Err(Stopped);
        }
        found.extend(always(scene, device).or_else(|| while_on(scene, device)));
    }
    Ok(found)
}

/// The run that ends in a fuzz while it alone is on.
pub fn run_into(view: &View, fuzz: DeviceId) -> Option<Run> {
    let station = view.station(fuzz)?;
    view.plan.runs(&view.with_on(&[fuzz])).into_iter().find(|run| run.ends.contains(&station))
}

/// What drives a fuzz while it alone is on, if it isn't a passive guitar.
fn driver(view: &View, fuzz: DeviceId) -> Option<(DeviceId, Run)> {
    let run = run_into(view, fuzz)?;
    let from = run.from.device;
    let is_guitar = matches!(view.rig.device(from)?.kind, Kind::Guitar(_));
    (!is_guitar && starts_at_an_instrument(view, &run, fuzz)).then_some((from, run))
}

/// A fuzz in an amp's loop has no guitar to see.
fn starts_at_an_instrument(view: &View, run: &Run, fuzz: DeviceId) -> bool {
    let Some(station) = view.station(fuzz) else { return false };
    let state = view.with_on(&[fuzz]);
    let runs = view.plan.runs(&state);
    let route = view.plan.route(&runs, &state, Spot::Input(station)).unwrap_or_default();
    let origin = route.first().map_or(run.origin, |hop| hop.origin);
    matches!(origin, Origin::Start(at) if view.plan.starts[at].is_instrument)
}

fn always(scene: &Scene<'_>, fuzz: &Device) -> Option<Told> {
    let view = &scene.now;
    let (buffer, run) = driver(view, fuzz.id)?;
    let (name, other) = (view.name(fuzz.id), view.name(buffer));
    let sees = source_at_1_khz(view, fuzz.id, run.origin)?;
    let guitar = the_guitars(view, fuzz.id);
    let instead = guitar.map_or_else(String::new, |(noun, z)| format!(" instead of the {noun}'s {}", ohms(z)));
    let text = if matches!(run.origin, Origin::Start(_)) {
        format!("{other} drives {name} from {} at 1 kHz, and a fuzz like it expects a passive pickup.", ohms(sees))
    } else {
        format!("{other} stands before {name}, which sees {} at 1 kHz{instead}.", ohms(sees))
    };
    let input = fuzz.kind.pedal()?.on.input.resistance.get();
    let fixes = fixes(scene, fuzz);
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
            among: Some(view.rig.all_turned_on(&[fuzz.id])),
            ..About::default()
        },
        remedies: fixes,
        ..Diagnosis::new(rules::BUFFER_BEFORE_FUZZ, severity, text)
    };
    Some(Told::new(told, scene.limits.fuzz.get(), input))
}

/// The magnitude in Ω of what a fuzz sees at 1 kHz, looking back.
fn source_at_1_khz(view: &View, fuzz: DeviceId, origin: Origin) -> Option<f64> {
    let marked = view.plan.ladder(origin, &view.with_on(&[fuzz]), Spot::Input(view.station(fuzz)?))?;
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
fn the_guitars(view: &View, fuzz: DeviceId) -> Option<(&'static str, f64)> {
    let state = view.with_on(&[fuzz]);
    let runs = view.plan.runs(&state);
    let origin = view.plan.route(&runs, &state, Spot::Input(view.station(fuzz)?))?.first()?.origin;
    let Origin::Start(at) = origin else { return None };
    let start = view.plan.starts.get(at)?;
    let guitar = view.rig.device(start.jack.device)?;
    if !matches!(guitar.kind, Kind::Guitar(_)) {
        return None;
    }
    let wire = start.wire.as_ref()?;
    let mut ladder = start.source.clone();
    wire.add_to(&mut ladder);
    Some((guitar.kind.noun(), impedance_at_1_khz(&ladder)?))
}

/// What stands between the guitar and a fuzz and always isolates, in the signal's order.
fn in_between(view: &View, fuzz: DeviceId) -> Option<Vec<DeviceId>> {
    let state = view.with_on(&[fuzz]);
    let runs = view.plan.runs(&state);
    let route = view.plan.route(&runs, &state, Spot::Input(view.station(fuzz)?))?;
    let before = route.iter().filter_map(|hop| match hop.origin {
        Origin::Output { station, .. } => Some(view.plan.stations[station].device()),
        Origin::Start(_) => None,
    });
    Some(before.collect())
}

fn fixes(scene: &Scene<'_>, fuzz: &Device) -> Vec<Remedy> {
    let between = in_between(&scene.now, fuzz.id).unwrap_or_default();
    let Some(&foremost) = between.first() else { return Vec::new() };
    let (name, other) = (scene.now.name(fuzz.id), scene.now.name(foremost));
    let mut found: Vec<(String, Edit, Option<String>)> = Vec::new();
    // Nobody wants a fuzz between the guitar and what is on the strap.
    let on_the_strap = scene.now.rig.device(foremost).is_some_and(|device| matches!(device.kind, Kind::Wireless(_)));
    if let Some(lead) = scene.now.lead_into(foremost).filter(|_| !on_the_strap) {
        let edit = mend::move_onto(scene, fuzz.id, lead);
        let gives_up = scene.tried(&edit).and_then(|moved| mend::passed_by(scene, fuzz.id, &moved));
        found.push((format!("Move {name} before {other}"), edit, gives_up));
    }
    let devices: Vec<&Device> = between.iter().filter_map(|id| scene.now.rig.device(*id)).collect();
    if devices.iter().all(|device| can_be(device, Bypass::True)) {
        let names: Vec<String> = devices.iter().map(|device| scene.now.name(device.id)).collect();
        let edits: Vec<Edit> = devices.iter().map(|device| mend::bypass(scene, device, Bypass::True)).collect();
        let edit = if edits.len() == 1 { edits[0].clone() } else { Edit::Batch(edits) };
        // A tail that is cut is heard more than leads that load.
        let mut lost = devices.iter().filter_map(|device| mend::without_a_buffer(&scene.now, device));
        let gives_up = devices.iter().find_map(|device| mend::cuts_a_tail(&scene.now, device)).or_else(|| lost.next());
        found.push((format!("Set {} to true bypass", few(&names, 4)), edit, gives_up));
    }
    let mended = |edit: &Edit| scene.tried(edit).is_some_and(|view| sees_the_guitar(&view, fuzz.id));
    let fixes = found.into_iter().filter(|(_, edit, _)| mended(edit));
    let fix = |(words, edit, gives_up)| Remedy {
        words: format!("{words}: it sees the guitar then"),
        gives_up,
        edit: Some(edit),
    };
    fixes.map(fix).collect()
}

/// Whether a fuzz, alone on, is driven by a passive guitar.
pub fn sees_the_guitar(view: &View, fuzz: DeviceId) -> bool {
    run_into(view, fuzz).is_some_and(|run| {
        view.rig.device(run.from.device).is_some_and(|device| matches!(device.kind, Kind::Guitar(_)))
    })
}

/// Whether a unit is a wah.
pub fn is_a_wah(view: &View, device: DeviceId) -> bool {
    view.rig.device(device).is_some_and(|device| matches!(device.kind, Kind::Treadle(Treadle::Wah { .. })))
}

/// Other units hide the guitar from a fuzz, but only while they are on.
fn while_on(scene: &Scene<'_>, fuzz: &Device) -> Option<Told> {
    let view = &scene.now;
    let run = run_into(view, fuzz.id).filter(|_| sees_the_guitar(view, fuzz.id))?;
    let hiders = run.passed.iter().filter(|at| {
        let station = &view.plan.stations[**at];
        let isolates = station.alternatives.iter().any(|alternative| {
            let sounds = matches!(alternative.through, Through::Isolate { level: Level::Decibels(_), .. });
            alternative.position == Some(Position::ON) && sounds
        });
        // A wah has a sentence of its own.
        isolates && view.is_behind(station.device(), fuzz.id) && !is_a_wah(view, station.device())
    });
    let hiders: Vec<DeviceId> = hiders.map(|at| view.plan.stations[*at].device()).collect();
    let &foremost = hiders.first()?;
    let (name, input) = (view.name(fuzz.id), fuzz.kind.pedal()?.on.input.resistance.get());
    let names: Vec<String> = hiders.iter().map(|id| view.name(*id)).collect();
    let noun = view.rig.device(run.from.device)?.kind.noun();
    let while_on = if hiders.len() == 1 { "while it is on" } else { "while one of them is on" };
    let fix = view.lead_into(foremost).and_then(|lead| {
        let edit = mend::move_onto(scene, fuzz.id, lead);
        let moved = scene.tried(&edit)?;
        let first = hiders.iter().all(|hider| !moved.is_behind(*hider, fuzz.id));
        (first && sees_the_guitar(&moved, fuzz.id)).then(|| (edit, mend::passed_by(scene, fuzz.id, &moved)))
    });
    let words = format!("Move {name} before {}: it sees the {noun} then", view.name(foremost));
    let told = Diagnosis {
        why: format!("With so low an input its gain depends on what drives it: it expects to see the {noun}."),
        about: About {
            devices: std::iter::once(fuzz.id).chain(hiders.iter().copied()).collect(),
            among: Some(view.rig.all_turned_on(&[fuzz.id, foremost])),
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
    Some(Told::new(told, scene.limits.fuzz.get(), input))
}
