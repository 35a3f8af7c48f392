//! What is done to several things at once, as one change.

use std::collections::BTreeSet;

use rigwright_core::rig::{CanvasPoint, Device, DeviceId, Edit, Lead, LeadId, NoteEdit, State, Variant, device_name};
use rigwright_core::units::counted;
use rigwright_core::words::list;

use super::{Change, Selection};

/// What several things are called together: "3 devices", "a lead", a device by its name.
#[must_use]
pub fn called(variant: &Variant, selection: &Selection) -> String {
    let (devices, leads, notes) = (selection.devices(), selection.leads(), selection.notes());
    let of_notes = match notes.len() {
        1 => "a note".to_owned(),
        count => format!("{} notes", counted(count)),
    };
    let others = match (devices.len(), leads.len()) {
        (0, 0) => return of_notes,
        (1, 0) => devices.first().map_or_else(String::new, |id| device_name(&variant.rig, *id)),
        (0, 1) => "a lead".to_owned(),
        (0, leads) => format!("{} leads", counted(leads)),
        (1, _) => "a device and leads".to_owned(),
        (devices, _) => format!("{} devices", counted(devices)),
    };
    if notes.is_empty() { others } else { format!("{others} and {of_notes}") }
}

/// "3 devices, 2 leads and 1 note".
#[must_use]
pub fn counts(devices: usize, leads: usize, notes: usize) -> String {
    let told = |(count, one): (usize, &str)| match count {
        0 => None,
        1 => Some(format!("1 {one}")),
        count => Some(format!("{} {one}s", counted(count))),
    };
    let told: Vec<String> =
        [(devices, "device"), (leads, "lead"), (notes, "note")].into_iter().filter_map(told).collect();
    list(&told)
}

/// Devices go and the gaps are closed; of leads those are unplugged that no such device has a
/// part in.
#[must_use]
pub fn take_out(variant: &Variant, selection: &Selection) -> Option<Change> {
    let (devices, leads) = (selection.devices(), selection.leads());
    let stays = |id: &&LeadId| {
        let lead = variant.rig.lead(**id);
        lead.is_some_and(|lead| !devices.contains(&lead.from.device) && !devices.contains(&lead.to.device))
    };
    let unplug = leads.iter().filter(stays).map(|&lead| Edit::RemoveLead { variant: variant.id, lead });
    let take = devices.iter().map(|&device| Edit::RemoveDevice { variant: variant.id, device });
    let tear =
        selection.notes().into_iter().map(|note| Edit::Note { variant: variant.id, edit: NoteEdit::Remove(note) });
    let edits: Vec<Edit> = unplug.chain(take).chain(tear).collect();
    if edits.is_empty() {
        return None;
    }
    let verb = if devices.is_empty() && !leads.is_empty() { "unplug" } else { "take out" };
    Some(Change::new(format!("{verb} {}", called(variant, selection)), one_of(edits)))
}

/// One step on each footswitch that has to move so that all are on; so that all are off, if
/// all are on.
#[must_use]
pub fn switch(variant: &Variant, state: &State, devices: &BTreeSet<DeviceId>) -> Option<Change> {
    let chosen = variant.rig.devices.iter().filter(|device| devices.contains(&device.id) && device.has_switch());
    let chosen: Vec<&Device> = chosen.collect();
    let on = chosen.iter().any(|device| !device.is_on(state));
    let moved = chosen.iter().filter(|device| device.is_on(state) != on);
    let edits: Vec<Edit> = moved.filter_map(|device| device.stepped_on(state)).map(Edit::Switch).collect();
    let word = if on { "on" } else { "off" };
    (!edits.is_empty()).then(|| Change::new(format!("switch {} units {word}", counted(edits.len())), one_of(edits)))
}

/// Each of some devices as `change` has it; those that stay as they are take no part.
#[must_use]
pub fn set_devices(
    variant: &Variant,
    devices: &BTreeSet<DeviceId>,
    what: &str,
    change: impl Fn(&mut Device),
) -> Option<Change> {
    let chosen = variant.rig.devices.iter().filter(|device| devices.contains(&device.id));
    let set = |device: Device| Edit::SetDevice { variant: variant.id, device: Box::new(device) };
    all_as_one(changed(chosen, change).map(set), what, "devices")
}

