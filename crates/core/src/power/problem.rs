//! What can be wrong with a rig's power.

use crate::diagnosis::{Severity, Warning};
use crate::rig::{Connector, Country, DeviceId, FeedId, OutletRef, ZeroVolt};

/// What a rating is of: what of a supply carries a load together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RatingScope {
    /// One outlet.
    Outlet(OutletRef),
    /// The outlets of a supply that are rated together.
    Group(DeviceId, ZeroVolt),
    /// All outlets of a supply.
    Total(DeviceId),
}

/// What is wrong.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PowerFault {
    /// More volts than the unit takes.
    TooHigh {
        /// Which unit.
        device: DeviceId,
        /// What it gets, in V.
        volts: f64,
        /// The most it is made for, in V.
        most: f64,
        /// Whether that can destroy it: it is digital, or it is more by far.
        destroys: bool,
    },
    /// The two poles the wrong way round.
    Reversed {
        /// Which unit.
        device: DeviceId,
    },
    /// AC into a unit that takes DC.
    AlternatingIntoDirect {
        /// Which unit.
        device: DeviceId,
        /// What it gets, in V.
        volts: f64,
    },
    /// Two outlets of one 0 V in series, or a pair whose upper 0 V is in use or earthed: a short.
    SeriesShort {
        /// The pair's lower outlet.
        lower: OutletRef,
        /// The upper one.
        upper: OutletRef,
    },
    /// A unit with positive ground on the 0 V of one without, or of the mains earth: a short through the
    /// signal leads.
    PositiveGround {
        /// Which unit.
        device: DeviceId,
        /// What shares its 0 V; the mains earth if none.
        with: Option<DeviceId>,
    },
    /// A unit on AC whose winding has something else on it: a short through rectifiers and screens.
    SharedWinding {
        /// Which unit.
        device: DeviceId,
        /// What shares its winding's 0 V; the mains earth if none.
        with: Option<DeviceId>,
        /// Whether that one is fed by AC, too.
        both: bool,
    },
    /// More volts of the mains than a device takes.
    MainsTooHigh {
        /// Which device.
        device: DeviceId,
        /// What it gets where that is highest, in V.
        volts: f64,
        /// The most it is made for, in V.
        most: f64,
        /// In which country; at home if none.
        country: Option<Country>,
        /// In how many other places of the tour it is too high, too.
        more: usize,
    },
    /// Fewer volts of the mains than a device wants.
    MainsTooLow {
        /// Which device.
        device: DeviceId,
        /// What it gets where that is lowest, in V.
        volts: f64,
        /// The least it is made for, in V.
        least: f64,
        /// In which country; at home if none.
        country: Option<Country>,
        /// In how many other places of the tour it is too low, too.
        more: usize,
    },
    /// More than 60 V DC.
    OverSixty {
        /// What is there, in V.
        volts: f64,
    },
    /// An adaptor's voltage with nothing on it is more than the unit takes.
    NoLoadTooHigh {
        /// Which unit.
        device: DeviceId,
        /// That voltage, in V.
        no_load: f64,
        /// The most the unit is made for, in V.
        most: f64,
    },
    /// Fewer volts than the unit wants.
    TooLow {
        /// Which unit.
        device: DeviceId,
        /// What it gets, in V.
        volts: f64,
        /// The least it is made for, in V.
        least: f64,
    },
    /// DC into a unit that takes AC only.
    DirectIntoAlternating {
        /// Which unit.
        device: DeviceId,
        /// Whether it has a transformer that DC can burn.
        burns: bool,
    },
    /// A load over a rating.
    Over {
        /// Of what.
        scope: RatingScope,
        /// The load in A, of groups and totals in W.
        running: f64,
        /// The rating.
        limit: f64,
        /// The load at start-up.
        start_up: f64,
    },
    /// A load that is over a rating at start-up only, for about a second.
    StartUp {
        /// Of what.
        scope: RatingScope,
        /// The load at start-up in A, of groups and totals in W.
        start_up: f64,
        /// The rating.
        limit: f64,
    },
    /// Loads that are over a rating for milliseconds when all is switched on at once.
    Surge {
        /// Where it is worst.
        scope: RatingScope,
        /// The load there in A, of groups and totals in W.
        start_up: f64,
        /// The rating.
        limit: f64,
        /// In how many more places of that supply it is so.
        more: usize,
    },
    /// A module with something on it, and no power comes in.
    NoPowerIn {
        /// The module.
        supply: DeviceId,
    },
    /// A unit that wants a low voltage and gets none, in a rig with supplies.
    Unfed {
        /// Which unit.
        device: DeviceId,
        /// What it is plugged in at, if to that no power comes.
        at: Option<DeviceId>,
    },
    /// Two outlets in parallel whose maker doesn't allow it.
    ParallelNotAllowed {
        /// One of the pair.
        first: OutletRef,
        /// The other.
        second: OutletRef,
    },
    /// Two outlets put together that don't give the same, or AC in series.
    UnequalPair {
        /// One of the pair.
        first: OutletRef,
        /// The other.
        second: OutletRef,
    },
    /// A plug that isn't the socket's.
    WrongPlug {
        /// Which unit.
        device: DeviceId,
        /// The plug that comes.
        plug: Connector,
        /// The socket that is there.
        socket: Connector,
    },
    /// A daisy lead that feeds units of both polarities.
    DaisyPolarity {
        /// One unit.
        device: DeviceId,
        /// Another of the other polarity.
        with: DeviceId,
    },
    /// A load within a rating, but over the part of it that is to be used.
    Tight {
        /// Of what.
        scope: RatingScope,
        /// The load in A, of groups and totals in W.
        running: f64,
        /// The rating.
        limit: f64,
        /// The part of it that is to be used.
        used: f64,
    },
    /// A digital unit and an analogue one on one daisy lead.
    DaisyDigital {
        /// The digital unit.
        device: DeviceId,
        /// The analogue one.
        with: DeviceId,
    },
    /// A module with a clock inside whose outlets have the 0 V of analogue units.
    Clock {
        /// The module.
        supply: DeviceId,
        /// An analogue unit that shares its 0 V.
        with: DeviceId,
    },
    /// A unit shares a 0 V with one that it is to be kept apart from.
    KeepApart {
        /// The unit.
        device: DeviceId,
        /// What it is to be kept apart from.
        with: DeviceId,
    },
    /// Units on one 0 V that can be on together have much gain.
    MuchGain {
        /// One of them.
        device: DeviceId,
        /// Another.
        with: DeviceId,
        /// Drives, fuzzes and compressors among them.
        stages: u16,
        /// Their levels above 0 dB together, in dB.
        gain: f64,
    },
}

