//! Random edits of power: some fit, some can't be done.

use rigwright_core::conductor::Gauge;
use rigwright_core::parts::{Group, catalogue};
use rigwright_core::rig::{
    Adapter, Device, DeviceId, Edit, Feed, FeedFrom, FeedId, Id, OutletRef, Power, PowerEdit, Tap, Variant,
};
use rigwright_core::units::Metres;

use super::Dice;

/// A supply of the catalogue.
pub fn supply(dice: &mut Dice, id: Id) -> Device {
    let supplies: Vec<_> = catalogue().parts.iter().filter(|part| part.group == Group::Supplies).collect();
    supplies[dice.below(supplies.len())].device(DeviceId(id))
}

/// What some part of the catalogue takes.
fn power(dice: &mut Dice) -> Power {
    let parts = &catalogue().parts;
    parts[dice.below(parts.len())].power.clone()
}

/// One of each kind, and a supply more; what is new gets the id `fresh`.
pub fn edits(variant: &Variant, fresh: Id, dice: &mut Dice) -> Vec<Edit> {
    let (rig, id) = (&variant.rig, variant.id);
    let mut found = vec![Edit::AddDevice { variant: id, device: Box::new(supply(dice, fresh)), place: None }];
    if rig.devices.is_empty() {
        return found;
    }
    let any = |dice: &mut Dice| rig.devices[dice.below(rig.devices.len())].id;
    let supplies: Vec<(DeviceId, usize)> =
        rig.supplies().map(|(device, supply)| (device.id, supply.outlets.len())).collect();
    let outlet = |dice: &mut Dice| {
        // At times one that isn't there.
        if supplies.is_empty() || dice.chance(0.1) {
            return OutletRef::new(any(dice), 1);
        }
        let (supply, outlets) = dice.pick(&supplies);
        OutletRef::new(supply, dice.below(outlets + 1) as u8)
    };
    let from = match dice.below(4) {
        0 => FeedFrom::Series { lower: outlet(dice), upper: outlet(dice) },
        1 => FeedFrom::Parallel { first: outlet(dice), second: outlet(dice) },
        _ => FeedFrom::One(outlet(dice)),
    };
    let adapter = Adapter { swaps_poles: dice.chance(0.5), plug: None };
    let tap = |dice: &mut Dice| Tap { device: any(dice), length: Metres::of(dice.log(0.1, 3.0)), adapter };
    let taps = (0..1 + dice.below(3)).map(|_| tap(dice)).collect();
    let feed = Feed { id: FeedId(fresh), from, gauge: dice.pick(&Gauge::ALL), taps };
    let mut edits = vec![
        PowerEdit::SetPower { device: any(dice), power: Box::new(power(dice)) },
        PowerEdit::AddFeed(Box::new(feed.clone())),
        PowerEdit::PlugIn { device: any(dice), outlet: outlet(dice), feed: FeedId(fresh) },
        PowerEdit::Unplug(any(dice)),
        PowerEdit::Choose { outlet: outlet(dice), setting: 1 + dice.below(3) as u8 },
    ];
    if !rig.feeds.is_empty() {
        let known = rig.feeds[dice.below(rig.feeds.len())].id;
        edits.push(PowerEdit::SetFeed(Box::new(Feed { id: known, ..feed })));
        edits.push(PowerEdit::RemoveFeed(known));
    }
    // A supply and a lead from it at once, so that the others have something to change.
    let device = Box::new(supply(dice, fresh));
    let lead = Feed::straight(FeedId(fresh + 1), OutletRef::new(device.id, 1), any(dice));
    let added = Edit::AddDevice { variant: id, device, place: None };
    let both = vec![added, Edit::Power { variant: id, edit: PowerEdit::AddFeed(Box::new(lead)) }];
    found.extend([Edit::Batch(both.clone()), Edit::Batch(both)]);
    found.extend(edits.into_iter().map(|edit| Edit::Power { variant: id, edit }));
    found
}

/// What kind an edit of power is.
pub fn kind(edit: &PowerEdit) -> &'static str {
    match edit {
        PowerEdit::SetPower { .. } => "set power",
        PowerEdit::AddFeed(_) => "add feed",
        PowerEdit::SetFeed(_) => "set feed",
        PowerEdit::RemoveFeed(_) => "remove feed",
        PowerEdit::PlugIn { .. } => "plug in",
        PowerEdit::Unplug(_) => "unplug",
        PowerEdit::Choose { .. } => "choose",
    }
}
