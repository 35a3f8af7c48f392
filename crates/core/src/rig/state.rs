//! How everything stands: which switches are on, where the controls are.

use std::collections::{BTreeMap, BTreeSet};

use super::{DeviceId, SoundId};
use crate::units::Turn;

/// A control that the curve depends on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
pub enum Control {
    /// A guitar's volume.
    Volume,
    /// A guitar's tone.
    Tone,
    /// A treadle's angle.
    Treadle,
}

impl Control {
    /// In words; a treadle that has a control is a volume pedal's.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Volume => "volume",
            Self::Tone => "tone",
            Self::Treadle => "volume pedal",
        }
    }
}

/// One control of one device.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Knob {
    /// The device.
    pub device: DeviceId,
    /// Which of its controls.
    pub control: Control,
}

/// Switches and controls as they stand. What isn't listed is off, or full up.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct State {
    /// Devices that are on.
    pub on: BTreeSet<DeviceId>,
    /// Controls that don't stand full up.
    pub turned: BTreeMap<Knob, Turn>,
}

impl State {
    /// Where a control stands.
    #[must_use]
    pub fn turn(&self, device: DeviceId, control: Control) -> Turn {
        self.turned.get(&Knob { device, control }).copied().unwrap_or_default()
    }

    /// Whether every switch and control stands as in another state.
    #[must_use]
    pub fn stands_as(&self, other: &Self) -> bool {
        let turned = |state: &Self| {
            let turned = state.turned.iter().filter(|(_, turn)| **turn != Turn::FULL);
            turned.map(|(knob, turn)| (*knob, *turn)).collect::<Vec<_>>()
        };
        self.on == other.on && turned(self) == turned(other)
    }
}

/// A state under a name, with what the player wants to remember of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Sound {
    /// Its name for good.
    pub id: SoundId,
    /// What the player calls it.
    pub name: String,
    /// Switches and controls.
    pub state: State,
    /// Settings of knobs, patch number, amp channel: free text.
    pub notes: String,
}
