//! What can be drawn can be opened: edits stop where files do.

use std::sync::Arc;

use rigwright_core::file;
use rigwright_core::rig::{
    CanvasPoint, Country, Device, DeviceId, Edit, EditError, Feed, FeedId, IDS_END, Kind, LONGEST_NAME, Lead, LeadId,
    MainsSupply, Many, Named, Note, NoteEdit, NoteId, OutletRef, PowerEdit, Project, Sound, SoundEdit, SoundId, State,
    SwitchSetting, Switcher, Tap, Variant, VariantId, Venue, apply, fitting_name, too_many,
};
use rigwright_core::units::Farads;

fn switcher(loops: u8) -> Kind {
    Kind::Switcher(Switcher::of(loops, Farads::of(0.0), Farads::of(0.0)))
}

/// The blank rig with one list of it as long as can be, and an edit that brings one more.
fn full(what: Many) -> (Project, Edit) {
    let mut project = file::blank().unwrap();
    let variant = project.variants[0].id;
    let mut rig = (*project.variants[0].rig).clone();
    let ids = 10..10 + what.most() as u64;
    let next = ids.end;
    let (device, lead) = (rig.devices[1].clone(), rig.leads[0].clone());
    let sound = |id| Sound::of(SoundId(id), "", State::default());
    let feed = |id| Feed::straight(FeedId(id), OutletRef::new(DeviceId(9), 1), device.id);
    let copy = |id| Variant::of(VariantId(id), "", (*project.variants[0].rig).clone());
    let note = |id| Note { id: NoteId(id), text: String::new(), at: CanvasPoint { x: 0.0, y: 0.0 }, arrow: None };
    let edit = match what {
        Many::Variants => Edit::AddVariant(Arc::new(copy(next))),
        Many::Sounds => Edit::Sound(SoundEdit::Add(Box::new(sound(next)))),
        Many::Devices => {
            let device = Box::new(Device { id: DeviceId(next), ..device.clone() });
            Edit::AddDevice { variant, device, place: None }
        }
        Many::Loops => {
            let device = Box::new(Device { id: DeviceId(next), kind: switcher(1), ..device.clone() });
            Edit::AddDevice { variant, device, place: None }
        }
        Many::Leads => Edit::AddLead { variant, lead: Box::new(Lead { id: LeadId(next), ..lead.clone() }) },
        Many::Feeds | Many::Plugs => Edit::Power { variant, edit: PowerEdit::AddFeed(Box::new(feed(next))) },
        Many::Notes => Edit::Note { variant, edit: NoteEdit::Put(Box::new(note(next))) },
        Many::Stops => {
            let tour = vec![Venue::of(Country::Japan); what.most() + 1];
            Edit::SetMains(Box::new(MainsSupply { tour, ..MainsSupply::default() }))
        }
    };
    match what {
        Many::Variants => {
            let copies: Vec<_> = ids.skip(1).map(|id| Arc::new(copy(id))).collect();
            project.variants.extend(copies);
        }
        Many::Sounds => project.sounds = ids.map(sound).collect(),
        Many::Devices => {
            let devices = ids.skip(rig.devices.len());
            rig.devices.extend(devices.map(|id| Device { id: DeviceId(id), ..device.clone() }));
        }
        Many::Loops => {
            let loops = (0..what.most()).step_by(16).map(|at| (what.most() - at).min(16) as u8);
            let each =
                loops.zip(ids).map(|(loops, id)| Device { id: DeviceId(id), kind: switcher(loops), ..device.clone() });
            rig.devices.extend(each);
        }
        Many::Leads => rig.leads.extend(ids.skip(1).map(|id| Lead { id: LeadId(id), ..lead.clone() })),
        Many::Notes => Arc::make_mut(&mut project.variants[0]).notes = ids.map(note).collect(),
        Many::Stops => project.mains.tour = vec![Venue::of(Country::Canada); what.most()],
        Many::Feeds | Many::Plugs => {
            let modular = file::large_modular().unwrap();
            let supply = modular.variants[0]
                .rig
                .devices
                .iter()
                .find(|device| matches!(&device.kind, Kind::Supply(supply) if !supply.outlets.is_empty()));
            rig.devices.push(Device { id: DeviceId(9), ..supply.unwrap().clone() });
            rig.feeds = if what == Many::Feeds {
                ids.map(feed).collect()
            } else {
                vec![Feed { taps: vec![Tap::next(device.id); what.most()], ..feed(10) }]
            };
        }
    }
    if what != Many::Variants {
        project.variants = vec![Arc::new(Variant { rig: Arc::new(rig), ..(*project.variants[0]).clone() })];
    }
    project.next_id = next;
    (project, edit)
}

