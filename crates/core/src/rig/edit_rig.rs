//! The surgery on devices and leads behind the edits.

use std::collections::BTreeSet;

use super::join::circles;
use super::{Device, DeviceId, EditError, Jack, JackRef, Lead, LeadId, Problem, Rig, Side, signal_problems};
use crate::units::Metres;

/// A lead from a floor unit to an amp, when the drawing gives no length. [practice, S: published-leads]
const OFF_BOARD_LENGTH: Metres = Metres::of(6.0);

/// What became of the leads of a device that went.
pub struct Healed {
    /// The lead that closed the gap.
    pub kept: Option<LeadId>,
    /// Leads that are no longer there.
    pub gone: Vec<LeadId>,
}

pub fn add_device(rig: &mut Rig, device: Device) -> Result<(), EditError> {
    if rig.device(device.id).is_some() {
        return Err(EditError::IdTaken(device.id.0));
    }
    rig.devices.push(device);
    Ok(())
}

fn off_board(rig: &Rig, jack: JackRef) -> bool {
    rig.device(jack.device).is_some_and(Device::is_off_board)
}

fn has_way_through(device: &Device) -> bool {
    let jacks = device.kind.jacks();
    jacks.contains(&Jack::In) && jacks.contains(&Jack::Out)
}

pub fn insert(rig: &mut Rig, on: LeadId, device: Device, patch: Lead) -> Result<(), EditError> {
    if rig.lead(on).is_none() {
        return Err(EditError::NoLead(on));
    }
    if rig.lead(patch.id).is_some() {
        return Err(EditError::IdTaken(patch.id.0));
    }
    if !has_way_through(&device) {
        return Err(EditError::NoWayThrough(device.name));
    }
    let id = device.id;
    add_device(rig, device)?;
    plug_in(rig, on, id, patch, Side::Left);
    Ok(())
}

pub fn plug(rig: &mut Rig, id: DeviceId, onto: LeadId, patch: Lead) -> Result<(), EditError> {
    let device = rig.device(id).ok_or(EditError::NoDevice(id))?;
    if !has_way_through(device) {
        return Err(EditError::NoWayThrough(device.name.clone()));
    }
    let ends = [JackRef::new(id, Jack::In), JackRef::new(id, Jack::Out)];
    if rig.leads.iter().any(|lead| ends.contains(&lead.from) || ends.contains(&lead.to)) {
        return Err(EditError::NotLoose(device.name.clone()));
    }
    if rig.lead(onto).is_none() {
        return Err(EditError::NoLead(onto));
    }
    if rig.lead(patch.id).is_some() {
        return Err(EditError::IdTaken(patch.id.0));
    }
    if feeds_itself(rig, id, onto) {
        return Err(EditError::FeedsItself(device.name.clone()));
    }
    plug_in(rig, onto, id, patch, Side::Left);
    Ok(())
}

/// Opens the lead `on` at a side of `device`. The lead that was there stays with the
/// off-board end; `patch` joins the other end.
fn plug_in(rig: &mut Rig, on: LeadId, device: DeviceId, mut patch: Lead, side: Side) {
    let Some(at) = rig.leads.iter().position(|lead| lead.id == on) else {
        return;
    };
    let (from, to) = (rig.leads[at].from, rig.leads[at].to);
    let (input, output) = (JackRef::new(device, side.input()), JackRef::new(device, side.output()));
    let old_goes_on = off_board(rig, to) && !off_board(rig, from);
    if off_board(rig, to) && off_board(rig, from) {
        // A patch lead doesn't reach from the floor to the amp.
        patch.cable = rig.leads[at].cable.clone();
        patch.length = OFF_BOARD_LENGTH;
    }
    if old_goes_on {
        (patch.from, patch.to) = (from, input);
        rig.leads[at].from = output;
        rig.leads.insert(at, patch);
    } else {
        rig.leads[at].to = input;
        (patch.from, patch.to) = (output, to);
        rig.leads.insert(at + 1, patch);
    }
}

