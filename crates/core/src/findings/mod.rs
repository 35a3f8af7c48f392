//! What a rig's owner should know: one sentence with its number, why, and a
//! change that mends it. One file a rule.

mod buffer_before_fuzz;
mod dull_all_off;
mod handling_noise;
mod inspection;
mod jump_cause;
mod jumps;
mod line_level;
mod loads_the_guitar;
mod long_lead;
mod mend;
mod passage;
mod peak_lost;
mod phantom;
mod polarity_unknown;
mod region;
mod rig_at_target;
pub mod rules;
mod sides;
mod silent;
mod size;
mod tone_jump;
mod too_hot;
mod two_ends;
mod useless_buffer;
mod wah_before_fuzz;
mod ways_cancel;
mod words;
mod wrong_treadle;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::cascade::LineCache;
use crate::diagnosis::{About, Diagnosis, Remedy, Severity};
use crate::rig::{DeviceId, Limits, State, Variant};
use crate::states::{States, Target};
use crate::units::Volts;
use crate::watch::{Part, Stopped, Watch};

use inspection::Inspection;

/// All that findings depend on.
#[derive(Debug, Clone, PartialEq)]
pub struct FindingsQuestion {
    /// The rig, in its variant.
    pub variant: Arc<Variant>,
    /// Where controls stand, and switches that no foot works; its footswitches don't matter.
    pub controls: State,
    /// Where the level is wanted.
    pub target: Target,
    /// From where on findings speak.
    pub limits: Limits,
    /// The voltage that each unit works at, where it is known: none gives more than about half of it.
    pub volts: BTreeMap<DeviceId, Volts>,
    /// The devices that get no power; none where all count as fed.
    pub unfed: BTreeSet<DeviceId>,
}

/// All findings of a rig, those to act on first, and of those the furthest past
/// its limit. `states` are all states of the same rig at the same target, where
/// there are any. `cache` has the program's own sweep, or one as fine.
///
/// None where no signal gets to the target, or the rig is plugged in such that
/// it can't be as drawn: its problems come first.
pub fn findings(
    question: &FindingsQuestion,
    states: Option<&States>,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Vec<Diagnosis>, Stopped> {
    findings_within(MOST_WORK, question, states, cache, watch)
}

/// The same where it takes no more than so many steps; of a rig that takes more
/// there is one finding, which says so.
pub fn findings_within(
    most: u64,
    question: &FindingsQuestion,
    states: Option<&States>,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Vec<Diagnosis>, Stopped> {
    let Some(inspection) = Inspection::of(question, states) else {
        return if watch.go_on(1.0) { Ok(Vec::new()) } else { Err(Stopped) };
    };
    if size::work(&inspection) > most.min(MOST_WORK) {
        return if watch.go_on(1.0) { Ok(vec![size::too_large(&inspection, most)]) } else { Err(Stopped) };
    }
    // The shares of the whole work, as they are in a rig of many units.
    let part = |from: f64, to: f64| Part { whole: watch, from, to };
    let mut told = Vec::new();
    told.extend(silent::check(&inspection));
    told.extend(buffer_before_fuzz::check(&inspection, &part(0.0, 0.02))?);
    told.extend(wah_before_fuzz::check(&inspection));
    told.extend(handling_noise::check(&inspection));
    told.extend(phantom::check(&inspection));
    told.extend(line_level::check(&inspection));
    told.extend(sides::check(&inspection));
    told.extend(two_ends::check(&inspection));
    told.extend(ways_cancel::check(&inspection, cache, &part(0.0, 0.02))?);
    told.extend(polarity_unknown::check(&inspection, cache, &part(0.0, 0.02))?);
    told.extend(loads_the_guitar::check(&inspection, cache, &part(0.02, 0.1))?);
    told.extend(wrong_treadle::check(&inspection, cache, &part(0.1, 0.12))?);
    let feeble = long_lead::check(&inspection, cache, &part(0.12, 0.14))?;
    let told_of: Vec<DeviceId> = feeble.iter().flat_map(|told| told.diagnosis.about.devices.iter().copied()).collect();
    told.extend(feeble);
    told.extend(too_hot::check(&inspection, &part(0.14, 0.16))?);
    told.extend(dull_all_off::check(&inspection, cache, &part(0.16, 0.2))?);
    told.extend(useless_buffer::check(&inspection, cache, &part(0.2, 0.5))?);
    told.extend(tone_jump::check(&inspection, &told_of, cache, &part(0.5, 1.0))?);
    told.sort_by(|a, b| a.diagnosis.severity.cmp(&b.diagnosis.severity).then(b.size.total_cmp(&a.size)));
    let free = inspection.first_free();
    let found = told.into_iter().map(|told| told.diagnosis);
    Ok(found.map(|found| found.with_placeholders(free)).collect())
}

pub use size::MOST_WORK;

/// A finding, and how far past its limit it is: 1 is at it.
struct SizedFinding {
    diagnosis: Diagnosis,
    size: f64,
}

impl SizedFinding {
    fn new(diagnosis: Diagnosis, amount: f64, limit: f64) -> Self {
        let size = amount / limit;
        Self { diagnosis, size: if size.is_nan() { f64::INFINITY } else { size } }
    }
}
