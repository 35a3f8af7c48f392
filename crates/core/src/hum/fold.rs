//! The many loops that units close which share one 0 V are one diagnosis: they have
//! one cause, and one change that breaks the most of them.

use super::{HumQuestion, diagnosis, remedy};
use crate::diagnosis::{Diagnosis, Remedy};
use crate::ground::{GroundLoop, GroundNode, Likelihood, Link, Rank};
use crate::rig::{DeviceId, Feed, FeedId, OutletRef, Rig, device_name};
use crate::units::{counted, metres};
use crate::words::few;

/// So many units are named; the rest are counted.
const NAMED: usize = 4;

/// Which loops are told together, each group's likeliest first, the groups in
/// the order of their likeliest.
pub fn fold(loops: &[GroundLoop]) -> Vec<Vec<usize>> {
    let mut groups: Vec<(Option<OutletRef>, Vec<usize>)> = Vec::new();
    for (at, found) in loops.iter().enumerate() {
        let key = zero_volt(found);
        match groups.iter_mut().find(|(other, _)| key.is_some() && *other == key) {
            Some((_, group)) => group.push(at),
            None => groups.push((key, vec![at])),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

/// The 0 V that a loop goes by, if it is one and the mains earth is no part of it.
fn zero_volt(found: &GroundLoop) -> Option<OutletRef> {
    let mut all = found.steps.iter().filter_map(|(node, _)| match node {
        GroundNode::ZeroVolt(outlet) => Some(*outlet),
        _ => None,
    });
    let only = all.next().filter(|_| all.next().is_none());
    let earth = found.steps.iter().any(|(node, _)| *node == GroundNode::Earth);
    only.filter(|_| found.rank != Rank::TwoEarths && !earth)
}

/// The units whose returns are in some loops, in the order of the rig's feeds.
fn units(rig: &Rig, loops: &[&GroundLoop]) -> Vec<(FeedId, DeviceId)> {
    let links = loops.iter().flat_map(|found| &found.steps).filter_map(|(_, link)| match link {
        Link::Return { feed, device } => Some((*feed, *device)),
        _ => None,
    });
    let links: std::collections::BTreeSet<(FeedId, DeviceId)> = links.collect();
    let taps = rig.feeds.iter().flat_map(|feed| feed.taps.iter().map(|tap| (feed.id, tap.device)));
    taps.filter(|tap| links.contains(tap)).collect()
}

/// Several loops by one 0 V as one diagnosis.
pub fn many(question: &HumQuestion<'_>, loops: Vec<usize>, try_out: bool) -> Diagnosis {
    let rig: &Rig = &question.variant.rig;
    let found: Vec<&GroundLoop> = loops.iter().map(|at| &question.loops[*at]).collect();
    let units = units(rig, &found);
    let devices: Vec<DeviceId> = units.iter().map(|(_, device)| *device).collect();
    let likelihood = found.iter().map(|each| each.likelihood).min().unwrap_or(Likelihood::Seldom);
    let longest = found.iter().map(|each| each.length).fold(0.0, f64::max);
    let digital = found.iter().any(|each| each.rank == Rank::WithDigital);
    let heard = if digital { "a possible cause of whine" } else { likelihood.words() };
    let count = loops.len();
    let text = format!(
        "{} share {}{}, and their leads close {count} loops of up to {}: {heard}",
        names(rig, &devices),
        on(rig, &units),
        if digital { " with a digital unit" } else { "" },
        metres(longest),
    );
    let tried = if try_out { remedy::spread(question, &devices, count) } else { None };
    let mut remedies: Vec<Remedy> = tried.into_iter().collect();
    let words = format!("Feed each from an outlet with a 0 V of its own: {}", gone(count, count));
    remedies.push(Remedy::in_words(words));
    diagnosis(question, loops, &text, String::new(), remedies)
}

/// "both loops gone", "3 of the 5 loops gone". A change may break more than these.
pub fn gone(gone: usize, loops: usize) -> String {
    match loops {
        1 if gone >= 1 => "the loop gone".to_owned(),
        2 if gone >= 2 => "both loops gone".to_owned(),
        _ if gone >= loops => format!("all {} loops gone", counted(loops)),
        _ => format!("{} of the {} loops gone", counted(gone), counted(loops)),
    }
}

/// "a daisy lead of Daisy adaptor", "a 0 V of Brick".
fn on(rig: &Rig, units: &[(FeedId, DeviceId)]) -> String {
    let Some(feed) = units.first().and_then(|(feed, _)| rig.feed(*feed)) else { return "a 0 V".to_owned() };
    let supply = feed.from.outlets().next().and_then(|outlet| rig.device(outlet.supply));
    let of = supply.map_or_else(String::new, |supply| format!(" of {}", supply.name));
    let one = units.iter().all(|(other, _)| *other == feed.id);
    if one && Feed::is_daisy(feed) { format!("a daisy lead{of}") } else { format!("a 0 V{of}") }
}

fn names(rig: &Rig, devices: &[DeviceId]) -> String {
    let all: Vec<String> = devices.iter().map(|id| device_name(rig, *id)).collect();
    if all.is_empty() { "Units".to_owned() } else { few(&all, NAMED - 1) }
}
