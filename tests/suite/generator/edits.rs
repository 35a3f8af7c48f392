//! Random edits of whatever a project has: some fit, some can't be done.

use std::sync::Arc;

use rigwright_core::rig::{
    CanvasPoint, Control, Country, Device, DeviceId, Edit, Id, Jack, JackRef, KeptOrder, Knob, Lead, LeadId, Limits,
    MainsSupply, Many, Note, NoteEdit, NoteId, Position, Project, Rig, RowWidth, Sound, SoundEdit, SoundId, State,
    SwitchKey, SwitchRef, SwitchSetting, TestPoint, Variant, VariantId, Venue,
};
use rigwright_core::units::{Decibels, Metres, Turn, Volts};

use super::rig::state;
use super::{Dice, parts, power, through};
use crate::rigs::device;

/// The names of all kinds of edit that [`edits`] makes.
pub const KINDS: [&str; 40] = [
    "add device",
    "add feed",
    "add lead",
    "add sound",
    "add variant",
    "batch",
    "choose",
    "insert",
    "keep order",
    "limits",
    "mains",
    "make sound in one variant",
    "move",
    "move sound",
    "notes",
    "place",
    "plug",
    "plug in",
    "put note",
    "recall sound",
    "remove device",
    "remove feed",
    "remove lead",
    "remove note",
    "remove sound",
    "remove variant",
    "rename variant",
    "row width",
    "set device",
    "set feed",
    "set kind",
    "set lead",
    "set power",
    "set sound",
    "stay on",
    "switch",
    "test point",
    "trade places",
    "turn",
    "unplug",
];

/// What kind an edit is. A new one doesn't compile until it has a name, and is
/// then missed by the law that all of [`KINDS`] are done.
pub fn kind(edit: &Edit) -> &'static str {
    match edit {
        Edit::Batch(_) => "batch",
        Edit::SetTitle(_) | Edit::SetNotes(_) => "notes",
        Edit::AddVariant(_) => "add variant",
        Edit::RemoveVariant(_) => "remove variant",
        Edit::RenameVariant { .. } => "rename variant",
        Edit::AddDevice { .. } => "add device",
        Edit::Insert { .. } => "insert",
        Edit::RemoveDevice { .. } => "remove device",
        Edit::Move { .. } => "move",
        Edit::Plug { .. } => "plug",
        Edit::TradePlaces { .. } => "trade places",
        Edit::SetDevice { .. } => "set device",
        Edit::SetKind { .. } => "set kind",
        Edit::StayOn { .. } => "stay on",
        Edit::AddLead { .. } => "add lead",
        Edit::SetLead { .. } => "set lead",
        Edit::RemoveLead { .. } => "remove lead",
        Edit::Place { .. } => "place",
        Edit::SetRowWidth { .. } => "row width",
        Edit::Note { edit: NoteEdit::Put(_), .. } => "put note",
        Edit::Note { edit: NoteEdit::Remove(_), .. } => "remove note",
        Edit::Switch { .. } => "switch",
        Edit::Turn { .. } => "turn",
        Edit::SetTestPoint(_) => "test point",
        Edit::Sound(SoundEdit::Add(_)) => "add sound",
        Edit::Sound(SoundEdit::Remove(_)) => "remove sound",
        Edit::Sound(SoundEdit::Set(_)) => "set sound",
        Edit::Sound(SoundEdit::Move { .. }) => "move sound",
        Edit::Sound(SoundEdit::Recall { .. }) => "recall sound",
        Edit::Sound(SoundEdit::MakeIn { .. }) => "make sound in one variant",
        Edit::SetLimits(_) => "limits",
        Edit::SetMains(_) => "mains",
        Edit::KeepOrder { .. } => "keep order",
        Edit::Power { edit, .. } => power::kind(edit),
    }
}

/// One of each kind, of a variant picked at random; what is new gets the id `fresh`
/// and those above.
pub fn edits(project: &Project, fresh: Id, dice: &mut Dice) -> Vec<Edit> {
    let variant = Arc::clone(&project.variants[dice.below(project.variants.len())]);
    let mut found = whole(project, &variant, fresh, dice);
    found.extend(devices(&variant, fresh, dice));
    found.extend(leads(&variant, fresh, dice));
    found.extend(sounds(project, fresh, dice));
    found.extend(notes(&variant, fresh, dice));
    found.extend(power::edits(&variant, fresh, dice));
    // Two at once, of which the second may be impossible.
    let two = vec![dice.pick(&found), dice.pick(&found)];
    found.push(Edit::Batch(two));
    found
}

