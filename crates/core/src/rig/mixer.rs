//! Mixers: boxes in which two signals become one.

use super::Input;
use crate::units::{Decibels, Farads, MixingOhms, Ohms, Seconds};

/// Two inputs, one output.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
pub enum Mixer {
    /// Each input has a stage of its own; what the stages give adds up.
    Buffered {
        /// From the first input.
        first: MixerInput,
        /// From the second.
        second: MixerInput,
        /// Output resistance.
        output: Ohms,
        /// Capacitance of a jack and its wiring, at each input.
        wiring: Farads,
    },
    /// A resistor from each input to the output: both sides feel each other.
    Passive {
        /// From the first input.
        first: MixingOhms,
        /// From the second.
        second: MixingOhms,
        /// Capacitance of a jack and its wiring, at each input.
        wiring: Farads,
    },
}

/// One input of a mixer, and its way to the sum.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MixerInput {
    /// What drives it sees this.
    pub input: Input,
    /// Level from the input to the sum.
    pub level: Decibels,
    /// Whether the signal is turned over on its way.
    #[serde(default)]
    pub polarity: Polarity,
}

/// What a path does to the sign of a signal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize, serde::Deserialize)]
pub enum Polarity {
    /// What goes in positive comes out positive.
    #[default]
    Same,
    /// What goes in positive comes out negative.
    Inverted,
    /// One of the two, and nobody says which: levels are told as of the same.
    Unknown,
    /// Neither: what comes out has phases of its own, as behind a chorus or a reverb, so that it
    /// and what goes past it add up as powers.
    Uncorrelated,
}

impl Polarity {
    /// What a unit's own path can be.
    pub const OF_A_UNIT: [Self; 3] = [Self::Same, Self::Inverted, Self::Unknown];
    /// What a second side can be to the first.
    pub const OF_A_SIDE: [Self; 4] = [Self::Same, Self::Inverted, Self::Unknown, Self::Uncorrelated];

    /// 1 or −1.
    #[must_use]
    pub fn sign(self) -> f64 {
        match self {
            Self::Same | Self::Unknown | Self::Uncorrelated => 1.0,
            Self::Inverted => -1.0,
        }
    }

    /// The other one.
    #[must_use]
    pub fn turned_over(self) -> Self {
        match self {
            Self::Same => Self::Inverted,
            Self::Inverted => Self::Same,
            other => other,
        }
    }

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Same => "same polarity",
            Self::Inverted => "inverted polarity",
            Self::Unknown => "nobody says",
            Self::Uncorrelated => "uncorrelated",
        }
    }
}

/// No delay at all.
pub const NO_LATENCY: Seconds = Seconds::of(0.0);
