//! The part of a rig in which a unit can make a difference: from the last unit
//! before it that always isolates to the first ones behind that do.

use std::collections::BTreeSet;

use super::scene::View;
use crate::plan::{Station, Through};
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
    !station.alternatives.iter().any(|alternative| matches!(alternative.through, Through::Pass { .. }))
}

/// The region around a device; ids from `free` on are nobody's. None if no
/// signal gets to the device.
pub fn around(view: &View, device: DeviceId, free: Id) -> Option<Region> {
    let plan = &view.plan;
    let mut before = JackRef::new(device, Jack::In);
    let (start, source) = loop {
        let from = view.rig.lead_to(before)?.from;
        if plan.starts.iter().any(|start| start.jack == from) {
            break (from, None);
        }
        let station = plan.stations.iter().find(|station| station.outs.iter().any(|out| out.jack == Some(from)))?;
        if is_barrier(station) {
            break (from, Some(station.jack));
        }
        before = station.jack;
    };
    let mut found = Rig::default();
    let mut devices: BTreeSet<DeviceId> = BTreeSet::from([start.device]);
    if let Some(input) = source {
        let ideal = DeviceId(free);
        found.devices.push(ideal_source(ideal));
        found.leads.push(no_lead(LeadId(free), JackRef::new(ideal, Jack::Out), input));
    }
    let mut ends = Vec::new();
    follow(view, device, start, &mut devices, &mut found.leads, &mut ends);
    found.devices.extend(view.rig.devices.iter().filter(|device| devices.contains(&device.id)).cloned());
    Some(Region { rig: found, ends })
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

/// All that hangs together with an output jack, `through` being no barrier.
fn follow(
    view: &View,
    through: DeviceId,
    from: JackRef,
    devices: &mut BTreeSet<DeviceId>,
    leads: &mut Vec<Lead>,
    ends: &mut Vec<Target>,
) {
    let Some(lead) = view.rig.lead_from(from) else { return };
    leads.push(lead.clone());
    devices.insert(lead.to.device);
    let Some(station) = view.plan.stations.iter().find(|station| station.jack == lead.to) else { return };
    let goes_on = !is_barrier(station) || station.device() == through;
    let leads_on = station.outs.iter().any(|out| out.wire.is_some());
    // A DI box passes on what a desk hears.
    if !goes_on || !leads_on || station.is_endpoint {
        ends.push(Target::Endpoint(station.jack));
    }
    if !goes_on {
        return;
    }
    for out in station.outs.iter().filter_map(|out| out.jack) {
        follow(view, through, out, devices, leads, ends);
    }
}
