//! Feeds that can't be as drawn.

use std::collections::BTreeSet;

use super::problems::Problem;
use super::{DeviceId, Feed, OutletRef, Rig, device_name};

/// Problems of feeds, in their order, then of what feeds itself.
#[must_use]
pub fn power_problems(rig: &Rig) -> Vec<Problem> {
    let mut found = Vec::new();
    let mut outlets: BTreeSet<OutletRef> = BTreeSet::new();
    let mut fed: BTreeSet<DeviceId> = BTreeSet::new();
    for feed in &rig.feeds {
        let words = words(rig, feed);
        if feed.taps.is_empty() {
            found.push(Problem::FeedsNothing { feed: feed.id, words: words.clone() });
        }
        for outlet in feed.from.outlets() {
            let supply = device_name(rig, outlet.supply);
            match rig.outlet(outlet) {
                None => found.push(Problem::MissingOutlet { feed: feed.id, words: words.clone(), supply, outlet }),
                Some(there) if there.setting().is_none() => {
                    found.push(Problem::NoSuchSetting { outlet, supply, setting: there.chosen });
                }
                Some(_) => {}
            }
            if !outlets.insert(outlet) {
                let supply = device_name(rig, outlet.supply);
                found.push(Problem::OutletTwice { feed: feed.id, supply, outlet });
            }
        }
        for tap in &feed.taps {
            let device = device_name(rig, tap.device);
            match rig.device(tap.device) {
                None => found.push(Problem::FeedsMissingDevice { feed: feed.id, words: words.clone(), device }),
                Some(there) if there.power.need().is_none() => {
                    found.push(Problem::TakesNoFeed { feed: feed.id, device: tap.device, name: device });
                }
                Some(_) if !fed.insert(tap.device) => {
                    found.push(Problem::FedTwice { feed: feed.id, device: tap.device, name: device });
                }
                Some(_) => {}
            }
        }
    }
    found.extend(circles(rig));
    found
}

/// A feed as a person speaks of it.
fn words(rig: &Rig, feed: &Feed) -> String {
    let to: Vec<String> = feed.taps.iter().map(|tap| device_name(rig, tap.device)).collect();
    let from = feed.from.outlets().next().map_or_else(String::new, |outlet| device_name(rig, outlet.supply));
    match to.as_slice() {
        [] => format!("the supply lead from {from}"),
        [one] => format!("the supply lead from {from} to {one}"),
        [first, ..] => format!("the daisy lead from {from} to {first} and others"),
    }
}

/// Modules that are fed by themselves, each circle once.
fn circles(rig: &Rig) -> Vec<Problem> {
    let mut done: BTreeSet<DeviceId> = BTreeSet::new();
    let mut found = Vec::new();
    for start in rig.supplies().map(|(device, _)| device.id) {
        let mut path = Vec::new();
        let mut todo = vec![(start, 0)];
        while let Some((at, depth)) = todo.pop() {
            path.truncate(depth);
            if let Some(first) = path.iter().position(|id| *id == at) {
                let devices = path[first..].iter().map(|id| device_name(rig, *id)).collect();
                found.push(Problem::FeedsItself { devices });
                break;
            }
            if !done.insert(at) {
                continue;
            }
            path.push(at);
            let feeds = rig.feeds.iter().filter(|feed| feed.taps.iter().any(|tap| tap.device == at));
            let above = feeds.flat_map(|feed| feed.from.outlets()).map(|outlet| (outlet.supply, depth + 1));
            todo.extend(above);
        }
    }
    found
}
