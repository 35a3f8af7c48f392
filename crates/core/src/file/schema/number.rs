//! Numbers, written so that a person can read them in the file.

use ron::value::RawValue;
use serde::{Serialize, Serializer};

use super::tie::Stored;
use crate::units;

/// A quantity in its SI unit, read with the quantity's own range.
#[derive(Debug, Clone, Copy, PartialEq, serde::Deserialize)]
#[serde(transparent)]
pub struct Number<Q>(pub Q);

/// Resistance in Ω.
pub type Ohms = Number<units::Ohms>;
/// Resistance of a mixing resistor in Ω.
pub type MixingOhms = Number<units::MixingOhms>;
/// Capacitance in F.
pub type Farads = Number<units::Farads>;
/// Frequency in Hz.
pub type Hertz = Number<units::Hertz>;
/// Inductance in H.
pub type Henries = Number<units::Henries>;
/// Length in m.
pub type Metres = Number<units::Metres>;
/// Resistance of a lead in Ω/m.
pub type OhmsPerMetre = Number<units::OhmsPerMetre>;
/// Inductance of a lead in H/m.
pub type HenriesPerMetre = Number<units::HenriesPerMetre>;
/// Capacitance of a lead in F/m.
pub type FaradsPerMetre = Number<units::FaradsPerMetre>;
/// Loss tangent, no unit.
pub type LossTangent = Number<units::LossTangent>;
/// A level in dB.
pub type Decibels = Number<units::Decibels>;
/// A pure number.
pub type Ratio = Number<units::Ratio>;
/// How far a knob stands, 0 to 1.
pub type Turn = Number<units::Turn>;
/// The part of their fields that two coils share.
pub type Coupling = Number<units::Coupling>;
/// Mass in g.
pub type Grams = Number<units::Grams>;
/// Voltage in V.
pub type Volts = Number<units::Volts>;
/// Current in A.
pub type Amperes = Number<units::Amperes>;
/// Power in W.
pub type Watts = Number<units::Watts>;
/// A battery's capacity in Ah.
pub type AmpereHours = Number<units::AmpereHours>;
/// Time in s.
pub type Seconds = Number<units::Seconds>;
/// Price in the project's currency.
pub type Price = Number<units::Price>;

impl<Q: Copy> Stored<Q> for Number<Q> {
    fn store(from: &Q) -> Self {
        Self(*from)
    }
    fn restore(self) -> Q {
        self.0
    }
}

impl<Q: Copy + Into<f64>> Serialize for Number<Q> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let value: f64 = self.0.into();
        match RawValue::from_ron(&in_steps_of_a_thousand(value)) {
            Ok(raw) => raw.serialize(to),
            Err(_) => value.serialize(to),
        }
    }
}

/// A number that may be left out. A number of our own writing would get a
/// `Some( )` around it, which no other field has.
pub fn or_none<Q, S>(number: &Option<Number<Q>>, to: S) -> Result<S::Ok, S::Error>
where
    Q: Copy + Into<f64>,
    S: Serializer,
{
    match number {
        Some(number) => number.serialize(to),
        None => to.serialize_none(),
    }
}

/// 22 nF as `22e-9` and 250 kΩ as `250e3`, as people say them; 6.0 and 0.15 as
/// they are. The digits are the fewest that give the same number when read.
fn in_steps_of_a_thousand(value: f64) -> String {
    let size = value.abs();
    if size == 0.0 || (1e-5..1e5).contains(&size) || !size.is_finite() {
        return format!("{value:?}");
    }
    let whole = format!("{value:e}");
    let Some((mantissa, Ok(exponent))) = whole.split_once('e').map(|(m, e)| (m, e.parse::<i32>())) else {
        return whole;
    };
    let shift = exponent.rem_euclid(3);
    let (before, after) = mantissa.split_once('.').unwrap_or((mantissa, ""));
    // Moving the point over digits keeps the number exact; multiplying would not.
    let moved: String = after.chars().chain(std::iter::repeat('0')).take(usize::try_from(shift).unwrap_or(0)).collect();
    let left: String = after.chars().skip(moved.len()).collect();
    let point = if left.is_empty() { "" } else { "." };
    format!("{before}{moved}{point}{left}e{}", exponent - shift)
}

#[cfg(test)]
mod tests {
    use rigwright_tests::Dice;

    use super::*;

    #[test]
    fn numbers_are_written_as_people_say_them() {
        let written = [
            (22e-9, "22e-9"),
            (100e-12, "100e-12"),
            (1.6e-12, "1.6e-12"),
            (12.345e-12, "12.345e-12"),
            (0.35e-6, "350e-9"),
            (250e3, "250e3"),
            (1e6, "1e6"),
            (6000.0, "6000.0"),
            (0.0005, "0.0005"),
            (0.0, "0.0"),
            (-200.0, "-200.0"),
        ];
        for (value, text) in written {
            assert_eq!(in_steps_of_a_thousand(value), text);
        }
    }

    #[test]
    fn every_number_reads_back_to_the_last_bit() {
        // All sizes, with digits to the last place.
        let mut dice = Dice::new(1);
        for _ in 0..100_000 {
            let value = f64::from_bits(dice.number());
            if value.is_finite() {
                let text = in_steps_of_a_thousand(value);
                assert_eq!(ron::from_str::<f64>(&text).unwrap().to_bits(), value.to_bits(), "{text}");
            }
        }
    }
}
