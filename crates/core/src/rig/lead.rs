//! Leads: from jack to jack, with a length and the electricity of their make.

use super::{JackRef, LeadId};
use crate::network::Line;
use crate::units::{Farads, FaradsPerMetre, HenriesPerMetre, LossTangent, Metres, OhmsPerMetre};

/// What a lead is made of.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cable {
    /// What the player calls it.
    pub name: String,
    /// Capacitance a metre.
    pub capacitance: FaradsPerMetre,
    /// Resistance of both conductors, a metre.
    pub resistance: OhmsPerMetre,
    /// Inductance a metre.
    pub inductance: HenriesPerMetre,
    /// Loss tangent of the insulation.
    pub loss_tangent: LossTangent,
    /// Capacitance of one plug.
    pub plug: Farads,
}

/// A lead between an output and an input.
#[derive(Debug, Clone, PartialEq)]
pub struct Lead {
    /// Its name for good.
    pub id: LeadId,
    /// The output it comes from.
    pub from: JackRef,
    /// The input it goes to.
    pub to: JackRef,
    /// Length, plugs not counted.
    pub length: Metres,
    /// What it is made of.
    pub cable: Cable,
}

impl Lead {
    /// Its line constants and length.
    #[must_use]
    pub fn line(&self) -> Line {
        Line {
            length: self.length,
            resistance: self.cable.resistance,
            inductance: self.cable.inductance,
            capacitance: self.cable.capacitance,
            loss_tangent: self.cable.loss_tangent,
        }
    }

    /// Capacitance in F, both plugs counted.
    #[must_use]
    pub fn capacitance(&self) -> f64 {
        self.line().total_capacitance() + 2.0 * self.cable.plug.get()
    }
}
