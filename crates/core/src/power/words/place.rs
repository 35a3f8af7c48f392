//! Outlets and where a lead begins, and names in a row.

use crate::rig::{DeviceId, FeedFrom, OutletRef, Rig, device_name};
use crate::words::list;

/// "outlet 3 of Supply"; where there is but one, "Supply".
#[must_use]
pub fn outlet(rig: &Rig, at: OutletRef) -> String {
    let device = rig.device(at.supply);
    let supply = device.map_or_else(|| "a supply".to_owned(), |device| device.name.clone());
    match device.and_then(|device| device.kind.supply()).map(|supply| supply.outlets.len()) {
        Some(1) => supply,
        _ => format!("outlet {} of {supply}", at.outlet),
    }
}

/// Where a lead begins: "outlet 3 of Supply", "outlets 3 and 4 of Supply in series".
#[must_use]
pub fn from(rig: &Rig, from: FeedFrom) -> String {
    let pair = |a: OutletRef, b: OutletRef, how: &str| {
        if a.supply == b.supply {
            let supply = rig.device(a.supply).map_or_else(|| "a supply".to_owned(), |device| device.name.clone());
            format!("outlets {} and {} of {supply} {how}", a.outlet, b.outlet)
        } else {
            format!("{} and {} {how}", outlet(rig, a), outlet(rig, b))
        }
    };
    match from {
        FeedFrom::One(at) => outlet(rig, at),
        FeedFrom::Series { lower, upper } => pair(lower, upper, "in series"),
        FeedFrom::Parallel { first, second } => pair(first, second, "in parallel"),
    }
}

/// Names in a row: "Tuner, Wah and Octave".
#[must_use]
pub fn names(rig: &Rig, devices: &[DeviceId]) -> String {
    let names: Vec<String> = devices.iter().map(|device| device_name(rig, *device)).collect();
    if names.is_empty() { "nothing".to_owned() } else { list(&names) }
}
