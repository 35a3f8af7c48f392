//! The guitar straight into the amp: what is left of a rig when everything
//! between the two is taken out.

use crate::rig::{Device, Jack, JackRef, Kind, Lead, Rig};

/// The instrument that is heard at an endpoint, its own lead and the
/// endpoint's device, all under their own ids: switches and controls mean the
/// same as in the rig. `None` where no way leads back from the endpoint to an
/// instrument, as behind an amp's send, whose level is relative to that send.
#[must_use]
pub fn straight(rig: &Rig, endpoint: JackRef) -> Option<Rig> {
    let end = rig.device(endpoint.device).filter(|device| device.kind.is_endpoint(endpoint.jack))?;
    let instrument = instrument_before(rig, endpoint)?;
    let own = rig.lead_from(JackRef::new(instrument.id, Jack::Out))?;
    let lead = Lead { to: endpoint, ..own.clone() };
    Some(Rig { devices: vec![instrument.clone(), end.clone()], leads: vec![lead], feeds: Vec::new() })
}

/// Back from an input jack, lead by lead.
fn instrument_before(rig: &Rig, mut input: JackRef) -> Option<&Device> {
    // A circle is a problem that a half-finished rig may have: no way is longer than this.
    for _ in 0..rig.devices.len() {
        let from = rig.lead_to(input)?.from;
        let device = rig.device(from.device)?;
        match device.kind {
            Kind::Guitar(_) | Kind::Active(_) => return Some(device),
            _ if device.kind.starts(from.jack) => return None,
            _ => {
                let leads_here = |jack: &&Jack| device.kind.onward(**jack).contains(&from.jack);
                input = JackRef::new(device.id, *device.kind.jacks().iter().find(leads_here)?);
            }
        }
    }
    None
}
