//! What is computed, and what isn't.

use super::*;
use rigwright_core::file;
use rigwright_core::rig::{Edit, Place, Variant, apply};

/// The blank rig twice: the variants share the rig, and the second gets a device that the first hasn't.
fn two() -> Project {
    let blank = file::blank().unwrap();
    let id = VariantId(blank.next_id);
    let copy = Variant { id, name: "copy".to_owned(), ..(*blank.variants[0]).clone() };
    apply(&blank, &Edit::AddVariant(Arc::new(copy))).unwrap()
}

#[test]
fn what_no_answer_depends_on_computes_none() {
    let project = two();
    let mut answers = Answers::default();
    assert!(answers.update(&project));
    assert_eq!(answers.computed(), 2);
    assert!(!answers.update(&project));
    let (variant, device) = (project.variants[0].id, project.variants[0].rig.devices[0].id);
    let place = Some(Place { x: 3.0, y: 4.0 });
    let moved = apply(&project, &Edit::Place { variant, device, place }).unwrap();
    let renamed = apply(&moved, &Edit::SetTitle("tour".to_owned())).unwrap();
    assert!(!answers.update(&renamed));
    assert_eq!(answers.computed(), 2);
}

#[test]
fn an_edit_computes_its_own_variant_only() {
    let project = two();
    let mut answers = Answers::default();
    answers.update(&project);
    let (first, second) = (project.variants[0].id, project.variants[1].id);
    let before = Arc::clone(answers.get(first).unwrap());
    let mut lead = project.variants[1].rig.leads[0].clone();
    lead.length = rigwright_core::units::Metres::of(30.0);
    let edit = Edit::SetLead { variant: second, lead: Box::new(lead) };
    let longer = apply(&project, &edit).unwrap();
    assert!(answers.update(&longer));
    assert_eq!(answers.computed(), 3);
    assert!(Arc::ptr_eq(answers.get(first).unwrap(), &before));
    assert_ne!(**answers.get(second).unwrap(), *before);
    assert!(answers.update(&project), "back again");
    assert_eq!(**answers.get(second).unwrap(), *before);
}

#[test]
fn a_switch_that_a_variant_lacks_is_nothing_to_it() {
    let mut project = two();
    let mut device = project.variants[0].rig.devices[0].clone();
    device.id = rigwright_core::rig::DeviceId(project.next_id);
    let id = device.id;
    let (first, second) = (project.variants[0].id, project.variants[1].id);
    let add = Edit::AddDevice { variant: second, device: Box::new(device), place: None };
    project = apply(&project, &add).unwrap();
    let mut answers = Answers::default();
    answers.update(&project);
    let before = Arc::clone(answers.get(first).unwrap());
    let stepped = apply(&project, &Edit::Switch { device: id, on: true }).unwrap();
    answers.update(&stepped);
    assert!(Arc::ptr_eq(answers.get(first).unwrap(), &before));
    assert_eq!(answers.computed(), 3);
}

#[test]
fn gone_variants_are_dropped() {
    let project = two();
    let mut answers = Answers::default();
    answers.update(&project);
    let gone = project.variants[1].id;
    let one = apply(&project, &Edit::RemoveVariant(gone)).unwrap();
    assert!(answers.update(&one));
    assert!(answers.get(gone).is_none());
    assert_eq!(answers.computed(), 2);
}
