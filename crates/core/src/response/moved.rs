//! Where a change moves the peak: what a player hears of a switch first.

use crate::units::hertz;

/// A peak that moves by less than this part of its frequency stays where it is.
/// [practice, S: small-differences]
const MOVED: f64 = 0.03;

/// The peak before a change and after it, in Hz, where there is one.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MovedPeak {
    /// Before it.
    pub before: Option<f64>,
    /// After it.
    pub after: Option<f64>,
}

impl MovedPeak {
    /// Whether it stands somewhere else after it, or only before or after it.
    #[must_use]
    pub fn moves(&self) -> bool {
        match (self.before, self.after) {
            (Some(before), Some(after)) => (after / before - 1.0).abs() > MOVED,
            (None, None) => false,
            _ => true,
        }
    }

    /// "moves the peak from 2.43 kHz to 3.68 kHz"; none where it stays.
    #[must_use]
    pub fn told(&self) -> Option<String> {
        match (self.before, self.after) {
            _ if !self.moves() => None,
            (Some(before), Some(after)) => Some(format!("moves the peak from {} to {}", hertz(before), hertz(after))),
            (Some(before), None) => Some(format!("takes the peak at {} away", hertz(before))),
            (None, Some(after)) => Some(format!("brings a peak at {}", hertz(after))),
            (None, None) => None,
        }
    }

    /// "2.43 kHz to 3.68 kHz", for a table; none where it stays.
    #[must_use]
    pub fn moved_words(&self) -> Option<String> {
        let words = |hz: Option<f64>| hz.map_or_else(|| "none".to_owned(), hertz);
        self.moves().then(|| format!("{} to {}", words(self.before), words(self.after)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_peak_that_stays_is_not_told() {
        let moved = |before, after| MovedPeak { before, after };
        // A semitone is 5.9 %, half of it 2.9 %. [S: pitch]
        assert_eq!(moved(Some(2000.0), Some(2059.0)).told(), None);
        assert_eq!(moved(None, None).told(), None);
        let told = moved(Some(2433.0), Some(3684.0)).told();
        assert_eq!(told.as_deref(), Some("moves the peak from 2.43 kHz to 3.68 kHz"));
        assert_eq!(moved(Some(2865.0), None).told().as_deref(), Some("takes the peak at 2.86 kHz away"));
        assert_eq!(moved(None, Some(4e3)).told().as_deref(), Some("brings a peak at 4 kHz"));
        assert_eq!(moved(Some(2433.0), None).moved_words().as_deref(), Some("2.43 kHz to none"));
    }
}
