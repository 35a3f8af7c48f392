//! Reading what a person types: "4.7k", "4k7", "22n", "20 ft", "3,3 nF".

use std::fmt;

/// What kind of number is being typed; it decides which unit words are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    /// Ω
    Resistance,
    /// F
    Capacitance,
    /// H
    Inductance,
    /// m; also cm, mm, ft, in
    Length,
    /// Hz
    Frequency,
    /// dB
    Level,
    /// V
    Voltage,
    /// A
    Current,
    /// W; also VA
    Power,
    /// Ah
    Capacity,
    /// F/m
    CapacitancePerLength,
    /// Ω/m
    ResistancePerLength,
    /// H/m
    InductancePerLength,
    /// s
    Time,
    /// g; also kg
    Mass,
    /// 0 to 1; also per cent
    Part,
    /// A plain number.
    Number,
}

impl Dimension {
    /// An example that a person can imitate.
    #[must_use]
    pub fn example(self) -> &'static str {
        match self {
            Self::Resistance => "470k or 1M",
            Self::Capacitance => "450p or 22n",
            Self::Inductance => "2.5 H",
            Self::Length => "6 m or 20 ft",
            Self::Frequency => "2.4k",
            Self::Level => "−6 dB",
            Self::Voltage => "9 V or 300m",
            Self::Current => "120 mA or 1.5 A",
            Self::Power => "24 W",
            Self::Capacity => "500 mAh or 5 Ah",
            Self::CapacitancePerLength => "100p (per metre)",
            Self::ResistancePerLength => "0.1 (per metre)",
            Self::InductancePerLength => "0.35u (per metre)",
            Self::Time => "2 ms",
            Self::Mass => "350 g",
            Self::Part => "0.5 or 50 %",
            Self::Number => "12",
        }
    }

    fn units(self) -> &'static [(&'static str, f64)] {
        match self {
            Self::Resistance => &[("ohms", 1.0), ("ohm", 1.0), ("Ω", 1.0), ("Ω", 1.0), ("R", 1.0)],
            Self::Capacitance => &[("F", 1.0)],
            Self::Inductance => &[("H", 1.0)],
            Self::Length => &[
                ("mm", 1e-3),
                ("cm", 1e-2),
                ("feet", 0.3048),
                ("foot", 0.3048),
                ("ft", 0.3048),
                ("'", 0.3048),
                ("in", 0.0254),
                ("\"", 0.0254),
                ("m", 1.0),
            ],
            Self::Frequency => &[("Hz", 1.0)],
            Self::Level => &[("dB", 1.0)],
            Self::Voltage => &[("V", 1.0)],
            Self::Current => &[("A", 1.0)],
            Self::Power => &[("VA", 1.0), ("W", 1.0)],
            Self::Capacity => &[("Ah", 1.0)],
            Self::CapacitancePerLength => &[("F/m", 1.0), ("F/ft", 1.0 / 0.3048)],
            Self::ResistancePerLength => &[("Ω/m", 1.0), ("Ω/m", 1.0), ("ohm/m", 1.0), ("Ω/ft", 1.0 / 0.3048)],
            Self::InductancePerLength => &[("H/m", 1.0), ("H/ft", 1.0 / 0.3048)],
            Self::Time => &[("s", 1.0)],
            Self::Mass => &[("kg", 1e3), ("g", 1.0)],
            Self::Part => &[("%", 1e-2)],
            Self::Number => &[],
        }
    }

    fn takes_prefix(self) -> bool {
        !matches!(self, Self::Length | Self::Level | Self::Mass | Self::Part | Self::Number)
    }
}

/// What was typed is no such quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ParseError {
    /// What was typed.
    pub text: String,
    /// What was expected.
    pub dimension: Dimension,
}

impl fmt::Display for ParseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "“{}” is not understood here; type something like {}", self.text, self.dimension.example())
    }
}

impl std::error::Error for ParseError {}

