//! Placeholders in edits: what an edit brings in has no id until it is done.
//!
//! A placeholder is a number from [`PLACEHOLDERS`] on, which no id of a project
//! reaches. One edit means the same new thing wherever it has the same
//! placeholder, a batch in all its parts.

use super::{
    DeviceId, Edit, Feed, FeedFrom, IDS_END, Id, Knob, Lead, NoteEdit, PowerEdit, SoundEdit, State, SwitchRef,
};

/// Numbers from here on are placeholders; every id is below.
pub const PLACEHOLDERS: Id = IDS_END << 1;

/// The placeholder of the `number`th thing that an edit brings in, from 0.
#[must_use]
pub const fn placeholder(number: Id) -> Id {
    PLACEHOLDERS.saturating_add(number)
}

impl Edit {
    /// The same edit with ids in place of placeholders: the `number`th is `free + number`.
    #[must_use]
    pub fn resolved(&self, free: Id) -> Self {
        self.mapped(&|id| resolved_id(id, free))
    }

    /// The same edit with placeholders in place of the ids from `free` on, which
    /// stood for new things where the edit was tried out.
    #[must_use]
    pub fn with_placeholders(&self, free: Id) -> Self {
        self.mapped(&|id| unresolved_id(id, free))
    }

    /// Whether it brings in anything that has no id yet.
    #[must_use]
    pub fn has_placeholders(&self) -> bool {
        let found = std::cell::Cell::new(false);
        let look = |id: Id| {
            found.set(found.get() || id >= PLACEHOLDERS);
            id
        };
        self.clone().each_id(&look);
        found.get()
    }

    fn mapped(&self, map: &dyn Fn(Id) -> Id) -> Self {
        let mut edit = self.clone();
        edit.each_id(map);
        edit
    }

    /// Every id of a device, a lead, a feed or a sound. A whole variant that is
    /// added has its own ids.
    fn each_id(&mut self, map: &dyn Fn(Id) -> Id) {
        let to = |id: &mut Id| *id = map(*id);
        match self {
            Self::Batch(edits) => edits.iter_mut().for_each(|edit| edit.each_id(map)),
            Self::AddDevice { device, .. } | Self::SetDevice { device, .. } => to(&mut device.id.0),
            Self::Insert { lead, device, patch, .. } => {
                to(&mut lead.0);
                to(&mut device.id.0);
                each_of_lead(patch, map);
            }
            Self::RemoveDevice { device, .. }
            | Self::SetKind { device, .. }
            | Self::StayOn { device, .. }
            | Self::Place { device, .. } => to(&mut device.0),
            Self::Move { device, onto, .. } => {
                to(&mut device.0);
                to(&mut onto.0);
            }
            Self::Plug { device, onto, patch, .. } => {
                to(&mut device.0);
                to(&mut onto.0);
                each_of_lead(patch, map);
            }
            Self::TradePlaces { one, other, .. } => {
                to(&mut one.0);
                to(&mut other.0);
            }
            Self::AddLead { lead, .. } | Self::SetLead { lead, .. } => each_of_lead(lead, map),
            Self::RemoveLead { lead, .. } => to(&mut lead.0),
            Self::Switch(setting) => to(&mut setting.switch.device.0),
            Self::Turn { knob, .. } => to(&mut knob.device.0),
            Self::SetTestPoint(point) => point.iter_mut().for_each(|point| to(&mut point.lead.0)),
            Self::KeepOrder { order, .. } => {
                to(&mut order.before.0);
                to(&mut order.behind.0);
            }
            Self::Note { edit: NoteEdit::Put(note), .. } => to(&mut note.id.0),
            Self::Note { edit: NoteEdit::Remove(note), .. } => to(&mut note.0),
            Self::Power { edit, .. } => each_of_power(edit, map),
            Self::Sound(edit) => each_of_sound(edit, map),
            Self::SetTitle(_)
            | Self::SetNotes(_)
            | Self::AddVariant(_)
            | Self::RemoveVariant(_)
            | Self::RenameVariant { .. }
            | Self::SetRowWidth { .. }
            | Self::SetLimits(_)
            | Self::SetMains(_) => {}
        }
    }
}

impl PowerEdit {
    /// The same change of power with ids in place of placeholders, counted from `free`.
    #[must_use]
    pub fn resolved(&self, free: Id) -> Self {
        let mut edit = self.clone();
        each_of_power(&mut edit, &|id| resolved_id(id, free));
        edit
    }
}

/// The id that stands for a placeholder, counted from `free`; any other id as it is.
#[must_use]
pub fn resolved_id(id: Id, free: Id) -> Id {
    if id < PLACEHOLDERS { id } else { free.saturating_add(id - PLACEHOLDERS) }
}

/// The placeholder of an id from `free` on, as [`resolved_id`] reads it; any other id as it is.
#[must_use]
pub fn unresolved_id(id: Id, free: Id) -> Id {
    if id < free { id } else { placeholder(id - free) }
}

fn each_of_lead(lead: &mut Lead, map: &dyn Fn(Id) -> Id) {
    for id in [&mut lead.id.0, &mut lead.from.device.0, &mut lead.to.device.0] {
        *id = map(*id);
    }
}

fn each_of_power(edit: &mut PowerEdit, map: &dyn Fn(Id) -> Id) {
    let to = |id: &mut Id| *id = map(*id);
    match edit {
        PowerEdit::SetPower { device, .. } | PowerEdit::Unplug(device) => to(&mut device.0),
        PowerEdit::AddFeed(feed) | PowerEdit::SetFeed(feed) => each_of_feed(feed, map),
        PowerEdit::RemoveFeed(feed) => to(&mut feed.0),
        PowerEdit::PlugIn { device, outlet, feed } => {
            to(&mut device.0);
            to(&mut outlet.supply.0);
            to(&mut feed.0);
        }
        PowerEdit::Choose { outlet, .. } => to(&mut outlet.supply.0),
    }
}

fn each_of_feed(feed: &mut Feed, map: &dyn Fn(Id) -> Id) {
    let to = |id: &mut Id| *id = map(*id);
    to(&mut feed.id.0);
    match &mut feed.from {
        FeedFrom::One(outlet) => to(&mut outlet.supply.0),
        FeedFrom::Series { lower: first, upper: second } | FeedFrom::Parallel { first, second } => {
            to(&mut first.supply.0);
            to(&mut second.supply.0);
        }
    }
    feed.taps.iter_mut().for_each(|tap| to(&mut tap.device.0));
}

fn each_of_sound(edit: &mut SoundEdit, map: &dyn Fn(Id) -> Id) {
    match edit {
        SoundEdit::Add(sound) | SoundEdit::Set(sound) => {
            sound.id.0 = map(sound.id.0);
            sound.states_mut().for_each(|state| each_of_state(state, map));
        }
        SoundEdit::MakeIn { sound, state, .. } => {
            sound.0 = map(sound.0);
            state.iter_mut().for_each(|state| each_of_state(state, map));
        }
        SoundEdit::Remove(sound) | SoundEdit::Recall { sound, .. } | SoundEdit::Move { sound, .. } => {
            sound.0 = map(sound.0);
        }
    }
}

fn each_of_state(state: &mut State, map: &dyn Fn(Id) -> Id) {
    let device = |id: DeviceId| DeviceId(map(id.0));
    let positions = state.positions.iter();
    state.positions =
        positions.map(|(switch, to)| (SwitchRef { device: device(switch.device), ..*switch }, *to)).collect();
    let turned = state.turned.iter();
    state.turned = turned.map(|(knob, at)| (Knob { device: device(knob.device), ..*knob }, *at)).collect();
}
