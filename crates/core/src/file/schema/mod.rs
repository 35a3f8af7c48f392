//! What a file holds: one set of structs for reading and writing.
//!
//! They are the file's own, so that the rig's may change. A field that came
//! after the first version has a default that is frozen here, what files
//! without it were understood to say; is left out where it is that; and has its
//! row in [`super::since`], so that older files are still refused with it.

mod device;
mod lead;
mod limits;
mod mains;
mod note;
mod number;
mod own_part;
mod pickup_wiring;
mod place;
mod power;
mod state;
mod text;
mod tie;

use std::sync::Arc;

pub use self::device::{Device, DirectBox, Kind, Splitter, Treadle, Tuner};
use self::lead::Lead;
use self::limits::Limits;
use self::mains::MainsSupply;
use self::note::Note;
pub use self::own_part::OwnParts;
use self::place::{Place, RowWidth};
use self::power::Feed;
pub use self::power::Power;
use self::state::TestPoint;
pub use self::state::{SetSwitch, Sound, State, SwitchKey};
use self::text::Text;
pub use self::tie::{Id, Stored};
use self::tie::{NextId, stored_structs};
use super::VERSION;
use crate::rig;

stored_structs! {
    /// Two units whose order is kept.
    struct KeptOrder {
        before: Id,
        behind: Id,
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
    #[serde(default, skip_serializing_if = "Option::is_none")]
    row_width: Option<RowWidth>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    kept_orders: Vec<KeptOrder>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) notes: Vec<Note>,
}

impl Stored<rig::Variant> for Variant {
    fn store(from: &rig::Variant) -> Self {
        Self {
            id: Id::store(&from.id),
            name: Text::store(&from.name),
            devices: Stored::store(&from.rig.devices),
            leads: Stored::store(&from.rig.leads),
            feeds: Stored::store(&from.rig.feeds),
            places: place::store(&from.places),
            row_width: from.row_width.map(RowWidth::store),
            kept_orders: from.kept_orders.iter().map(KeptOrder::store).collect(),
            notes: Stored::store(&from.notes),
        }
    }

    fn restore(self) -> rig::Variant {
        let (devices, leads, feeds) = (self.devices.restore(), self.leads.restore(), self.feeds.restore());
        rig::Variant {
            id: self.id.restore(),
            name: self.name.restore(),
            rig: Arc::new(rig::Rig { devices, leads, feeds }),
            places: place::restore(self.places),
            row_width: self.row_width.map(RowWidth::restore),
            kept_orders: self.kept_orders.into_iter().map(Stored::restore).collect(),
            notes: self.notes.restore(),
        }
    }
}

/// All that one file holds, in the order in which a person wants to read it.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Project {
    version: u32,
    #[serde(default)]
    title: Text,
    #[serde(default)]
    notes: Text,
    #[serde(default = "euro")]
    currency: Text,
    #[serde(default)]
    pub(super) state: State,
    #[serde(default)]
    test_point: Option<TestPoint>,
    #[serde(default, skip_serializing_if = "Limits::are_default")]
    limits: Limits,
    #[serde(default, skip_serializing_if = "MainsSupply::is_default")]
    pub(super) mains: MainsSupply,
    #[serde(default)]
    pub(super) sounds: Vec<Sound>,
    pub(super) variants: Vec<Variant>,
    #[serde(default)]
    next_id: NextId,
}

/// The currency of a file that names none.
fn euro() -> Text {
    Text("€".to_owned())
}

impl Stored<rig::Project> for Project {
    fn store(from: &rig::Project) -> Self {
        Self {
            version: VERSION,
            title: Text::store(&from.title),
            notes: Text::store(&from.notes),
            currency: Text::store(&from.currency),
            state: State::store(&from.state),
            test_point: Stored::store(&from.test_point),
            limits: Limits::store(&from.limits),
            mains: MainsSupply::store(&from.mains),
            sounds: Stored::store(&from.sounds),
            variants: from.variants.iter().map(|variant| Variant::store(variant)).collect(),
            next_id: NextId(from.next_id),
        }
    }

    fn restore(self) -> rig::Project {
        let mut project = rig::Project {
            title: self.title.restore(),
            notes: self.notes.restore(),
            currency: self.currency.restore(),
            variants: self.variants.into_iter().map(|variant| Arc::new(variant.restore())).collect(),
            sounds: self.sounds.restore(),
            state: self.state.restore(),
            test_point: self.test_point.restore(),
            limits: self.limits.restore(),
            mains: self.mains.restore(),
            next_id: self.next_id.0,
        };
        // A person who adds a device by hand needn't think of it.
        project.next_id = project.next_id.max(project.first_free());
        project
    }
}
