//! A buffer that changes nothing.
//!
//! What a buffer does in all states is what a switch would do that takes it
//! out: so the question is put as a rig in which the buffer has such a switch,
//! and the answer is exact, however many units there are.

use std::sync::Arc;

use super::inspection::Inspection;
use super::mend::{self, LONGEST_PATCH};
use super::rig_at_target::{RigAtTarget, can_be, explore};
use super::words::plain;
use super::{About, Diagnosis, Remedy, Severity, SizedFinding, region, rules};
use crate::cascade::LineCache;
use crate::network::Sweep;
use crate::rig::{Bypass, Device, DeviceId, Edit, Jack, JackRef, Kind, Pedal, Rig, Stage};
use crate::states::Target;
use crate::units::Farads;
use crate::watch::{Stopped, Watch};

/// Levels count up to here, in Hz: above it a guitar's amp gives little. [practice, S: heard-to]
const UP_TO_HZ: f64 = 10_000.0;
/// First a look at so many frequencies; most buffers are seen to do something there.
const ROUGH_POINTS: usize = 24;
/// An output resistance in Ω times a capacitance in F that lets levels up to
/// 10 kHz fall by less than 0.001 dB: (2π·10 kHz·RC)² < 0.00023 [textbook].
const NO_FALL: f64 = 0.24e-6;
pub fn check(
    inspection: &Inspection<'_>,
    cache: &mut LineCache,
    watch: &dyn Watch,
) -> Result<Vec<SizedFinding>, Stopped> {
    let limit = inspection.limits.useless.get();
    let mut rough = LineCache::new(Sweep::logarithmic(20.0, UP_TO_HZ, ROUGH_POINTS));
    let mut found: Vec<(&Device, f64)> = Vec::new();
    for device in inspection.now.rig.devices.iter().filter(|device| could_go(device)) {
        let Some(region) = region::around(&inspection.now, device.id, inspection.first_free()) else { continue };
        let Some(switched) = with_a_switch(region.rig, device) else { continue };
        let switched = Arc::new(switched);
        let mut most = Some(0.0);
        for cache in [&mut rough, &mut *cache] {
            if !watch.go_on(0.0) {
                return Err(Stopped);
            }
            most = most_change(&inspection.now, &switched, &region.ends, device.id, cache).filter(|db| *db <= limit);
            if most.is_none() {
                break;
            }
        }
        found.extend(most.map(|most| (device, most)));
    }
    // Rounded up, so that "at most" is so.
    let found: Vec<(&Device, f64)> =
        found.into_iter().map(|(device, db)| (device, (db * 10.0).ceil() / 10.0)).collect();
    let several = found.len() > 1;
    Ok(found.into_iter().filter_map(|(device, most)| told(inspection, device, most, several)).collect())
}

/// A buffer, or one inside a unit that can be set to true bypass.
fn could_go(device: &Device) -> bool {
    matches!(device.kind, Kind::Buffer(_)) || is_inside(device)
}

fn is_inside(device: &Device) -> bool {
    let buffered = device.kind.pedal().is_some_and(|pedal| pedal.bypass == Bypass::Buffered);
    buffered && can_be(device, Bypass::True)
}

fn fix(inspection: &Inspection<'_>, device: &Device) -> Edit {
    if is_inside(device) {
        mend::bypass(inspection, device, Bypass::True)
    } else {
        Edit::RemoveDevice { variant: inspection.question.variant.id, device: device.id }
    }
}

