//! Stereo units of which one side leads nowhere, or falls silent when they are off.

use super::inspection::Inspection;
use super::mend;
use super::rig_at_target::can_be;
use super::{About, Diagnosis, Severity, SizedFinding, rules};
use crate::rig::{Alone, Bypass, Device, Jack, JackRef, Side, Stereo};

pub fn check(inspection: &Inspection<'_>) -> Vec<SizedFinding> {
    let rig = &inspection.now.rig;
    let stereo = rig.devices.iter().filter_map(|device| Some((device, device.kind.stereo()?)));
    let told =
        stereo.filter_map(|(device, stereo)| open(inspection, device, stereo).or_else(|| silent(inspection, device)));
    told.map(|told| SizedFinding::new(told, 1.0, 1.0)).collect()
}

/// A side that nothing is plugged into while the other is in use.
fn open(inspection: &Inspection<'_>, device: &Device, stereo: &Stereo) -> Option<Diagnosis> {
    let rig = &inspection.now.rig;
    let is_open = |side: &Side| rig.lead_from(JackRef::new(device.id, side.output())).is_none();
    let side = Side::BOTH.into_iter().find(is_open)?;
    let both_open = Side::BOTH.iter().all(is_open);
    let adds_up = side == Side::Right && stereo.alone == Alone::Both;
    // From a unit whose sides are alike nothing is lost.
    let alike =
        *stereo == Stereo { second_in: stereo.second_in, ..Stereo::ALIKE } && !second_comes_in(inspection, device);
    if both_open || adds_up || alike {
        return None;
    }
    let name = inspection.now.name(device.id);
    let side = if side == Side::Left { "left" } else { "right" };
    Some(Diagnosis {
        why: "Left and right are not alike in it, and one of them goes no farther.".to_owned(),
        about: About::devices(vec![device.id]),
        ..Diagnosis::new(
            rules::SIDE_OPEN,
            Severity::Know,
            format!("Only 1 of the 2 sides of {name} goes on: what it gives on the {side} is heard nowhere."),
        )
    })
}

fn second_comes_in(inspection: &Inspection<'_>, device: &Device) -> bool {
    inspection.now.rig.lead_to(JackRef::new(device.id, Jack::SecondIn)).is_some()
}

/// A bypass that leads from the first input to the first output alone.
fn silent(inspection: &Inspection<'_>, device: &Device) -> Option<Diagnosis> {
    let pedal = device.kind.pedal().filter(|pedal| pedal.bypass != Bypass::Buffered && device.has_footswitch())?;
    let lead = inspection.now.rig.lead_from(JackRef::new(device.id, Jack::SecondOut))?;
    if second_comes_in(inspection, device) {
        return None;
    }
    let (name, behind) = (inspection.now.name(device.id), inspection.now.name(lead.to.device));
    let to_buffered = can_be(device, Bypass::Buffered).then(|| {
        let mend = mend::set_bypass(inspection, device, Bypass::Buffered);
        mend.fix(&inspection.now, "both sides go on")
    });
    Some(Diagnosis {
        why: format!(
            "Its {} joins the one input to the first output; nothing joins it to the second.",
            pedal.bypass.name()
        ),
        about: About { devices: vec![device.id, lead.to.device], leads: vec![lead.id], ..About::default() },
        remedies: to_buffered.into_iter().collect(),
        ..Diagnosis::new(
            rules::SIDE_SILENT,
            Severity::Act,
            format!("With {name} off only 1 of its 2 sides goes on: nothing comes to {behind}."),
        )
    })
}