#[test]
fn one_more_than_a_file_holds_cant_be_drawn() {
    for what in Many::ALL {
        let (project, edit) = full(what);
        assert_eq!(too_many(&project), None, "{what:?}");
        let text = file::write(&project).unwrap();
        assert_eq!(file::read(text.as_bytes()).unwrap(), project, "{what:?}");
        assert_eq!(apply(&project, &edit), Err(EditError::TooMany(what)));
        let sentence = EditError::TooMany(what).to_string();
        let expected = format!("there can be {} {} at most; take some out first", what.most(), what.words());
        assert_eq!(sentence, expected);
    }
    // Several edits as one may pass the end on their way.
    let (project, edit) = full(Many::Devices);
    let variant = project.variants[0].id;
    let less = Edit::RemoveDevice { variant, device: project.variants[0].rig.devices[500].id };
    assert!(apply(&project, &Edit::Batch(vec![edit, less])).is_ok());
}

#[test]
fn past_the_last_id_nothing_new_comes_in() {
    // A stop of a tour has no id.
    for what in Many::ALL.into_iter().filter(|what| *what != Many::Stops) {
        let (project, edit) = full(what);
        let mut less = project.clone();
        // Room in the list, so that only the id is in the way.
        less.sounds.truncate(10);
        less.variants.truncate(1);
        let variant = Arc::make_mut(&mut less.variants[0]);
        variant.notes.truncate(10);
        let rig = Arc::make_mut(&mut variant.rig);
        rig.leads.truncate(10);
        rig.feeds.truncate(10);
        rig.feeds.iter_mut().for_each(|feed| feed.taps.truncate(10));
        if matches!(what, Many::Devices | Many::Loops) {
            rig.devices.truncate(10);
        }
        let at = |id| renamed(&edit, id);
        let last = apply(&less, &at(IDS_END - 1)).unwrap();
        assert_eq!(last.next_id, IDS_END, "{what:?}");
        assert_eq!(file::read(file::write(&last).unwrap().as_bytes()).unwrap(), last, "{what:?}");
        for id in [IDS_END, u64::MAX] {
            assert_eq!(apply(&last, &at(id)), Err(EditError::NoIdLeft), "{what:?}");
        }
    }
}

/// The same edit, its new thing under another id.
fn renamed(edit: &Edit, id: u64) -> Edit {
    let mut edit = edit.clone();
    match &mut edit {
        Edit::AddVariant(variant) => Arc::make_mut(variant).id = VariantId(id),
        Edit::Sound(SoundEdit::Add(sound)) => sound.id = SoundId(id),
        Edit::AddDevice { device, .. } => device.id = DeviceId(id),
        Edit::AddLead { lead, .. } => lead.id = LeadId(id),
        Edit::Power { edit: PowerEdit::AddFeed(feed), .. } => feed.id = FeedId(id),
        Edit::Note { edit: NoteEdit::Put(note), .. } => note.id = NoteId(id),
        other => panic!("{other:?} brings in nothing"),
    }
    edit
}