/// Takes a device out. The gap closes, and of a unit with two channels that of its second side too.
pub fn remove_device(rig: &mut Rig, id: DeviceId) -> Result<Healed, EditError> {
    take_out(rig, id, &Side::BOTH)
}

/// The same, the gap of these sides closing.
fn take_out(rig: &mut Rig, id: DeviceId, sides: &[Side]) -> Result<Healed, EditError> {
    let at = rig.devices.iter().position(|device| device.id == id).ok_or(EditError::NoDevice(id))?;
    let has_sides = rig.devices[at].kind.stereo().is_some();
    let closed = |side: &Side| {
        let before = rig.lead_to(JackRef::new(id, side.input()))?;
        let after = rig.lead_from(JackRef::new(id, side.output()))?;
        let keep_after = off_board(rig, after.to) && !off_board(rig, before.from);
        let kept = if keep_after { after } else { before };
        Some(Lead { from: before.from, to: after.to, ..kept.clone() })
    };
    let closing = sides.iter().filter(|side| **side == Side::Left || has_sides);
    let kept: Vec<Lead> = closing.filter_map(closed).collect();
    let mut gone = Vec::new();
    for lead in &mut rig.leads {
        match kept.iter().find(|kept| kept.id == lead.id) {
            Some(kept) => lead.clone_from(kept),
            None if lead.from.device == id || lead.to.device == id => gone.push(lead.id),
            None => {}
        }
    }
    rig.leads.retain(|lead| !gone.contains(&lead.id));
    rig.devices.remove(at);
    Ok(Healed { kept: kept.first().map(|lead| lead.id), gone })
}

pub fn move_device(rig: &mut Rig, id: DeviceId, onto: LeadId) -> Result<(), EditError> {
    let device = rig.device(id).ok_or(EditError::NoDevice(id))?.clone();
    let target = rig.lead(onto).ok_or(EditError::NoLead(onto))?;
    if target.from.device == id || target.to.device == id {
        return Ok(()); // It stands there already.
    }
    if !has_way_through(&device) {
        return Err(EditError::NoWayThrough(device.name));
    }
    // Both sides of a unit go onto both leads of a pair.
    let pair = second_lead(rig, &device, onto);
    if pair.is_none() && feeds_itself(rig, id, onto) {
        return Err(EditError::FeedsItself(device.name));
    }
    let whole = rig.clone();
    let sides: &[Side] = if pair.is_some() { &Side::BOTH } else { &[Side::Left] };
    let healed = take_out(rig, id, sides)?;
    // The lead that came free goes along; a unit with only one lead, or none,
    // brings the other from a copy of what it had.
    let spare = |side: Side| {
        let jacks = [JackRef::new(id, side.output()), JackRef::new(id, side.input())];
        let freed = |lead: &&Lead| healed.gone.contains(&lead.id) && (lead.from == jacks[0] || lead.to == jacks[1]);
        whole.leads.iter().find(freed).cloned()
    };
    let Some(first) = spare(Side::Left) else {
        *rig = whole;
        return Err(EditError::NoWayThrough(device.name));
    };
    rig.devices.push(device);
    plug_in(rig, onto, id, first, Side::Left);
    if let (Some(onto), Some(second)) = (pair, spare(Side::Right)) {
        plug_in(rig, onto, id, second, Side::Right);
        return Ok(());
    }
    // What hangs at its other jacks goes along.
    for lead in whole.leads {
        let from_side = lead.from.device == id && lead.from.jack != Jack::Out;
        let into_side = lead.to.device == id && lead.to.jack != Jack::In;
        if (from_side || into_side) && rig.lead(lead.id).is_none() {
            rig.leads.push(lead);
        }
    }
    Ok(())
}