/// A device plugged in on a lead of the first variant, and its id.
pub fn insert(project: &Project, fresh: Id, dice: &mut Dice) -> (Edit, DeviceId) {
    (inserted(&project.variants[0], fresh, dice), DeviceId(fresh))
}

fn inserted(variant: &Variant, fresh: Id, dice: &mut Dice) -> Edit {
    let leads = &variant.rig.leads;
    Edit::Insert {
        variant: variant.id,
        lead: leads[dice.below(leads.len())].id,
        device: Box::new(new_device(dice, fresh)),
        patch: Box::new(patch(dice, fresh + 1)),
    }
}

fn new_device(dice: &mut Dice, id: Id) -> Device {
    let kind = through(dice);
    Device { stays_on: dice.chance(0.2), ..device(id, "new", kind) }
}

/// The edit sets its ends.
fn patch(dice: &mut Dice, id: Id) -> Lead {
    let nowhere = JackRef::new(DeviceId(0), Jack::In);
    Lead { id: LeadId(id), from: nowhere, to: nowhere, length: parts::length(dice), cable: parts::cable(dice) }
}

fn whole(project: &Project, variant: &Variant, fresh: Id, dice: &mut Dice) -> Vec<Edit> {
    let text = dice.pick(&["", "noted", "two\nlines"]).to_owned();
    let id = VariantId(fresh);
    let mut limits = Limits { jump: Decibels::of(dice.log(0.1, 20.0)), ..project.limits };
    if dice.chance(0.3) {
        limits = Limits::default();
    }
    let mut found = vec![
        Edit::SetNotes(text.clone()),
        Edit::SetTitle(text.clone()),
        Edit::RenameVariant { variant: variant.id, name: text },
        Edit::SetTestPoint(None),
        Edit::SetLimits(Box::new(limits)),
        Edit::SetMains(Box::new(mains(dice))),
    ];
    // Few, since each makes all that follows slower.
    if project.variants.len() < 4 {
        let copy = Variant { id, name: "copy".into(), ..variant.clone() };
        found.push(Edit::AddVariant(Arc::new(copy)));
    }
    if dice.chance(0.5) {
        found.push(Edit::RemoveVariant(variant.id));
    }
    found
}

/// A tour of a few stops, at times of more than a project holds.
fn mains(dice: &mut Dice) -> MainsSupply {
    let stops = if dice.chance(0.1) { Many::Stops.most() + 1 } else { dice.below(4) };
    let volts = Volts::of(dice.pick(&[100.0, 120.0, 230.0, 236.5]));
    MainsSupply { volts, tour: (0..stops).map(|_| Venue { volts, country: dice.pick(Country::ALL) }).collect() }
}

/// A note that is new or says something else, and one that goes.
fn notes(variant: &Variant, fresh: Id, dice: &mut Dice) -> Vec<Edit> {
    let known = any(&variant.notes, dice).map(|note| note.id);
    let place = |dice: &mut Dice| CanvasPoint { x: dice.log(1.0, 1e7), y: -dice.log(1.0, 1e7) };
    let id = known.filter(|_| dice.chance(0.4)).unwrap_or(NoteId(fresh));
    let arrow = dice.chance(0.5).then(|| place(dice));
    let text = dice.pick(&["", "buy this first", "two\nlines", "“quoted” \\ ä"]).to_owned();
    let note = Note { id, text, at: place(dice), arrow };
    let put = Edit::Note { variant: variant.id, edit: NoteEdit::Put(Box::new(note)) };
    let remove = known.map(|id| Edit::Note { variant: variant.id, edit: NoteEdit::Remove(id) });
    std::iter::once(put).chain(remove).collect()
}