/// One edit for each thing that has a name, which gives it this one.
fn named(project: &Project, name: &str) -> Vec<(Named, Edit)> {
    let variant = project.variants[0].id;
    let rig = &project.variants[0].rig;
    let name = || name.to_owned();
    let device = Device { name: name(), ..rig.devices[0].clone() };
    let part = Device { part: name(), ..rig.devices[0].clone() };
    let new = Device { id: DeviceId(project.next_id), ..device.clone() };
    let mut lead = rig.leads[0].clone();
    lead.cable.name = name();
    let sound = Sound { notes: "a".repeat(5000), ..Sound::of(SoundId(project.next_id), name(), State::default()) };
    let copy = Variant { id: VariantId(project.next_id), name: name(), ..(*project.variants[0]).clone() };
    let at = CanvasPoint { x: 0.0, y: 0.0 };
    let note = Note { id: NoteId(project.next_id), text: name(), at, arrow: None };
    vec![
        (Named::Project, Edit::SetTitle(name())),
        (Named::Note, Edit::Note { variant, edit: NoteEdit::Put(Box::new(note)) }),
        (Named::Variant, Edit::RenameVariant { variant, name: name() }),
        (Named::Variant, Edit::AddVariant(Arc::new(copy))),
        (Named::Device, Edit::SetDevice { variant, device: Box::new(device) }),
        (Named::Device, Edit::AddDevice { variant, device: Box::new(new), place: None }),
        (Named::Part, Edit::SetDevice { variant, device: Box::new(part) }),
        (Named::Make, Edit::SetLead { variant, lead: Box::new(lead) }),
        (Named::Sound, Edit::Sound(SoundEdit::Add(Box::new(sound)))),
    ]
}

#[test]
fn names_end_where_a_line_does() {
    let project = file::blank().unwrap();
    // Characters and not bytes.
    let longest = "ä".repeat(LONGEST_NAME);
    for (what, edit) in named(&project, &longest) {
        let after = apply(&project, &edit).unwrap();
        assert_eq!(file::read(file::write(&after).unwrap().as_bytes()).unwrap(), after, "{what:?}");
    }
    for (what, edit) in named(&project, &format!("{longest}ä")) {
        assert_eq!(apply(&project, &edit), Err(EditError::NameTooLong(what)));
    }
    let sentence = EditError::NameTooLong(Named::Device).to_string();
    assert_eq!(sentence, "the name of a device has 200 characters at most; shorten it");
    // Free text has no end but the file's.
    assert!(apply(&project, &Edit::SetNotes("ä".repeat(5000))).is_ok());
}

/// What version 3 could save is opened, changed and saved, whatever its names are like.
#[test]
fn longer_names_of_older_files_stay_and_may_become_shorter() {
    let old = std::str::from_utf8(include_bytes!("../../files/demo-v3.ron")).unwrap();
    let long = |count: usize| "n".repeat(count);
    let text =
        old.replacen("Pit rig, spring tour", &long(5000), 1).replace("\"Compressor\"", &format!("\"{}\"", long(5000)));
    let project = file::read(text.as_bytes()).unwrap();
    let device = project.variants[0].rig.devices.iter().find(|device| device.name == long(5000)).unwrap();
    assert_eq!(file::read(file::write(&project).unwrap().as_bytes()).unwrap(), project);
    let variant = project.variants[0].id;
    let name = |name: String| Edit::SetDevice { variant, device: Box::new(Device { name, ..device.clone() }) };
    // Another thing of it, or one character less.
    assert!(apply(&project, &Edit::Switch(SwitchSetting::on(device.id))).is_ok());
    let stays = Device { stays_on: true, ..device.clone() };
    assert!(apply(&project, &Edit::SetDevice { variant, device: Box::new(stays) }).is_ok());
    assert!(apply(&project, &name(long(4999))).is_ok());
    assert_eq!(apply(&project, &name(long(5001))), Err(EditError::NameTooLong(Named::Device)));
    // No lead had such a name.
    let mut lead = project.variants[0].rig.leads[0].clone();
    lead.cable.name = long(300);
    let edit = Edit::SetLead { variant, lead: Box::new(lead) };
    assert_eq!(apply(&project, &edit), Err(EditError::NameTooLong(Named::Make)));
}

#[test]
fn a_name_made_of_another_fits() {
    assert_eq!(fitting_name("tour", " 2"), "tour 2");
    let made = fitting_name(&"ä".repeat(500), " 17");
    assert_eq!(made.chars().count(), LONGEST_NAME);
    assert!(made.ends_with("ä… 17"), "{made}");
}
