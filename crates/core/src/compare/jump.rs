//! The worst jump of a rig, as findings and advice tell it.

use crate::cascade::Bank;
use crate::rig::{DeviceId, Limits};
use crate::states::{self, Furthest, MOST_STEPS, NoStates, Question, States};
use crate::watch::{Stopped, Watch};

/// The largest rise or fall that a player minds of a switch, in any state of the
/// others: the one that findings and advice tell ([`states::worst_jump`]).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorstJump {
    /// Whose switch.
    pub device: DeviceId,
    /// Level on less level off, in dB, its own set level left out: below zero for a fall.
    pub db: f64,
    /// Where, in Hz.
    pub hz: f64,
    /// Whether every state was looked at; if not, it is at least this large.
    pub exact: bool,
}

/// What a worst jump counts, in a few words.
pub const JUMPS_COUNTED: &str = "up to 10 kHz, low-impedance fuzz left out";

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
    /// The worst jump that these states have, those of a rig while no
    /// low-impedance fuzz is on. `None` where no switch is heard.
    #[must_use]
    pub fn of(states: &States) -> Option<Self> {
        let Furthest { device, db, hz } = states::worst_jump(states)?;
        Some(Self { device, db, hz, exact: states.exact })
    }
}

/// The worst jump of all switches; the first of equals in the order of the
/// signal. `None` where no switch is heard at the target, or nothing is.
pub fn worst_jump(question: &JumpQuestion, bank: &mut Bank, watch: &dyn Watch) -> Result<Option<WorstJump>, Stopped> {
    worst_jump_within(MOST_STEPS, question, bank, watch)
}

/// The same in so many steps; past it, it is at least as large as told.
pub fn worst_jump_within(
    most: u64,
    question: &JumpQuestion,
    bank: &mut Bank,
    watch: &dyn Watch,
) -> Result<Option<WorstJump>, Stopped> {
    match states::explore_within(most, &question.states.without_fuzzes(&question.limits), bank, watch) {
        Ok(states) => Ok(WorstJump::of(&states)),
        Err(NoStates::Stopped) => Err(Stopped),
        Err(NoStates::NoWay | NoStates::Silent) => Ok(None),
    }
}
