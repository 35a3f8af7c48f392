//! An edit with other ids is the same edit.

use rigwright_core::file;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{DeviceId, Edit, Id, Jack, JackRef, Lead, LeadId, Project, VariantId, apply};
use rigwright_core::units::Metres;

/// A buffer on the guitar's lead, and the next unit on the lead that is new then.
fn two_steps(project: &Project, from: Id) -> Edit {
    let variant = &project.variants[0];
    let lead = variant.rig.leads[0].clone();
    let patch = Lead { id: LeadId(from + 1), ..lead.clone() };
    let buffer = catalogue().part("buffer").unwrap().device(DeviceId(from));
    let insert =
        Edit::Insert { variant: variant.id, lead: lead.id, device: Box::new(buffer), patch: Box::new(patch.clone()) };
    let far = variant.rig.devices.iter().find(|device| device.name == "Delay").unwrap().id;
    let shorter = Lead {
        from: JackRef::new(DeviceId(from), Jack::Out),
        to: JackRef::new(far, Jack::In),
        length: Metres::of(0.3),
        ..patch
    };
    let moved = Edit::Move { variant: variant.id, device: far, onto: LeadId(from + 1) };
    let set = Edit::SetLead { variant: variant.id, lead: Box::new(shorter) };
    Edit::Batch(vec![insert, moved, set])
}

#[test]
fn what_is_new_gets_other_numbers_and_what_was_there_keeps_its_own() {
    let project = file::demo().unwrap();
    let first = two_steps(&project, project.next_id);
    let later = first.renumbered(project.next_id, project.next_id + 7).unwrap();
    assert_eq!(later, two_steps(&project, project.next_id + 7));
    assert!(apply(&project, &later).is_ok());
    assert_eq!(first.renumbered(project.next_id, project.next_id).as_ref(), Some(&first));
}

#[test]
fn what_cannot_be_numbered_is_not() {
    let project = file::demo().unwrap();
    let edit = two_steps(&project, project.next_id);
    assert_eq!(edit.renumbered(project.next_id, Id::MAX), None, "there are no more numbers");
    let variant = Edit::RemoveVariant(VariantId(1));
    assert_eq!(variant.renumbered(5, 6), None);
    assert_eq!(Edit::Batch(vec![edit, variant]).renumbered(5, 6), None);
}
