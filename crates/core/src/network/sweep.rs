//! The frequencies at which a ladder is evaluated.

use std::f64::consts::TAU;

/// An ascending list of frequencies in Hz, with ω beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Sweep {
    hz: Vec<f64>,
    omega: Vec<f64>,
}

impl Sweep {
    /// The frequencies as given, in Hz; what isn't above zero and finite is left out.
    #[must_use]
    pub fn at(hz: &[f64]) -> Self {
        let hz: Vec<f64> = hz.iter().copied().filter(|f| *f > 0.0 && f.is_finite()).collect();
        let omega = hz.iter().map(|f| TAU * f).collect();
        Self { hz, omega }
    }

    /// `points` frequencies from `low` to `high` Hz, both included, evenly spaced on a log axis.
    #[must_use]
    pub fn logarithmic(low: f64, high: f64, points: usize) -> Self {
        let last = points.saturating_sub(1).max(1) as f64;
        let hz: Vec<f64> = (0..points)
            .map(|i| if i + 1 == points && i > 0 { high } else { low * (high / low).powf(i as f64 / last) })
            .collect();
        Self::at(&hz)
    }

    /// How many points the program's own grid has.
    pub const AUDIO_POINTS: usize = 256;

    /// The program's own grid: 256 points from 20 Hz to 20 kHz.
    #[must_use]
    pub fn audio() -> Self {
        Self::logarithmic(20.0, 20_000.0, Self::AUDIO_POINTS)
    }

    /// Frequencies in Hz.
    #[must_use]
    pub fn hz(&self) -> &[f64] {
        &self.hz
    }

    /// Angular frequencies in rad/s.
    #[must_use]
    pub fn omega(&self) -> &[f64] {
        &self.omega
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.hz.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.hz.is_empty()
    }
}

/// The exact third-octave centres from 20 Hz to 20 kHz: 1000·10^(n/10), n −17 to 13.
///
/// Source: [standard, S: third-octaves].
#[must_use]
pub fn third_octaves_hz() -> Vec<f64> {
    (-17..=13).map(|n| 1000.0 * 10f64.powf(f64::from(n) / 10.0)).collect()
}
