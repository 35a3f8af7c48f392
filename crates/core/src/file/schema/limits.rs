//! From where on findings speak.

use super::number::{Decibels, Metres, Ohms, Turn, Volts};
use super::tie::{Stored, stored_structs};
use crate::{rig, units};

stored_structs! {
    /// From where on findings speak.
    struct Limits {
        jump: Decibels,
        dull: Metres,
        loading: Decibels,
        fuzz: Ohms,
        long_lead: Metres,
        useless: Decibels,
        guitar_peak: Volts,
        input_peak: Volts,
        #[serde(default = "four_fifths")]
        headroom: Turn,
        #[serde(default = "a_tenth", skip_serializing_if = "is_a_tenth")]
        voltage: Turn,
        #[serde(default = "a_quarter", skip_serializing_if = "is_a_quarter")]
        over_voltage: Turn,
    }
}

/// The part of a supply's current that may be used, as always in the trade.
fn four_fifths() -> Turn {
    Turn::store(&units::Turn::of(0.8))
}

/// By how much a voltage was always allowed to be off.
fn a_tenth() -> Turn {
    Turn::store(&units::Turn::of(0.1))
}

fn is_a_tenth(part: &Turn) -> bool {
    *part == a_tenth()
}

/// Files without it take the trade's usual one.
fn a_quarter() -> Turn {
    Turn::store(&units::Turn::of(0.25))
}

fn is_a_quarter(part: &Turn) -> bool {
    *part == a_quarter()
}

impl Default for Limits {
    /// What a file without limits was understood to say; other defaults to
    /// come leave old files as they are. Of `fuzz` it was 50 kΩ up to version 3,
    /// and told of units that mind no buffer.
    fn default() -> Self {
        let decibels = |value| Decibels::store(&units::Decibels::clamped(value));
        let metres = |value| Metres::store(&units::Metres::clamped(value));
        let volts = |value| Volts::store(&units::Volts::clamped(value));
        Self {
            jump: decibels(3.0),
            dull: metres(10.0),
            loading: decibels(2.0),
            fuzz: Ohms::store(&units::Ohms::clamped(20e3)),
            long_lead: metres(3.0),
            useless: decibels(0.5),
            guitar_peak: volts(1.0),
            input_peak: volts(4.0),
            headroom: four_fifths(),
            voltage: a_tenth(),
            over_voltage: a_quarter(),
        }
    }
}

impl Limits {
    /// Limits that are as always needn't be said.
    pub(super) fn are_default(&self) -> bool {
        *self == Self::default()
    }
}