fn devices(variant: &Variant, fresh: Id, dice: &mut Dice) -> Vec<Edit> {
    let (rig, id) = (&variant.rig, variant.id);
    let place = dice.chance(0.5).then(|| CanvasPoint { x: dice.log(1.0, 1e3), y: -dice.log(1.0, 1e3) });
    let added = Box::new(new_device(dice, fresh));
    let mut found = vec![Edit::AddDevice { variant: id, device: added, place }];
    let Some(device) = any(&rig.devices, dice) else { return found };
    found.push(Edit::RemoveDevice { variant: id, device: device.id });
    let to = if dice.chance(0.5) { Position::ON } else { Position::OFF };
    let key = device.kind.on_off_key().unwrap_or(SwitchKey::Bypass);
    found.push(Edit::Switch(SwitchSetting { switch: SwitchRef { device: device.id, key }, to }));
    found.push(Edit::Place { variant: id, device: device.id, place });
    let width = dice.chance(0.7).then(|| RowWidth::of(dice.log(1.0, 1e4)));
    found.push(Edit::SetRowWidth { variant: id, width });
    let control = dice.pick(&[Control::Volume, Control::Tone, Control::Treadle, Control::VolumeOf(2), Control::Blend]);
    let to = Turn::of(dice.pick(&[0.0, 0.4, 1.0]));
    found.push(Edit::Turn { knob: Knob { device: device.id, control }, to });
    let name = format!("{}!", device.name);
    let changed = Device { name, stays_on: !device.stays_on, ..device.clone() };
    found.push(Edit::SetDevice { variant: id, device: Box::new(changed) });
    found.push(Edit::StayOn { variant: id, device: device.id, stays_on: !device.stays_on });
    let kind = any(&rig.devices, dice).map_or_else(|| device.kind.clone(), |other| other.kind);
    found.push(Edit::SetKind { variant: id, device: device.id, kind: Box::new(kind) });
    let other = rig.devices[dice.below(rig.devices.len())].id;
    let order = KeptOrder { before: device.id, behind: other };
    found.push(Edit::KeepOrder { variant: id, order, kept: dice.chance(0.7) });
    found.push(Edit::TradePlaces { variant: id, one: device.id, other });
    found
}

fn leads(variant: &Variant, fresh: Id, dice: &mut Dice) -> Vec<Edit> {
    let (rig, id) = (&variant.rig, variant.id);
    let (Some(lead), Some(device)) = (any(&rig.leads, dice), any(&rig.devices, dice)) else { return Vec::new() };
    let loose = rig.devices.iter().find(|device| is_loose(rig, device)).unwrap_or(&device);
    let point = TestPoint { lead: lead.id, along: Turn::of(dice.unit()) };
    let longer = Lead { length: Metres::of(dice.log(0.1, 30.0)), ..lead.clone() };
    vec![
        inserted(variant, fresh, dice),
        Edit::Move { variant: id, device: device.id, onto: lead.id },
        Edit::Plug { variant: id, device: loose.id, onto: lead.id, patch: Box::new(patch(dice, fresh)) },
        Edit::RemoveLead { variant: id, lead: lead.id },
        Edit::SetTestPoint(Some(point)),
        Edit::AddLead { variant: id, lead: Box::new(Lead { id: LeadId(fresh), ..longer.clone() }) },
        Edit::SetLead { variant: id, lead: Box::new(longer) },
    ]
}

fn is_loose(rig: &Rig, device: &Device) -> bool {
    let joined = rig.leads.iter().any(|lead| lead.from.device == device.id || lead.to.device == device.id);
    !joined && device.kind.jacks().contains(&Jack::Out)
}

fn sounds(project: &Project, fresh: Id, dice: &mut Dice) -> Vec<Edit> {
    let rig = &project.variants[dice.below(project.variants.len())].rig;
    let standing = if dice.chance(0.5) { project.state.clone() } else { state(dice, rig) };
    let kept = sound(fresh, "kept", standing);
    let mut found = vec![SoundEdit::Add(Box::new(kept))];
    if let Some(known) = any(&project.sounds, dice) {
        let changed = Sound { notes: "channel 2".into(), state: project.state.clone(), ..known.clone() };
        found.push(SoundEdit::Set(Box::new(changed)));
        found.push(SoundEdit::Move { sound: known.id, to: dice.below(project.sounds.len() + 2) });
        let variant = project.variants[0].id;
        found.push(SoundEdit::Recall { sound: known.id, variant });
        let state = dice.chance(0.7).then(|| Box::new(project.state.clone()));
        found.push(SoundEdit::MakeIn { sound: known.id, variant, state });
        found.push(SoundEdit::Remove(known.id));
    }
    found.into_iter().map(Edit::Sound).collect()
}

/// A sound without notes.
pub fn sound(id: Id, name: &str, state: State) -> Sound {
    Sound::of(SoundId(id), name, state)
}

fn any<T: Clone>(from: &[T], dice: &mut Dice) -> Option<T> {
    (!from.is_empty()).then(|| dice.pick(from))
}