/// The same of leads.
#[must_use]
pub fn set_leads(
    variant: &Variant,
    leads: &BTreeSet<LeadId>,
    what: &str,
    change: impl Fn(&mut Lead),
) -> Option<Change> {
    let chosen = variant.rig.leads.iter().filter(|lead| leads.contains(&lead.id));
    let set = |lead: Lead| Edit::SetLead { variant: variant.id, lead: Box::new(lead) };
    all_as_one(changed(chosen, change).map(set), what, "leads")
}

/// Things as a change makes them, without those that stay as they are.
fn changed<'a, T: Clone + PartialEq + 'a>(
    all: impl Iterator<Item = &'a T>,
    change: impl Fn(&mut T),
) -> impl Iterator<Item = T> {
    all.filter_map(move |one| {
        let mut changed = one.clone();
        change(&mut changed);
        (changed != *one).then_some(changed)
    })
}

fn all_as_one(edits: impl Iterator<Item = Edit>, what: &str, of: &str) -> Option<Change> {
    let edits: Vec<Edit> = edits.collect();
    (!edits.is_empty()).then(|| Change::new(format!("{what} of {} {of}", counted(edits.len())), one_of(edits)))
}

/// Symbols at places of the sheet.
#[must_use]
pub fn stand(variant: &Variant, places: &[(DeviceId, CanvasPoint)]) -> Edit {
    let place = |&(device, at): &(DeviceId, CanvasPoint)| Edit::Place { variant: variant.id, device, place: Some(at) };
    one_of(places.iter().map(place).collect())
}

fn one_of(mut edits: Vec<Edit>) -> Edit {
    if edits.len() == 1
        && let Some(edit) = edits.pop()
    {
        return edit;
    }
    Edit::Batch(edits)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::state::Selected;
    use rigwright_core::file;
    use rigwright_core::rig::{Project, apply};

    fn demo() -> Project {
        file::demo().unwrap()
    }

    /// Units beside each other with the leads at both their sides: the way is whole afterwards.
    #[test]
    fn a_stretch_that_is_taken_out_leaves_a_whole_way() {
        let project = demo();
        let variant = &project.variants[0];
        let pedals: Vec<DeviceId> =
            variant.rig.devices.iter().filter(|d| d.kind.pedal().is_some()).map(|d| d.id).take(3).collect();
        let touched = variant.rig.leads.iter().filter(|lead| pedals.contains(&lead.from.device));
        let items = pedals.iter().map(|id| Selected::Device(*id)).chain(touched.map(|lead| Selected::Lead(lead.id)));
        let change = take_out(variant, &Selection::of_all(items)).unwrap();
        let after = apply(&project, &change.edit).unwrap();
        let rig = &after.variants[0].rig;
        assert_eq!(rig.devices.len(), variant.rig.devices.len() - 3);
        assert_eq!(rig.leads.len(), variant.rig.leads.len() - 3);
        assert_eq!(rig.free_jacks(), variant.rig.free_jacks());
        assert_eq!(take_out(variant, &Selection::default()), None);
    }

    #[test]
    fn all_are_switched_on_before_all_are_switched_off() {
        let project = demo();
        let variant = &project.variants[0];
        let free = variant.rig.devices.iter().filter(|d| d.kind.pedal().is_some() && !d.stays_on);
        let pedals: BTreeSet<DeviceId> = free.map(|d| d.id).take(3).collect();
        let mut state = State::default();
        let are_on =
            |state: &State| pedals.iter().map(|id| variant.rig.device(*id).unwrap().is_on(state)).collect::<Vec<_>>();
        assert_eq!(are_on(&state), [false; 3]);
        let first = variant.rig.device(*pedals.first().unwrap()).unwrap().stepped_on(&state).unwrap();
        state.positions.insert(first.switch, first.to);
        for expected in [[true; 3], [false; 3]] {
            let edit = switch(variant, &state, &pedals).unwrap().edit;
            state = apply(&Project { state, ..project.clone() }, &edit).unwrap().state;
            assert_eq!(are_on(&state), expected);
        }
        assert_eq!(switch(variant, &state, &BTreeSet::new()), None);
    }
}
