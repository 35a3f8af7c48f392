//! Who gets power, and what the signal meets at a device that gets none.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    Bypass, Device, DeviceId, DirectBox, Feed, Kind, Mixer, Pedal, Power, Rig, Selector, Splitter, Supply, Treadle,
    Tuner,
};

/// What the signal meets at a device without power.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
pub enum WithoutPower {
    /// Input and output stay joined. A mechanical switch does that, and a run that only passes by. [reasoning, S: dead-run]
    Passes,
    /// Nothing comes through: an amplifying stage stands in the way. [reasoning, S: dead-run]
    Silent,
    /// One of the two: a relay, which stays where its maker had it fall. Worked
    /// out as silent, since what is relied on must be known. [common practice, no source]
    Unknown,
}

/// What is to be minded of electronics that are put in the signal's way. [common practice, no source]
pub const NEEDS_POWER: &str = "It needs power: without, nothing comes through.";

/// Whether units that get no power count as fed all the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, serde::Serialize, serde::Deserialize)]
pub enum Feeding {
    /// As if all were fed: what the rig would do.
    #[default]
    AllFed,
    /// As it is drawn: what it does.
    AsDrawn,
}

impl Feeding {
    /// The devices that count as unfed.
    #[must_use]
    pub fn unfed(self, rig: &Rig) -> BTreeSet<DeviceId> {
        match self {
            Self::AllFed => BTreeSet::new(),
            Self::AsDrawn => unfed_devices(rig),
        }
    }
}

impl Kind {
    /// Whether nothing, for all that is known, comes through it without power.
    #[must_use]
    pub fn is_silent_without_power(&self) -> bool {
        matches!(self.without_power(), Some(WithoutPower::Silent | WithoutPower::Unknown))
    }

    /// What the signal meets at it without power; none for a supply, which has no signal.
    #[must_use]
    pub fn without_power(&self) -> Option<WithoutPower> {
        match self {
            Self::Pedal(pedal) | Self::Tuner(Tuner::Through { pedal, .. }) | Self::Treadle(Treadle::Wah { pedal }) => {
                Some(pedal.unpowered())
            }
            Self::Active(_)
            | Self::Buffer(_)
            | Self::Wireless(_)
            | Self::MultiEffects(_)
            | Self::Selector(Selector::Outputs { buffer: Some(_), .. } | Selector::Inputs { buffer: Some(_), .. })
            | Self::Interface(_)
            | Self::Amp(_)
            | Self::Splitter(Splitter::Buffered { .. })
            | Self::Mixer(Mixer::Buffered { .. })
            | Self::Treadle(Treadle::BufferedVolume { .. }) => Some(WithoutPower::Silent),
            Self::Guitar(_)
            | Self::Transformer(_)
            | Self::Tuner(Tuner::Tap { .. })
            | Self::Splitter(Splitter::Passive { .. })
            | Self::Selector(_)
            | Self::Mixer(Mixer::Passive { .. })
            | Self::Treadle(Treadle::PassiveVolume { .. })
            | Self::DirectBox(DirectBox::Active { .. } | DirectBox::Transformer { .. }) => Some(WithoutPower::Passes),
            Self::Switcher(switcher) => Some(switcher.without_power),
            Self::Supply(_) => None,
        }
    }
}

impl Pedal {
    /// What the signal meets at it without power: what is said of it, or else
    /// what its kind of bypass does with a mechanical switch.
    #[must_use]
    pub fn unpowered(&self) -> WithoutPower {
        self.without_power.unwrap_or(match self.bypass {
            Bypass::True | Bypass::AlwaysLoading => WithoutPower::Passes,
            Bypass::Buffered => WithoutPower::Silent,
        })
    }
}

impl Device {
    /// Whether it wants a low voltage at its socket; of a passive instrument a need says nothing, nor of
    /// one with a preamplifier, whose battery is inside.
    #[must_use]
    pub fn wants_feed(&self) -> bool {
        self.power.need().is_some() && !self.is_fed_by_phantom() && !matches!(self.kind, Kind::Guitar(_))
    }
}

/// Those of them that a signal comes from, goes through or ends at: not the modules of a supply.
#[must_use]
pub fn unfed_carriers(rig: &Rig) -> Vec<DeviceId> {
    let unfed = unfed_devices(rig);
    rig.carriers().map(|device| device.id).filter(|id| unfed.contains(id)).collect()
}

/// The devices that want a low voltage and get none: no feed has a plug for them,
/// or their feed begins where there is nothing, or where nothing comes in. What
/// nobody has said anything of, batteries and the mains count as power.
#[must_use]
pub fn unfed_devices(rig: &Rig) -> BTreeSet<DeviceId> {
    let wanting = || rig.devices.iter().filter(|device| device.wants_feed()).map(|device| device.id);
    if wanting().next().is_none() {
        return BTreeSet::new();
    }
    let supplies: BTreeMap<DeviceId, &Supply> = rig.supplies().map(|(device, supply)| (device.id, supply)).collect();
    let gives = |feed: &Feed| {
        let outlet = |at: super::OutletRef| supplies.get(&at.supply).and_then(|supply| supply.outlet(at.outlet));
        feed.from.outlets().all(|at| outlet(at).is_some_and(|outlet| outlet.setting().is_some()))
    };
    // Each feed waits for its outlets' supplies; a circle of modules waits for ever.
    let mut waiting: Vec<usize> = rig.feeds.iter().map(|feed| feed.from.outlets().count()).collect();
    let mut begins: BTreeMap<DeviceId, Vec<usize>> = BTreeMap::new();
    for (at, feed) in rig.feeds.iter().enumerate().filter(|(_, feed)| gives(feed)) {
        feed.from.outlets().for_each(|outlet| begins.entry(outlet.supply).or_default().push(at));
    }
    let own = |device: &&Device| !matches!(device.power, Power::Low(_)) && device.kind.supply().is_some();
    let mut todo: Vec<DeviceId> = rig.devices.iter().filter(own).map(|device| device.id).collect();
    let mut fed: BTreeSet<DeviceId> = todo.iter().copied().collect();
    while let Some(supply) = todo.pop() {
        for &at in begins.get(&supply).into_iter().flatten() {
            waiting[at] -= 1;
            if waiting[at] > 0 {
                continue;
            }
            for tap in &rig.feeds[at].taps {
                if fed.insert(tap.device) && supplies.contains_key(&tap.device) {
                    todo.push(tap.device);
                }
            }
        }
    }
    wanting().filter(|id| !fed.contains(id)).collect()
}
