//! Dull with everything off, though the guitar drives little: several inputs
//! take its peak together, none of them enough to be told of by itself.

use super::inspection::Inspection;
use super::loads_the_guitar::{resistance, together, with_everything_off};
use super::mend;
use super::rig_at_target::{First, RigAtTarget};
use super::words::{ohms, plain};
use super::{About, Diagnosis, Severity, SizedFinding, rules};
use crate::cascade::LineCache;
use crate::rig::DeviceId;
use crate::units::hertz;
use crate::words::few;

pub fn check(inspection: &Inspection<'_>, first: First<'_>, cache: &mut LineCache) -> Option<SizedFinding> {
    // The unit that takes it alone has a finding of its own.
    if !with_everything_off(inspection, cache).is_empty() {
        return None;
    }
    let limit = inspection.limits.loading.get();
    let taken = together(&inspection.now, cache).filter(|taken| taken.db > limit)?;
    let loads = loads(&inspection.now, first);
    let each: Vec<String> = loads
        .iter()
        .map(|(device, resistance)| format!("{} {}", inspection.now.name(*device), ohms(*resistance)))
        .collect();
    let fix = mend::buffer_first(inspection, first).and_then(|mend| {
        let left =
            inspection.tried(&mend.edit).and_then(|at_target| together(&at_target, cache)).map_or(0.0, |left| left.db);
        (left < taken.db).then(|| mend.fix(&inspection.now, &format!("{} left", plain(left))))
    });
    let told = Diagnosis {
        why: format!(
            "None takes it alone: {}; with 1 MΩ each there would be a peak at {}.",
            few(&each, 4),
            hertz(taken.hz)
        ),
        about: About {
            devices: loads.into_iter().map(|(device, _)| device).collect(),
            among: Some(Vec::new()),
            hz: Some(taken.hz),
            ..About::default()
        },
        remedies: fix.into_iter().collect(),
        ..Diagnosis::new(
            rules::DULL_ALL_OFF,
            Severity::Act,
            format!("All off, the {}'s peak is lost: inputs take {} off it together.", first.noun, plain(taken.db)),
        )
    };
    Some(SizedFinding::new(told, taken.db, limit))
}

/// What hangs on the guitar, the lowest resistance first.
fn loads(at_target: &RigAtTarget, first: First<'_>) -> Vec<(DeviceId, f64)> {
    let devices = at_target.devices_on(first.run).into_iter().filter_map(|device| at_target.rig.device(device));
    let loads = devices.filter_map(|device| Some((device.id, resistance(device, device.is_on(&at_target.off))?)));
    let mut loads: Vec<(DeviceId, f64)> = loads.collect();
    loads.sort_by(|a, b| a.1.total_cmp(&b.1));
    loads
}
