//! Ground loops: closed paths of screens, supply leads' returns and protective
//! earths, told so that a person can follow them.
//!
//! Each is a possible cause of hum and no certain one. Nothing here ever
//! suggests lifting a mains earth.

mod cures;
mod cycles;
mod likely;
mod mesh;
mod wiring;
mod words;

#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

use crate::rig::{DeviceId, FeedId, LeadId, Rig};

pub use cures::Cure;
pub use likely::Likelihood;
pub use wiring::{Link, Place};

/// What flows in a loop. [common practice, no source]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rank {
    /// It goes by two protective earths: the building's currents flow in it.
    TwoEarths,
    /// It goes by a 0 V that digital units share: their clocks' noise flows in it.
    WithDigital,
    /// A small one on the board, for information.
    Local,
}

impl Rank {
    /// Its name for programs; it stays as it is.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::TwoEarths => "two-earths",
            Self::WithDigital => "with-digital",
            Self::Local => "local",
        }
    }
}

/// One closed path.
#[derive(Debug, Clone, PartialEq)]
pub struct GroundLoop {
    /// What flows in it.
    pub rank: Rank,
    /// How likely it is to be heard.
    pub likelihood: Likelihood,
    /// Its way by signal leads and supply leads, in m.
    pub length: f64,
    /// Where one comes by, in order; each with what leads on from there. The last leads back to the first.
    pub steps: Vec<(Place, Link)>,
    /// The path in words: "Amp left → its mains earth → …".
    pub path: String,
    /// What it is, in a sentence.
    pub text: String,
    /// Of a loop by two earths, what its leads get of the voltage between them.
    pub why: Option<String>,
    /// What would break it, or take the voltage out of it, the simplest first.
    pub cures: Vec<Cure>,
}

impl GroundLoop {
    /// The devices that it goes by.
    #[must_use]
    pub fn devices(&self) -> BTreeSet<DeviceId> {
        let places = self.steps.iter().filter_map(|(place, _)| match place {
            Place::Device(device) | Place::FarSide(device) => Some(*device),
            Place::ZeroVolt(outlet) => Some(outlet.supply),
            Place::Earth | Place::Desk => None,
        });
        places.collect()
    }

    /// The leads whose screens are in it.
    #[must_use]
    pub fn leads(&self) -> Vec<LeadId> {
        self.steps
            .iter()
            .filter_map(|(_, link)| if let Link::Screen(lead) = link { Some(*lead) } else { None })
            .collect()
    }

    /// The supply leads that are in it.
    #[must_use]
    pub fn feeds(&self) -> BTreeSet<FeedId> {
        let feeds = self.steps.iter().filter_map(|(_, link)| match link {
            Link::Return { feed, .. } | Link::Pair(feed) => Some(*feed),
            _ => None,
        });
        feeds.collect()
    }
}

/// The independent loops of a rig, the likeliest first: as many as there are
/// edges, less nodes, plus parts of the graph [textbook: cyclomatic number].
#[must_use]
pub fn ground_loops(rig: &Rig) -> Vec<GroundLoop> {
    let wiring = wiring::wiring(rig);
    let high_impedance = cures::high_impedance_leads(rig);
    let mut found: Vec<GroundLoop> = wiring
        .graph
        .basis()
        .into_iter()
        .map(|cycle| {
            let steps: Vec<(Place, Link)> =
                cycle.nodes.iter().zip(&cycle.edges).map(|(&at, &by)| (wiring.places[at], wiring.links[by])).collect();
            let rank = rank(rig, &wiring, &steps);
            let length = likely::length(rig, &steps);
            let likelihood = likely::likelihood(rank, length);
            let path = words::path(rig, &steps);
            let text = words::sentence(rig, rank, likelihood, length, &steps);
            let why = (rank == Rank::TwoEarths).then(|| words::why(rig, &mesh::shares(rig, &steps))).flatten();
            let cures = cures::cures(rig, rank, &steps, &high_impedance);
            GroundLoop { rank, likelihood, length, steps, path, text, why, cures }
        })
        .collect();
    // Stable: of equally long ways the one with fewer links stays first.
    found.sort_by(|a, b| (a.likelihood, a.rank).cmp(&(b.likelihood, b.rank)).then(b.length.total_cmp(&a.length)));
    found
}

/// How many independent loops there are.
#[must_use]
pub fn count(rig: &Rig) -> usize {
    wiring::wiring(rig).graph.independent()
}

fn rank(rig: &Rig, wiring: &wiring::Wiring, steps: &[(Place, Link)]) -> Rank {
    if steps.iter().filter(|(_, link)| link.is_earth()).count() >= 2 {
        return Rank::TwoEarths;
    }
    let shared = steps.iter().filter_map(|(place, _)| if let Place::ZeroVolt(own) = place { Some(*own) } else { None });
    let digital = shared.into_iter().any(|own| {
        let on_it = rig
            .feeds
            .iter()
            .filter(|feed| feed.from.outlets().any(|outlet| wiring.zero_volts.get(&outlet) == Some(&own)));
        let mut devices = on_it.flat_map(|feed| &feed.taps).filter_map(|tap| rig.device(tap.device));
        devices.any(|device| device.power.need().is_some_and(|need| need.digital))
    });
    if digital { Rank::WithDigital } else { Rank::Local }
}
