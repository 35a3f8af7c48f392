//! Version 2, frozen: what such a file holds never changes.
//!
//! New against version 1: units that stay on, orders that are kept, and the
//! player's own limits. The rest is version 1's. What version 3 left as it was
//! is taken over from here; what it changed has a step to it here.

use super::v1::check::{self, Listed, ListedVariant};
use super::v1::device::{Body, DirectBox, Kind, Splitter, Treadle};
use super::v1::frozen::{Frozen, Id, frozen_structs};
use super::v1::number::{Decibels, Metres, Ohms, Turn, Volts};
use super::v1::text::Text;
use super::v1::{Lead, Place, Sound, State, TestPoint, euro};
use super::{FileError, parse, v3};
use crate::rig;

/// The project in a text of this version.
pub fn read(text: &str) -> Result<rig::Project, FileError> {
    let project: Project = parse::strict(text)?;
    check::check(&project.listed(), text)?;
    Ok(v3::Project::from(project).thaw())
}

frozen_structs! {
    /// Two units whose order is kept.
    struct KeptOrder {
        before: Id,
        behind: Id,
    }
}

/// A device of a rig.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Device {
    pub(super) id: Id,
    pub(super) name: Text,
    #[serde(default)]
    pub(super) part: Text,
    #[serde(default)]
    pub(super) stays_on: bool,
    pub(super) body: Body,
    pub(super) kind: Kind,
}

/// From where on findings speak.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Limits {
    jump: Decibels,
    dull: Metres,
    loading: Decibels,
    fuzz: Ohms,
    long_lead: Metres,
    useless: Decibels,
    guitar_peak: Volts,
    input_peak: Volts,
}

impl Default for Limits {
    /// Frozen like all else: other defaults to come leave old files as they are.
    fn default() -> Self {
        let limit = |value: f64| Decibels::freeze(&crate::units::Decibels::clamped(value));
        let metres = |value: f64| Metres::freeze(&crate::units::Metres::clamped(value));
        let volts = |value: f64| Volts::freeze(&crate::units::Volts::clamped(value));
        Self {
            jump: limit(3.0),
            dull: metres(10.0),
            loading: limit(2.0),
            fuzz: Ohms::freeze(&crate::units::Ohms::clamped(50e3)),
            long_lead: metres(3.0),
            useless: limit(0.5),
            guitar_peak: volts(1.0),
            input_peak: volts(4.0),
        }
    }
}

/// A whole rig to compare with others.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Variant {
    pub(super) id: Id,
    pub(super) name: Text,
    #[serde(default)]
    pub(super) devices: Vec<Device>,
    #[serde(default)]
    pub(super) leads: Vec<Lead>,
    #[serde(default)]
    pub(super) places: Vec<Place>,
    #[serde(default)]
    pub(super) kept_orders: Vec<KeptOrder>,
}

/// All that one file holds, in the order in which a person wants to read it.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Project {
    // Read before, to know which module reads on.
    #[serde(rename = "version")]
    pub(super) _version: u32,
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
    #[serde(default)]
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
            feeds: Vec::new(),
            places: variant.places.iter().map(|place| place.device).collect(),
        });
        Listed { variants: variants.collect(), sounds: &self.sounds, state: &self.state }
    }
}

impl From<Kind> for v3::Kind {
    fn from(old: Kind) -> Self {
        match old {
            Kind::Guitar(inside) => Self::Guitar(inside),
            Kind::Active(inside) => Self::Active(inside),
            Kind::Pedal(inside) => Self::Pedal(inside),
            Kind::Buffer(inside) => Self::Buffer(inside),
            Kind::Tuner(inside) => Self::Tuner(inside),
            Kind::Treadle(inside) => Self::Treadle(inside),
            Kind::Splitter(inside) => Self::Splitter(inside),
            Kind::Wireless(inside) => Self::Wireless(inside),
            Kind::DirectBox(inside) => Self::DirectBox(inside),
            Kind::Interface(inside) => Self::Interface(inside),
            Kind::Amp(inside) => Self::Amp(inside),
        }
    }
}

impl From<Device> for v3::Device {
    /// What a unit takes nobody had said; a passive one takes nothing.
    fn from(old: Device) -> Self {
        let Device { id, name, part, stays_on, body, kind } = old;
        let passive = matches!(
            kind,
            Kind::Guitar(_)
                | Kind::Treadle(Treadle::PassiveVolume { .. })
                | Kind::Splitter(Splitter::Passive { .. })
                | Kind::DirectBox(DirectBox::Transformer { .. })
        );
        let power = if passive { v3::Power::Nothing } else { v3::Power::Unknown };
        Self { id, name, part, stays_on, body, power, kind: kind.into() }
    }
}

impl From<Limits> for v3::Limits {
    /// Four fifths of a supply's current, as always in the trade.
    fn from(old: Limits) -> Self {
        let Limits { jump, dull, loading, fuzz, long_lead, useless, guitar_peak, input_peak } = old;
        let headroom = Turn::freeze(&crate::units::Turn::clamped(0.8));
        Self { jump, dull, loading, fuzz, long_lead, useless, guitar_peak, input_peak, headroom }
    }
}

impl From<Variant> for v3::Variant {
    fn from(old: Variant) -> Self {
        let Variant { id, name, devices, leads, places, kept_orders } = old;
        let devices = devices.into_iter().map(Into::into).collect();
        Self { id, name, devices, leads, feeds: Vec::new(), places, kept_orders }
    }
}

impl From<Project> for v3::Project {
    fn from(old: Project) -> Self {
        let Project { _version: _, title, notes, currency, state, test_point, limits, sounds, variants, next_id } = old;
        let variants = variants.into_iter().map(Into::into).collect();
        let limits = limits.into();
        Self { version: 3, title, notes, currency, state, test_point, limits, sounds, variants, next_id }
    }
}
