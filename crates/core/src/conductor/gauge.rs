//! Resistance of a conductor from its gauge.

use std::f64::consts::PI;

/// Resistivity of annealed copper at 20 °C in Ω·mm²/km. [standard, S: gauge]
const COPPER: f64 = 17.241;

/// The thickness of a supply lead's conductors, as it is printed on leads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Gauge {
    /// 1.0 mm²
    One,
    /// 0.75 mm²
    ThreeQuarters,
    /// 0.5 mm²
    Half,
    /// American wire gauge 16
    Awg16,
    /// American wire gauge 18
    Awg18,
    /// American wire gauge 20
    Awg20,
    /// American wire gauge 22
    Awg22,
    /// American wire gauge 24
    Awg24,
    /// American wire gauge 26
    Awg26,
    /// American wire gauge 28
    Awg28,
}

impl Gauge {
    /// All of them: those in mm² first, each from the thickest on.
    pub const ALL: [Self; 10] = [
        Self::One,
        Self::ThreeQuarters,
        Self::Half,
        Self::Awg16,
        Self::Awg18,
        Self::Awg20,
        Self::Awg22,
        Self::Awg24,
        Self::Awg26,
        Self::Awg28,
    ];

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::One => "1 mm²",
            Self::ThreeQuarters => "0.75 mm²",
            Self::Half => "0.5 mm²",
            Self::Awg16 => "AWG 16",
            Self::Awg18 => "AWG 18",
            Self::Awg20 => "AWG 20",
            Self::Awg22 => "AWG 22",
            Self::Awg24 => "AWG 24",
            Self::Awg26 => "AWG 26",
            Self::Awg28 => "AWG 28",
        }
    }

    /// Resistance of one conductor at 20 °C in Ω/m.
    ///
    /// American gauges: solid copper of the standard's diameter. [standard, S: gauge]
    /// Those in mm²: the most that a flexible conductor may have. [standard, S: flexible-wire]
    #[must_use]
    pub fn ohms_per_metre(self) -> f64 {
        let number = match self {
            Self::One => return 19.5e-3,
            Self::ThreeQuarters => return 26.0e-3,
            Self::Half => return 39.0e-3,
            Self::Awg16 => 16,
            Self::Awg18 => 18,
            Self::Awg20 => 20,
            Self::Awg22 => 22,
            Self::Awg24 => 24,
            Self::Awg26 => 26,
            Self::Awg28 => 28,
        };
        awg_ohms_per_metre(number)
    }
}

/// Diameter of a solid conductor of an American gauge, in mm: 0.127·92^((36−n)/39). [standard, S: gauge]
#[must_use]
pub fn awg_diameter(number: u8) -> f64 {
    0.127 * 92_f64.powf((36.0 - f64::from(number)) / 39.0)
}

/// Resistance of one solid copper conductor of an American gauge at 20 °C, in Ω/m.
#[must_use]
pub fn awg_ohms_per_metre(number: u8) -> f64 {
    let diameter = awg_diameter(number);
    COPPER / (PI / 4.0 * diameter * diameter) * 1e-3
}
