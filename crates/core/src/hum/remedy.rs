//! Cures as changes, each tried out: one that breaks no loop isn't offered as one.

use super::{HumQuestion, fold};
use crate::diagnosis::Remedy;
use crate::ground::{Cure, count};
use crate::parts::catalogue;
use crate::power::{Mender, check};
use crate::rig::{DeviceId, Edit, Id, Jack, Kind, Lead, LeadId, PowerEdit, Project, Rig, apply, free_name};
use crate::words::lower;

const BUFFER: &str = "buffer";
const PATCH: &str = "patch-lead";
const LINE: &str = "line-transformer";
const INSTRUMENT: &str = "instrument-transformer";

/// So many units are moved by one change at the most.
const MOVED: usize = 12;

/// A cure as a remedy.
pub fn of(question: &HumQuestion<'_>, cure: Cure, try_out: bool) -> Remedy {
    let words = cure.words(&question.variant.rig);
    if !try_out {
        return Remedy::in_words(words);
    }
    let found = match cure {
        Cure::OneDistribution(..) | Cure::ScreenAtOneEnd(_) => None,
        Cure::GroundLift(device) => lift(question, device).map(|edit| (words.clone(), edit)),
        Cure::IsolatedOutlet(device) => apart(question, device),
        Cure::Transformer(lead) => {
            insert(question, &[transformer(question, lead)], lead).map(|edit| (words.clone(), edit))
        }
        Cure::BufferAndTransformer(lead) => {
            // The later stands behind the earlier, wherever the long lead stays.
            insert(question, &[BUFFER, transformer(question, lead)], lead).map(|edit| (words.clone(), edit))
        }
    };
    match found.filter(|(_, edit)| breaks(question, edit)) {
        Some((words, edit)) => Remedy::of(words, edit),
        None => Remedy::in_words(words),
    }
}

/// How many loops a change leaves; none if it can't be done.
fn left(question: &HumQuestion<'_>, edit: &Edit) -> Option<usize> {
    let project = Project::scratch(question.variant);
    let after = apply(&project, edit).ok()?;
    Some(count(&after.variants.first()?.rig))
}

fn breaks(question: &HumQuestion<'_>, edit: &Edit) -> bool {
    left(question, edit).is_some_and(|left| left < count(&question.variant.rig))
}

/// The change that sets a DI box's ground lift.
fn lift(question: &HumQuestion<'_>, device: DeviceId) -> Option<Edit> {
    let mut kind = question.variant.rig.device(device)?.kind.clone();
    let Kind::DirectBox(direct) = &mut kind else { return None };
    direct.to_desk_mut().lifted = true;
    Some(Edit::SetKind { variant: question.variant.id, device, kind: Box::new(kind) })
}

/// The change that moves a unit to an outlet where it is alone on its 0 V.
fn apart(question: &HumQuestion<'_>, device: DeviceId) -> Option<(String, Edit)> {
    let mender = Mender::new(&question.variant.rig, question.headroom, question.check);
    let mend = mender.alone(device).into_iter().next()?;
    let Remedy { words, edit, .. } = mend.remedy(question.variant.id);
    Some((words, edit?))
}

/// The one change that breaks the most of the loops that some units close: each
/// to an outlet where it is alone, digital ones first, as long as there are such.
pub fn spread(question: &HumQuestion<'_>, devices: &[DeviceId], loops: usize) -> Option<Remedy> {
    let mut rig: Rig = (*question.variant.rig).clone();
    let digital = |id: &DeviceId| rig.device(*id).and_then(|d| d.power.need()).is_some_and(|need| need.digital);
    let mut order: Vec<DeviceId> = devices.to_vec();
    order.sort_by_key(|id| !digital(id));
    let (mut words, mut edits): (Vec<String>, Vec<PowerEdit>) = (Vec::new(), Vec::new());
    let base = question.variant.rig.first_free();
    let mut free = base;
    // The last one is alone when all others are gone.
    for device in order.iter().take(order.len().saturating_sub(1).min(MOVED)) {
        let figures = check(&rig, question.headroom);
        let Some(mend) = Mender::new(&rig, question.headroom, &figures).alone(*device).into_iter().next() else {
            continue;
        };
        // Each step brings in its own lead.
        let step: Vec<PowerEdit> = mend.edits.iter().map(|edit| edit.resolved(free)).collect();
        let Ok(after) = PowerEdit::tried(&step, &rig) else { continue };
        (rig, free) = (after, free.checked_add(1)?);
        words.push(mend.words);
        edits.extend(step);
    }
    let gone = count(&question.variant.rig).saturating_sub(count(&rig));
    if gone == 0 {
        return None;
    }
    let said: Vec<String> =
        words.iter().enumerate().map(|(at, words)| if at == 0 { words.clone() } else { lower(words) }).collect();
    let words = format!("{}: {}", said.join(", "), fold::gone(gone, loops));
    let remedy = Remedy::of_power(words, question.variant.id, &edits);
    Some(Remedy { edit: remedy.edit.map(|edit| edit.with_placeholders(base)), ..remedy })
}

/// Which transformer suits a lead: at line level from a send, to a return or an interface.
fn transformer(question: &HumQuestion<'_>, lead: LeadId) -> &'static str {
    let rig: &Rig = &question.variant.rig;
    let line = rig.lead(lead).is_some_and(|lead| {
        let send = matches!(lead.from.jack, Jack::Send(_)) || matches!(lead.to.jack, Jack::Return(_));
        send || rig.device(lead.to.device).is_some_and(|device| matches!(device.kind, Kind::Interface(_)))
    });
    if line { LINE } else { INSTRUMENT }
}

/// Parts of the catalogue put one behind another into a lead.
fn insert(question: &HumQuestion<'_>, parts: &[&str], lead: LeadId) -> Option<Edit> {
    let variant = question.variant;
    let old = variant.rig.lead(lead)?;
    let patch = catalogue().cable(PATCH)?;
    let mut project = Project::scratch(variant);
    let free = project.next_id;
    let mut ids = (free..).take(2 * parts.len());
    let mut edits = Vec::new();
    let mut onto = lead;
    for key in parts {
        let (id, patch_id): (Id, Id) = (ids.next()?, ids.next()?);
        let mut device = catalogue().part(key)?.device(DeviceId(id));
        let taken = |name: &str| variant.rig.devices.iter().any(|device| device.name == name);
        device.name = free_name(&device.name, taken);
        let new = Lead {
            id: LeadId(patch_id),
            from: old.from,
            to: old.to,
            length: patch.default_length,
            cable: patch.cable.clone(),
        };
        let edit = Edit::Insert { variant: variant.id, lead: onto, device: Box::new(device), patch: Box::new(new) };
        project = apply(&project, &edit).ok()?;
        // The next goes behind it: onto whichever lead leaves it now.
        let rig = &project.variants.first()?.rig;
        onto = rig.leads.iter().find(|lead| lead.from.device == DeviceId(id) && lead.from.jack == Jack::Out)?.id;
        edits.push(edit);
    }
    let edit = if edits.len() == 1 { edits.remove(0) } else { Edit::Batch(edits) };
    Some(edit.with_placeholders(free))
}
