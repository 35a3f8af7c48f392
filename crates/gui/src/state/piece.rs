//! A piece of a rig: what is copied as text, and what putting it into a rig is as a change.
//!
//! The text is a project's file that holds nothing else, so that the same text can be kept
//! in a file and opened, and a whole rig's file can be put into another rig.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::sync::Arc;

use rigwright_core::file::{self, FileError, WriteError};
use rigwright_core::rig::{
    Device, DeviceId, Edit, Feed, FeedFrom, FeedId, Id, Jack, JackRef, Knob, Lead, LeadId, Note, NoteId, OutletRef,
    PowerEdit, Project, Rig, State, SwitchRef, SwitchSetting, Tap, Variant, VariantId, free_name, placeholder,
};
use rigwright_core::units::counted;

use super::plugging::{ends, patch_between};
use super::{Change, Selected, noting};

/// A text longer than this, in bytes, is no piece of a rig: it is opened as a file.
const LONGEST_TEXT: usize = 2 << 20;

/// Why a text can't be put into a rig.
#[derive(Debug, Clone, PartialEq)]
pub enum NoPiece {
    /// It is longer than a piece can be.
    TooLong,
    /// It is no text of this program.
    NotRead(FileError),
    /// There is neither a device nor a note in it.
    Empty,
}

impl fmt::Display for NoPiece {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLong => write!(f, "it is too long: save it as a file and open that"),
            Self::NotRead(error) => write!(f, "{error}"),
            Self::Empty => write!(f, "there is neither a device nor a note in it"),
        }
    }
}

/// Devices of a variant with the leads and feeds between them, and how they stand; notes.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    rig: Rig,
    state: State,
    notes: Vec<Note>,
}

/// So far beside what they are copies of, right and down, notes are put, in canvas units.
const BESIDE: f64 = 22.0;

impl Piece {
    /// Some devices of a variant, with all that is plugged between them, and some of its notes.
    /// None without any.
    #[must_use]
    pub fn of(
        variant: &Variant,
        state: &State,
        devices: &BTreeSet<DeviceId>,
        notes: &BTreeSet<NoteId>,
    ) -> Option<Self> {
        let rig = &variant.rig;
        let notes: Vec<Note> = variant.notes.iter().filter(|note| notes.contains(&note.id)).cloned().collect();
        let is_in = |id: DeviceId| devices.contains(&id);
        let kept: Vec<Device> = rig.devices.iter().filter(|device| is_in(device.id)).cloned().collect();
        if kept.is_empty() && notes.is_empty() {
            return None;
        }
        let leads = rig.leads.iter().filter(|lead| is_in(lead.from.device) && is_in(lead.to.device)).cloned();
        let feeds = rig.feeds.iter().filter(|feed| feed.from.outlets().all(|outlet| is_in(outlet.supply)));
        let feeds = feeds.filter_map(|feed| {
            let taps: Vec<Tap> = feed.taps.iter().copied().filter(|tap| is_in(tap.device)).collect();
            (!taps.is_empty()).then(|| Feed { taps, ..feed.clone() })
        });
        let rig = Rig { devices: kept, leads: leads.collect(), feeds: feeds.collect() };
        let positions = state.positions.iter().filter(|(switch, _)| is_in(switch.device));
        let turned = state.turned.iter().filter(|(knob, _)| is_in(knob.device));
        let state = State {
            positions: positions.map(|(switch, to)| (*switch, *to)).collect(),
            turned: turned.map(|(knob, to)| (*knob, *to)).collect(),
            instrument: None,
        };
        Some(Self { rig, state, notes })
    }

    /// Its text.
    pub fn text(&self) -> Result<String, WriteError> {
        let behind_notes = self.notes.iter().map(|note| note.id.0 + 1).max();
        let first = self.rig.first_free().max(behind_notes.unwrap_or(0));
        let mut variant = Variant::of(VariantId(first), "piece", self.rig.clone());
        variant.notes.clone_from(&self.notes);
        let mut project = Project::around(Arc::new(variant), first + 1);
        project.title = "Piece of a rig".to_owned();
        project.currency = "€".to_owned();
        project.state = self.state.clone();
        file::write(&project)
    }

    /// The piece that a text holds: of a file with several rigs the first.
    pub fn read(text: &str) -> Result<Self, NoPiece> {
        if text.len() > LONGEST_TEXT {
            return Err(NoPiece::TooLong);
        }
        let project = file::read(text.as_bytes()).map_err(NoPiece::NotRead)?;
        let variant = project.variants.first().ok_or(NoPiece::Empty)?;
        let all = variant.rig.devices.iter().map(|device| device.id).collect();
        let notes = variant.notes.iter().map(|note| note.id).collect();
        Self::of(variant, &project.state, &all, &notes).ok_or(NoPiece::Empty)
    }

