//! From where on something is worth a word: the player's own limits.

use crate::units::{Decibels, Metres, Ohms, Turn, Volts};

/// Limits that findings go by. Each is the player's to set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// A switch that changes the tone by more than this is told.
    pub jump: Decibels,
    /// A rig that sounds like a longer lead than this is dull.
    pub dull: Metres,
    /// A unit whose input takes more than this off the guitar's peak loads it.
    pub loading: Decibels,
    /// An input below this resistance is a low-impedance fuzz's.
    pub fuzz: Ohms,
    /// A lead longer than this wants a low-impedance output.
    pub long_lead: Metres,
    /// A buffer that changes no curve by more than this does nothing.
    pub useless: Decibels,
    /// The guitar's highest voltage, string struck hard.
    pub guitar_peak: Volts,
    /// The highest voltage that a unit's input takes.
    pub input_peak: Volts,
    /// The part of a supply's current that may be used.
    pub headroom: Turn,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            jump: Decibels::of(3.0),
            dull: Metres::of(10.0),
            loading: Decibels::of(2.0),
            fuzz: Ohms::of(50_000.0),
            long_lead: Metres::of(3.0),
            useless: Decibels::of(0.5),
            guitar_peak: Volts::of(1.0),
            input_peak: Volts::of(4.0),
            headroom: Turn::of(0.8),
        }
    }
}

/// Where the value of a limit comes from that the player hasn't set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LimitSource {
    /// What a person calls it.
    pub label: &'static str,
    /// Where its default comes from.
    pub source: &'static str,
}

impl Limits {
    /// The words for each limit, in the order of the fields.
    pub const SOURCES: [LimitSource; 9] = [
        LimitSource {
            label: "tone jump",
            source: "common practice, no source: a change that most players hear at once",
        },
        LimitSource { label: "dull from", source: "common practice, no source: twice a usual lead" },
        LimitSource { label: "loading", source: "common practice, no source: a peak that is plainly lower" },
        LimitSource {
            label: "low-impedance fuzz below",
            source: "inputs of 5-20 kΩ (public pages; values from memory)",
        },
        LimitSource { label: "long lead from", source: "common practice, no source: longer than any patch lead" },
        LimitSource { label: "does nothing below", source: "common practice, no source: less than most players hear" },
        LimitSource { label: "guitar's peak", source: "public page: a hobby measurement, peaks to 1 V" },
        LimitSource { label: "inputs take", source: "from memory: a 9 V unit takes about 4 V either way" },
        LimitSource {
            label: "load of a supply up to",
            source: "common practice, no source: four fifths of its current",
        },
    ];
}
