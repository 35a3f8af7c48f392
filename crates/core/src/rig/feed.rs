//! Feeds: what brings power from a supply's outlet to the devices.

use super::{Connector, Device, DeviceId, FeedId, Kind, Outlet, Rig, Supply};
use crate::conductor::Gauge;
use crate::units::Metres;

/// One outlet of one supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct OutletRef {
    /// The supply.
    pub supply: DeviceId,
    /// Which of its outlets, counted from 1.
    pub outlet: u8,
}

impl OutletRef {
    /// Outlet `outlet`, from 1, of `supply`.
    #[must_use]
    pub fn new(supply: DeviceId, outlet: u8) -> Self {
        Self { supply, outlet }
    }
}

/// Where a feed begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FeedFrom {
    /// One outlet.
    One(OutletRef),
    /// Two outlets one on top of the other: their voltages add up.
    Series {
        /// Its 0 V is the devices' 0 V.
        lower: OutletRef,
        /// Its 0 V stands at the lower one's voltage.
        upper: OutletRef,
    },
    /// Two outlets side by side: their currents add up.
    Parallel {
        /// One.
        first: OutletRef,
        /// The other.
        second: OutletRef,
    },
}

impl FeedFrom {
    /// The outlets it begins at, one or two.
    pub fn outlets(self) -> impl Iterator<Item = OutletRef> {
        let (first, second) = match self {
            Self::One(outlet) => (outlet, None),
            Self::Series { lower, upper } => (lower, Some(upper)),
            Self::Parallel { first, second } => (first, Some(second)),
        };
        [first].into_iter().chain(second)
    }
}

/// What stands between a feed's plug and a device's socket.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Adapter {
    /// Whether it swaps the two poles.
    pub swaps_poles: bool,
    /// The plug it ends in, if that is another than the outlet's.
    pub plug: Option<Connector>,
}

impl Adapter {
    /// Whether there is none.
    #[must_use]
    pub fn is_none(&self) -> bool {
        *self == Self::default()
    }
}

/// One plug of a feed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tap {
    /// The device it feeds.
    pub device: DeviceId,
    /// The lead from the plug before it, or from the outlet.
    pub length: Metres,
    /// What stands between.
    pub adapter: Adapter,
}

/// A supply lead: straight with one plug, a daisy lead with several in their order.
#[derive(Debug, Clone, PartialEq)]
pub struct Feed {
    /// Its name for good.
    pub id: FeedId,
    /// Where it begins.
    pub from: FeedFrom,
    /// How thick its conductors are.
    pub gauge: Gauge,
    /// Its plugs, the nearest to the outlet first.
    pub taps: Vec<Tap>,
}

impl Tap {
    /// A plug at the usual distance from the outlet, without an adapter. [practice, S: supply-leads]
    #[must_use]
    pub fn first(device: DeviceId) -> Self {
        Self { device, length: Metres::of(0.5), adapter: Adapter::default() }
    }

    /// A further plug of a daisy lead, at the usual distance from the one before. [practice, S: supply-leads]
    #[must_use]
    pub fn next(device: DeviceId) -> Self {
        Self { device, length: Metres::of(0.2), adapter: Adapter::default() }
    }
}

impl Feed {
    /// The thickness of usual supply leads. [practice, S: supply-leads]
    pub const USUAL_GAUGE: Gauge = Gauge::Awg24;

    /// A plain lead from an outlet to a device, without an adapter.
    #[must_use]
    pub fn straight(id: FeedId, outlet: OutletRef, device: DeviceId) -> Self {
        Self { id, from: FeedFrom::One(outlet), gauge: Self::USUAL_GAUGE, taps: vec![Tap::first(device)] }
    }

    /// Whether it is a daisy lead.
    #[must_use]
    pub fn is_daisy(&self) -> bool {
        self.taps.len() > 1
    }
}

impl Kind {
    /// The supply inside, if it is one.
    #[must_use]
    pub fn supply(&self) -> Option<&Supply> {
        match self {
            Self::Supply(supply) => Some(supply),
            _ => None,
        }
    }
}

impl Rig {
    /// The feed of that name.
    #[must_use]
    pub fn feed(&self, id: FeedId) -> Option<&Feed> {
        self.feeds.iter().find(|feed| feed.id == id)
    }

    /// The first feed that has a plug for a device.
    #[must_use]
    pub fn feed_to(&self, device: DeviceId) -> Option<&Feed> {
        self.feeds.iter().find(|feed| feed.taps.iter().any(|tap| tap.device == device))
    }

    /// The first feed that begins at an outlet, alone or with another.
    #[must_use]
    pub fn feed_from(&self, outlet: OutletRef) -> Option<&Feed> {
        self.feeds.iter().find(|feed| feed.from.outlets().any(|from| from == outlet))
    }

    /// An outlet, if it is there.
    #[must_use]
    pub fn outlet(&self, outlet: OutletRef) -> Option<&Outlet> {
        self.device(outlet.supply)?.kind.supply()?.outlet(outlet.outlet)
    }

    /// The supplies and modules, in the order of the devices.
    pub fn supplies(&self) -> impl Iterator<Item = (&Device, &Supply)> {
        self.devices.iter().filter_map(|device| Some((device, device.kind.supply()?)))
    }

    /// The devices that want a low voltage and have no feed.
    pub fn unfed(&self) -> impl Iterator<Item = &Device> {
        self.devices.iter().filter(|device| device.wants_feed()).filter(|device| self.feed_to(device.id).is_none())
    }
}