    /// The change that puts it into a rig, loose, or plugged in on a lead where it is one way
    /// from one free input to one free output.
    #[must_use]
    pub fn put_in(&self, variant: &Variant, onto: Option<LeadId>) -> Change {
        let new = Numbered::of(self);
        let mut taken: BTreeSet<String> = variant.rig.devices.iter().map(|device| device.name.clone()).collect();
        let mut edits = Vec::new();
        for device in &self.rig.devices {
            let name = free_name(&device.name, |name| taken.contains(name));
            taken.insert(name.clone());
            let device = Box::new(Device { id: new.device(device.id), name, ..device.clone() });
            edits.push(Edit::AddDevice { variant: variant.id, device, place: None });
        }
        for lead in &self.rig.leads {
            let lead = Box::new(new.lead(lead));
            edits.push(Edit::AddLead { variant: variant.id, lead });
        }
        for feed in &self.rig.feeds {
            let edit = PowerEdit::AddFeed(Box::new(new.feed(feed)));
            edits.push(Edit::Power { variant: variant.id, edit });
        }
        for (&SwitchRef { device, key }, &to) in &self.state.positions {
            let switch = SwitchRef { device: new.device(device), key };
            edits.push(Edit::Switch(SwitchSetting { switch, to }));
        }
        for (&Knob { device, control }, &to) in &self.state.turned {
            edits.push(Edit::Turn { knob: Knob { device: new.device(device), control }, to });
        }
        for note in &self.notes {
            let note = Note { id: new.note(note.id), ..noting::moved(note, BESIDE, BESIDE) };
            edits.push(noting::put(variant, note, "").edit);
        }
        let what = match (self.rig.devices.as_slice(), self.notes.as_slice()) {
            ([device], []) => device.name.clone(),
            ([], [_]) => "a note".to_owned(),
            ([], notes) => format!("{} notes", counted(notes.len())),
            (devices, []) => format!("{} devices", counted(devices.len())),
            (devices, notes) => format!("{} things", counted(devices.len() + notes.len())),
        };
        let mut step = format!("paste {what}");
        let join = onto.and_then(|lead| variant.rig.lead(lead)).zip(self.way_through());
        if let Some((lead, (input, output))) = join {
            let number = new.0.len();
            let (input, output) = (new.jack(input), new.jack(output));
            if let Some(joining) = joined(variant, lead, (input, output), number as Id) {
                step = format!("paste {what} between {}", ends(variant, lead.id));
                edits.extend(joining);
            }
        }
        let select = self.rig.devices.iter().map(|device| Selected::Device(new.device(device.id)));
        let notes = self.notes.iter().map(|note| Selected::Note(new.note(note.id)));
        Change::new(step, Edit::Batch(edits)).selecting_all(notes.chain(select).collect())
    }

    /// Its only free input and its only free output, where there is one of each.
    fn way_through(&self) -> Option<(JackRef, JackRef)> {
        let free = self.rig.free_jacks();
        let only = |jack: Jack| {
            let mut found = free.iter().copied().filter(|free| free.jack == jack);
            found.next().filter(|_| found.next().is_none())
        };
        Some((only(Jack::In)?, only(Jack::Out)?))
    }
}

/// The edits that plug a way into a lead; the long lead stays with the jack off the board.
fn joined(variant: &Variant, lead: &Lead, (input, output): (JackRef, JackRef), number: Id) -> Option<Vec<Edit>> {
    let off_board = |jack: JackRef| variant.rig.device(jack.device).is_some_and(Device::is_off_board);
    let stays_behind = off_board(lead.to) && !off_board(lead.from);
    let (kept, patch) = if stays_behind {
        (Lead { from: output, ..lead.clone() }, patch_between(number, lead.from, input)?)
    } else {
        (Lead { to: input, ..lead.clone() }, patch_between(number, output, lead.to)?)
    };
    let set = Edit::SetLead { variant: variant.id, lead: Box::new(kept) };
    Some(vec![set, Edit::AddLead { variant: variant.id, lead: Box::new(patch) }])
}

/// The placeholder of each thing in a piece.
struct Numbered(BTreeMap<Id, Id>);

impl Numbered {
    fn of(Piece { rig, notes, .. }: &Piece) -> Self {
        let devices = rig.devices.iter().map(|device| device.id.0).chain(notes.iter().map(|note| note.id.0));
        let others = rig.leads.iter().map(|lead| lead.id.0).chain(rig.feeds.iter().map(|feed| feed.id.0));
        Self(devices.chain(others).zip(0..).map(|(id, number)| (id, placeholder(number))).collect())
    }

    fn id(&self, id: Id) -> Id {
        self.0.get(&id).copied().unwrap_or(id)
    }

    fn device(&self, id: DeviceId) -> DeviceId {
        DeviceId(self.id(id.0))
    }

    fn note(&self, id: NoteId) -> NoteId {
        NoteId(self.id(id.0))
    }

    fn jack(&self, jack: JackRef) -> JackRef {
        JackRef { device: self.device(jack.device), ..jack }
    }

    fn lead(&self, lead: &Lead) -> Lead {
        Lead { id: LeadId(self.id(lead.id.0)), from: self.jack(lead.from), to: self.jack(lead.to), ..lead.clone() }
    }

    fn feed(&self, feed: &Feed) -> Feed {
        let outlet = |outlet: OutletRef| OutletRef { supply: self.device(outlet.supply), ..outlet };
        let from = match feed.from {
            FeedFrom::One(one) => FeedFrom::One(outlet(one)),
            FeedFrom::Series { lower, upper } => FeedFrom::Series { lower: outlet(lower), upper: outlet(upper) },
            FeedFrom::Parallel { first, second } => FeedFrom::Parallel { first: outlet(first), second: outlet(second) },
        };
        let taps = feed.taps.iter().map(|tap| Tap { device: self.device(tap.device), ..*tap }).collect();
        Feed { id: FeedId(self.id(feed.id.0)), from, taps, ..feed.clone() }
    }
}

#[cfg(test)]
#[path = "piece_tests.rs"]
mod tests;
