//! The edits that mend something, and how a button says them.

use super::Remedy;
use super::inspection::Inspection;
use super::rig_at_target::{First, RigAtTarget};
use crate::parts::{Group, catalogue, shipped_part};
use crate::rig::{
    Bypass, Device, DeviceId, Edit, Jack, JackRef, Kind, Lead, LeadId, NEEDS_POWER, Rig, Tuner, free_name,
};
use crate::units::Metres;
use crate::words::few;

/// What is put in where a lead wants a low-impedance source.
const BUFFER: &str = "buffer";
const PATCH: &str = "patch-lead";

/// A longer lead between two units is no patch lead. [practice, S: mends]
pub const LONGEST_PATCH: Metres = Metres::of(1.0);

/// An edit and what it does, without its figure.
#[derive(Clone)]
pub struct Mend {
    /// "Put a buffer after the guitar's lead".
    pub words: String,
    /// The change.
    pub edit: Edit,
    /// Fuzzes that would no longer see the guitar.
    pub hides: Vec<DeviceId>,
    /// What is given up for it, in one sentence, if anything.
    pub gives_up: Option<String>,
}

impl Mend {
    /// "Put a buffer after the guitar's lead: 6.2 m left", and what to mind.
    pub fn said(&self, at_target: &RigAtTarget, figure: &str) -> String {
        let caution = match self.hides.as_slice() {
            [] => String::new(),
            fuzzes => {
                let names: Vec<String> = fuzzes.iter().map(|fuzz| at_target.name(*fuzz)).collect();
                let see = if names.len() == 1 { "sees" } else { "see" };
                format!(", but then {} {see} it and not the guitar", few(&names, 2))
            }
        };
        format!("{}: {figure}{caution}", self.words)
    }

    /// The same as a fix.
    pub fn fix(self, at_target: &RigAtTarget, figure: &str) -> Remedy {
        Remedy { words: self.said(at_target, figure), gives_up: self.gives_up, edit: Some(self.edit) }
    }
}

/// A buffer on a lead. The long lead stays with whatever is off the board.
pub fn buffer(inspection: &Inspection<'_>, lead: LeadId, words: String) -> Option<Mend> {
    let edit = insert(inspection, &inspection.now.rig, lead)?;
    let first = inspection.now.first().filter(|first| first.run.leads.contains(&lead));
    let hides = first.map_or_else(Vec::new, |first| inspection.now.fuzzes_behind(first.run, lead, inspection.limits));
    Some(Mend { words, edit, hides, gives_up: Some(NEEDS_POWER.to_owned()) })
}

fn insert(inspection: &Inspection<'_>, rig: &Rig, lead: LeadId) -> Option<Edit> {
    let id = inspection.first_free();
    let mut device = catalogue().part(BUFFER)?.device(DeviceId(id));
    device.name = free_name(&device.name, |name| rig.carriers().any(|device| device.name == name));
    let part = catalogue().cable(PATCH)?;
    let old = rig.lead(lead)?;
    // The edit sets its ends.
    let patch = Lead {
        id: LeadId(id.checked_add(1)?),
        from: old.from,
        to: old.to,
        length: part.default_length,
        cable: part.cable.clone(),
    };
    let variant = inspection.question.variant.id;
    Some(Edit::Insert { variant, lead, device: Box::new(device), patch: Box::new(patch) })
}

/// A buffer where the guitar's own lead ends.
pub fn buffer_first(inspection: &Inspection<'_>, first: First<'_>) -> Option<Mend> {
    buffer(inspection, first.lead, format!("Put a buffer after the {}'s lead", first.noun))
}

/// A buffer on the lead that leaves a device.
pub fn buffer_behind(inspection: &Inspection<'_>, device: DeviceId) -> Option<Mend> {
    let lead = inspection.now.rig.lead_from(JackRef::new(device, Jack::Out))?.id;
    buffer(inspection, lead, format!("Put a buffer behind {}", inspection.now.name(device)))
}

/// A buffer on the lead into a device.
pub fn buffer_before(inspection: &Inspection<'_>, device: DeviceId) -> Option<Mend> {
    let lead = inspection.now.lead_into(device)?;
    buffer(inspection, lead, format!("Put a buffer before {}", inspection.now.name(device)))
}

/// A fuzz to the front of the board, and a buffer behind it. It goes behind a
/// tuner that is a plain wire while off, so that the tuner still hears the guitar.
pub fn fuzz_first_then_buffer(inspection: &Inspection<'_>, first: First<'_>, fuzz: DeviceId) -> Option<Mend> {
    let tuner =
        inspection.now.rig.lead(first.lead).map(|lead| lead.to.device).filter(|id| is_a_wire(&inspection.now, *id));
    let behind = tuner.and_then(|tuner| inspection.now.rig.lead_from(JackRef::new(tuner, Jack::Out)));
    let to_front = move_onto(inspection, fuzz, behind.map_or(first.lead, |lead| lead.id));
    let moved = inspection.tried(&to_front)?;
    let lead = moved.rig.lead_from(JackRef::new(fuzz, Jack::Out))?.id;
    let now_first = moved.first()?;
    let hides = moved.fuzzes_behind(now_first.run, lead, inspection.limits);
    let edit = Edit::Batch(vec![to_front, insert(inspection, &moved.rig, lead)?]);
    let name = inspection.now.name(fuzz);
    let place = match tuner.zip(behind) {
        Some((tuner, _)) => format!("behind {}", inspection.now.name(tuner)),
        None => "to the front".to_owned(),
    };
    let words = format!("Move {name} {place} and put a buffer behind it");
    let gives_up = passed_by(inspection, fuzz, &moved).unwrap_or_else(|| NEEDS_POWER.to_owned());
    Some(Mend { words, edit, hides, gives_up: Some(gives_up) })
}

