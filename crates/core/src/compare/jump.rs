//! The worst jump of a rig, as findings and advice tell it.

use crate::cascade::LineCache;
use crate::response::{MovedPeak, Request, peak_at};
use crate::rig::{DeviceId, Limits, Position, Rig, SwitchRef, SwitchSetting, device_name, step_words};
use crate::states::{self, Furthest, MOST_STEPS, NoStates, Question, States, Target};
use crate::units::{Level, hertz};
use crate::watch::{Stopped, Watch};

/// The largest rise or fall that a player minds of a switch, in any state of the
/// others: the one that findings and advice tell ([`states::worst_jump`]).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorstJump {
    /// Which switch.
    pub switch: SwitchRef,
    /// To which position.
    pub to: Position,
    /// Level on less level off, in dB, its own set level left out: below zero for a fall.
    pub db: f64,
    /// Where, in Hz.
    pub hz: f64,
    /// What it does to the peak there, among the same others: what is heard of it first.
    pub peak: MovedPeak,
    /// Whether every state was looked at; if not, it is at least this large.
    pub exact: bool,
}

/// What a worst jump counts, in a few words.
pub const JUMPS_COUNTED: &str =
    "up to 5 kHz at a guitar amp and 10 kHz elsewhere unless you set it otherwise, low-impedance fuzz left out";

/// All that a worst jump depends on.
#[derive(Debug, Clone, PartialEq)]
pub struct JumpQuestion {
    /// The rig, its controls and where the level is wanted.
    pub states: Question,
    /// Which fuzzes have so low an input that they are left out.
    pub limits: Limits,
}

impl JumpQuestion {
    /// Whether all states say it, since there is no such fuzz to leave out.
    #[must_use]
    pub fn all_states_tell(&self) -> bool {
        !self.states.rig.has_fuzz_switch(&self.limits)
    }
}

impl WorstJump {
    /// Whose switch.
    #[must_use]
    pub fn device(&self) -> DeviceId {
        self.switch.device
    }

    /// What it does: "peak 2.43 kHz to 3.68 kHz, at least +10.0 dB at 4.93 kHz".
    #[must_use]
    pub fn words(&self) -> String {
        let at_least = if self.exact { "" } else { "at least " };
        let peak = self.peak.moved_words().map_or_else(String::new, |peak| format!("peak {peak}, "));
        format!("{peak}{at_least}{} at {}", Level::Decibels(self.db), hertz(self.hz))
    }

    /// The step that makes it: "switching Fuzz on".
    #[must_use]
    pub fn step_words(&self, rig: &Rig) -> String {
        let setting = SwitchSetting { switch: self.switch, to: self.to };
        step_words(rig, setting, &device_name(rig, self.switch.device))
    }

    /// The worst jump that these states have, those of the question while no
    /// low-impedance fuzz is on. `None` where no switch is heard.
    #[must_use]
    pub fn of(question: &JumpQuestion, states: &States, cache: &mut LineCache) -> Option<Self> {
        let furthest = states::worst_jump(states)?;
        let Furthest { switch, to, db, hz, .. } = furthest;
        let peak = moved_peak(&question.states.without_fuzzes(&question.limits), states, furthest, cache);
        Some(Self { switch, to, db, hz, peak, exact: states.exact })
    }
}

/// The worst jump of all switches; the first of equals in the order of the
/// signal. `None` where no switch is heard at the target, or nothing is.
pub fn worst_jump(
    question: &JumpQuestion,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Option<WorstJump>, Stopped> {
    worst_jump_within(MOST_STEPS, question, cache, watch)
}

/// The same in so many steps; past it, it is at least as large as told.
pub fn worst_jump_within(
    most: u64,
    question: &JumpQuestion,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Option<WorstJump>, Stopped> {
    match states::explore_within(most, &question.states.without_fuzzes(&question.limits), cache, watch) {
        Ok(states) => Ok(WorstJump::of(question, &states, cache)),
        Err(NoStates::Stopped) => Err(Stopped),
        Err(NoStates::NoWay | NoStates::Silent) => Ok(None),
    }
}

/// How far a switch goes where it is heard, and what it does to the peak there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heard {
    /// How far.
    pub furthest: Furthest,
    /// The peak without it and with it, among the others that are on there; none where nobody looked.
    pub peak: Option<MovedPeak>,
}

impl Heard {
    /// "Peak 2.43 kHz to 3.68 kHz, +10.0 dB at 4.93 kHz."
    #[must_use]
    pub fn words(&self) -> String {
        let level = format!("{} at {}", Level::Decibels(self.furthest.db), hertz(self.furthest.hz));
        match self.peak.map(|peak| peak.moved_words()) {
            Some(Some(moved)) => format!("Peak {moved}, {level}."),
            Some(None) => format!("The peak stays, {level}."),
            None => format!("{level}; in so large a rig the peak isn't looked at."),
        }
    }
}

/// The switches of a rig by how far they go where they are heard, the furthest
/// first, and of so many of them what they do to the peak. `states` are the question's.
#[must_use]
pub fn heard(question: &Question, states: &States, most: usize, cache: &mut LineCache) -> Vec<Heard> {
    let mut all: Vec<Furthest> = states.jumps.iter().filter_map(|jump| states.furthest_jump(jump)).collect();
    all.sort_by(|a, b| b.db.abs().total_cmp(&a.db.abs()));
    let mut peak = |at: usize, furthest| (at < most).then(|| moved_peak(question, states, furthest, cache));
    all.into_iter().enumerate().map(|(at, furthest)| Heard { furthest, peak: peak(at, furthest) }).collect()
}

/// Of no more switches than that it is told what they do to the peak.
pub const MOST_PEAKS: usize = 64;

/// Of how many switches of a rig the peak can be looked at, where so many
/// devices are gone over, all of the rig once for each switch. A thousand are a
/// few tens of milliseconds. One is always looked at.
#[must_use]
pub fn peaks_within(devices: usize, rig: &Rig) -> usize {
    (devices / rig.devices.len().max(1)).clamp(1, MOST_PEAKS)
}

fn moved_peak(question: &Question, states: &States, furthest: Furthest, cache: &mut LineCache) -> MovedPeak {
    let among = question.company(states, furthest);
    let before = peak(question, among.iter().copied().chain([furthest.before()]), cache);
    let after = peak(question, among.iter().copied().chain([furthest.setting()]), cache);
    MovedPeak { before, after }
}

/// The peak at the target with these switches set, in Hz.
fn peak(question: &Question, set: impl Iterator<Item = SwitchSetting>, cache: &mut LineCache) -> Option<f64> {
    let state = question.controls.with(&question.rig, &set.collect::<Vec<_>>());
    let (endpoint, test_point) = match question.target {
        Target::Point(point) => (None, Some(point)),
        Target::Endpoint(jack) => (Some(jack), None),
    };
    let request = Request { rig: question.rig.clone(), state, test_point, unfed: question.unfed.clone() };
    peak_at(&request, endpoint, cache).map(|peak| peak.hz)
}
