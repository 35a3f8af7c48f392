//! What a rig's owner should know: one sentence with its number, why, and a
//! change that mends it. One file a rule.

mod buffer_before_fuzz;
mod dull_all_off;
mod handling_noise;
mod jump_cause;
mod jumps;
mod loads_the_guitar;
mod long_lead;
mod mend;
mod peak_lost;
mod region;
mod scene;
mod silent;
mod size;
mod tone_jump;
mod too_hot;
mod useless_buffer;
mod wah_before_fuzz;
mod words;
mod wrong_treadle;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::cascade::Bank;
use crate::rig::{DeviceId, Id, LeadId, Limits, State, SwitchSetting, Variant};
use crate::states::{States, Target};
use crate::units::Volts;
use crate::watch::{Part, Stopped, Watch};

use scene::Scene;

/// Which rule speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// Nothing comes through in any footswitch state.
    Silent,
    /// Dull with everything off.
    DullAllOff,
    /// A switch makes the tone jump.
    ToneJump,
    /// A buffer before a fuzz whose gain depends on its source.
    BufferBeforeFuzz,
    /// A wah before such a fuzz.
    WahBeforeFuzz,
    /// A unit's input loads the guitar.
    LoadsTheGuitar,
    /// A buffer that does nothing.
    UselessBuffer,
    /// A long lead that a high impedance drives, after the last buffer.
    LongLeadAtHighImpedance,
    /// A volume pedal of the wrong kind for its place.
    WrongTreadle,
    /// A level that the next input can't take.
    TooHot,
    /// Coax as the lead of a guitar.
    HandlingNoise,
    /// A rig so large that nothing is looked for.
    TooLarge,
}

impl Rule {
    /// All of them, in the order in which they are told where nothing else decides.
    pub const ALL: [Self; 12] = [
        Self::Silent,
        Self::DullAllOff,
        Self::ToneJump,
        Self::BufferBeforeFuzz,
        Self::WahBeforeFuzz,
        Self::LoadsTheGuitar,
        Self::WrongTreadle,
        Self::LongLeadAtHighImpedance,
        Self::TooHot,
        Self::UselessBuffer,
        Self::HandlingNoise,
        Self::TooLarge,
    ];

    /// Its name for programs; it stays as it is.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Silent => "silent",
            Self::DullAllOff => "dull-all-off",
            Self::ToneJump => "tone-jump",
            Self::BufferBeforeFuzz => "buffer-before-fuzz",
            Self::WahBeforeFuzz => "wah-before-fuzz",
            Self::LoadsTheGuitar => "loads-the-guitar",
            Self::UselessBuffer => "useless-buffer",
            Self::LongLeadAtHighImpedance => "long-lead-at-high-impedance",
            Self::WrongTreadle => "wrong-treadle",
            Self::TooHot => "too-hot",
            Self::HandlingNoise => "handling-noise",
            Self::TooLarge => "too-large",
        }
    }
}

/// One thing to know of a rig.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Which rule speaks.
    pub rule: Rule,
    /// How much it matters.
    pub severity: Severity,
    /// One sentence with its number.
    pub text: String,
    /// Why, in one or two sentences.
    pub why: String,
    /// The devices that it is about, the chief one first.
    pub devices: Vec<DeviceId>,
    /// The leads that it is about.
    pub leads: Vec<LeadId>,
    /// The switches that are moved where it shows most; none where the state doesn't matter.
    pub among: Option<Vec<SwitchSetting>>,
    /// The frequency in Hz where it shows most, if there is one.
    pub hz: Option<f64>,
    /// Changes that mend it, the best first.
    pub fixes: Vec<Remedy>,
}

impl Finding {
    /// The same finding, its fixes with placeholders for what was numbered from
    /// `free` on while they were tried out.
    fn with_placeholders(mut self, free: Id) -> Self {
        for fix in &mut self.fixes {
            fix.edit = fix.edit.with_placeholders(free);
        }
        self
    }
}

/// All that findings depend on.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
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
/// there are any. `bank` has the program's own sweep, or one as fine.
///
/// None where no signal gets to the target, or the rig is plugged in such that
/// it can't be as drawn: its problems come first.
pub fn findings(
    question: &Question,
    states: Option<&States>,
    bank: &mut Bank,
    watch: &dyn Watch,
) -> Result<Vec<Finding>, Stopped> {
    findings_within(MOST_WORK, question, states, bank, watch)
}

/// The same where it takes no more than so many steps; of a rig that takes more
/// there is one finding, which says so.
pub fn findings_within(
    most: u64,
    question: &Question,
    states: Option<&States>,
    bank: &mut Bank,
    watch: &dyn Watch,
) -> Result<Vec<Finding>, Stopped> {
    let Some(scene) = Scene::of(question, states) else {
        return if watch.go_on(1.0) { Ok(Vec::new()) } else { Err(Stopped) };
    };
    if size::work(&scene) > most.min(MOST_WORK) {
        return if watch.go_on(1.0) { Ok(vec![size::too_large(&scene, most)]) } else { Err(Stopped) };
    }
    // The shares of the whole work, as they are in a rig of many units.
    let part = |from: f64, to: f64| Part { whole: watch, from, to };
    let mut told = Vec::new();
    told.extend(silent::look(&scene));
    told.extend(buffer_before_fuzz::look(&scene, &part(0.0, 0.02))?);
    told.extend(wah_before_fuzz::look(&scene));
    told.extend(handling_noise::look(&scene));
    told.extend(loads_the_guitar::look(&scene, bank, &part(0.02, 0.1))?);
    told.extend(wrong_treadle::look(&scene, bank, &part(0.1, 0.12))?);
    let feeble = long_lead::look(&scene, bank, &part(0.12, 0.14))?;
    let told_of: Vec<DeviceId> = feeble.iter().flat_map(|told| told.finding.devices.iter().copied()).collect();
    told.extend(feeble);
    told.extend(too_hot::look(&scene, &part(0.14, 0.16))?);
    told.extend(dull_all_off::look(&scene, bank, &part(0.16, 0.2))?);
    told.extend(useless_buffer::look(&scene, bank, &part(0.2, 0.5))?);
    told.extend(tone_jump::look(&scene, &told_of, bank, &part(0.5, 1.0))?);
    told.sort_by(|a, b| a.finding.severity.cmp(&b.finding.severity).then(b.size.total_cmp(&a.size)));
    let free = scene.first_free();
    let found = told.into_iter().map(|told| told.finding);
    Ok(found.map(|finding| finding.with_placeholders(free)).collect())
}

pub use crate::diagnosis::{Remedy, Severity};
pub use size::MOST_WORK;

/// A finding, and how far past its limit it is: 1 is at it.
struct Told {
    finding: Finding,
    size: f64,
}

impl Told {
    fn new(finding: Finding, amount: f64, limit: f64) -> Self {
        let size = amount / limit;
        Self { finding, size: if size.is_nan() { f64::INFINITY } else { size } }
    }
}
