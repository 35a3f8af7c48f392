//! Leads between outputs and inputs.

use super::number::{Farads, FaradsPerMetre, HenriesPerMetre, LossTangent, Metres, OhmsPerMetre};
use super::text::Text;
use super::tie::{Id, Stored, stored_enums, stored_structs};
use crate::rig;

stored_enums! {
    /// A jack of a device.
    enum Jack {
        In,
        Out,
        SecondIn,
        SecondOut,
        Send(number: u8),
        Return(number: u8),
        PowerStage,
    }
}

stored_structs! {
    /// One jack of one device.
    struct JackRef {
        device: Id,
        jack: Jack,
    }

    /// What a lead is made of.
    struct Cable {
        name: Text,
        capacitance: FaradsPerMetre,
        resistance: OhmsPerMetre,
        inductance: HenriesPerMetre,
        loss_tangent: LossTangent,
        plug: Farads,
    }

    /// A lead between an output and an input.
    struct Lead {
        id: Id,
        from: JackRef,
        to: JackRef,
        length: Metres,
        cable: Cable,
    }
}
