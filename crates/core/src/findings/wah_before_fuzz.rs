//! A wah before a fuzz whose gain depends on its source.
//!
//! On together, the fuzz sees the wah's output and not the guitar, and its low
//! input loads the filter, whose sweep gets shallow. [common practice, no source]

use super::buffer_before_fuzz::{is_a_wah, run_into, sees_the_guitar};
use super::inspection::Inspection;
use super::mend;
use super::rig_at_target::{RigAtTarget, series_ohms};
use super::words::{ohms, plain};
use super::{About, Diagnosis, Remedy, Severity, SizedFinding, rules};
use crate::plan::Origin;
use crate::rig::{Device, DeviceId};

/// A sweep that loses less than this hardly changes. [common practice, no source]
const LEAST_DB: f64 = 1.0;

pub fn check(inspection: &Inspection<'_>) -> Vec<SizedFinding> {
    let fuzzes = inspection.now.rig.devices.iter().filter(|device| device.is_low_fuzz(inspection.limits));
    fuzzes.filter_map(|fuzz| before(inspection, fuzz)).collect()
}

/// The nearest wah whose output drives a fuzz while these two are on, and that output in Ω.
fn driver(at_target: &RigAtTarget, fuzz: DeviceId) -> Option<(DeviceId, f64)> {
    let before = run_into(at_target, fuzz)?.passed.into_iter().rev().map(|at| at_target.plan.stations[at].device());
    let drives = |wah: DeviceId| {
        let (state, station) = (at_target.with_on(&[wah, fuzz]), at_target.station(fuzz)?);
        let run = at_target.plan.runs(&state).into_iter().find(|run| run.ends.contains(&station))?;
        let from_it = run.from.device == wah && matches!(run.origin, Origin::Output { .. });
        from_it.then(|| at_target.plan.source(run.origin, &state)).flatten().map(|source| (wah, series_ohms(&source)))
    };
    before.filter(|id| is_a_wah(at_target, *id)).find_map(drives)
}

fn before(inspection: &Inspection<'_>, fuzz: &Device) -> Option<SizedFinding> {
    let at_target = &inspection.now;
    // Where a buffer stands before it always, that is told.
    let (wah, output) = driver(at_target, fuzz.id).filter(|_| sees_the_guitar(at_target, fuzz.id))?;
    let input = fuzz.kind.pedal()?.on.input.resistance.get();
    // The input is a divider with the wah's output [textbook].
    let lost = 20.0 * (1.0 + output / input).log10();
    let (name, other) = (at_target.name(fuzz.id), at_target.name(wah));
    let shallow = if lost < LEAST_DB {
        String::new()
    } else if lost.is_finite() {
        format!(", and its own {} take {} of the sweep", ohms(input), plain(lost))
    } else {
        format!(", and its own {} take all of the sweep", ohms(input))
    };
    let fix = at_target.lead_into(wah).and_then(|lead| {
        let edit = mend::move_onto(inspection, fuzz.id, lead);
        let moved = inspection.tried(&edit)?;
        let mended = sees_the_guitar(&moved, fuzz.id) && driver(&moved, fuzz.id).is_none();
        let words = format!("Move {name} before {other}: it sees the guitar then");
        mended.then(|| Remedy { words, gives_up: mend::passed_by(inspection, fuzz.id, &moved), edit: Some(edit) })
    });
    let told = Diagnosis {
        why: format!(
            "The gain of {name} depends on what drives it, and a wah's filter wants a high input behind it; the usual \
             ways are the fuzz before the wah, or a wah with a buffer at its output [common practice, no source]."
        ),
        about: About {
            devices: vec![fuzz.id, wah],
            among: Some(at_target.rig.all_turned_on(&[fuzz.id, wah])),
            ..About::default()
        },
        remedies: fix.into_iter().collect(),
        ..Diagnosis::new(
            rules::WAH_BEFORE_FUZZ,
            Severity::Know,
            format!("With {other} on, {name} sees its output of {} and not the guitar{shallow}.", ohms(output)),
        )
    };
    Some(SizedFinding::new(told, inspection.limits.fuzz.get(), input))
}
