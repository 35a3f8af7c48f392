//! The part of a rig in which a unit can make a difference: from the last unit
//! before it that always isolates to the first ones behind that do.

use std::collections::BTreeSet;

use super::rig_at_target::RigAtTarget;
use crate::plan::{Behaviour, Station};
use crate::rig::{
    ActiveSource, Body, Cable, Device, DeviceId, Id, Instrument, Jack, JackRef, Kind, Lead, LeadId, Power, Rig,
    SizeClass,
};
use crate::states::Target;
use crate::units::{
    Farads, FaradsPerMetre, Grams, HenriesPerMetre, LossTangent, Metres, Ohms, OhmsPerMetre, Price, Ratio,
};

/// A rig of its own, and where levels of it are taken.
pub struct Region {
    /// The part of the rig, an ideal source before it if no instrument is in it.
    pub rig: Rig,
    /// The inputs in which it ends.
    pub ends: Vec<Target>,
}

/// Whether a station cuts what is before it from what is behind it, whatever its switch does.
fn is_barrier(station: &Station) -> bool {
    !station.alternatives.iter().any(|alternative| matches!(alternative.behaviour, Behaviour::Pass { .. }))
}

/// The region around a device; ids from `free` on are nobody's. None if no
/// signal gets to the device.
pub fn around(at_target: &RigAtTarget, device: DeviceId, free: Id) -> Option<Region> {
    if let Some(whole) = to_the_ends(at_target, device) {
        return Some(whole);
    }
    let mut before = JackRef::new(device, Jack::In);
    let (starts, source) = loop {
        let from = at_target.rig.lead_to(before)?.from;
        if at_target.plan.starts.iter().any(|start| start.jack == from) {
            break (vec![from], None);
        }
        let sender = at_target.rig.device(from.device)?;
        let input = JackRef::new(sender.id, sender.kind.input_of(from.jack)?);
        match &sender.kind {
            Kind::Switcher(switcher) if from.jack == Jack::Out && switcher.output.is_some() => {
                break (vec![from], Some(input));
            }
            // Behind a switcher's first buffer begin its loops, too.
            Kind::Switcher(switcher) if switcher.is_behind_buffer(from.jack) => {
                let outs = sender.kind.onward(input.jack).iter().filter(|out| switcher.is_behind_buffer(**out));
                break (outs.map(|out| JackRef::new(sender.id, *out)).collect(), Some(input));
            }
            _ => {}
        }
        if is_barrier(at_target.plan.stations.iter().find(|station| station.jack == input)?) {
            break (vec![from], Some(input));
        }
        before = input;
    };
    let mut walk = Walk { at_target, through: device, devices: BTreeSet::new(), leads: Vec::new(), ends: Vec::new() };
    let mut found = Rig::default();
    if let Some(input) = source {
        let ideal = DeviceId(free);
        found.devices.push(ideal_source(ideal));
        found.leads.push(no_lead(LeadId(free), JackRef::new(ideal, Jack::Out), input));
    }
    for start in starts {
        walk.devices.insert(start.device);
        walk.follow(start);
    }
    found.leads.extend(walk.leads);
    found.devices.extend(at_target.rig.devices.iter().filter(|device| walk.devices.contains(&device.id)).cloned());
    Some(Region { rig: found, ends: walk.ends })
}

/// Where ways add up behind a device its phase counts, too: the whole rig, to all
/// ends behind the device. None where none do.
fn to_the_ends(at_target: &RigAtTarget, device: DeviceId) -> Option<Region> {
    let dry_stays = |kind: &Kind| kind.effects_loop().is_some_and(|way| way.dry.is_some());
    let is_mixer = |other: &&Device| matches!(other.kind, Kind::Mixer(_)) || dry_stays(&other.kind);
    let mut mixers = at_target.rig.devices.iter().filter(is_mixer);
    if !mixers.any(|mixer| at_target.is_behind(device, mixer.id)) {
        return None;
    }
    let ends = at_target.plan.stations.iter().filter(|station| station.is_endpoint);
    let ends = ends.filter(|station| at_target.is_behind(device, station.device()));
    Some(Region { rig: (*at_target.rig).clone(), ends: ends.map(|station| Target::Endpoint(station.jack)).collect() })
}

/// An EMF with nothing inside.
fn ideal_source(id: DeviceId) -> Device {
    let body = Body { size: SizeClass::OffBoard, mass: Grams::of(0.0), price: Price::of(0.0) };
    let source = ActiveSource::of(Instrument::Guitar, Ohms::of(0.0), Ratio::of(1.0));
    Device {
        id,
        name: String::new(),
        part: String::new(),
        stays_on: false,
        switches: Default::default(),
        body,
        power: Power::Nothing,
        heard_to: None,
        effect: None,
        kind: Kind::Active(source),
    }
}

/// A lead that is no more than a joint.
pub fn no_lead(id: LeadId, from: JackRef, to: JackRef) -> Lead {
    let cable = Cable {
        name: String::new(),
        capacitance: FaradsPerMetre::of(0.0),
        resistance: OhmsPerMetre::of(0.0),
        inductance: HenriesPerMetre::of(0.0),
        loss_tangent: LossTangent::of(0.0),
        plug: Farads::of(0.0),
    };
    Lead { id, from, to, length: Metres::of(0.0), cable }
}

/// All that hangs together with an output jack.
struct Walk<'a> {
    at_target: &'a RigAtTarget,
    /// It is no barrier, whatever it does.
    through: DeviceId,
    devices: BTreeSet<DeviceId>,
    leads: Vec<Lead>,
    ends: Vec<Target>,
}

impl Walk<'_> {
    /// Each lead once: of a switcher's loops several lead on to what is behind them.
    fn follow(&mut self, from: JackRef) {
        let Some(lead) = self.at_target.rig.lead_from(from) else { return };
        if self.leads.iter().any(|known| known.id == lead.id) {
            return;
        }
        self.leads.push(lead.clone());
        self.devices.insert(lead.to.device);
        let Some(station) = self.at_target.plan.stations.iter().find(|station| station.jack == lead.to) else { return };
        let goes_on = !is_barrier(station) || station.device() == self.through;
        let kind = self.at_target.rig.device(lead.to.device).map(|device| &device.kind);
        let onward = kind.map_or(&[][..], |kind| kind.onward(lead.to.jack));
        let onward = onward.iter().map(|out| JackRef::new(lead.to.device, *out));
        let leads_on = onward.clone().any(|out| self.at_target.rig.lead_from(out).is_some());
        // A DI box passes on what a desk hears.
        if !goes_on || !leads_on || station.is_endpoint {
            self.ends.push(Target::Endpoint(station.jack));
        }
        if goes_on {
            onward.for_each(|out| self.follow(out));
        }
    }
}
