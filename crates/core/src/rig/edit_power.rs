//! Edits of power: what devices take, and which outlet feeds them.

use super::{DeviceId, EditError, Feed, FeedId, Id, Kind, OutletRef, Power, Rig, Tap};

/// What can be done to a rig's power.
#[derive(Debug, Clone, PartialEq)]
pub enum PowerEdit {
    /// A device takes something else from now on.
    SetPower {
        /// Which device.
        device: DeviceId,
        /// What it takes.
        power: Box<Power>,
    },
    /// One more feed.
    AddFeed(Box<Feed>),
    /// A feed is as given from now on; its id says which.
    SetFeed(Box<Feed>),
    /// A feed goes.
    RemoveFeed(FeedId),
    /// A device is unplugged where it was and plugged in at an outlet: as the
    /// last plug of the lead that is there, or with a plain lead of its own.
    /// An adapter that it had goes along.
    PlugIn {
        /// Which device.
        device: DeviceId,
        /// At which outlet.
        outlet: OutletRef,
        /// The id of the new lead, if there is to be one.
        feed: FeedId,
    },
    /// A device is unplugged; a lead without plugs goes.
    Unplug(DeviceId),
    /// An outlet's selector is set.
    Choose {
        /// Which outlet.
        outlet: OutletRef,
        /// The position, counted from 1.
        setting: u8,
    },
}

impl PowerEdit {
    /// A rig with these done to it, to try out what they would do; what they bring
    /// in is numbered from the rig's first free id on.
    pub fn tried(edits: &[Self], rig: &Rig) -> Result<Rig, EditError> {
        let (mut copy, free) = (rig.clone(), rig.first_free());
        for edit in edits {
            change(&mut copy, &edit.resolved(free))?;
        }
        Ok(copy)
    }

    /// The highest id that it brings in.
    pub(super) fn new_id(&self) -> Option<Id> {
        match self {
            Self::AddFeed(feed) => Some(feed.id.0),
            Self::PlugIn { feed, .. } => Some(feed.0),
            _ => None,
        }
    }
}

/// Errors leave the rig in any state; the caller keeps the one before.
pub fn change(rig: &mut Rig, edit: &PowerEdit) -> Result<(), EditError> {
    match edit {
        PowerEdit::SetPower { device, power } => {
            let slot = rig.devices.iter_mut().find(|d| d.id == *device).ok_or(EditError::NoDevice(*device))?;
            slot.power.clone_from(power);
            if slot.power.need().is_none() {
                // What takes nothing at a socket has no plug in it.
                unplug(rig, *device);
            }
            Ok(())
        }
        PowerEdit::AddFeed(feed) => {
            if rig.feed(feed.id).is_some() {
                return Err(EditError::IdTaken(feed.id.0));
            }
            can_be(rig, feed)?;
            rig.feeds.push((**feed).clone());
            Ok(())
        }
        PowerEdit::SetFeed(feed) => {
            let at = rig.feeds.iter().position(|f| f.id == feed.id).ok_or(EditError::NoFeed(feed.id))?;
            can_be(rig, feed)?;
            rig.feeds[at].clone_from(feed);
            Ok(())
        }
        PowerEdit::RemoveFeed(id) => {
            let at = rig.feeds.iter().position(|feed| feed.id == *id).ok_or(EditError::NoFeed(*id))?;
            rig.feeds.remove(at);
            Ok(())
        }
        PowerEdit::PlugIn { device, outlet, feed } => plug_in(rig, *device, *outlet, *feed),
        PowerEdit::Unplug(device) => {
            rig.device(*device).ok_or(EditError::NoDevice(*device))?;
            unplug(rig, *device);
            Ok(())
        }
        PowerEdit::Choose { outlet, setting } => {
            let no_outlet = EditError::NoOutlet(*outlet);
            let device = rig.devices.iter_mut().find(|d| d.id == outlet.supply).ok_or(no_outlet.clone())?;
            let Kind::Supply(supply) = &mut device.kind else { return Err(no_outlet) };
            let index = usize::from(outlet.outlet).checked_sub(1).ok_or(no_outlet.clone())?;
            let slot = supply.outlets.get_mut(index).ok_or(no_outlet)?;
            if *setting == 0 || usize::from(*setting) > slot.settings.len() {
                return Err(EditError::NoSetting(*outlet, *setting));
            }
            slot.chosen = *setting;
            Ok(())
        }
    }
}

/// A feed has plugs, and each end of it is there.
fn can_be(rig: &Rig, feed: &Feed) -> Result<(), EditError> {
    if feed.taps.is_empty() {
        return Err(EditError::NoPlug(feed.id));
    }
    if let Some(outlet) = feed.from.outlets().find(|outlet| rig.outlet(*outlet).is_none()) {
        return Err(EditError::NoOutlet(outlet));
    }
    match feed.taps.iter().find(|tap| rig.device(tap.device).is_none()) {
        Some(tap) => Err(EditError::NoDevice(tap.device)),
        None => Ok(()),
    }
}

fn plug_in(rig: &mut Rig, device: DeviceId, outlet: OutletRef, id: FeedId) -> Result<(), EditError> {
    rig.device(device).ok_or(EditError::NoDevice(device))?;
    rig.outlet(outlet).ok_or(EditError::NoOutlet(outlet))?;
    let already = rig.feed_to(device);
    if already.is_some_and(|feed| feed.from.outlets().any(|from| from == outlet)) {
        return Ok(()); // It is there already.
    }
    let old = already.and_then(|feed| feed.taps.iter().find(|tap| tap.device == device));
    let adapter = old.map(|tap| tap.adapter).unwrap_or_default();
    unplug(rig, device);
    if let Some(there) = rig.feeds.iter_mut().find(|feed| feed.from.outlets().any(|from| from == outlet)) {
        there.taps.push(Tap { adapter, ..Tap::next(device) });
        return Ok(());
    }
    if rig.feed(id).is_some() {
        return Err(EditError::IdTaken(id.0));
    }
    let mut feed = Feed::straight(id, outlet, device);
    feed.taps[0].adapter = adapter;
    rig.feeds.push(feed);
    Ok(())
}

/// Takes a device off every lead. The lead of a plug that goes is part of the
/// way to the next one, so that next one keeps its distance from the outlet.
pub fn unplug(rig: &mut Rig, device: DeviceId) {
    for feed in &mut rig.feeds {
        while let Some(at) = feed.taps.iter().position(|tap| tap.device == device) {
            let gone = feed.taps.remove(at);
            if let Some(next) = feed.taps.get_mut(at) {
                next.length = crate::units::Metres::clamped(next.length.get() + gone.length.get());
            }
        }
    }
    rig.feeds.retain(|feed| !feed.taps.is_empty());
}

/// Takes a device that goes out of all feeds: its plugs, and the leads from its outlets.
pub fn remove_device(rig: &mut Rig, device: DeviceId) {
    unplug(rig, device);
    rig.feeds.retain(|feed| feed.from.outlets().all(|outlet| outlet.supply != device));
}

#[cfg(test)]
mod tests;
