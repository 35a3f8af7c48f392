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

use crate::rig::{DeviceId, FeedId, LeadId, OutletRef, Rig};

pub use cures::Cure;
pub use likely::Likelihood;
pub use wiring::{GroundNode, Link};
pub use words::{count_words, more_words};

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
    pub steps: Vec<(GroundNode, Link)>,
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
        let nodes = self.steps.iter().filter_map(|(node, _)| match node {
            GroundNode::Device(device) | GroundNode::FarSide(device) => Some(*device),
            GroundNode::ZeroVolt(outlet) => Some(outlet.supply),
            GroundNode::Earth | GroundNode::Desk => None,
        });
        nodes.collect()
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

/// So many loops are told at most, the likeliest of them; [`count`] says how many there are.
pub const MOST_TOLD: usize = 100;

/// The independent loops of a rig, the likeliest first: as many as there are
/// edges, less nodes, plus parts of the graph [textbook: cyclomatic number], or
/// the first [`MOST_TOLD`] of them.
#[must_use]
pub fn ground_loops(rig: &Rig) -> Vec<GroundLoop> {
    let wiring = wiring::wiring(rig);
    let digital = digital(rig, &wiring);
    let high_impedance = cures::high_impedance_leads(rig);
    let mut found: Vec<GroundLoop> = wiring
        .graph
        .closed_paths(|edge| group(&wiring, &digital, edge), MOST_TOLD)
        .into_iter()
        .map(|cycle| {
            let steps: Vec<(GroundNode, Link)> =
                cycle.nodes.iter().zip(&cycle.edges).map(|(&at, &by)| (wiring.nodes[at], wiring.links[by])).collect();
            let rank = rank(&digital, &steps);
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
    found.truncate(MOST_TOLD);
    found
}

/// How many independent loops there are.
#[must_use]
pub fn count(rig: &Rig) -> usize {
    wiring::wiring(rig).graph.independent()
}

fn rank(digital: &BTreeSet<OutletRef>, steps: &[(GroundNode, Link)]) -> Rank {
    if steps.iter().filter(|(_, link)| link.is_earth()).count() >= 2 {
        return Rank::TwoEarths;
    }
    let shares = |node: &GroundNode| matches!(node, GroundNode::ZeroVolt(own) if digital.contains(own));
    if steps.iter().any(|(node, _)| shares(node)) { Rank::WithDigital } else { Rank::Local }
}

/// The 0 Vs that digital units share.
fn digital(rig: &Rig, wiring: &wiring::Wiring) -> BTreeSet<OutletRef> {
    let devices = rig.devices.iter().filter(|device| device.power.need().is_some_and(|need| need.digital));
    let digital: BTreeSet<DeviceId> = devices.map(|device| device.id).collect();
    let feeds = rig.feeds.iter().filter(|feed| feed.taps.iter().any(|tap| digital.contains(&tap.device)));
    feeds.flat_map(|feed| feed.from.outlets()).filter_map(|outlet| wiring.zero_volts.get(&outlet).copied()).collect()
}

/// Edges that close a path of a rank together with those of its own group and
/// of the groups before, and no path of a higher rank.
fn group(wiring: &wiring::Wiring, digital: &BTreeSet<OutletRef>, edge: usize) -> u8 {
    let shares = |node: usize| matches!(wiring.nodes[node], GroundNode::ZeroVolt(own) if digital.contains(&own));
    let (a, b) = wiring.graph.ends(edge);
    match wiring.links[edge] {
        link if link.is_earth() => 2,
        _ if shares(a) || shares(b) => 1,
        _ => 0,
    }
}
