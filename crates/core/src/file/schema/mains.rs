//! The mains that a project is played on.

use super::number::Volts;
use super::tie::{Stored, stored_enums, stored_structs};
use crate::{rig, units};

stored_structs! {
    /// The mains at home and on tour.
    struct MainsSupply {
        volts: Volts,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        tour: Vec<Venue>,
    }

    /// A stop of a tour.
    struct Venue {
        country: Country,
        volts: Volts,
    }
}

stored_enums! {
    /// A country, or a part of one that has a voltage of its own.
    enum Country {
        Argentina,
        Australia,
        Austria,
        Belgium,
        Brazil127,
        Brazil220,
        Canada,
        Chile,
        China,
        Colombia,
        Czechia,
        Denmark,
        Finland,
        France,
        Germany,
        Greece,
        HongKong,
        Hungary,
        India,
        Ireland,
        Israel,
        Italy,
        Japan,
        Kenya,
        Malaysia,
        Mexico,
        Netherlands,
        NewZealand,
        Norway,
        Peru,
        Philippines,
        Poland,
        Portugal,
        Singapore,
        SouthAfrica,
        SouthKorea,
        Spain,
        Sweden,
        Switzerland,
        Taiwan,
        Thailand,
        Turkey,
        UnitedKingdom,
        UnitedStates,
        Elsewhere,
    }
}

impl Default for MainsSupply {
    /// What a file that doesn't say is understood to be played on.
    fn default() -> Self {
        Self { volts: Volts::store(&units::Volts::of(230.0)), tour: Vec::new() }
    }
}

impl MainsSupply {
    /// The usual mains needn't be said.
    pub(super) fn is_default(&self) -> bool {
        *self == Self::default()
    }
}