/// The number in SI units that `text` says.
///
/// A comma is read as a decimal point, a prefix may stand for the point
/// ("4k7"), and the unit may be left out. Errors: anything else.
pub fn parse(text: &str, dimension: Dimension) -> Result<f64, ParseError> {
    let error = || ParseError { text: text.trim().to_owned(), dimension };
    let plain = text.trim().replace(['−', '–'], "-").replace(',', ".").replace(' ', "");
    let digits_end = plain
        .char_indices()
        .find(|&(at, c)| !(c.is_ascii_digit() || c == '.' || (at == 0 && (c == '-' || c == '+'))))
        .map_or(plain.len(), |(at, _)| at);
    let (number, rest) = plain.split_at(digits_end);
    if let Some(exponential) = exponent_form(&plain, dimension) {
        return Ok(exponential);
    }
    if !number.contains(|c: char| c.is_ascii_digit()) {
        return Err(error());
    }
    // The unit first: "5m" is five metres where a length is asked for.
    let mut scale = 1.0;
    let mut rest = rest.to_owned();
    for (unit, factor) in dimension.units() {
        if let Some(before) = rest.strip_suffix(unit) {
            scale = *factor;
            rest = before.to_owned();
            break;
        }
    }
    let mut decimals = String::new();
    if !rest.is_empty() {
        if !dimension.takes_prefix() {
            return Err(error());
        }
        let mut chars = rest.chars();
        scale *= match chars.next() {
            Some('G') => 1e9,
            Some('M') => 1e6,
            Some('k' | 'K') => 1e3,
            Some('m') => 1e-3,
            Some('u' | 'µ' | 'μ') => 1e-6,
            Some('n') => 1e-9,
            Some('p') => 1e-12,
            _ => return Err(error()),
        };
        decimals = chars.collect();
        if !decimals.chars().all(|c| c.is_ascii_digit()) || (!decimals.is_empty() && number.contains('.')) {
            return Err(error());
        }
    }
    let joined = if decimals.is_empty() { number.to_owned() } else { format!("{number}.{decimals}") };
    joined.parse::<f64>().map(|value| value * scale).map_err(|_| error())
}

/// "4.5e-10", with or without the plain unit.
fn exponent_form(plain: &str, dimension: Dimension) -> Option<f64> {
    let bare = dimension
        .units()
        .iter()
        .find_map(|(unit, factor)| plain.strip_suffix(unit).filter(|_| *factor == 1.0))
        .unwrap_or(plain);
    let looks = bare.contains(['e', 'E']) && bare.chars().all(|c| c.is_ascii_digit() || "eE.+-".contains(c));
    if looks { bare.parse().ok().filter(|value: &f64| value.is_finite()) } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(text: &str, dimension: Dimension, expected: f64) {
        let got = parse(text, dimension).unwrap();
        assert!((got - expected).abs() <= expected.abs() * 1e-12, "{text}: {got}");
    }

    #[test]
    fn what_guitarists_type() {
        near("4.7k", Dimension::Resistance, 4700.0);
        near("4k7", Dimension::Resistance, 4700.0);
        near("1M", Dimension::Resistance, 1e6);
        near("470 Ω", Dimension::Resistance, 470.0);
        near("22n", Dimension::Capacitance, 22e-9);
        near("3,3 nF", Dimension::Capacitance, 3.3e-9);
        near("450p", Dimension::Capacitance, 450e-12);
        near("0.022u", Dimension::Capacitance, 22e-9);
        near("4.5e-10", Dimension::Capacitance, 4.5e-10);
        near("20 ft", Dimension::Length, 6.096);
        near("15 cm", Dimension::Length, 0.15);
        near("5m", Dimension::Length, 5.0);
        near("2.5 H", Dimension::Inductance, 2.5);
        near("800 mH", Dimension::Inductance, 0.8);
        near("−6 dB", Dimension::Level, -6.0);
        near("50 %", Dimension::Part, 0.5);
        near("100 pF/m", Dimension::CapacitancePerLength, 100e-12);
        near("30 pF/ft", Dimension::CapacitancePerLength, 98.425_196_850_393_7e-12);
        near("1.2 kg", Dimension::Mass, 1200.0);
        near("120 mA", Dimension::Current, 0.12);
        near("24 VA", Dimension::Power, 24.0);
        near("1.5 ms", Dimension::Time, 1.5e-3);
        near("550 mAh", Dimension::Capacity, 0.55);
    }

    #[test]
    fn nonsense_is_told_with_an_example() {
        for bad in ["", "k", "4..7k", "4.7k7", "abc", "5 parsec", "--3", "1e999"] {
            assert!(parse(bad, Dimension::Resistance).is_err(), "{bad}");
        }
        let error = parse("six", Dimension::Length).unwrap_err().to_string();
        assert_eq!(error, "“six” is not understood here; type something like 6 m or 20 ft");
    }
}
