//! The quantities: one newtype each, with the range a rig can have.

use std::fmt;

use super::show::{engineering, trimmed};

/// A number that a quantity can't have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutOfRange {
    /// What was to be held, with its article: "a resistance".
    pub what: &'static str,
    /// The number that came.
    pub got: f64,
    /// The least and the greatest number that is taken, in `unit`.
    pub range: (f64, f64),
    /// The SI unit of all three numbers.
    pub unit: &'static str,
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let show = |value: f64| if value.is_finite() { in_unit(value, self.unit) } else { value.to_string() };
        let (low, high) = self.range;
        let a_number = if self.unit.is_empty() { "a number from " } else { "" };
        write!(f, "{} can't be {}; expected {a_number}{} to {}", self.what, show(self.got), show(low), show(high))
    }
}

/// From here on a number is told by its power of ten: nobody counts 300 noughts.
const LONG: f64 = 1e15;

/// "−20 pF", "10000 m", "0.5".
fn in_unit(value: f64, unit: &str) -> String {
    match unit {
        _ if value.abs() >= LONG => format!("{value:e} {unit}").trim_end().to_owned(),
        "" => format!("{value}"),
        // Prefixes are for what has them in speech.
        "m" | "dB" | "g" | "Hz" => format!("{} {unit}", trimmed(value, 6)),
        _ => engineering(value, unit, 6),
    }
}

impl std::error::Error for OutOfRange {}

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident, $what:literal, $unit:literal, $low:expr, $high:expr;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, serde::Serialize, serde::Deserialize)]
        #[serde(try_from = "f64", into = "f64")]
        pub struct $name(f64);

        impl $name {
            /// The least value taken.
            pub const MIN: f64 = $low;
            /// The greatest value taken.
            pub const MAX: f64 = $high;
            /// The SI unit's symbol.
            pub const UNIT: &str = $unit;

            /// The checked constructor. Errors: NaN, infinite or out of range.
            pub fn new(value: f64) -> Result<Self, OutOfRange> {
                if (Self::MIN..=Self::MAX).contains(&value) {
                    // Adding zero turns −0 into 0, so that a file reads back as it was shown.
                    Ok(Self(value + 0.0))
                } else {
                    Err(OutOfRange { what: $what, got: value, range: (Self::MIN, Self::MAX), unit: $unit })
                }
            }

            /// For numbers written in the code.
            ///
            /// # Panics
            /// Outside the range; in a constant that is a compile error.
            #[must_use]
            pub const fn of(value: f64) -> Self {
                assert!(value >= Self::MIN && value <= Self::MAX, $what);
                Self(value)
            }

            /// The nearest value that is taken; NaN becomes the least.
            #[must_use]
            pub fn clamped(value: f64) -> Self {
                if value.is_nan() { Self(Self::MIN) } else { Self(value.clamp(Self::MIN, Self::MAX) + 0.0) }
            }

            /// The number in the SI unit.
            #[must_use]
            pub const fn get(self) -> f64 {
                self.0
            }
        }

        impl TryFrom<f64> for $name {
            type Error = OutOfRange;
            fn try_from(value: f64) -> Result<Self, OutOfRange> {
                Self::new(value)
            }
        }

        impl From<$name> for f64 {
            fn from(quantity: $name) -> f64 {
                quantity.0
            }
        }
    )*};
}

quantities! {
    /// Resistance in Ω, 0 to 1 GΩ.
    Ohms, "a resistance", "Ω", 0.0, 1e9;
    /// Resistance of a mixing resistor in Ω, 1 Ω to 1 GΩ: without one, outputs would fight.
    MixingOhms, "a mixing resistor", "Ω", 1.0, 1e9;
    /// Capacitance in F, 0 to 1 mF.
    Farads, "a capacitance", "F", 0.0, 1e-3;
    /// Inductance in H, 0 to 100 H.
    Henries, "an inductance", "H", 0.0, 100.0;
    /// Length in m, 0 to 300 m: past that it is no guitar lead.
    Metres, "a length", "m", 0.0, 300.0;
    /// Resistance of a lead's both conductors together, Ω/m.
    OhmsPerMetre, "a lead's resistance", "Ω/m", 0.0, 100.0;
    /// Inductance of a lead, H/m.
    HenriesPerMetre, "a lead's inductance", "H/m", 0.0, 1e-3;
    /// Capacitance of a lead, F/m, 0 to 10 nF/m.
    FaradsPerMetre, "a lead's capacitance", "F/m", 0.0, 1e-8;
    /// Loss tangent of an insulation, no unit.
    LossTangent, "a loss tangent", "", 0.0, 1.0;
    /// Frequency in Hz, above zero.
    Hertz, "a frequency", "Hz", 1e-3, 1e9;
    /// A level or a gain in dB.
    Decibels, "a level", "dB", -200.0, 200.0;
    /// A pure number: turns ratio, stage gain.
    Ratio, "a ratio", "", 0.0, 1e6;
    /// How far a knob or treadle stands, 0 (closed, heel) to 1 (full, toe).
    Turn, "a knob's position", "", 0.0, 1.0;
    /// The part of their fields that two coils share, 0 to 0.49: three in a row can't share more.
    Coupling, "a coupling", "", 0.0, 0.49;
    /// Mass in grams, up to 200 kg.
    Grams, "a mass", "g", 0.0, 200_000.0;
    /// Voltage in V, 0 to 1 kV.
    Volts, "a voltage", "V", 0.0, 1000.0;
    /// Current in A, 0 to 20 A: past that it is no rig's supply.
    Amperes, "a current", "A", 0.0, 20.0;
    /// Power in W, 0 to 10 kW.
    Watts, "a power", "W", 0.0, 1e4;
    /// A battery's capacity in Ah, 0 to 1000 Ah.
    AmpereHours, "a capacity", "Ah", 0.0, 1000.0;
    /// Time in s, 0 to 10 s.
    Seconds, "a time", "s", 0.0, 10.0;
    /// Price in the project's currency.
    Price, "a price", "", 0.0, 1e7;
}

impl Default for Turn {
    fn default() -> Self {
        Self::FULL
    }
}

impl Turn {
    /// Full up, or toe down.
    pub const FULL: Self = Self::of(1.0);
    /// Closed, or heel down.
    pub const CLOSED: Self = Self::of(0.0);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nonsense_is_refused_with_a_sentence() {
        let error = Farads::new(-1e-12).unwrap_err().to_string();
        assert_eq!(error, "a capacitance can't be −1 pF; expected 0 F to 1 mF");
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(Ohms::new(bad).is_err());
        }
        assert!(Metres::new(10_000.0).is_err());
        assert!(Turn::new(1.000_001).is_err());
    }

    #[test]
    fn negative_zero_is_zero() {
        assert!(Ohms::new(-0.0).unwrap().get().is_sign_positive());
    }

    #[test]
    fn clamping_never_leaves_the_range() {
        assert_eq!(Turn::clamped(f64::NAN).get(), 0.0);
        assert_eq!(Turn::clamped(7.0).get(), 1.0);
    }
}
