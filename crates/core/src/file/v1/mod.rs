//! Version 1, frozen: what such a file holds never changes.
//!
//! Its structs are its own. What version 2 left as it was is taken over from
//! here; what it changed has a step to it here.

pub(super) mod check;
pub(super) mod device;
pub(super) mod frozen;
pub(super) mod number;
pub(super) mod text;

use self::check::{Listed, ListedVariant};
use self::device::Device;
use self::frozen::{Coordinate, Frozen, Id, frozen_enums, frozen_structs};
use self::number::{Farads, FaradsPerMetre, HenriesPerMetre, LossTangent, Metres, OhmsPerMetre, Turn};
use self::text::Text;
use super::{FileError, parse, v2, v3};
use crate::rig;

/// The project in a text of this version.
pub fn read(text: &str) -> Result<rig::Project, FileError> {
    let project: Project = parse::strict(text)?;
    check::check(&project.listed(), text)?;
    Ok(v3::Project::from(v2::Project::from(project)).thaw())
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
    pub(super) device: Id,
    pub(super) control: Control,
    pub(super) to: Turn,
}

/// Switches and controls as they stand.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct State {
    #[serde(default)]
    pub(super) on: Vec<Id>,
    #[serde(default)]
    pub(super) turned: Vec<TurnedKnob>,
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
    pub(super) device: Id,
    pub(super) x: Coordinate,
    pub(super) y: Coordinate,
}

/// A whole rig to compare with others.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Variant {
    id: Id,
    name: Text,
    #[serde(default)]
    devices: Vec<Device>,
    #[serde(default)]
    leads: Vec<Lead>,
    #[serde(default)]
    places: Vec<Place>,
}

/// All that one file holds, in the order in which a person wants to read it.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Project {
    // Read before, to know which module reads on.
    #[serde(rename = "version")]
    _version: u32,
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

/// The currency of a file that names none.
pub(super) fn euro() -> Text {
    Text("€".to_owned())
}

impl Project {
    fn listed(&self) -> Listed<'_> {
        let variants = self.variants.iter().map(|variant| ListedVariant {
            id: variant.id,
            name: &variant.name.0,
            devices: variant.devices.iter().map(|device| device.id).collect(),
            leads: variant.leads.iter().map(|lead| lead.id).collect(),
            feeds: Vec::new(),
            places: variant.places.iter().map(|place| place.device).collect(),
        });
        Listed { variants: variants.collect(), sounds: &self.sounds, state: &self.state }
    }
}

impl From<Device> for v2::Device {
    /// Every unit could be switched.
    fn from(old: Device) -> Self {
        let Device { id, name, part, body, kind } = old;
        Self { id, name, part, stays_on: false, body, kind }
    }
}

impl From<Variant> for v2::Variant {
    fn from(old: Variant) -> Self {
        let Variant { id, name, devices, leads, places } = old;
        let devices = devices.into_iter().map(Into::into).collect();
        Self { id, name, devices, leads, places, kept_orders: Vec::new() }
    }
}

impl From<Project> for v2::Project {
    fn from(old: Project) -> Self {
        let Project { _version: _, title, notes, currency, state, test_point, sounds, variants, next_id } = old;
        let variants = variants.into_iter().map(Into::into).collect();
        let limits = v2::Limits::default();
        Self { _version: 2, title, notes, currency, state, test_point, limits, sounds, variants, next_id }
    }
}
