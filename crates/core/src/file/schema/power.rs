//! Power: what devices take, what supplies give, and the leads between.

use serde::{Deserialize, Deserializer};

use super::number::{AmpereHours, Amperes, Metres, Turn, Volts, Watts, or_none};
use super::tie::{Id, Stored, stored_enums, stored_structs};
use crate::conductor;
use crate::{rig, units};

stored_enums! {
    /// What a device takes to work.
    enum Power {
        Unknown,
        Nothing,
        Mains(inside: Mains),
        Low(inside: Need),
        Battery(inside: Battery),
    }

    /// DC and which way round, or AC.
    enum Form {
        CentreNegative,
        CentrePositive,
        Alternating,
    }

    /// The shape of socket and plug.
    enum Connector {
        Barrel21,
        Barrel25,
        Jack35,
        BatteryClip,
        UsbC,
        Link,
    }

    /// With whom a device doesn't share a 0 V.
    enum Apart {
        Nobody,
        OtherKind,
        Everybody,
    }

    /// Whose 0 V an outlet has.
    enum ZeroVolt {
        Inlet,
        Group(number: u8),
    }

    /// Where a feed begins.
    enum FeedFrom {
        One(outlet: OutletRef),
        Series { lower: OutletRef, upper: OutletRef },
        Parallel { first: OutletRef, second: OutletRef },
    }
}

stored_structs! {
    /// A mains inlet.
    struct Mains {
        least: Volts,
        most: Volts,
        earthed: bool,
        plug_top: bool,
        draw: Watts,
        #[serde(default = "one", skip_serializing_if = "is_one")]
        power_factor: Turn,
    }

    /// A battery.
    struct Battery {
        volts: Volts,
        capacity: AmpereHours,
        draw: Amperes,
    }

    /// One way in which a device can be fed.
    struct Way {
        least: Volts,
        most: Volts,
        form: Form,
        running: Amperes,
        start_up: Amperes,
    }

    /// What a device takes at its socket.
    struct Need {
        ways: Vec<Way>,
        connector: Connector,
        #[serde(default, skip_serializing_if = "is_no")]
        digital: bool,
        #[serde(default, skip_serializing_if = "is_no")]
        positive_ground: bool,
        apart: Apart,
        #[serde(default, skip_serializing_if = "is_no")]
        apart_must: bool,
        #[serde(default, skip_serializing_if = "is_no")]
        heaters: bool,
        #[serde(default = "yes", skip_serializing_if = "is_yes")]
        transformer: bool,
        #[serde(default, skip_serializing_if = "is_no")]
        shares_winding: bool,
    }

    /// A supply, or a module fed by another.
    struct Supply {
        outlets: Vec<Outlet>,
        #[serde(default, skip_serializing_if = "Option::is_none", serialize_with = "or_none")]
        total: Option<Watts>,
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        groups: Vec<GroupLimit>,
        efficiency: Turn,
        #[serde(default, skip_serializing_if = "is_no")]
        passes: bool,
    }

    /// What the outlets of one 0 V together can give.
    struct GroupLimit {
        zero_volt: ZeroVolt,
        limit: Watts,
    }

    /// One outlet of a supply.
    struct Outlet {
        settings: Vec<Setting>,
        chosen: u8,
        connector: Connector,
        zero_volt: ZeroVolt,
        #[serde(default, skip_serializing_if = "is_no")]
        parallel: bool,
    }

    /// What an outlet gives in one position of its selector.
    struct Setting {
        volts: Volts,
        limit: Amperes,
        form: Form,
        #[serde(default, skip_serializing_if = "Option::is_none", serialize_with = "or_none")]
        no_load: Option<Volts>,
    }

    /// One outlet of one supply.
    struct OutletRef {
        supply: Id,
        outlet: u8,
    }

    /// What stands between a feed's plug and a device's socket.
    struct Adapter {
        #[serde(default, skip_serializing_if = "is_no")]
        swaps_poles: bool,
        #[serde(default, skip_serializing_if = "Option::is_none")]
        plug: Option<Connector>,
    }

    /// One plug of a feed.
    struct Tap {
        device: Id,
        length: Metres,
        #[serde(default = "no_adapter", skip_serializing_if = "Adapter::is_none")]
        adapter: Adapter,
    }

    /// A supply lead.
    struct Feed {
        id: Id,
        from: FeedFrom,
        gauge: Gauge,
        taps: Vec<Tap>,
    }
}

/// What a device takes, if the file says so.
impl Stored<rig::Power> for Option<Power> {
    fn store(from: &rig::Power) -> Self {
        Some(Power::store(from)).filter(|power| *power != Power::Unknown)
    }
    fn restore(self) -> rig::Power {
        self.map_or(rig::Power::Unknown, Stored::restore)
    }
}

/// A field that is there says a value and never “None”.
pub fn said<'de, T: Deserialize<'de>, D: Deserializer<'de>>(from: D) -> Result<Option<T>, D::Error> {
    T::deserialize(from).map(Some)
}

/// What an inlet of an old file takes was told in VA, as if that were W.
fn one() -> Turn {
    Turn::store(&units::Turn::FULL)
}

fn is_one(part: &Turn) -> bool {
    *part == one()
}

/// What takes AC only was always taken to have a transformer.
fn yes() -> bool {
    true
}

fn is_yes(yes: &bool) -> bool {
    *yes
}

/// A no needn't be said.
pub fn is_no(yes: &bool) -> bool {
    !yes
}

/// A plug that goes straight in.
fn no_adapter() -> Adapter {
    Adapter { swaps_poles: false, plug: None }
}

impl Adapter {
    fn is_none(&self) -> bool {
        *self == no_adapter()
    }
}

/// The thickness of a supply lead's conductors.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
pub enum Gauge {
    One,
    ThreeQuarters,
    Half,
    Awg16,
    Awg18,
    Awg20,
    Awg22,
    Awg24,
    Awg26,
    Awg28,
}

macro_rules! gauges {
    ($($name:ident),*) => {
        impl Stored<conductor::Gauge> for Gauge {
            fn store(from: &conductor::Gauge) -> Self {
                match from {
                    $(conductor::Gauge::$name => Self::$name,)*
                }
            }
            fn restore(self) -> conductor::Gauge {
                match self {
                    $(Self::$name => conductor::Gauge::$name,)*
                }
            }
        }
    };
}

gauges!(One, ThreeQuarters, Half, Awg16, Awg18, Awg20, Awg22, Awg24, Awg26, Awg28);
