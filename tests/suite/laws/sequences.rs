//! Laws of many edits one after another, of every kind: nothing half done, nothing
//! left behind, each step saved as it is and taken back exactly.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use proptest::prelude::*;
use rigwright::state::{Change, Document, Gesture};
use rigwright_core::file;
use rigwright_core::rig::{
    Device, DeviceId, Edit, EditError, IDS_END, Id, KeptOrder, LeadId, Project, SoundEdit, SoundId, apply,
};

use super::cases;
use super::rigs::{project, rig_of};
use crate::generator::{Dice, KINDS, broken, edits, healthy, kind, through};
use crate::rigs::device;

const STEPS: usize = 24;

/// Everything of a project that has an id: what it is, and which.
fn named(project: &Project) -> BTreeSet<(&'static str, Id)> {
    let inside = project.variants.iter().flat_map(|variant| {
        let devices = variant.rig.devices.iter().map(|device| ("device", device.id.0));
        let leads = variant.rig.leads.iter().map(|lead| ("lead", lead.id.0));
        devices.chain(leads).chain([("variant", variant.id.0)])
    });
    inside.chain(project.sounds.iter().map(|sound| ("sound", sound.id.0))).collect()
}

/// What every edit leaves as it should be, if it was so before.
fn coherent(project: &Project) -> Result<(), TestCaseError> {
    let named = named(project);
    let highest = named.iter().map(|(_, id)| *id).max().unwrap_or(0);
    prop_assert!(project.next_id > highest, "{} isn't above {highest}", project.next_id);
    prop_assert!(!project.variants.is_empty());
    let sounds: BTreeSet<_> = project.sounds.iter().map(|sound| sound.id).collect();
    prop_assert_eq!(sounds.len(), project.sounds.len(), "a sound is there twice");
    for variant in &project.variants {
        let devices: BTreeSet<_> = variant.rig.devices.iter().map(|device| device.id).collect();
        prop_assert_eq!(devices.len(), variant.rig.devices.len(), "a device is there twice");
        let leads: BTreeSet<_> = variant.rig.leads.iter().map(|lead| lead.id).collect();
        prop_assert_eq!(leads.len(), variant.rig.leads.len(), "a lead is there twice");
        prop_assert!(variant.places.keys().all(|device| devices.contains(device)), "a place of nothing");
        for order in &variant.kept_orders {
            let KeptOrder { before, behind } = *order;
            prop_assert!(devices.contains(&before) && devices.contains(&behind), "an order of what is gone");
            let other = KeptOrder { before: behind, behind: before };
            prop_assert!(!variant.kept_orders.contains(&other), "both orders at once, or a unit before itself");
        }
    }
    for state in project.sounds.iter().flat_map(rigwright_core::rig::Sound::states).chain([&project.state]) {
        let known = |device: &DeviceId| named.contains(&("device", device.0));
        prop_assert!(state.positions.keys().all(|switch| known(&switch.device)), "a switch of what is gone");
        prop_assert!(state.turned.keys().all(|knob| known(&knob.device)), "a control of what is gone");
    }
    let point = project.test_point.is_none_or(|point| named.contains(&("lead", point.lead.0)));
    prop_assert!(point, "a test point on what is gone");
    let text = file::write(project).unwrap();
    prop_assert!(file::read(text.as_bytes()).as_ref() == Ok(project), "it comes back otherwise from {text}");
    Ok(())
}

/// A walk of edits that could be done, and the projects after each.
fn walk(seed: u64, size: usize) -> Result<(Project, Vec<(Edit, Project)>), TestCaseError> {
    let first = project(&healthy(seed, size));
    let steps = walk_from(&first, &mut Dice::new(seed ^ 0x5e9))?;
    Ok((first, steps))
}

fn walk_from(first: &Project, dice: &mut Dice) -> Result<Vec<(Edit, Project)>, TestCaseError> {
    let mut steps: Vec<(Edit, Project)> = Vec::new();
    for _ in 0..STEPS {
        let at = steps.last().map_or(first, |(_, project)| project);
        let possible = edits(at, at.next_id, dice);
        let edit = dice.pick(&possible);
        if let Ok(next) = apply(at, &edit) {
            prop_assert!(next.next_id >= at.next_id, "{edit:?} took ids back");
            steps.push((edit, next));
        }
    }
    Ok(steps)
}

