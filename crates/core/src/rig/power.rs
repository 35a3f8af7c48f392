//! Power: what a device takes, and what a supply gives.

use crate::units::{AmpereHours, Amperes, Turn, Volts, Watts};

/// What a device takes to work. A supply's inlet is this too: the mains, its
/// own battery, or, for a module, another supply's outlet.
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize)]
pub enum Power {
    /// Nobody has said yet.
    #[default]
    Unknown,
    /// Nothing: it works by itself.
    Nothing,
    /// The mains, by its own lead or plug.
    Mains(Mains),
    /// Low voltage at a socket, from a supply's outlet.
    Low(Need),
    /// A battery that is its own.
    Battery(Battery),
}

/// A mains inlet.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mains {
    /// The lowest mains voltage it takes.
    pub least: Volts,
    /// The highest.
    pub most: Volts,
    /// Whether its case and 0 V are joined to the mains earth; if not, it is of class II.
    pub earthed: bool,
    /// Whether it is a plug-top: no lead of its own, it hangs on the wall socket.
    pub plug_top: bool,
    /// What it takes of the mains for itself: all of an amp's, the idle part of a supply's.
    pub draw: Watts,
    /// Watts to each volt-ampere: of a small switching inlet 0.5-0.65 [memory, S: power-factor]; 1 where nobody has said.
    #[serde(default)]
    pub power_factor: Turn,
}

impl Mains {
    /// Power in W as apparent power in VA; nobody's power factor is 0.
    #[must_use]
    pub fn volt_amperes(&self, watts: f64) -> f64 {
        let factor = self.power_factor.get();
        if factor > 0.0 { watts / factor } else { watts }
    }
}

/// A battery.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Battery {
    /// Voltage in use.
    pub volts: Volts,
    /// Capacity.
    pub capacity: AmpereHours,
    /// What its device draws of it for itself; a plain battery nothing.
    pub draw: Amperes,
}

/// Which way a low voltage comes: direct current and which way round, or alternating.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
pub enum Form {
    /// DC, plus on the sleeve.
    CentreNegative,
    /// DC, plus on the centre pin.
    CentrePositive,
    /// AC.
    Alternating,
}

impl Form {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::CentreNegative, Self::CentrePositive, Self::Alternating];

    /// Whether it is direct current.
    #[must_use]
    pub fn is_dc(self) -> bool {
        self != Self::Alternating
    }

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::CentreNegative => "DC, centre negative",
            Self::CentrePositive => "DC, centre positive",
            Self::Alternating => "AC",
        }
    }
}

/// What power comes through: the shape of socket and plug.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, serde::Serialize, serde::Deserialize)]
pub enum Connector {
    /// Barrel, 5.5 × 2.1 mm: the usual one.
    #[default]
    Barrel21,
    /// Barrel, 5.5 × 2.5 mm: it looks like the usual one and doesn't hold.
    Barrel25,
    /// 3.5 mm jack, on some old units.
    Jack35,
    /// The clip of a 9 V battery.
    BatteryClip,
    /// USB type C.
    UsbC,
    /// The link between the boxes of a modular system.
    Link,
}

impl Connector {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::Barrel21, Self::Barrel25, Self::Jack35, Self::BatteryClip, Self::UsbC, Self::Link];

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Barrel21 => "barrel, 5.5 × 2.1 mm",
            Self::Barrel25 => "barrel, 5.5 × 2.5 mm",
            Self::Jack35 => "3.5 mm jack",
            Self::BatteryClip => "battery clip",
            Self::UsbC => "USB-C",
            Self::Link => "link of a modular system",
        }
    }
}

/// One way in which a device can be fed.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Way {
    /// The lowest voltage it is made for.
    pub least: Volts,
    /// The highest.
    pub most: Volts,
    /// DC and which way round, or AC.
    pub form: Form,
    /// What it draws while it works; a module's own, without what it feeds.
    pub running: Amperes,
    /// What it draws at the moment it is switched on.
    pub start_up: Amperes,
}

/// With whom a device doesn't want to share a 0 V.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, serde::Serialize, serde::Deserialize)]
pub enum Apart {
    /// It shares with any.
    #[default]
    Nobody,
    /// Digital with analogue, or analogue with digital.
    OtherKind,
    /// With any other.
    Everybody,
}

/// What a device takes at its socket.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Need {
    /// The ways in which it can be fed, the usual one first.
    pub ways: Vec<Way>,
    /// Its socket.
    #[serde(default)]
    pub connector: Connector,
    /// Whether it has a clock whose noise comes back on its 0 V.
    #[serde(default)]
    pub digital: bool,
    /// Whether plus is its signal ground, as in some old fuzzes.
    #[serde(default)]
    pub positive_ground: bool,
    /// With whom it doesn't want to share a 0 V.
    #[serde(default)]
    pub apart: Apart,
    /// Whether that is a must and no wish: it rather goes without power.
    #[serde(default)]
    pub apart_must: bool,
    /// Whether valves are heated from its socket: cold, they draw several times as much.
    #[serde(default)]
    pub heaters: bool,
    /// Whether alternating current goes into a transformer of its own, as in most that take nothing else. [memory, S: winding]
    #[serde(default = "yes")]
    pub transformer: bool,
    /// Whether its maker allows it to share a winding with others.
    #[serde(default)]
    pub shares_winding: bool,
}

fn yes() -> bool {
    true
}