/// One thing that is wrong with a rig's power, or worth a word.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerProblem {
    /// How loud it is.
    pub severity: Severity,
    /// What it is.
    pub what: PowerFault,
    /// The feed that it is about, if there is one.
    pub feed: Option<FeedId>,
}

impl PowerProblem {
    /// As loud as what it is.
    #[must_use]
    pub fn new(what: PowerFault, feed: Option<FeedId>) -> Self {
        Self { severity: what.severity(), what, feed }
    }
}

impl PowerFault {
    /// How loud it is.
    #[must_use]
    pub fn severity(&self) -> Severity {
        match self {
            Self::TooHigh { destroys: true, .. }
            | Self::DirectIntoAlternating { burns: true, .. }
            | Self::SharedWinding { .. }
            | Self::MainsTooHigh { .. }
            | Self::Reversed { .. }
            | Self::AlternatingIntoDirect { .. }
            | Self::SeriesShort { .. }
            | Self::PositiveGround { .. }
            | Self::OverSixty { .. } => Severity::Danger,
            Self::NoLoadTooHigh { .. }
            | Self::TooHigh { .. }
            | Self::TooLow { .. }
            | Self::MainsTooLow { .. }
            | Self::DirectIntoAlternating { .. }
            | Self::Over { .. }
            | Self::StartUp { .. }
            | Self::NoPowerIn { .. }
            | Self::Unfed { .. }
            | Self::ParallelNotAllowed { .. }
            | Self::UnequalPair { .. }
            | Self::WrongPlug { .. }
            | Self::DaisyPolarity { .. } => Severity::Act,
            Self::Surge { .. }
            | Self::Tight { .. }
            | Self::DaisyDigital { .. }
            | Self::Clock { .. }
            | Self::KeepApart { .. }
            | Self::MuchGain { .. } => Severity::Know,
        }
    }