proptest! {
    #![proptest_config(cases(150))]

    /// Whatever is done, ids name one thing, nothing names what is gone, and the
    /// file holds all of it.
    #[test]
    fn every_step_is_coherent(seed: u64, size in 1_usize..14) {
        let (first, steps) = walk(seed, size)?;
        coherent(&first)?;
        for (edit, after) in &steps {
            coherent(after).map_err(|why| TestCaseError::fail(format!("after {edit:?}: {why}")))?;
        }
    }

    /// Whatever edits made of whatever rig, one that can't work too, and with few
    /// ids left: it can be saved, and opens as it was.
    #[test]
    fn what_edits_leave_opens_again(seed: u64, size in 1_usize..14, whole: bool, room in prop::option::of(0_u64..40)) {
        let case = if whole { healthy(seed, size) } else { broken(seed, size) };
        let mut first = project(&case);
        if let Some(room) = room {
            first.next_id = IDS_END - room;
        }
        for (edit, after) in walk_from(&first, &mut Dice::new(seed ^ 0x10d))? {
            match file::write(&after) {
                Ok(text) => prop_assert!(file::read(text.as_bytes()).as_ref() == Ok(&after), "after {edit:?}"),
                Err(error) => return Err(TestCaseError::fail(format!("after {edit:?}: {error}"))),
            }
        }
    }

    /// All steps as one edit do the same, and with one that can't be done, nothing.
    #[test]
    fn a_batch_is_all_or_nothing(seed: u64, size in 1_usize..14, at: prop::sample::Index) {
        let (first, steps) = walk(seed, size)?;
        let mut all: Vec<Edit> = steps.iter().map(|(edit, _)| edit.clone()).collect();
        let last = steps.last().map_or(&first, |(_, project)| project);
        prop_assert!(apply(&first, &Edit::Batch(all.clone())).as_ref() == Ok(last));
        let variant = first.variants[0].id;
        let impossible = [
            Edit::RemoveLead { variant, lead: LeadId(u64::MAX) },
            Edit::Sound(SoundEdit::Recall { sound: SoundId(u64::MAX), variant }),
            Edit::KeepOrder {
                variant,
                order: KeptOrder { before: DeviceId(1), behind: DeviceId(1) },
                kept: true,
            },
        ];
        let copy = first.clone();
        for edit in impossible {
            all.insert(at.index(all.len() + 1), edit);
            prop_assert!(apply(&first, &Edit::Batch(all.clone())).is_err());
            prop_assert!(first == copy);
        }
    }

    /// Undo gives back each project as it was, and redo each as it became; what is
    /// new after an undo gets an id that nothing ever had.
    #[test]
    fn undo_is_exact_and_ids_are_used_once(seed: u64, size in 1_usize..10) {
        let mut dice = Dice::new(seed ^ 0xd0c);
        let mut document = Document::new(project(&healthy(seed, size)));
        let mut trail = vec![Arc::clone(document.project())];
        let mut ever = named(document.project());
        for round in 0..3 {
            for _ in 0..STEPS / 2 {
                let (fresh, _) = (document.fresh_id(), document.fresh_id());
                let possible = edits(document.project(), fresh, &mut dice);
                let edit = dice.pick(&possible);
                let before = Arc::clone(document.project());
                if document.push(Change::new(kind(&edit), edit)).is_err() {
                    prop_assert!(Arc::ptr_eq(document.project(), &before));
                }
                let (old, new) = (named(&before), named(document.project()));
                for name in new.difference(&old) {
                    prop_assert!(ever.insert(*name), "round {round}: {name:?} was there before");
                }
                // What changes nothing makes no step.
                if *document.project() != before {
                    trail.push(Arc::clone(document.project()));
                }
            }
            for earlier in trail.iter().rev().skip(1) {
                prop_assert!(document.undo());
                prop_assert!(document.project() == earlier);
            }
            prop_assert!(!document.undo());
            for later in trail.iter().skip(1) {
                prop_assert!(document.redo());
                prop_assert!(document.project() == later);
            }
            prop_assert!(!document.redo());
            // The next round begins some steps back.
            for _ in 0..dice.below(trail.len()) {
                document.undo();
                trail.pop();
            }
        }
    }

    /// A gesture of many edits of one kind is one step back, whatever the kind.
    #[test]
    fn a_gesture_is_one_step(seed: u64, size in 2_usize..8) {
        let mut dice = Dice::new(seed ^ 0x6e5);
        let first = project(&healthy(seed, size));
        for edit in edits(&first, first.next_id, &mut dice) {
            let mut document = Document::new(first.clone());
            let change = Change::new("drag", edit).in_gesture(Gesture(7));
            let again = Change::new("drag", Edit::SetNotes("dragged".into())).in_gesture(Gesture(7));
            if document.push(change).is_err() {
                continue;
            }
            prop_assert!(document.push(again).is_ok());
            document.end_gesture();
            prop_assert!(document.undo() && **document.project() == first && !document.can_undo());
        }
    }
}

/// Every kind of edit is among those that the laws above try, often enough.
#[test]
fn every_kind_of_edit_is_done() {
    let mut done: BTreeMap<&str, usize> = BTreeMap::new();
    for seed in 0..300 {
        let (_, steps) = walk(seed, 2 + seed as usize % 12).unwrap();
        for (edit, _) in steps {
            *done.entry(kind(&edit)).or_default() += 1;
        }
    }
    assert_eq!(done.keys().copied().collect::<Vec<_>>(), KINDS);
    let rare: Vec<_> = done.iter().filter(|(_, times)| **times < 15).collect();
    assert!(rare.is_empty(), "{rare:?}");
}

/// A device under an old number, as from a sheet of edits that is done again: the
/// next number stays above it, whichever way it came.
#[test]
fn a_number_that_comes_back_takes_none_back() {
    for seed in 0..60 {
        let before = project(&healthy(seed, 6));
        let variant = before.variants[0].id;
        let mut dice = Dice::new(seed);
        let id = 1 + dice.below(before.next_id as usize) as u64;
        let again = Device { id: DeviceId(id), ..device(id, "again", through(&mut dice)) };
        let add = Edit::AddDevice { variant, device: Box::new(again), place: None };
        match apply(&before, &add) {
            Ok(after) => assert_eq!(after.next_id, before.next_id.max(id + 1)),
            Err(error) => {
                assert_eq!(error, EditError::IdTaken(id));
                assert!(rig_of(&before).device(DeviceId(id)).is_some());
            }
        }
    }
}