/// Puts each of two devices where the other was: what is plugged into their inputs
/// and outputs changes hands. Their other jacks keep what is in them.
pub fn trade_places(rig: &mut Rig, one: DeviceId, other: DeviceId) -> Result<(), EditError> {
    let (a, b) =
        (rig.device(one).ok_or(EditError::NoDevice(one))?, rig.device(other).ok_or(EditError::NoDevice(other))?);
    let has = |device: &Device| [Jack::In, Jack::Out].map(|jack| device.kind.jacks().contains(&jack));
    if has(a) != has(b) || has(a) == [false, false] {
        return Err(EditError::NotAlike(a.name.clone(), b.name.clone()));
    }
    if one == other {
        return Ok(());
    }
    let name = a.name.clone();
    let (before, circles_before, cut_off_before) = (rig.leads.clone(), circles(rig), cut_off(rig));
    let traded = |jack: JackRef| match jack.jack {
        Jack::In | Jack::Out if jack.device == one => JackRef::new(other, jack.jack),
        Jack::In | Jack::Out if jack.device == other => JackRef::new(one, jack.jack),
        _ => jack,
    };
    for lead in &mut rig.leads {
        (lead.from, lead.to) = (traded(lead.from), traded(lead.to));
    }
    // A switcher in its own loop is cut off together with what hangs on it.
    if circles(rig).iter().any(|circle| !circles_before.contains(circle)) || cut_off(rig) > cut_off_before {
        rig.leads = before;
        return Err(EditError::FeedsItself(name));
    }
    Ok(())
}

/// How many devices no signal reaches.
fn cut_off(rig: &Rig) -> usize {
    signal_problems(rig).iter().filter(|problem| matches!(problem, Problem::NotJoined { .. })).count()
}

/// The lead beside another, of the right sides of the same two devices, where a unit that stands
/// in such a pair moves onto it.
fn second_lead(rig: &Rig, device: &Device, onto: LeadId) -> Option<LeadId> {
    let onto = rig.lead(onto).filter(|lead| lead.from.jack == Jack::Out && lead.to.jack == Jack::In)?;
    device.kind.stereo()?;
    rig.lead_to(JackRef::new(device.id, Jack::SecondIn))?;
    rig.lead_from(JackRef::new(device.id, Jack::SecondOut))?;
    let beside = rig.lead_from(JackRef::new(onto.from.device, Jack::SecondOut))?;
    let is_pair = beside.to == JackRef::new(onto.to.device, Jack::SecondIn) && beside.from.device != device.id;
    is_pair.then_some(beside.id)
}

/// Whether a device would feed itself on a lead: the lead's signal comes from another
/// output of the device than its first, or goes to another input.
fn feeds_itself(rig: &Rig, id: DeviceId, on: LeadId) -> bool {
    let Some(device) = rig.device(id) else { return false };
    let sides = device.kind.jacks().iter().filter(|jack| jack.is_output() && **jack != Jack::Out);
    let sides = sides.map(|jack| JackRef::new(id, *jack)).collect();
    let behind_a_side = leads_behind(rig, sides, (id, &[])).any(|lead| lead.id == on);
    // Where it stands now the signal goes on past it.
    let from = rig.lead(on).map(|lead| lead.from).into_iter().collect();
    let is_side = |lead: &Lead| lead.to.device == id && lead.to.jack != Jack::In;
    behind_a_side || leads_behind(rig, from, (id, &[Jack::Out])).any(is_side)
}

/// All leads behind some outputs; one device the signal leaves by these jacks only.
fn leads_behind<'a>(
    rig: &'a Rig,
    mut todo: Vec<JackRef>,
    (id, outs): (DeviceId, &[Jack]),
) -> impl Iterator<Item = &'a Lead> {
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    while let Some(from) = todo.pop() {
        let Some(next) = rig.lead_from(from) else { continue };
        if seen.insert(next.id)
            && let Some(device) = rig.device(next.to.device)
        {
            found.push(next);
            let onward = if device.id == id { outs } else { device.kind.onward(next.to.jack) };
            todo.extend(onward.iter().map(|out| JackRef::new(device.id, *out)));
        }
    }
    found.into_iter()
}