    /// Its name for programs; it stays as it is.
    #[must_use]
    pub fn key(&self) -> &'static str {
        match self {
            Self::TooHigh { .. } => "voltage-too-high",
            Self::Reversed { .. } => "polarity-reversed",
            Self::AlternatingIntoDirect { .. } => "ac-into-dc",
            Self::SeriesShort { .. } => "series-short",
            Self::PositiveGround { .. } => "positive-ground-shared",
            Self::MainsTooHigh { .. } => "mains-too-high",
            Self::MainsTooLow { .. } => "mains-too-low",
            Self::SharedWinding { .. } => "ac-winding-shared",
            Self::OverSixty { .. } => "over-60-v",
            Self::NoLoadTooHigh { .. } => "no-load-voltage",
            Self::TooLow { .. } => "voltage-too-low",
            Self::DirectIntoAlternating { .. } => "dc-into-ac",
            Self::Over { .. } => "over-rating",
            Self::StartUp { .. } => "start-up",
            Self::Surge { .. } => "start-up-surge",
            Self::NoPowerIn { .. } => "no-power-in",
            Self::Unfed { .. } => "unfed",
            Self::ParallelNotAllowed { .. } => "parallel-not-allowed",
            Self::UnequalPair { .. } => "unequal-pair",
            Self::WrongPlug { .. } => "wrong-plug",
            Self::DaisyPolarity { .. } => "daisy-polarity",
            Self::Tight { .. } => "over-headroom",
            Self::DaisyDigital { .. } => "daisy-digital",
            Self::Clock { .. } => "clock-on-0-v",
            Self::KeepApart { .. } => "keep-apart",
            Self::MuchGain { .. } => "much-gain",
        }
    }

    /// Whether it is about the mains, which no lead of a supply changes.
    #[must_use]
    pub fn is_of_mains(&self) -> bool {
        matches!(self, Self::MainsTooHigh { .. } | Self::MainsTooLow { .. })
    }

    /// What never to do while it lasts, if it is a danger.
    #[must_use]
    pub fn warning(&self) -> Option<Warning> {
        (self.severity() == Severity::Danger)
            .then(|| if self.is_abroad() { Warning::PlugInAbroad } else { Warning::SwitchOn })
    }

    /// Whether it comes up on tour only: at home it can be switched on.
    #[must_use]
    pub fn is_abroad(&self) -> bool {
        matches!(self, Self::MainsTooHigh { country: Some(_), .. } | Self::MainsTooLow { country: Some(_), .. })
    }

    /// The devices that it is about, the chief one first.
    #[must_use]
    pub fn devices(&self) -> Vec<DeviceId> {
        match *self {
            Self::TooHigh { device, .. }
            | Self::Reversed { device }
            | Self::AlternatingIntoDirect { device, .. }
            | Self::NoLoadTooHigh { device, .. }
            | Self::TooLow { device, .. }
            | Self::MainsTooHigh { device, .. }
            | Self::MainsTooLow { device, .. }
            | Self::DirectIntoAlternating { device, .. }
            | Self::WrongPlug { device, .. } => vec![device],
            Self::PositiveGround { device, with } | Self::SharedWinding { device, with, .. } => {
                [device].into_iter().chain(with).collect()
            }
            Self::Clock { supply: device, with }
            | Self::DaisyPolarity { device, with }
            | Self::DaisyDigital { device, with }
            | Self::KeepApart { device, with }
            | Self::MuchGain { device, with, .. } => vec![device, with],
            Self::Over { scope, .. }
            | Self::StartUp { scope, .. }
            | Self::Surge { scope, .. }
            | Self::Tight { scope, .. } => {
                vec![scope.supply()]
            }
            Self::NoPowerIn { supply } => vec![supply],
            Self::Unfed { device, at } => [device].into_iter().chain(at).collect(),
            Self::SeriesShort { lower: first, upper: second }
            | Self::ParallelNotAllowed { first, second }
            | Self::UnequalPair { first, second } => {
                let other = (second.supply != first.supply).then_some(second.supply);
                [first.supply].into_iter().chain(other).collect()
            }
            Self::OverSixty { .. } => Vec::new(),
        }
    }
}

impl RatingScope {
    /// The supply it belongs to.
    #[must_use]
    pub fn supply(self) -> DeviceId {
        match self {
            Self::Outlet(outlet) => outlet.supply,
            Self::Group(supply, _) | Self::Total(supply) => supply,
        }
    }

    /// The unit of its load.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Outlet(_) => "A",
            Self::Group(..) | Self::Total(_) => "W",
        }
    }
}
