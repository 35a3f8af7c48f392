//! A project: whole rigs to compare, sounds, and how everything stands.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::{
    Device, DeviceId, Feed, Id, Jack, JackRef, Lead, LeadId, Limits, MainsSupply, Note, NoteId, Sound, State, VariantId,
};
use crate::units::Turn;

/// What a project is called that nobody gave a name, as `assets/rigs/blank.ron` has it.
pub const UNTITLED: &str = "Untitled rig";

/// Devices, the leads between them and what feeds them: all that analyses read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Rig {
    /// The devices.
    pub devices: Vec<Device>,
    /// The leads.
    pub leads: Vec<Lead>,
    /// What brings power to the devices.
    pub feeds: Vec<Feed>,
}

impl Rig {
    /// The ids of its devices, leads and feeds.
    fn ids(&self) -> impl Iterator<Item = Id> {
        let devices = self.devices.iter().map(|device| device.id.0);
        let leads = self.leads.iter().map(|lead| lead.id.0);
        let feeds = self.feeds.iter().map(|feed| feed.id.0);
        devices.chain(leads).chain(feeds)
    }

    /// One above every id that it has or names: from here on what is tried out is
    /// numbered. A lead may name a device that isn't there, and new ones aren't to be taken for it.
    #[must_use]
    pub fn first_free(&self) -> Id {
        let ends = self.leads.iter().flat_map(|lead| [lead.from.device.0, lead.to.device.0]);
        let plugs = self.feeds.iter().flat_map(|feed| {
            let outlets = feed.from.outlets().map(|outlet| outlet.supply.0);
            outlets.chain(feed.taps.iter().map(|tap| tap.device.0))
        });
        self.ids().chain(ends).chain(plugs).max().map_or(0, |id| id.saturating_add(1))
    }

    /// The device of that name.
    #[must_use]
    pub fn device(&self, id: DeviceId) -> Option<&Device> {
        self.devices.iter().find(|device| device.id == id)
    }

    /// The lead of that name.
    #[must_use]
    pub fn lead(&self, id: LeadId) -> Option<&Lead> {
        self.leads.iter().find(|lead| lead.id == id)
    }

    /// The first lead that leaves a jack.
    #[must_use]
    pub fn lead_from(&self, jack: JackRef) -> Option<&Lead> {
        self.leads.iter().find(|lead| lead.from == jack)
    }

    /// Whether nothing is plugged into a jack.
    #[must_use]
    pub fn is_free(&self, jack: JackRef) -> bool {
        self.lead_from(jack).is_none() && self.lead_to(jack).is_none()
    }

    /// The first lead that arrives at a jack.
    #[must_use]
    pub fn lead_to(&self, jack: JackRef) -> Option<&Lead> {
        self.leads.iter().find(|lead| lead.to == jack)
    }

    /// Jacks with no lead, of all devices in order.
    #[must_use]
    pub fn free_jacks(&self) -> Vec<JackRef> {
        let taken = |jack: &JackRef| self.leads.iter().any(|lead| lead.from == *jack || lead.to == *jack);
        self.devices
            .iter()
            .flat_map(|device| device.kind.jacks().iter().map(|jack: &Jack| JackRef::new(device.id, *jack)))
            .filter(|jack| !taken(jack))
            .collect()
    }
}

/// Where a symbol stands on the canvas, in canvas units; no analysis reads it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CanvasPoint {
    /// To the right.
    pub x: f64,
    /// Downward.
    pub y: f64,
}

impl CanvasPoint {
    /// In canvas units either way; a symbol beyond it could not be found again.
    pub const MOST: f64 = 1e6;

    /// The nearest place that can be found again.
    #[must_use]
    pub fn on_canvas(self) -> Self {
        // As everywhere, −0 becomes 0.
        let near = |value: f64| if value.is_nan() { 0.0 } else { value.clamp(-Self::MOST, Self::MOST) + 0.0 };
        Self { x: near(self.x), y: near(self.y) }
    }
}

/// How wide the rows of a drawing are, in canvas units; no analysis reads it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RowWidth(f64);

impl RowWidth {
    /// The narrowest: one symbol.
    pub const LEAST: f64 = 200.0;

    /// The nearest width that a row can have.
    #[must_use]
    pub fn of(width: f64) -> Self {
        Self(if width.is_nan() { Self::LEAST } else { width.clamp(Self::LEAST, CanvasPoint::MOST) })
    }

    /// In canvas units.
    #[must_use]
    pub fn get(self) -> f64 {
        self.0
    }
}

/// Two units whose order the player wants kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct KeptOrder {
    /// This one stays before the other.
    pub before: DeviceId,
    /// This one stays behind it.
    pub behind: DeviceId,
}

