//! A send and a return: where a unit or an amp lets its signal out in the middle and takes it back.

use super::unit::{at_once, unchanged};
use super::{Input, NO_LATENCY, Polarity};
use crate::units::{Decibels, Ohms, Seconds};

/// The level that a send gives, or that a return expects.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
pub enum LineLevel {
    /// As an instrument gives it: about −20 dBV. [practice, S: levels]
    Instrument,
    /// −10 dBV: 0.316 V. [standard, S: levels]
    MinusTen,
    /// +4 dBu: 1.228 V. [standard, S: levels]
    PlusFour,
}

impl LineLevel {
    /// All of them, from the lowest on.
    pub const ALL: [Self; 3] = [Self::Instrument, Self::MinusTen, Self::PlusFour];

    /// In dB over 1 V. 0 dBu is √0.6 V. [standard, S: levels]
    #[must_use]
    pub fn dbv(self) -> f64 {
        match self {
            Self::Instrument => -20.0,
            Self::MinusTen => -10.0,
            Self::PlusFour => 4.0 + 10.0 * 0.6_f64.log10(),
        }
    }

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Instrument => "instrument level",
            Self::MinusTen => "−10 dBV",
            Self::PlusFour => "+4 dBu",
        }
    }
}

/// The jacks in the middle of a unit or an amp: behind its first half and before its second.
///
/// With a plug in neither, the jacks' own contacts join the halves. With a plug in the send
/// alone the signal goes on inside as well. [common practice, no source]
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EffectsLoop {
    /// Output resistance of the send.
    pub send: Ohms,
    /// Level from a unit's inside to the open send. An amp's send is its own 0 dB.
    #[serde(default = "unchanged")]
    pub send_level: Decibels,
    /// Input of the return.
    pub back: Input,
    /// Level from the return to the inside.
    #[serde(default = "unchanged")]
    pub back_level: Decibels,
    /// Whether the signal is turned over from the return to the inside.
    #[serde(default)]
    pub back_polarity: Polarity,
    /// How much later what comes back goes on inside: a digital loop converts once more.
    #[serde(default = "at_once")]
    pub back_latency: Seconds,
    /// What stays of the signal inside beside the loop: a parallel loop. None where all
    /// of it goes out: a loop in series.
    #[serde(default)]
    pub dry: Option<Decibels>,
    /// The level that the send is made to give, where somebody says.
    #[serde(default)]
    pub send_gives: Option<LineLevel>,
    /// The level that the return is made for, where somebody says.
    #[serde(default)]
    pub back_expects: Option<LineLevel>,
    /// Whether a switch of its own takes the loop out.
    #[serde(default)]
    pub has_switch: bool,
}

impl EffectsLoop {
    /// One in series, always in, that changes no level.
    #[must_use]
    pub const fn of(send: Ohms, back: Input) -> Self {
        Self {
            send,
            send_level: Decibels::of(0.0),
            back,
            back_level: Decibels::of(0.0),
            back_polarity: Polarity::Same,
            back_latency: NO_LATENCY,
            dry: None,
            send_gives: None,
            back_expects: None,
            has_switch: false,
        }
    }

    /// Level in dB from the return to the inside: what is set, and how far the levels lie
    /// apart that send and return are made for.
    #[must_use]
    pub fn back_db(&self) -> f64 {
        self.back_level.get() - self.mismatch_db()
    }

    /// So many dB more than the send gives does the return expect; 0 where nobody says.
    #[must_use]
    pub fn mismatch_db(&self) -> f64 {
        match (self.send_gives, self.back_expects) {
            (Some(gives), Some(expects)) => expects.dbv() - gives.dbv(),
            _ => 0.0,
        }
    }

    /// Whether what comes back meets something else inside, in some state: the dry signal,
    /// or a switch that goes past the loop.
    #[must_use]
    pub fn mixes_inside(&self) -> bool {
        self.dry.is_some() || self.has_switch
    }
}
