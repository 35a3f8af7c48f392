//! The peak and the −3 dB point of a curve, each with its "none, because".

use std::fmt;

use super::maximum::maximum;
use super::root::root;
use crate::units::{Level, engineering};

/// The level that the figures are taken from is the one at this frequency.
pub const REFERENCE_HZ: f64 = 200.0;
/// A maximum counts as a peak from this height above the level at 200 Hz.
pub const LEAST_PEAK_DB: f64 = 0.5;

/// The highest interior maximum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// Frequency, to 0.1 Hz.
    pub hz: f64,
    /// Level there, dB from the EMF.
    pub db: f64,
    /// Height above the level at 200 Hz.
    pub height_db: f64,
}

/// Why a curve has no peak.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoPeak {
    /// Nothing comes through.
    Silent,
    /// The level only falls, or only rises, from 20 Hz to 20 kHz.
    NoMaximum,
    /// Its highest maximum is lower than half a decibel above the level at 200 Hz.
    TooLow {
        /// That maximum's height above the level at 200 Hz.
        height_db: f64,
    },
    /// Ways arrive apart, and their sum is a comb.
    Comb {
        /// In s.
        apart: f64,
    },
}

/// "its ways arrive 2 ms apart, …".
fn comb(f: &mut fmt::Formatter<'_>, apart: f64) -> fmt::Result {
    write!(f, "its ways arrive {} apart, so that the level rises and falls like a comb", engineering(apart, "s", 3))
}

impl fmt::Display for NoPeak {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Silent => f.write_str("nothing comes through"),
            Self::Comb { apart } => comb(f, *apart),
            Self::NoMaximum => f.write_str("the level has no maximum between 20 Hz and 20 kHz"),
            Self::TooLow { height_db } => {
                write!(f, "its highest point stands only {height_db:.1} dB above the level at 200 Hz")
            }
        }
    }
}

/// The highest frequency at which half the power of 200 Hz is left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Minus3 {
    /// Frequency.
    pub hz: f64,
}

/// Why a curve has no −3 dB point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoMinus3 {
    /// Nothing comes through.
    Silent,
    /// It never crosses that level up to 20 kHz.
    NeverCrosses,
    /// Ways arrive apart, and their sum is a comb.
    Comb {
        /// In s.
        apart: f64,
    },
}

impl fmt::Display for NoMinus3 {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Silent => f.write_str("nothing comes through"),
            Self::Comb { apart } => comb(f, *apart),
            Self::NeverCrosses => f.write_str("it lies beyond 20 kHz"),
        }
    }
}

/// Level at an index, very low where silent, so that comparing goes on.
fn number(level: Level) -> f64 {
    level.decibels().unwrap_or(-1e6)
}

/// The peak of a curve. `level_at` gives the level off the grid.
pub fn peak(hz: &[f64], levels: &[Level], level_at: &impl Fn(f64) -> Level) -> Result<Peak, NoPeak> {
    let Level::Decibels(reference) = level_at(REFERENCE_HZ) else {
        return Err(NoPeak::Silent);
    };
    let mut tops: Vec<(usize, f64)> = levels
        .windows(3)
        .enumerate()
        .filter_map(|(i, w)| {
            let [left, top, right] = [number(w[0]), number(w[1]), number(w[2])];
            (top > left && top >= right).then_some((i + 1, top))
        })
        .collect();
    tops.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    // Between grid points a lower top can turn out higher, by far less than this.
    let best = tops.first().ok_or(NoPeak::NoMaximum)?.1;
    let mut found: Option<(f64, f64)> = None;
    for (i, _) in tops.iter().take_while(|(_, top)| best - top < 0.3).take(4) {
        // A relative width of 1e-6 is 0.02 Hz at the top of the band; the step
        // of an exact level is known better than that.
        let (ln_hz, db) = maximum(hz[i - 1].ln(), hz[i + 1].ln(), 1e-6, |x| number(level_at(x.exp())));
        if found.is_none_or(|(_, highest)| db > highest) {
            found = Some((ln_hz.exp(), db));
        }
    }
    let (hz, db) = found.ok_or(NoPeak::NoMaximum)?;
    let height_db = db - reference;
    if height_db >= LEAST_PEAK_DB { Ok(Peak { hz, db, height_db }) } else { Err(NoPeak::TooLow { height_db }) }
}

/// The −3 dB point of a curve.
pub fn minus3(hz: &[f64], levels: &[Level], level_at: &impl Fn(f64) -> Level) -> Result<Minus3, NoMinus3> {
    let Level::Decibels(reference) = level_at(REFERENCE_HZ) else {
        return Err(NoMinus3::Silent);
    };
    let goal = reference - 10.0 * 2.0_f64.log10();
    let above = |i: usize| number(levels[i]) >= goal;
    let last = (1..levels.len()).rev().find(|&i| above(i) != above(i - 1)).ok_or(NoMinus3::NeverCrosses)?;
    let ln_hz = root(hz[last - 1].ln(), hz[last].ln(), 1e-9, |x| number(level_at(x.exp())) - goal);
    Ok(Minus3 { hz: ln_hz.exp() })
}
