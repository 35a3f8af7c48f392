//! How likely a loop is to be heard, by what it goes through and how long its way is.

use super::{GroundNode, Link, Rank};
use crate::rig::{DeviceId, FeedId, Rig};

/// A way under this seldom matters, in m. [practice, S: loop-likelihood]
const SHORT: f64 = 1.0;
/// A way over this may well be heard, in m. [practice, S: loop-likelihood]
const LONG: f64 = 3.0;

/// How likely a loop is to be heard. [common practice, no source]
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Likelihood {
    /// The building's currents flow in it.
    Likely,
    /// A digital unit's noise flows in it, or it is wide enough for the mains' field.
    Possible,
    /// Between a small one and a wide one.
    Sometimes,
    /// A small one on the board, for information.
    Seldom,
}

impl Likelihood {
    /// Its name for programs; it stays as it is.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Likely => "likely",
            Self::Possible => "possible",
            Self::Sometimes => "sometimes",
            Self::Seldom => "seldom",
        }
    }

    /// In words: "a likely cause of hum".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Likely => "a likely cause of hum",
            Self::Possible => "a possible cause of hum",
            Self::Sometimes => "heard now and then",
            Self::Seldom => "seldom heard",
        }
    }
}

/// How likely a loop of a rank, with a way of so many metres, is to be heard.
pub fn likelihood(rank: Rank, length: f64) -> Likelihood {
    match rank {
        Rank::TwoEarths => Likelihood::Likely,
        Rank::WithDigital => Likelihood::Possible,
        Rank::Local if length > LONG => Likelihood::Possible,
        Rank::Local if length < SHORT => Likelihood::Seldom,
        Rank::Local => Likelihood::Sometimes,
    }
}

/// The way by signal leads and supply leads in m. Between two plugs of one lead
/// it is what lies between them; mains leads aren't known and don't count.
pub fn length(rig: &Rig, steps: &[(GroundNode, Link)]) -> f64 {
    let mut metres = 0.0;
    for (at, (node, link)) in steps.iter().enumerate() {
        if let Link::Screen(lead) = link {
            metres += rig.lead(*lead).map_or(0.0, |lead| lead.length.get());
        }
        if matches!(node, GroundNode::ZeroVolt(_)) {
            // The links on either side of it.
            let before = steps[(at + steps.len() - 1) % steps.len()].1;
            metres += match (before, *link) {
                (Link::Return { feed: a, device: from }, Link::Return { feed: b, device: to }) if a == b => {
                    (along(rig, a, from) - along(rig, a, to)).abs()
                }
                (before, link) => [before, link].iter().map(|link| whole(rig, *link)).sum(),
            };
        }
    }
    metres
}

fn whole(rig: &Rig, link: Link) -> f64 {
    if let Link::Return { feed, device } = link { along(rig, feed, device) } else { 0.0 }
}

/// From a feed's outlet to a device's plug, in m.
fn along(rig: &Rig, feed: FeedId, device: DeviceId) -> f64 {
    let taps = rig.feed(feed).map_or(&[][..], |feed| feed.taps.as_slice());
    let upto = taps.iter().position(|tap| tap.device == device).map_or(taps.len(), |at| at + 1);
    taps[..upto].iter().map(|tap| tap.length.get()).sum()
}
