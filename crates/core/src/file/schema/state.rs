//! How everything stands: the state in hand, sounds, the test point.

use super::number::Turn;
use super::text::Text;
use super::tie::{Id, Stored, stored_enums, stored_structs};
use crate::rig;

stored_enums! {
    /// A control that the curve depends on.
    enum Control {
        Volume,
        Tone,
        Treadle,
    }
}

stored_structs! {
    /// A point of a lead where the player wants to know the level.
    struct TestPoint {
        lead: Id,
        along: Turn,
    }

    /// A state under a name.
    struct Sound {
        id: Id,
        name: Text,
        #[serde(default)]
        state: State,
        #[serde(default)]
        notes: Text,
    }
}

/// A control that doesn't stand full up.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TurnedKnob {
    pub(in crate::file) device: Id,
    pub(in crate::file) control: Control,
    pub(in crate::file) to: Turn,
}

/// Switches and controls as they stand.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct State {
    #[serde(default)]
    pub(in crate::file) on: Vec<Id>,
    #[serde(default)]
    pub(in crate::file) turned: Vec<TurnedKnob>,
}

impl Stored<rig::State> for State {
    fn store(from: &rig::State) -> Self {
        let turned = from.turned.iter().map(|(knob, to)| TurnedKnob {
            device: Id::store(&knob.device),
            control: Control::store(&knob.control),
            to: Turn::store(to),
        });
        Self { on: from.on.iter().map(Id::store).collect(), turned: turned.collect() }
    }

    fn restore(self) -> rig::State {
        let turned = self.turned.into_iter().map(|knob| {
            let (device, control) = (knob.device.restore(), knob.control.restore());
            (rig::Knob { device, control }, knob.to.restore())
        });
        rig::State { on: self.on.into_iter().map(Stored::restore).collect(), turned: turned.collect() }
    }
}
