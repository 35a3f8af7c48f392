//! Multi-effects units: many effects in one box, called by patches.

use super::unit::unchanged;
use super::{EffectsLoop, LineLevel, Position, Stage, Stereo, SwitchKey};
use crate::units::{Decibels, Farads};

/// A unit whose effects are called together, as patches. It isolates whatever it plays.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MultiEffects {
    /// From its input to each output; its latency is that of the way straight through.
    pub stage: Stage,
    /// Capacitance of jacks and wiring, on its input side.
    pub wiring: Farads,
    /// Its second channel, if it has one.
    #[serde(default)]
    pub stereo: Option<Stereo>,
    /// Whether its outputs are balanced.
    #[serde(default)]
    pub balanced: bool,
    /// The level that its outputs are set to give, where somebody says.
    #[serde(default)]
    pub gives: Option<LineLevel>,
    /// A send and a return in the middle of it, if it has them.
    #[serde(default)]
    pub effects_loop: Option<EffectsLoop>,
    /// What it is worked by; where there is none, it plays what it plays.
    #[serde(default)]
    pub patches: Vec<Patch>,
}

/// One of the things that a multi-effects unit can be.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Patch {
    /// What the player calls it.
    pub name: String,
    /// Its own level, beside the unit's.
    #[serde(default = "unchanged")]
    pub level: Decibels,
    /// Whether the unit's effects loop is in.
    #[serde(default)]
    pub loop_in: bool,
}

impl MultiEffects {
    /// One output, no loop, no patches.
    #[must_use]
    pub const fn of(stage: Stage, wiring: Farads) -> Self {
        Self { stage, wiring, stereo: None, balanced: false, gives: None, effects_loop: None, patches: Vec::new() }
    }

    /// How many positions its switch with that key has; none where it has no such switch.
    #[must_use]
    pub fn positions(&self, key: SwitchKey) -> Option<usize> {
        let switched = self.effects_loop.is_some_and(|way| way.has_switch);
        match key {
            SwitchKey::Patch => Some(self.patches.len().min(Self::MOST_PATCHES)).filter(|many| *many > 1),
            SwitchKey::Loop(1) if self.patches.is_empty() && switched => Some(2),
            _ => None,
        }
    }

    /// The keys of its switches.
    #[must_use]
    pub fn switch_keys(&self) -> Vec<SwitchKey> {
        [SwitchKey::Loop(1), SwitchKey::Patch].into_iter().filter(|key| self.positions(*key).is_some()).collect()
    }

    /// Its patches by the positions of their switch.
    pub fn patches_at(&self) -> impl Iterator<Item = (Position, &Patch)> {
        (0_u8..).map(Position).zip(self.patches.iter().take(Self::MOST_PATCHES))
    }

    /// The most that one unit is switched between. [common practice, no source]
    pub const MOST_PATCHES: usize = 128;
}
