//! Selectors: boxes whose switch sends a signal one way or another, or lets one of two through.

use super::{Position, Stage, SwitchKey};
use crate::units::Farads;

/// A box with a switch between two ways.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
pub enum Selector {
    /// One input, which the switch joins to one of two outputs, or to both.
    Outputs {
        /// Whether the switch has a third position that joins both.
        both: bool,
        /// The buffer at its input, if it has one.
        #[serde(default)]
        buffer: Option<Stage>,
        /// Capacitance of a jack and its wiring, on its input side.
        wiring: Farads,
    },
    /// Two inputs, one of which the switch joins to the output; the other one stays open.
    Inputs {
        /// The buffer behind the switch, if it has one.
        #[serde(default)]
        buffer: Option<Stage>,
        /// Capacitance of a jack and its wiring, at each input.
        wiring: Farads,
    },
}

impl Selector {
    /// The way of the first jack.
    pub const FIRST: Position = Position(0);
    /// The way of the second jack.
    pub const SECOND: Position = Position(1);
    /// Both ways at once.
    pub const BOTH: Position = Position(2);

    /// The buffer in it, if it has one.
    #[must_use]
    pub fn buffer(&self) -> Option<&Stage> {
        match self {
            Self::Outputs { buffer, .. } | Self::Inputs { buffer, .. } => buffer.as_ref(),
        }
    }

    /// The same, to change.
    pub fn buffer_mut(&mut self) -> &mut Option<Stage> {
        match self {
            Self::Outputs { buffer, .. } | Self::Inputs { buffer, .. } => buffer,
        }
    }

    /// How many positions its switch with that key has; none where it has no such switch.
    #[must_use]
    pub fn positions(&self, key: SwitchKey) -> Option<usize> {
        let both = matches!(self, Self::Outputs { both: true, .. });
        (key == SwitchKey::Selector).then_some(if both { 3 } else { 2 })
    }

    /// What a position of its switch is called.
    #[must_use]
    pub fn position_name(position: Position) -> &'static str {
        match position {
            Self::FIRST => "A",
            Self::SECOND => "B",
            _ => "A and B",
        }
    }
}
