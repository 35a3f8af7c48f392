//! What a change costs and how much room it takes, by the catalogue's prices.

use crate::parts::catalogue;
use crate::rig::{Lead, Rig, SizeClass};

/// What has to be bought for the rig after a change, in the project's currency:
/// new devices at their own price, new or changed leads at the catalogue's.
pub fn added_cost(before: &Rig, after: &Rig) -> f64 {
    let devices = after.devices.iter().filter(|device| before.device(device.id).is_none());
    let devices: f64 = devices.map(|device| device.body.price.get()).sum();
    let same = |new: &Lead| before.lead(new.id).is_some_and(|old| old.length == new.length && old.cable == new.cable);
    devices + after.leads.iter().filter(|lead| !same(lead)).map(lead_price).sum::<f64>()
}

/// A lead by its make; one that the catalogue doesn't know costs what an everyday one does.
fn lead_price(lead: &Lead) -> f64 {
    let cables = &catalogue().cables;
    let make = cables.iter().find(|part| part.name == lead.cable.name).or_else(|| cables.first());
    make.map_or(0.0, |part| part.price(lead.length).get())
}

/// Width of the devices that are new on the board, in m.
pub fn added_width(before: &Rig, after: &Rig) -> f64 {
    let new = after.devices.iter().filter(|device| before.device(device.id).is_none());
    new.map(|device| width(device.body.size)).sum()
}

/// Width of a size class in m. [memory: `SizeClass`]
fn width(size: SizeClass) -> f64 {
    let millimetres = match size {
        SizeClass::Mini => 45.0,
        SizeClass::Compact => 75.0,
        SizeClass::Standard => 65.0,
        SizeClass::Wide | SizeClass::Treadle => 100.0,
        SizeClass::Large => 120.0,
        SizeClass::ExtraLarge => 190.0,
        SizeClass::OffBoard => 0.0,
    };
    millimetres / 1000.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_those_that_the_classes_say() {
        for size in SizeClass::ALL {
            let said = size.describe().split(", ").nth(1).and_then(|sizes| sizes.split(' ').next());
            let said = said.map_or(0.0, |width| width.parse().unwrap());
            assert_eq!(width(size) * 1000.0, said, "{}", size.describe());
        }
    }
}