fn told(inspection: &Inspection<'_>, device: &Device, most: f64, several: bool) -> Option<SizedFinding> {
    let name = inspection.now.name(device.id);
    let (subject, words, gives_up) = if is_inside(device) {
        let gives_up = mend::cuts_a_tail(&inspection.now, device);
        (format!("The buffered bypass of {name}"), format!("Set {name} to true bypass"), gives_up)
    } else {
        let gives_up = "Longer leads or more units behind it may want one again.".to_owned();
        (name.clone(), format!("Take {name} out"), Some(gives_up))
    };
    let edit = fix(inspection, device);
    inspection.tried(&edit)?;
    let mut why = "Without it no level from 20 Hz to 10 kHz changes by more, in any footswitch state: what stands \
                   before it drives the rest as well."
        .to_owned();
    if several {
        why += " Take out one at a time and look again, since one may stand in for another.";
    }
    let told = Diagnosis {
        why,
        about: About { devices: vec![device.id], ..About::default() },
        remedies: vec![Remedy { words: format!("{words}: {} at most", plain(most)), gives_up, edit: Some(edit) }],
        ..Diagnosis::new(
            rules::USELESS_BUFFER,
            Severity::Know,
            format!("{subject} changes nothing: {} at most.", plain(most)),
        )
    };
    Some(SizedFinding::new(told, 1.0, 1.0))
}

/// The rig with a switch on the buffer that takes it out: with the switch off
/// all is as after the fix.
fn with_a_switch(mut rig: Rig, device: &Device) -> Option<Rig> {
    let through = |on: Stage, wiring: Farads| Kind::Pedal(Pedal::of(Bypass::True, on, on, wiring));
    let kind = match &device.kind {
        Kind::Buffer(buffer) => {
            let input = JackRef::new(device.id, Jack::In);
            let output = JackRef::new(device.id, Jack::Out);
            let (before, after) = (rig.lead_to(input)?.clone(), rig.lead_from(output)?.clone());
            // The wiring and one of the two leads go with the buffer. Before it
            // they load what comes before, so as long as it is there they count
            // as its input; behind it a patch lead on a buffer's output does nothing.
            let mut stage = buffer.stage;
            // Behind a coupling capacitor the leads' capacitance would be another.
            if stage.input.coupling.is_some() {
                return None;
            }
            let off_board = |jack: JackRef| rig.device(jack.device).is_some_and(Device::is_off_board);
            let goes = if off_board(after.to) && !off_board(before.from) { before } else { after };
            // What goes with a longer lead is another rig.
            if goes.length > LONGEST_PATCH {
                return None;
            }
            let mut extra = buffer.wiring.get();
            if goes.to == input {
                extra += goes.capacitance();
            } else if stage.output.get() * goes.capacitance() > NO_FALL {
                return None;
            }
            stage.input.capacitance = Farads::clamped(stage.input.capacitance.get() + extra);
            let joint = region::no_lead(goes.id, goes.from, goes.to);
            rig.leads.iter_mut().filter(|lead| lead.id == goes.id).for_each(|lead| lead.clone_from(&joint));
            through(stage, Farads::of(0.0))
        }
        // On, it isolates either way; off, this is its buffer or a plain wire.
        kind => {
            let pedal = kind.pedal()?;
            through(pedal.off, pedal.wiring)
        }
    };
    let slot = rig.devices.iter_mut().find(|other| other.id == device.id)?;
    slot.kind = kind;
    slot.stays_on = false;
    Some(rig)
}

/// The most that any level at these inputs changes in any state, in dB. None
/// where nothing sounds, or not every state was looked at.
fn most_change(
    at_target: &RigAtTarget,
    rig: &Arc<Rig>,
    ends: &[Target],
    device: DeviceId,
    cache: &mut LineCache,
) -> Option<f64> {
    let level = rig.device(device)?.kind.pedal()?.on.level.get();
    let mut most: Option<f64> = None;
    for end in ends {
        let states = explore(at_target, rig, *end, cache).ok().filter(|states| states.exact)?;
        // An end that doesn't hear it at all has no jump.
        let Some(jump) = states.jumps.iter().find(|jump| jump.device() == device) else { continue };
        let level = if jump.is_whole { 0.0 } else { level };
        let curves = jump.highest_db.iter().zip(&jump.lowest_db).zip(states.hz());
        let heard = curves.filter(|(_, hz)| **hz <= UP_TO_HZ);
        let here = heard.map(|((high, low), _)| (high + level).abs().max((low + level).abs())).fold(0.0, f64::max);
        most = Some(most.map_or(here, |most| most.max(here)));
    }
    most
}
