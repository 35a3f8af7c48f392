//! Version 1, frozen: what such a file holds never changes.
//!
//! All structs and enums are this version's own. Where the rig's types move
//! on, the conversions here move with them; the fields don't.

mod check;
mod device;
mod frozen;
mod number;
mod text;

use std::sync::Arc;

use ron::ser::PrettyConfig;

use self::device::Device;
use self::frozen::{Coordinate, Frozen, Id, frozen_enums, frozen_structs};
use self::number::{Farads, FaradsPerMetre, HenriesPerMetre, LossTangent, Metres, OhmsPerMetre, Turn};
use self::text::Text;
use super::{FileError, layout, parse};
use crate::rig;

/// The project in a text of this version.
pub fn read(text: &str) -> Result<rig::Project, FileError> {
    let project: Project = parse::strict(text)?;
    check::check(&project, text)?;
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

frozen_enums! {
    /// A jack of a device.
    enum Jack {
        In,
        Out,
        SecondIn,
        SecondOut,
        Send(number: u8),
        Return(number: u8),
    }

    /// A control that the curve depends on.
    enum Control {
        Volume,
        Tone,
        Treadle,
    }
}

frozen_structs! {
    /// One jack of one device.
    struct JackRef {
        device: Id,
        jack: Jack,
    }

    /// What a lead is made of.
    struct Cable {
        name: Text,
        capacitance: FaradsPerMetre,
        resistance: OhmsPerMetre,
        inductance: HenriesPerMetre,
        loss_tangent: LossTangent,
        plug: Farads,
    }

    /// A lead between an output and an input.
    struct Lead {
        id: Id,
        from: JackRef,
        to: JackRef,
        length: Metres,
        cable: Cable,
    }

    /// A point of a lead where the player wants to know the level.
    struct TestPoint {
        lead: Id,
        along: Turn,
    }

    /// A state under a name.
    struct Sound {
        id: Id,
        name: Text,
        #[serde(default)]
        state: State,
        #[serde(default)]
        notes: Text,
    }
}

/// A control that doesn't stand full up.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TurnedKnob {
    device: Id,
    control: Control,
    to: Turn,
}

/// Switches and controls as they stand.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct State {
    #[serde(default)]
    on: Vec<Id>,
    #[serde(default)]
    turned: Vec<TurnedKnob>,
}

impl Frozen<rig::State> for State {
    fn freeze(from: &rig::State) -> Self {
        let turned = from.turned.iter().map(|(knob, to)| TurnedKnob {
            device: Id::freeze(&knob.device),
            control: Control::freeze(&knob.control),
            to: Turn::freeze(to),
        });
        Self { on: from.on.iter().map(Id::freeze).collect(), turned: turned.collect() }
    }

    fn thaw(self) -> rig::State {
        let turned = self
            .turned
            .into_iter()
            .map(|knob| (rig::Knob { device: knob.device.thaw(), control: knob.control.thaw() }, knob.to.thaw()));
        rig::State { on: self.on.into_iter().map(Frozen::thaw).collect(), turned: turned.collect() }
    }
}

/// Where the symbol of a device stands on the canvas.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    device: Id,
    x: Coordinate,
    y: Coordinate,
}

/// A whole rig to compare with others.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Variant {
    id: Id,
    name: Text,
    #[serde(default)]
    devices: Vec<Device>,
    #[serde(default)]
    leads: Vec<Lead>,
    #[serde(default)]
    places: Vec<Place>,
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
            places: places.collect(),
        }
    }

    fn thaw(self) -> rig::Variant {
        let rig = rig::Rig { devices: self.devices.thaw(), leads: self.leads.thaw() };
        let places = self
            .places
            .into_iter()
            .map(|place| (place.device.thaw(), rig::Place { x: place.x.get(), y: place.y.get() }));
        rig::Variant { id: self.id.thaw(), name: self.name.thaw(), rig: Arc::new(rig), places: places.collect() }
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
    state: State,
    #[serde(default)]
    test_point: Option<TestPoint>,
    #[serde(default)]
    sounds: Vec<Sound>,
    variants: Vec<Variant>,
    #[serde(default)]
    next_id: u64,
}

fn euro() -> Text {
    Text("€".to_owned())
}

impl Project {
    /// The next id, above every id that is there: a person who adds a device by
    /// hand needn't think of it.
    fn next_id(&self) -> u64 {
        let sounds = self.sounds.iter().map(|sound| sound.id);
        let inside = self.variants.iter().flat_map(|variant| {
            let devices = variant.devices.iter().map(|device| device.id);
            let leads = variant.leads.iter().map(|lead| lead.id);
            devices.chain(leads).chain([variant.id])
        });
        let highest = sounds.chain(inside).map(|id| id.0.saturating_add(1)).max();
        highest.unwrap_or(0).max(self.next_id)
    }
}

impl Frozen<rig::Project> for Project {
    fn freeze(from: &rig::Project) -> Self {
        let mut project = Self {
            version: 1,
            title: Text::freeze(&from.title),
            notes: Text::freeze(&from.notes),
            currency: Text::freeze(&from.currency),
            state: State::freeze(&from.state),
            test_point: Frozen::freeze(&from.test_point),
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
            next_id,
        }
    }
}