/// A whole rig to compare with others.
#[derive(Debug, Clone, PartialEq)]
pub struct Variant {
    /// Its name for good.
    pub id: VariantId,
    /// What the player calls it.
    pub name: String,
    /// What it is made of.
    pub rig: Arc<Rig>,
    /// Symbols that were dragged; the others stand where the drawing puts them.
    pub places: BTreeMap<DeviceId, CanvasPoint>,
    /// How wide the rows are that the drawing puts the others in, since some were dragged;
    /// the window's shape decides where it isn't said.
    pub row_width: Option<RowWidth>,
    /// Orders that a search for a better one keeps.
    pub kept_orders: BTreeSet<KeptOrder>,
    /// Words on the sheet.
    pub notes: Vec<Note>,
}

/// A point of a lead where the player wants to know the level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TestPoint {
    /// The lead.
    pub lead: LeadId,
    /// How far along it, from its output end.
    pub along: Turn,
}

/// All that one file holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Project {
    /// Its title.
    pub title: String,
    /// Free text.
    pub notes: String,
    /// The sign before or behind prices.
    pub currency: String,
    /// The rigs to compare.
    pub variants: Vec<Arc<Variant>>,
    /// Named states.
    pub sounds: Vec<Sound>,
    /// Switches and controls as they stand now.
    pub state: State,
    /// Where the curves are taken, if not at the endpoints.
    pub test_point: Option<TestPoint>,
    /// From where on findings speak.
    pub limits: Limits,
    /// The mains that it is played on, at home and on tour.
    pub mains: MainsSupply,
    /// Above every id in the project.
    pub next_id: Id,
}

impl Variant {
    /// A variant that is only a rig: every symbol stands where the drawing puts it.
    #[must_use]
    pub fn of(id: VariantId, name: impl Into<String>, rig: Rig) -> Self {
        let (places, kept_orders) = (BTreeMap::new(), BTreeSet::new());
        Self { id, name: name.into(), rig: Arc::new(rig), places, row_width: None, kept_orders, notes: Vec::new() }
    }

    /// Its id, and those of its devices, leads, feeds and notes.
    pub(super) fn ids(&self) -> impl Iterator<Item = Id> {
        self.rig.ids().chain(self.notes.iter().map(|note| note.id.0)).chain([self.id.0])
    }

    /// Whether every symbol and note stands where it can be found again.
    #[must_use]
    pub fn is_on_canvas(&self) -> bool {
        let lost = |place: CanvasPoint| place != place.on_canvas();
        let notes = self.notes.iter().flat_map(|note| [Some(note.at), note.arrow]).flatten();
        !self.places.values().copied().chain(notes).any(lost)
    }

    /// Brings every symbol and note where it can be found again.
    pub fn bring_onto_canvas(&mut self) {
        self.places.values_mut().for_each(|place| *place = place.on_canvas());
        for note in &mut self.notes {
            note.at = note.at.on_canvas();
            note.arrow = note.arrow.map(CanvasPoint::on_canvas);
        }
    }

    /// The note of that name.
    #[must_use]
    pub fn note(&self, id: NoteId) -> Option<&Note> {
        self.notes.iter().find(|note| note.id == id)
    }
}

impl Project {
    /// A project that is only a variant, to try edits out on: what they bring in
    /// is numbered from its `next_id` on.
    #[must_use]
    pub fn scratch(variant: &Arc<Variant>) -> Self {
        let next_id = variant.ids().map(|id| id.saturating_add(1)).max().unwrap_or(0);
        Self::around(Arc::clone(variant), next_id)
    }

    /// A project that is only a variant, everything off and full up. `next_id`
    /// has to be above every id in it.
    #[must_use]
    pub fn around(variant: Arc<Variant>, next_id: Id) -> Self {
        Self {
            title: String::new(),
            notes: String::new(),
            currency: String::new(),
            variants: vec![variant],
            sounds: Vec::new(),
            state: State::default(),
            test_point: None,
            limits: Limits::default(),
            mains: MainsSupply::default(),
            next_id,
        }
    }

    /// One above every id of a thing that is in it.
    #[must_use]
    pub fn first_free(&self) -> Id {
        let sounds = self.sounds.iter().map(|sound| sound.id.0);
        let inside = self.variants.iter().flat_map(|variant| variant.ids());
        sounds.chain(inside).map(|id| id.saturating_add(1)).max().unwrap_or(0)
    }

    /// The variant of that name.
    #[must_use]
    pub fn variant(&self, id: VariantId) -> Option<&Arc<Variant>> {
        self.variants.iter().find(|variant| variant.id == id)
    }
}
