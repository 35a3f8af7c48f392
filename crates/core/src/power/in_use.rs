//! Which voltage each device works at.

use std::collections::BTreeMap;

use crate::rig::{Device, DeviceId, FeedFrom, Form, OutletRef, Rig};
use crate::units::Volts;

/// The DC voltage that each device with a low-voltage socket works at: what its
/// feed is marked with, or the least that it takes where nothing feeds it, as if
/// it were fed.
#[must_use]
pub fn volts_in_use(rig: &Rig) -> BTreeMap<DeviceId, Volts> {
    rig.carriers().filter_map(|device| Some((device.id, of(rig, device)?))).collect()
}

fn of(rig: &Rig, device: &Device) -> Option<Volts> {
    let ways = &device.power.need()?.ways;
    let Some(feed) = rig.feed_to(device.id) else {
        let direct = ways.iter().filter(|way| way.form != Form::Alternating);
        return direct.map(|way| way.least).reduce(|a, b| if b < a { b } else { a });
    };
    let setting = |at: OutletRef| rig.outlet(at)?.setting().filter(|setting| setting.form != Form::Alternating);
    match feed.from {
        FeedFrom::One(outlet) | FeedFrom::Parallel { first: outlet, .. } => Some(setting(outlet)?.volts),
        FeedFrom::Series { lower, upper } => {
            Some(Volts::clamped(setting(lower)?.volts.get() + setting(upper)?.volts.get()))
        }
    }
}
