//! What breaks a loop, in the order in which one tries it. Never the mains
//! earth, a guitar lead, which earths the strings, or a patch lead.

use std::collections::BTreeSet;

use super::{GroundNode, Link, Rank, words};
use crate::plan::plan;
use crate::rig::{DeviceId, Kind, Lead, LeadId, Rig, State};
use crate::units::Metres;

/// A shorter lead is a patch lead between two units, where a transformer or a
/// special lead is out of place. [practice, S: screen-one-end]
const SHORTEST: Metres = Metres::of(1.0);

/// What would break a loop, or take the voltage out of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cure {
    /// Set the ground lift of this DI box: it parts the signal's grounds and no mains earth.
    GroundLift(DeviceId),
    /// Plug what these two protective earths lead to into one distribution of one circuit.
    OneDistribution(Link, Link),
    /// Feed this unit from an outlet with a 0 V of its own.
    IsolatedOutlet(DeviceId),
    /// Put a transformer in this lead, which a low impedance drives.
    Transformer(LeadId),
    /// Put a transformer in this lead, once a buffer stands before it: a
    /// transformer loads what drives it.
    BufferAndTransformer(LeadId),
    /// Use a lead whose screen is joined at one end only, and mark it: where a
    /// second screen joins the same two boxes behind a buffer, and no mains
    /// earth is in the loop. An unbalanced lead's screen is the signal's return.
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
            Self::GroundLift(id) => format!("Set the ground lift of {}", device(id)),
            Self::OneDistribution(a, b) => format!(
                "Plug {}, {} and the board into one distribution of one circuit, if its rating allows",
                words::earthed(rig, a),
                words::earthed(rig, b)
            ),
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
pub fn cures(rig: &Rig, rank: Rank, steps: &[(GroundNode, Link)], high_impedance: &BTreeSet<LeadId>) -> Vec<Cure> {
    let mut found = Vec::new();
    // One lift is enough, also where two boxes go to one desk.
    found.extend(steps.iter().find_map(|(_, link)| match link {
        Link::Desk(device) => Some(Cure::GroundLift(*device)),
        _ => None,
    }));
    let mut earths: Vec<Link> = steps.iter().map(|(_, link)| *link).filter(|link| link.is_earth()).collect();
    earths.sort_unstable();
    if let [a, b, ..] = earths[..] {
        found.push(Cure::OneDistribution(a, b));
    }
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
    let screens =
        steps.iter().filter_map(|(_, link)| if let Link::Screen(lead) = link { rig.lead(*lead) } else { None });
    let mut screens: Vec<&Lead> = screens.filter(|lead| can_be_changed(rig, lead)).collect();
    // The lead to an amp is the longest way from the board, and the usual place.
    let to_amp = |lead: &Lead| rig.device(lead.to.device).is_some_and(|device| matches!(device.kind, Kind::Amp(_)));
    screens.sort_by_key(|lead| (!to_amp(lead), high_impedance.contains(&lead.id)));
    if let Some(lead) = screens.first() {
        found.push(if high_impedance.contains(&lead.id) {
            Cure::BufferAndTransformer(lead.id)
        } else {
            Cure::Transformer(lead.id)
        });
    }
    if !steps.iter().any(|(node, _)| *node == GroundNode::Earth) {
        let beside = |lead: &&&Lead| has_second_screen(rig, lead, high_impedance);
        found.extend(screens.iter().find(beside).map(|lead| Cure::ScreenAtOneEnd(lead.id)));
    }
    found
}

/// Whether anything may be done to a lead: no patch lead, and not an instrument's own.
fn can_be_changed(rig: &Rig, lead: &Lead) -> bool {
    let of_instrument =
        rig.device(lead.from.device).is_none_or(|device| matches!(device.kind, Kind::Guitar(_) | Kind::Active(_)));
    lead.length >= SHORTEST && !of_instrument
}

/// Whether another lead joins the same two boxes, and a low impedance drives both.
fn has_second_screen(rig: &Rig, lead: &Lead, high_impedance: &BTreeSet<LeadId>) -> bool {
    let ends = |lead: &Lead| {
        let (a, b) = (lead.from.device, lead.to.device);
        (a.min(b), a.max(b))
    };
    let low = |lead: &Lead| !high_impedance.contains(&lead.id);
    low(lead) && rig.leads.iter().any(|other| other.id != lead.id && ends(other) == ends(lead) && low(other))
}
