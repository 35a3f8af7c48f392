use rigwright_core::rig::{CanvasPoint, apply, problems};

use super::*;

fn demo() -> Project {
    file::demo().unwrap()
}

fn ids(rig: &Rig) -> BTreeSet<DeviceId> {
    rig.devices.iter().map(|device| device.id).collect()
}

/// A lead between the devices at two places of a rig, and in which of their jacks.
type Joined = (usize, Jack, usize, Jack, Lead);

/// What two rigs have in common whatever their ids are: names aside, everything of the devices
/// and which jacks are joined by what.
fn shape(rig: &Rig) -> (Vec<Device>, Vec<Joined>, Vec<usize>) {
    let at = |id: DeviceId| rig.devices.iter().position(|device| device.id == id).unwrap();
    let devices = rig.devices.iter().map(|device| Device { id: DeviceId(0), name: String::new(), ..device.clone() });
    let nowhere = JackRef::new(DeviceId(0), Jack::In);
    let leads = rig.leads.iter().map(|lead| {
        let plain = Lead { id: LeadId(0), from: nowhere, to: nowhere, ..lead.clone() };
        (at(lead.from.device), lead.from.jack, at(lead.to.device), lead.to.jack, plain)
    });
    let taps = rig.feeds.iter().flat_map(|feed| feed.taps.iter().map(|tap| at(tap.device)));
    (devices.collect(), leads.collect(), taps.collect())
}

#[test]
fn a_whole_rig_is_the_same_in_an_empty_one() {
    let project = demo();
    let variant = &project.variants[0];
    let piece = Piece::of(variant, &project.state, &ids(&variant.rig), &BTreeSet::new()).unwrap();
    let piece_again = Piece::read(&piece.text().unwrap()).unwrap();
    assert_eq!(piece_again, piece);
    let empty = Variant::of(VariantId(900), "empty", Rig::default());
    let scratch = Project::scratch(&Arc::new(empty.clone()));
    let edit = piece_again.put_in(&empty, None).edit.resolved(scratch.next_id);
    let after = apply(&scratch, &edit).unwrap();
    let rig = &after.variants[0].rig;
    assert_eq!(shape(rig), shape(&variant.rig));
    assert_eq!(after.state.positions.len(), project.state.positions.len());
    assert_eq!(rig.devices.iter().map(|d| &d.name).collect::<Vec<_>>(), {
        variant.rig.devices.iter().map(|d| &d.name).collect::<Vec<_>>()
    });
}

#[test]
fn what_is_pasted_twice_has_names_of_its_own() {
    let project = demo();
    let variant = &project.variants[0];
    let some: BTreeSet<DeviceId> = variant.rig.leads[1..3].iter().map(|lead| lead.from.device).collect();
    let piece = Piece::of(variant, &project.state, &some, &BTreeSet::new()).unwrap();
    let once = apply(&project, &piece.put_in(variant, None).edit).unwrap();
    let twice = apply(&once, &piece.put_in(&once.variants[0], None).edit).unwrap();
    let rig = &twice.variants[0].rig;
    assert_eq!(rig.devices.len(), variant.rig.devices.len() + 2 * some.len());
    let names: BTreeSet<&str> = rig.devices.iter().map(|device| device.name.as_str()).collect();
    assert_eq!(names.len(), rig.devices.len());
}

/// Two units that stand one behind the other, brought onto the lead to the amp, stand in the way
/// with the lead between them; the long lead stays with the amp.
#[test]
fn a_way_is_plugged_into_a_lead() {
    let project = demo();
    let variant = &project.variants[0];
    let rig = &variant.rig;
    let through = |id: DeviceId| {
        let jacks = rig.device(id).unwrap().kind.jacks();
        jacks.contains(&Jack::In) && jacks.contains(&Jack::Out)
    };
    let between = rig.leads.iter().find(|lead| through(lead.from.device) && through(lead.to.device)).unwrap();
    let last = rig.leads.iter().find(|lead| rig.device(lead.to.device).unwrap().is_off_board()).unwrap();
    let pair = [between.from.device, between.to.device].into();
    let piece = Piece::of(variant, &project.state, &pair, &BTreeSet::new()).unwrap();
    let change = piece.put_in(variant, Some(last.id));
    assert_eq!(change.select.len(), 2);
    let after = apply(&project, &change.edit.resolved(project.next_id)).unwrap();
    let rig_after = &after.variants[0].rig;
    assert_eq!(problems(rig_after), problems(rig));
    assert_eq!(rig_after.leads.len(), rig.leads.len() + 2);
    let long = rig_after.lead(last.id).unwrap();
    assert_eq!((long.to, long.length), (last.to, last.length));
    let copy = rig_after.device(long.from.device).unwrap();
    assert!(copy.name.starts_with(&rig.device(between.to.device).unwrap().name));
}

#[test]
fn what_is_no_piece_says_why() {
    let long = "x".repeat(LONGEST_TEXT + 1);
    assert_eq!(Piece::read(&long), Err(NoPiece::TooLong));
    assert!(matches!(Piece::read("milk, bread"), Err(NoPiece::NotRead(_))));
    let nothing = Project::scratch(&Arc::new(Variant::of(VariantId(1), "none", Rig::default())));
    let text = file::write(&nothing).unwrap();
    assert_eq!(Piece::read(&text), Err(NoPiece::Empty));
    let project = demo();
    assert_eq!(Piece::of(&project.variants[0], &project.state, &BTreeSet::new(), &BTreeSet::new()), None);
}

#[test]
fn notes_go_along_and_stand_beside_what_they_are_copies_of() {
    let project = demo();
    let mut variant = (*project.variants[0]).clone();
    let at = |x: f64| CanvasPoint { x, y: 10.0 };
    let note = |id, text: &str, arrow| Note { id: NoteId(id), text: text.to_owned(), at: at(40.0), arrow };
    let first = project.next_id;
    variant.notes = vec![note(first, "spare", Some(at(90.0))), note(first + 1, "stays", None)];
    let project = Project { variants: vec![Arc::new(variant.clone())], next_id: first + 2, ..project };
    for devices in [BTreeSet::new(), [variant.rig.devices[1].id].into()] {
        let piece = Piece::of(&variant, &project.state, &devices, &[NoteId(first)].into()).unwrap();
        let again = Piece::read(&piece.text().unwrap()).unwrap();
        assert_eq!(again, piece);
        let after = apply(&project, &again.put_in(&variant, None).edit.resolved(project.next_id)).unwrap();
        let after = &after.variants[0];
        assert_eq!(after.rig.devices.len(), variant.rig.devices.len() + devices.len());
        let [_, _, copy] = after.notes.as_slice() else { panic!("{:?}", after.notes) };
        assert_eq!(copy.text, "spare");
        let arrow = copy.arrow.unwrap();
        assert!(copy.at.x > 40.0 && copy.at.y > 10.0, "beside the other");
        assert_eq!(arrow.x - copy.at.x, 50.0, "the arrow goes along");
    }
}
