//! What breaks a loop, in the order in which one tries it. Never the mains earth.

use std::collections::BTreeSet;

use super::{Link, Place, Rank};
use crate::plan::plan;
use crate::rig::{DeviceId, Kind, LeadId, Power, Rig, State};

/// What would break a loop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cure {
    /// Feed this unit from an outlet with a 0 V of its own.
    IsolatedOutlet(DeviceId),
    /// Put a transformer in this lead, which a low impedance drives.
    Transformer(LeadId),
    /// Put a transformer in this lead, once a buffer stands before it: a
    /// transformer loads what drives it.
    BufferAndTransformer(LeadId),
    /// Use a lead whose screen is joined at one end only, and mark it: between
    /// two powered units behind a buffer, where another path of 0 V stays.
    ScreenAtOneEnd(LeadId),
}

impl Cure {
    /// In words, for a person.
    #[must_use]
    pub fn words(self, rig: &Rig) -> String {
        let device = |id| rig.device(id).map_or_else(|| "the unit".to_owned(), |device| device.name.clone());
        let lead = |id| match rig.lead(id) {
            Some(lead) => format!("the lead from {} to {}", device(lead.from.device), device(lead.to.device)),
            None => "the lead".to_owned(),
        };
        match self {
            Self::IsolatedOutlet(id) => format!("Feed {} from an outlet with a 0 V of its own", device(id)),
            Self::Transformer(id) => format!("Put an isolating transformer in {}", lead(id)),
            Self::BufferAndTransformer(id) => {
                format!("Put a buffer and behind it an isolating transformer in {}", lead(id))
            }
            Self::ScreenAtOneEnd(id) => {
                format!("In place of {}, one whose screen is joined at one end only, and mark it", lead(id))
            }
        }
    }
}

/// The leads that a high impedance drives in some state, the guitar's own among
/// them: nothing of theirs is ever lifted, for their screen is the signal's return.
pub fn high_impedance_leads(rig: &Rig) -> BTreeSet<LeadId> {
    let mut found = BTreeSet::new();
    let state = State::default();
    // With everything off a high-impedance run goes furthest.
    for run in plan(rig, &state).runs(&state) {
        if run.high_impedance {
            found.extend(run.leads);
        }
    }
    found
}

/// What would break a loop.
pub fn cures(rig: &Rig, rank: Rank, steps: &[(Place, Link)], high_impedance: &BTreeSet<LeadId>) -> Vec<Cure> {
    let mut found = Vec::new();
    if rank != Rank::TwoEarths {
        // The digital one first: it is what the others want to be rid of.
        let mut fed: Vec<DeviceId> = steps
            .iter()
            .filter_map(|(_, link)| if let Link::Return { device, .. } = link { Some(*device) } else { None })
            .collect();
        let digital = |id: &DeviceId| rig.device(*id).and_then(|d| d.power.need()).is_some_and(|need| need.digital);
        fed.sort_by_key(|id| !digital(id));
        found.extend(fed.first().map(|device| Cure::IsolatedOutlet(*device)));
    }
    let screens = steps.iter().filter_map(|(_, link)| if let Link::Screen(lead) = link { Some(*lead) } else { None });
    let mut screens: Vec<LeadId> = screens.collect();
    // The lead to an amp is the longest way from the board, and the usual place.
    let to_amp = |lead: &LeadId| {
        let end = rig.lead(*lead).and_then(|lead| rig.device(lead.to.device));
        end.is_some_and(|device| matches!(device.kind, Kind::Amp(_)))
    };
    screens.sort_by_key(|lead| (!to_amp(lead), high_impedance.contains(lead)));
    if let Some(&lead) = screens.first() {
        found.push(if high_impedance.contains(&lead) {
            Cure::BufferAndTransformer(lead)
        } else {
            Cure::Transformer(lead)
        });
    }
    let lawful = screens.iter().copied().find(|lead| !high_impedance.contains(lead) && between_powered(rig, *lead));
    found.extend(lawful.map(Cure::ScreenAtOneEnd));
    found
}

/// Whether both ends of a lead are units with power of their own.
fn between_powered(rig: &Rig, lead: LeadId) -> bool {
    let powered =
        |id: DeviceId| rig.device(id).is_some_and(|device| !matches!(device.power, Power::Unknown | Power::Nothing));
    rig.lead(lead).is_some_and(|lead| powered(lead.from.device) && powered(lead.to.device))
}
