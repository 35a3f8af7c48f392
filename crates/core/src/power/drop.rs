//! What a supply lead loses on its way, and by how much its plugs' 0 V differ.

use super::check::{FeedCheck, TapCheck};
use super::loads::{Flow, TapFlow};
use crate::rig::{DeviceId, Feed};

/// Voltage lost up to each plug, in V: each stretch carries what all plugs
/// behind it draw, through both conductors. [textbook, S: daisy-drop]
fn drops(feed: &Feed, taps: &[TapFlow]) -> Vec<f64> {
    let mut behind: Vec<f64> = taps.iter().map(|tap| tap.running).collect();
    (1..taps.len()).rev().for_each(|at| behind[at - 1] += behind[at]);
    let mut sum = 0.0;
    let stretch = |(at, tap): (usize, &crate::rig::Tap)| {
        sum += 2.0 * feed.gauge.ohms_per_metre() * tap.length.get() * behind.get(at).copied().unwrap_or(0.0);
        sum
    };
    feed.taps.iter().enumerate().map(stretch).collect()
}

/// Voltage lost up to a device's first plug, in V.
pub fn lost(feed: &Feed, taps: &[TapFlow], device: DeviceId) -> f64 {
    let at = feed.taps.iter().position(|tap| tap.device == device);
    at.and_then(|at| drops(feed, taps).get(at).copied()).unwrap_or(0.0)
}

pub fn feed(feed: &Feed, flow: &Flow) -> FeedCheck {
    let flows = flow.of(feed);
    let drops = drops(feed, flows);
    let volts = flow.source(feed.from, &flow.volts);
    let taps = feed.taps.iter().zip(flows).zip(&drops).map(|((tap, at), drop)| TapCheck {
        device: tap.device,
        volts: volts.map(|volts| volts - drop),
        drop: *drop,
        form: at.form,
        way: at.way,
        running: at.running,
        start_up: at.start_up,
        lasting: at.lasting,
    });
    let taps = taps.collect();
    // Of what is lost between the first plug and the last, half is lost on the 0 V.
    let return_offset = match (drops.first(), drops.last()) {
        (Some(first), Some(last)) => (last - first) / 2.0,
        _ => 0.0,
    };
    FeedCheck { feed: feed.id, volts, taps, return_offset }
}