impl Default for Need {
    /// A plain analogue unit's, without a way to feed it.
    fn default() -> Self {
        Self {
            ways: Vec::new(),
            connector: Connector::default(),
            digital: false,
            positive_ground: false,
            apart: Apart::default(),
            apart_must: false,
            heaters: false,
            transformer: true,
            shares_winding: false,
        }
    }
}

/// A supply, or a module fed by another: its outlets and what they can give
/// together. What feeds it is its device's [`Power`].
#[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Supply {
    /// Its outlets, counted from 1.
    pub outlets: Vec<Outlet>,
    /// The most that all outlets together give, if that is less than their sum.
    #[serde(default)]
    pub total: Option<Watts>,
    /// What some outlets together give, where that is less than their sum.
    #[serde(default)]
    pub groups: Vec<GroupLimit>,
    /// Watts given for each watt taken.
    pub efficiency: Turn,
    /// Whether it only passes on what comes in: each outlet has the inlet's voltage, whatever that is.
    #[serde(default)]
    pub passes: bool,
}

/// What the outlets of one 0 V together can give.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GroupLimit {
    /// Which outlets.
    pub zero_volt: ZeroVolt,
    /// The most they give together.
    pub limit: Watts,
}

/// Whose 0 V an outlet has. Outlets with the same one share a return.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
pub enum ZeroVolt {
    /// The inlet's: of a module, that of the outlet that feeds it; of an earthed supply, the mains earth.
    Inlet,
    /// One of its own, isolated from all others.
    Group(u8),
}

/// One outlet of a supply.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Outlet {
    /// What it can be set to; one where there is no choice.
    pub settings: Vec<Setting>,
    /// Which of them it is set to, counted from 1.
    #[serde(default = "first")]
    pub chosen: u8,
    /// Its socket.
    #[serde(default)]
    pub connector: Connector,
    /// Whose 0 V it has.
    pub zero_volt: ZeroVolt,
    /// Whether its maker allows it to be put in parallel with another like it.
    #[serde(default)]
    pub parallel: bool,
}

/// The position of a selector that nobody has touched.
fn first() -> u8 {
    1
}

/// What an outlet gives in one position of its selector.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Setting {
    /// Voltage at its rated current.
    pub volts: Volts,
    /// The most current.
    pub limit: Amperes,
    /// DC and which way round, or AC.
    pub form: Form,
    /// What an unregulated adaptor gives with nothing on it; none where it is regulated.
    #[serde(default)]
    pub no_load: Option<Volts>,
}

impl Power {
    /// What it takes at a socket, if it does.
    #[must_use]
    pub fn need(&self) -> Option<&Need> {
        match self {
            Self::Low(need) => Some(need),
            _ => None,
        }
    }
}

impl Need {
    /// What most units of its kind draw at start-up, as a multiple of what they draw while they work:
    /// digital 3-10 times for milliseconds, heaters of valves 3-5 times for a second, others once. [memory, S: start-up]
    #[must_use]
    pub fn usual_start_up(&self) -> f64 {
        match (self.heaters, self.digital) {
            // The least of the band: a supply that limits its current lets them warm up more slowly.
            (true, _) => 3.0,
            (false, true) => 5.0,
            (false, false) => 1.0,
        }
    }

    /// Its kind is told otherwise: what it draws at start-up follows, where it was the usual of its kind.
    pub fn set_kind(&mut self, digital: bool, heaters: bool) {
        let before = self.usual_start_up();
        (self.digital, self.heaters) = (digital, heaters);
        let after = self.usual_start_up();
        for way in &mut self.ways {
            let usual = |times: f64| Amperes::clamped(way.running.get() * times);
            if (way.start_up.get() - usual(before).get()).abs() < 1e-9 {
                way.start_up = usual(after);
            }
        }
    }

    /// What it draws at start-up, in A, for so long that a rating has to bear it. What digital units
    /// take while their capacitors fill is over in milliseconds. [memory, S: start-up]
    #[must_use]
    pub fn lasting(&self, way: &Way) -> f64 {
        if self.digital && !self.heaters { way.running.get() } else { way.start_up.get() }
    }
}

impl Way {
    /// From one voltage to another in V, so many mA while it works and at the start.
    ///
    /// # Panics
    /// Outside the units' ranges; in a constant that is a compile error.
    #[must_use]
    pub const fn of(volts: [f64; 2], form: Form, milliamperes: [f64; 2]) -> Self {
        let ([least, most], [running, start_up]) = (volts, milliamperes);
        Self {
            least: Volts::of(least),
            most: Volts::of(most),
            form,
            running: Amperes::of(running * 1e-3),
            start_up: Amperes::of(start_up * 1e-3),
        }
    }

    /// Whether a voltage in V lies in its range, each end widened by a part of itself.
    #[must_use]
    pub fn takes(&self, volts: f64, tolerance: f64) -> bool {
        // A voltage calculated as 9 × 0.9 is to be the same as 8.1 that was typed.
        const LAST_BIT: f64 = 1e-9;
        volts >= self.least.get() * (1.0 - tolerance) - LAST_BIT
            && volts <= self.most.get() * (1.0 + tolerance) + LAST_BIT
    }
}

impl Supply {
    /// The outlet of that number, from 1.
    #[must_use]
    pub fn outlet(&self, number: u8) -> Option<&Outlet> {
        self.outlets.get(usize::from(number).checked_sub(1)?)
    }
}

impl Outlet {
    /// What it is set to; none if its selector stands where it has no position.
    #[must_use]
    pub fn setting(&self) -> Option<&Setting> {
        self.settings.get(usize::from(self.chosen).checked_sub(1)?)
    }
}