/// Whether a unit is a tuner that joins input and output while off.
fn is_a_wire(at_target: &RigAtTarget, device: DeviceId) -> bool {
    let device = at_target.rig.device(device).filter(|device| !device.stays_on);
    device.is_some_and(|device| match &device.kind {
        Kind::Tuner(Tuner::Through { pedal, .. }) => pedal.bypass == Bypass::True,
        _ => false,
    })
}

/// What a unit that moves forward takes from those that it passes by.
pub fn passed_by(inspection: &Inspection<'_>, device: DeviceId, moved: &RigAtTarget) -> Option<String> {
    let name = inspection.now.name(device);
    let passed = |other: &&Device| inspection.now.is_behind(other.id, device) && moved.is_behind(device, other.id);
    let passed: Vec<&Device> = inspection.now.rig.devices.iter().filter(passed).collect();
    if let Some(tuner) = passed.iter().find(|other| matches!(other.kind, Kind::Tuner(_))) {
        let tuner = inspection.now.name(tuner.id);
        return Some(format!("{tuner} then stands behind it and, while {name} is on, hears that and not the strings."));
    }
    let names: Vec<String> = passed.iter().map(|other| inspection.now.name(other.id)).collect();
    let shape = if names.len() == 1 { "shapes" } else { "shape" };
    let names = (!names.is_empty()).then(|| few(&names, 3))?;
    Some(format!("{names} then {shape} what comes out of {name}, and no longer what goes in."))
}

/// What a unit gives up with its buffer.
pub fn without_a_buffer(at_target: &RigAtTarget, device: &Device) -> Option<String> {
    let no_more =
        || format!("While off, {} no longer keeps what stands behind it off the guitar.", at_target.name(device.id));
    let buffered = device.kind.pedal()?.bypass == Bypass::Buffered;
    cuts_a_tail(at_target, device).or_else(|| buffered.then(no_more))
}

/// What an echo or a reverb gives up with its buffer: what rings on.
pub fn cuts_a_tail(at_target: &RigAtTarget, device: &Device) -> Option<String> {
    has_a_tail(device).then(|| format!("Switched off, {} cuts its tail short.", at_target.name(device.id)))
}

/// Whether something rings on after it: an echo or a reverb.
fn has_a_tail(device: &Device) -> bool {
    let (name, words) = (device.name.to_lowercase(), ["delay", "echo", "reverb"]);
    let group = shipped_part(&device.part).map(|part| part.group);
    group == Some(Group::DelayReverb) || words.iter().any(|word| name.contains(word))
}

/// A device on another lead.
pub fn move_onto(inspection: &Inspection<'_>, device: DeviceId, onto: LeadId) -> Edit {
    Edit::Move { variant: inspection.question.variant.id, device, onto }
}

/// A unit set to another kind of bypass.
pub fn bypass(inspection: &Inspection<'_>, device: &Device, to: Bypass) -> Edit {
    let mut kind = device.kind.clone();
    if let Some(pedal) = kind.pedal_mut() {
        pedal.bypass = to;
    }
    set(inspection, device.id, kind)
}

/// The same, as a button says it.
pub fn set_bypass(inspection: &Inspection<'_>, device: &Device, to: Bypass) -> Mend {
    let words = format!("Set {} to {}", inspection.now.name(device.id), to.name());
    let behind = inspection.now.rig.lead_from(JackRef::new(device.id, Jack::Out)).filter(|_| to == Bypass::Buffered);
    let run = inspection.now.first().map(|first| first.run);
    let hides = run
        .zip(behind)
        .map_or_else(Vec::new, |(run, lead)| inspection.now.fuzzes_behind(run, lead.id, inspection.limits));
    let gives_up = match to {
        Bypass::Buffered => Some("Off, it then passes nothing without power.".to_owned()),
        Bypass::True | Bypass::AlwaysLoading => without_a_buffer(&inspection.now, device),
    };
    Mend { words, edit: bypass(inspection, device, to), hides, gives_up }
}

/// Another part of the catalogue in a device's place, under the same name.
pub fn swap(inspection: &Inspection<'_>, device: &Device, part: &str) -> Option<Edit> {
    let part = catalogue().part(part)?;
    let (name, switches) = (device.name.clone(), device.switches.clone());
    let changed = Device { name, stays_on: device.stays_on, switches, ..part.device(device.id) };
    Some(Edit::SetDevice { variant: inspection.question.variant.id, device: Box::new(changed) })
}

/// A device that does something else to the signal. What it takes to work is no
/// part of the edit: findings don't read it, so they can't give it back either.
pub fn set(inspection: &Inspection<'_>, device: DeviceId, kind: Kind) -> Edit {
    Edit::SetKind { variant: inspection.question.variant.id, device, kind: Box::new(kind) }
}
