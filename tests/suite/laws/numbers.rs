//! An edit whose new things have no ids yet is the same edit with any.

use rigwright_core::file;
use rigwright_core::parts::catalogue;
use rigwright_core::rig::{DeviceId, Edit, Id, Jack, JackRef, Lead, LeadId, Project, VariantId, apply, placeholder};
use rigwright_core::units::Metres;

/// A buffer on the guitar's lead, and the next unit on the lead that is new then.
fn two_steps(project: &Project, buffer: Id, lead_id: Id) -> Edit {
    let variant = &project.variants[0];
    let lead = variant.rig.leads[0].clone();
    let patch = Lead { id: LeadId(lead_id), ..lead.clone() };
    let device = catalogue().part("buffer").unwrap().device(DeviceId(buffer));
    let insert =
        Edit::Insert { variant: variant.id, lead: lead.id, device: Box::new(device), patch: Box::new(patch.clone()) };
    let far = variant.rig.devices.iter().find(|device| device.name == "Delay").unwrap().id;
    let shorter = Lead {
        from: JackRef::new(DeviceId(buffer), Jack::Out),
        to: JackRef::new(far, Jack::In),
        length: Metres::of(0.3),
        ..patch
    };
    let moved = Edit::Move { variant: variant.id, device: far, onto: LeadId(lead_id) };
    let set = Edit::SetLead { variant: variant.id, lead: Box::new(shorter) };
    Edit::Batch(vec![insert, moved, set])
}

#[test]
fn what_is_new_gets_numbers_and_what_was_there_keeps_its_own() {
    let project = file::demo().unwrap();
    let thought_of = two_steps(&project, placeholder(0), placeholder(1));
    for free in [project.next_id, project.next_id + 7] {
        let numbered = two_steps(&project, free, free + 1);
        assert_eq!(thought_of.resolved(free), numbered);
        assert_eq!(numbered.with_placeholders(free), thought_of);
        assert_eq!(numbered.resolved(3), numbered, "there is nothing left to number");
    }
    // Done, it has the project's next ids.
    let numbered = two_steps(&project, project.next_id, project.next_id + 1);
    let done = apply(&project, &thought_of).unwrap();
    assert_eq!(done, apply(&project, &numbered).unwrap());
    assert_eq!(done.next_id, project.next_id + 2);
    assert!(file::read(file::write(&done).unwrap().as_bytes()).is_ok());
}

#[test]
fn where_there_are_no_numbers_left_nothing_new_comes_in() {
    let mut project = file::demo().unwrap();
    let thought_of = two_steps(&project, placeholder(0), placeholder(1));
    project.next_id = rigwright_core::rig::IDS_END - 1;
    assert_eq!(
        apply(&project, &thought_of).unwrap_err().to_string(),
        "this project has used up its numbers, so nothing new can join it"
    );
}

#[test]
fn what_brings_nothing_in_has_no_placeholders() {
    let project = file::demo().unwrap();
    assert!(two_steps(&project, placeholder(0), placeholder(1)).has_placeholders());
    assert!(!two_steps(&project, 5000, 5001).has_placeholders());
    assert!(!Edit::RemoveVariant(VariantId(1)).has_placeholders());
}
