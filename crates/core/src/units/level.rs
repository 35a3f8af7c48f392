//! A level in dB, or silence, which is a value and not a missing number.

use std::fmt;

/// What stands at a point of the rig.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Level {
    /// Nothing comes through: volume at zero, a tuner that mutes.
    Silent,
    /// dB from the reference that the context names, usually the pickup's EMF.
    Decibels(f64),
}

impl Level {
    /// From |V/E|²; zero, and what is no number, is silence.
    #[must_use]
    pub fn from_power_ratio(ratio: f64) -> Self {
        if ratio > 0.0 && ratio.is_finite() { Self::Decibels(10.0 * ratio.log10()) } else { Self::Silent }
    }

    /// From |V/E|; zero is silence.
    #[must_use]
    pub fn from_ratio(ratio: f64) -> Self {
        Self::from_power_ratio(ratio * ratio)
    }

    /// The number, if there is one.
    #[must_use]
    pub fn decibels(self) -> Option<f64> {
        match self {
            Self::Silent => None,
            Self::Decibels(db) => Some(db),
        }
    }

    /// Both after one another; silence wins.
    #[must_use]
    pub fn then(self, other: Self) -> Self {
        match (self, other) {
            (Self::Decibels(a), Self::Decibels(b)) => Self::Decibels(a + b),
            _ => Self::Silent,
        }
    }
}

impl fmt::Display for Level {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Silent => f.write_str("silent"),
            // U+2212 is the minus sign that lines up with the plus.
            Self::Decibels(db) if *db <= -0.05 => write!(f, "−{:.1} dB", -db),
            Self::Decibels(db) if *db >= 0.05 => write!(f, "+{db:.1} dB"),
            Self::Decibels(_) => f.write_str("0.0 dB"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn silence_wins_and_is_never_nan() {
        assert_eq!(Level::from_ratio(0.0), Level::Silent);
        assert_eq!(Level::from_ratio(f64::NAN), Level::Silent);
        assert_eq!(Level::Silent.then(Level::Decibels(3.0)), Level::Silent);
        assert_eq!(Level::Decibels(3.0).then(Level::Decibels(-1.0)), Level::Decibels(2.0));
    }

    #[test]
    fn signs_are_shown() {
        assert_eq!(Level::Decibels(5.64).to_string(), "+5.6 dB");
        assert_eq!(Level::Decibels(-0.46).to_string(), "−0.5 dB");
        assert_eq!(Level::Decibels(-0.01).to_string(), "0.0 dB");
    }
}
