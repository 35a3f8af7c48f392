//! Version 3, frozen: what such a file holds never changes.
//!
//! New against version 2: power. What each device takes, supplies with their
//! outlets, the leads from them, and the part of a supply's current that may be
//! used. The rest is version 2's and 1's.

mod power;

use std::sync::Arc;

use ron::ser::PrettyConfig;

use self::power::{Feed, Supply, is_no};
use super::v1::check::{self, Listed, ListedVariant};
use super::v1::device::{
    ActiveSource, Amp, Body, Buffer, DirectBox, Guitar, Interface, Pedal, Splitter, Treadle, Tuner, Wireless,
};
use super::v1::frozen::{Coordinate, Frozen, Id, frozen_enums, frozen_structs};
use super::v1::number::{Decibels, Metres, Ohms, Turn, Volts};
use super::v1::text::Text;
use super::v1::{Lead, Place, Sound, State, TestPoint, euro};
use super::v2::{self, KeptOrder};
use super::{FileError, layout, parse};
use crate::rig;

pub use self::power::Power;

/// The project in a text of this version.
pub fn read(text: &str) -> Result<rig::Project, FileError> {
    let project: Project = parse::strict(text)?;
    check::check(&project.listed(), text)?;
    Ok(project.thaw())
}

/// The text of a project in this version.
pub fn write(project: &rig::Project) -> String {
    // The line breaks are fixed, so that a file has the same bytes on every system.
    let config = PrettyConfig::new().struct_names(false).new_line("\n");
    let pretty = parse::options().to_string_pretty(&Project::freeze(project), config);
    // Names of fields are known to be sound and nesting is shallow, and a text in memory takes all that comes.
    debug_assert!(pretty.is_ok(), "{pretty:?}");
    layout::fold(&pretty.unwrap_or_default())
}

frozen_structs! {
    /// A device of a rig.
    struct Device {
        id: Id,
        name: Text,
        #[serde(default)]
        part: Text,
        #[serde(default, skip_serializing_if = "is_no")]
        stays_on: bool,
        body: Body,
        #[serde(default = "unknown", skip_serializing_if = "is_unknown")]
        power: Power,
        kind: Kind,
    }

    /// From where on findings speak.
    struct Limits {
        jump: Decibels,
        dull: Metres,
        loading: Decibels,
        fuzz: Ohms,
        long_lead: Metres,
        useless: Decibels,
        guitar_peak: Volts,
        input_peak: Volts,
        headroom: Turn,
    }
}

frozen_enums! {
    /// What a device is.
    enum Kind {
        Guitar(inside: Guitar),
        Active(inside: ActiveSource),
        Pedal(inside: Pedal),
        Buffer(inside: Buffer),
        Tuner(inside: Tuner),
        Treadle(inside: Treadle),
        Splitter(inside: Splitter),
        Wireless(inside: Wireless),
        DirectBox(inside: DirectBox),
        Interface(inside: Interface),
        Amp(inside: Amp),
        Supply(inside: Supply),
    }
}

/// What a device takes where the file doesn't say.
fn unknown() -> Power {
    Power::Unknown
}

fn is_unknown(power: &Power) -> bool {
    *power == Power::Unknown
}

impl Default for Limits {
    /// Frozen like all else: what version 2 was understood to say.
    fn default() -> Self {
        v2::Limits::default().into()
    }
}

impl Limits {
    fn are_default(&self) -> bool {
        *self == Self::default()
    }
}

/// A whole rig to compare with others.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Variant {
    pub(super) id: Id,
    pub(super) name: Text,
    #[serde(default)]
    pub(super) devices: Vec<Device>,
    #[serde(default)]
    pub(super) leads: Vec<Lead>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) feeds: Vec<Feed>,
    #[serde(default)]
    pub(super) places: Vec<Place>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) kept_orders: Vec<KeptOrder>,
}

