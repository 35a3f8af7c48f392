//! What the catalogue holds: parts that become devices, and what leads are made of.

use std::collections::BTreeMap;

use super::Source;
use crate::rig::{Body, Cable, Device, DeviceId, Effect, Field, Kind, Power, fields, power_fields};
use crate::units::{Hertz, Metres, Price};

/// The catalogue's groups, in its order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Deserialize)]
pub enum Group {
    /// Parts of the player's own, which no file of the catalogue has.
    #[serde(skip)]
    Own,
    /// Guitars, basses and other sources.
    Instruments,
    /// Tuners.
    Tuners,
    /// Buffers and line drivers.
    Buffers,
    /// Compressors, gates and equalisers.
    Dynamics,
    /// Boosts, overdrives and distortions.
    Drives,
    /// Fuzzes.
    Fuzz,
    /// What the foot tilts.
    Treadles,
    /// Modulation, and what changes the pitch.
    Modulation,
    /// Delays, reverbs and loopers.
    DelayReverb,
    /// Many effects in one box.
    MultiEffects,
    /// Splitters.
    Switching,
    /// Wireless sets.
    Wireless,
    /// DI boxes and recording interfaces.
    Direct,
    /// Amps.
    Amps,
    /// Supplies, modules and batteries.
    Supplies,
}

impl Group {
    /// The groups of the parts that ship with the program, in the catalogue's order.
    pub const ALL: [Self; 15] = [
        Self::Instruments,
        Self::Tuners,
        Self::Buffers,
        Self::Dynamics,
        Self::Drives,
        Self::Fuzz,
        Self::Treadles,
        Self::Modulation,
        Self::DelayReverb,
        Self::MultiEffects,
        Self::Switching,
        Self::Wireless,
        Self::Direct,
        Self::Amps,
        Self::Supplies,
    ];

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Own => "my own parts",
            Self::Instruments => "instruments",
            Self::Tuners => "tuners",
            Self::Buffers => "buffers",
            Self::Dynamics => "dynamics and equalisers",
            Self::Drives => "drives",
            Self::Fuzz => "fuzz",
            Self::Treadles => "wah and volume pedals",
            Self::Modulation => "modulation and pitch",
            Self::DelayReverb => "delay and reverb",
            Self::MultiEffects => "multi-effects",
            Self::Switching => "switching and splitting",
            Self::Wireless => "wireless",
            Self::Direct => "DI and recording",
            Self::Amps => "amps",
            Self::Supplies => "supplies",
        }
    }
}

/// A part of the catalogue.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its name in files: small letters, digits and hyphens, never changed.
    pub key: String,
    /// What a person calls it.
    pub name: String,
    /// Where it stands in the catalogue.
    pub group: Group,
    /// One sentence: what it is, and what its electrics mean for the guitar.
    pub about: String,
    /// What else a person may type to find it.
    pub words: Vec<String>,
    /// Size, mass, price.
    pub body: Body,
    /// What it takes to work.
    pub power: Power,
    /// Up to where a change of tone is heard, where it isn't as usual for its kind.
    pub heard_to: Option<Hertz>,
    /// Which effect it makes, if it is a pedal.
    pub effect: Option<Effect>,
    /// What it is.
    pub kind: Kind,
    /// Where its numbers come from, by the paths of `rig::fields` and `rig::power_fields`.
    pub sources: BTreeMap<String, Source>,
}

impl Part {
    /// A device made from it, under the part's name.
    #[must_use]
    pub fn device(&self, id: DeviceId) -> Device {
        Device {
            id,
            name: self.name.clone(),
            part: self.key.clone(),
            stays_on: false,
            switches: Default::default(),
            body: self.body,
            power: self.power.clone(),
            heard_to: self.heard_to,
            effect: self.effect,
            kind: self.kind.clone(),
        }
    }

    /// The part's own numbers, by the paths of a device that was made from it: with the
    /// device's kind of bypass, so that what only that one has is among them.
    #[must_use]
    pub fn defaults(&self, device: &Device) -> Vec<Field> {
        let mut model = self.device(device.id);
        if let (Some(own), Some(made)) = (model.kind.pedal_mut(), device.kind.pedal()) {
            own.bypass = made.bypass;
        }
        fields(&model).into_iter().chain(power_fields(&model)).collect()
    }

    /// Where the number at a path comes from. It speaks of the part's own
    /// number: once a player has changed it, the source no longer applies.
    #[must_use]
    pub fn source(&self, path: &str) -> Option<&Source> {
        self.sources.get(path)
    }
}

/// What a lead can be made of.
#[derive(Debug, Clone, PartialEq)]
pub struct CablePart {
    /// Its name in files: small letters, digits and hyphens, never changed.
    pub key: String,
    /// What a person calls it.
    pub name: String,
    /// One sentence: what it is, and what its electrics mean for the guitar.
    pub about: String,
    /// Its electricity.
    pub cable: Cable,
    /// Whether moving it makes noise at a pickup's impedance: coax without a
    /// conductive layer on its insulation. [memory, S: coax-noise]
    pub handling_noise: bool,
    /// How long such a lead usually is.
    pub default_length: Metres,
    /// Price of a metre.
    pub price_per_metre: Price,
    /// Price of both plugs.
    pub price_plugs: Price,
    /// Where its numbers come from, by the names in `CablePart::PATHS`.
    pub sources: BTreeMap<String, Source>,
}

impl CablePart {
    /// The names of its numbers.
    pub const PATHS: [&str; 8] = [
        "capacitance",
        "resistance",
        "inductance",
        "loss_tangent",
        "plug",
        "default_length",
        "price_per_metre",
        "price_plugs",
    ];

    /// Where a number comes from.
    #[must_use]
    pub fn source(&self, path: &str) -> Option<&Source> {
        self.sources.get(path)
    }

    /// What a lead of some length costs, plugs and all.
    #[must_use]
    pub fn price(&self, length: Metres) -> Price {
        Price::clamped(self.price_per_metre.get() * length.get() + self.price_plugs.get())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn groups_stand_in_the_order_of_their_names() {
        assert!(Group::ALL.is_sorted());
        assert_eq!(Group::ALL.map(Group::name).iter().filter(|name| name.is_empty()).count(), 0);
    }
}