impl Frozen<rig::Variant> for Variant {
    fn freeze(from: &rig::Variant) -> Self {
        let places = from.places.iter().map(|(device, place)| Place {
            device: Id::freeze(device),
            x: Coordinate::clamped(place.x),
            y: Coordinate::clamped(place.y),
        });
        Self {
            id: Id::freeze(&from.id),
            name: Text::freeze(&from.name),
            devices: Frozen::freeze(&from.rig.devices),
            leads: Frozen::freeze(&from.rig.leads),
            feeds: Frozen::freeze(&from.rig.feeds),
            places: places.collect(),
            kept_orders: from.kept_orders.iter().map(KeptOrder::freeze).collect(),
        }
    }

    fn thaw(self) -> rig::Variant {
        let rig = rig::Rig { devices: self.devices.thaw(), leads: self.leads.thaw(), feeds: self.feeds.thaw() };
        let places = self
            .places
            .into_iter()
            .map(|place| (place.device.thaw(), rig::Place { x: place.x.get(), y: place.y.get() }));
        rig::Variant {
            id: self.id.thaw(),
            name: self.name.thaw(),
            rig: Arc::new(rig),
            places: places.collect(),
            kept_orders: self.kept_orders.into_iter().map(Frozen::thaw).collect(),
        }
    }
}

/// All that one file holds, in the order in which a person wants to read it.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Project {
    pub(super) version: u32,
    #[serde(default)]
    pub(super) title: Text,
    #[serde(default)]
    pub(super) notes: Text,
    #[serde(default = "euro")]
    pub(super) currency: Text,
    #[serde(default)]
    pub(super) state: State,
    #[serde(default)]
    pub(super) test_point: Option<TestPoint>,
    #[serde(default, skip_serializing_if = "Limits::are_default")]
    pub(super) limits: Limits,
    #[serde(default)]
    pub(super) sounds: Vec<Sound>,
    pub(super) variants: Vec<Variant>,
    #[serde(default)]
    pub(super) next_id: u64,
}

impl Project {
    fn listed(&self) -> Listed<'_> {
        let variants = self.variants.iter().map(|variant| ListedVariant {
            id: variant.id,
            name: &variant.name.0,
            devices: variant.devices.iter().map(|device| device.id).collect(),
            leads: variant.leads.iter().map(|lead| lead.id).collect(),
            feeds: variant.feeds.iter().map(|feed| feed.id).collect(),
            places: variant.places.iter().map(|place| place.device).collect(),
        });
        Listed { variants: variants.collect(), sounds: &self.sounds, state: &self.state }
    }

    /// The next id, above every id that is there: a person who adds a device by
    /// hand needn't think of it.
    fn next_id(&self) -> u64 {
        let sounds = self.sounds.iter().map(|sound| sound.id);
        let inside = self.variants.iter().flat_map(|variant| {
            let devices = variant.devices.iter().map(|device| device.id);
            let leads = variant.leads.iter().map(|lead| lead.id);
            let feeds = variant.feeds.iter().map(|feed| feed.id);
            devices.chain(leads).chain(feeds).chain([variant.id])
        });
        let highest = sounds.chain(inside).map(|id| id.0.saturating_add(1)).max();
        highest.unwrap_or(0).max(self.next_id)
    }
}

impl Frozen<rig::Project> for Project {
    fn freeze(from: &rig::Project) -> Self {
        let mut project = Self {
            version: 3,
            title: Text::freeze(&from.title),
            notes: Text::freeze(&from.notes),
            currency: Text::freeze(&from.currency),
            state: State::freeze(&from.state),
            test_point: Frozen::freeze(&from.test_point),
            limits: Limits::freeze(&from.limits),
            sounds: Frozen::freeze(&from.sounds),
            variants: from.variants.iter().map(|variant| Variant::freeze(variant)).collect(),
            next_id: from.next_id,
        };
        // Reading lifts it, and what was read has to be written with the same bytes.
        project.next_id = project.next_id();
        project
    }

    fn thaw(self) -> rig::Project {
        let next_id = self.next_id();
        rig::Project {
            title: self.title.thaw(),
            notes: self.notes.thaw(),
            currency: self.currency.thaw(),
            variants: self.variants.into_iter().map(|variant| Arc::new(variant.thaw())).collect(),
            sounds: self.sounds.thaw(),
            state: self.state.thaw(),
            test_point: self.test_point.thaw(),
            limits: self.limits.thaw(),
            next_id,
        }
    }
}
