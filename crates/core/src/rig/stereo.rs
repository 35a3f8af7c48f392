//! Stereo units: a second channel beside the first, right beside left.

use super::unit::{at_once, unchanged};
use super::{Jack, Polarity};
use crate::units::{Decibels, Level, Seconds, Turn, engineering};

/// A second output, and what its signal is to that of the first.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stereo {
    /// Whether it has a second input too, which leads to the second output; where nothing is
    /// plugged in there, the first input leads to both.
    #[serde(default)]
    pub second_in: bool,
    /// What the right output's signal is to the left one's, of one and the same input.
    #[serde(default)]
    pub right: Polarity,
    /// How much louder than the left it is.
    #[serde(default = "unchanged")]
    pub right_level: Decibels,
    /// How much later than the left it is.
    #[serde(default = "at_once")]
    pub right_latency: Seconds,
    /// Where between left and right its sound stands, if that can be set.
    #[serde(default)]
    pub pan: Option<Turn>,
    /// What the left output gives while nothing is plugged into the right one.
    #[serde(default)]
    pub alone: Alone,
}

/// What the left output of a stereo unit gives while nothing is plugged into the right one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, serde::Serialize, serde::Deserialize)]
pub enum Alone {
    /// The left side, as ever: the right side is heard nowhere.
    #[default]
    Left,
    /// Both sides, added up.
    Both,
}

impl Alone {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::Left, Self::Both];

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Left => "the left side alone",
            Self::Both => "both sides added up",
        }
    }
}

/// One of two channels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// Of the first jacks.
    Left,
    /// Of the second jacks.
    Right,
}

impl Side {
    /// Both.
    pub const BOTH: [Self; 2] = [Self::Left, Self::Right];

    /// Its input jack.
    #[must_use]
    pub fn input(self) -> Jack {
        match self {
            Self::Left => Jack::In,
            Self::Right => Jack::SecondIn,
        }
    }

    /// Its output jack.
    #[must_use]
    pub fn output(self) -> Jack {
        match self {
            Self::Left => Jack::Out,
            Self::Right => Jack::SecondOut,
        }
    }
}

impl Stereo {
    /// One input, two outputs with the same signal.
    pub const ALIKE: Self = Self {
        second_in: false,
        right: Polarity::Same,
        right_level: Decibels::of(0.0),
        right_latency: super::NO_LATENCY,
        pan: None,
        alone: Alone::Left,
    };

    /// Level of a side beside what the unit gives, by the right side's own and by where its sound
    /// is panned to: left cos(½πp), right sin(½πp), so that both powers add up to one
    /// wherever it stands [textbook, S: pan].
    #[must_use]
    pub fn level(&self, side: Side) -> Level {
        let panned = self.pan.map_or(Level::Decibels(0.0), |pan| {
            let angle = std::f64::consts::FRAC_PI_2 * pan.get();
            // cos(½π) is a rounding error, and no level.
            match (side, pan) {
                (Side::Left, Turn::FULL) | (Side::Right, Turn::CLOSED) => Level::Silent,
                (Side::Left, _) => Level::from_ratio(angle.cos()),
                (Side::Right, _) => Level::from_ratio(angle.sin()),
            }
        });
        match side {
            Side::Left => panned,
            Side::Right => panned.then(Level::Decibels(self.right_level.get())),
        }
    }

    /// What both sides in one make up beside the left alone: voltages add, turned over they cancel, and
    /// of uncorrelated ones powers add [S: mono-sum]. None where there is no left.
    #[must_use]
    pub fn in_one(&self) -> Option<Level> {
        let left = self.level(Side::Left).decibels()?;
        let ratio = self.level(Side::Right).decibels().map_or(0.0, |right| 10f64.powf((right - left) / 20.0));
        Some(match self.right {
            Polarity::Same | Polarity::Unknown => Level::from_ratio(1.0 + ratio),
            Polarity::Inverted => Level::from_ratio((1.0 - ratio).abs()),
            Polarity::Uncorrelated => Level::from_power_ratio(1.0 + ratio * ratio),
        })
    }

    /// The same as a sentence.
    #[must_use]
    pub fn in_one_words(&self) -> String {
        let Some(level) = self.in_one() else { return "Panned to the right its left output is silent.".to_owned() };
        let late = self.right_latency.get();
        match (self.right, level) {
            (Polarity::Same | Polarity::Inverted | Polarity::Unknown, _) if late > 0.0 => {
                let first = if self.right == Polarity::Inverted { 1.0 } else { 0.5 };
                format!("Both sides in one cancel at {} and so on: a comb.", engineering(first / late, "Hz", 3))
            }
            (_, Level::Silent) => "Both sides in one leave nothing.".to_owned(),
            (Polarity::Unknown, Level::Decibels(_)) => "Both sides in one add up, or cancel: nobody says.".to_owned(),
            (Polarity::Uncorrelated, Level::Decibels(_)) => {
                format!("Both sides in one add up as powers: {level} beside the left alone.")
            }
            (_, Level::Decibels(_)) => format!("Both sides in one are {level} beside the left alone."),
        }
    }

    /// The jacks of a unit with it, in the order in which a drawing shows them.
    #[must_use]
    pub(super) fn jacks(self, has_loop: bool) -> &'static [Jack] {
        use Jack::{In, Out, Return, SecondIn, SecondOut, Send};
        match (self.second_in, has_loop) {
            (false, false) => &[In, Out, SecondOut],
            (true, false) => &[In, SecondIn, Out, SecondOut],
            (false, true) => &[In, Out, SecondOut, Send(1), Return(1)],
            (true, true) => &[In, SecondIn, Out, SecondOut, Send(1), Return(1)],
        }
    }

    /// Where a signal that comes in at `jack` goes on to.
    #[must_use]
    pub(super) fn onward(self, has_loop: bool, jack: Jack) -> &'static [Jack] {
        use Jack::{Out, SecondOut, Send};
        match jack {
            Jack::In if has_loop => &[Out, SecondOut, Send(1)],
            Jack::In | Jack::Return(_) => &[Out, SecondOut],
            Jack::SecondIn if self.second_in => &[SecondOut],
            _ => &[],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 6.02 dB, 3.01 dB and nothing [S: mono-sum].
    #[test]
    fn both_sides_in_one_are_told() {
        let with = |right: Polarity| Stereo { right, ..Stereo::ALIKE };
        let db = |stereo: Stereo| stereo.in_one().unwrap().decibels();
        assert!((db(with(Polarity::Same)).unwrap() - 6.0206).abs() < 1e-4);
        assert!((db(with(Polarity::Uncorrelated)).unwrap() - 3.0103).abs() < 1e-4);
        assert_eq!(db(with(Polarity::Inverted)), None);
        assert_eq!(with(Polarity::Inverted).in_one_words(), "Both sides in one leave nothing.");
        let words = with(Polarity::Uncorrelated).in_one_words();
        assert_eq!(words, "Both sides in one add up as powers: +3.0 dB beside the left alone.");
        let late = Stereo { right_latency: Seconds::of(2e-3), ..Stereo::ALIKE };
        assert_eq!(late.in_one_words(), "Both sides in one cancel at 250 Hz and so on: a comb.");
    }

    /// Constant power: −3.01 dB on both sides in the middle, cos² + sin² = 1 everywhere [textbook, S: pan].
    #[test]
    fn a_panned_sound_keeps_its_power() {
        let at = |turn: f64| Stereo { pan: Some(Turn::of(turn)), ..Stereo::ALIKE };
        let power = |stereo: Stereo, side: Side| stereo.level(side).decibels().map_or(0.0, |db| 10f64.powf(db / 10.0));
        let middle = at(0.5).level(Side::Left).decibels().unwrap();
        assert!((middle + 10.0 * 2f64.log10()).abs() < 1e-9, "{middle}");
        for turn in [0.0, 0.1, 0.37, 0.5, 0.81, 1.0] {
            let both: f64 = Side::BOTH.into_iter().map(|side| power(at(turn), side)).sum();
            assert!((both - 1.0).abs() < 1e-12, "{turn}: {both}");
        }
        assert_eq!(at(0.0).level(Side::Right), Level::Silent);
        assert_eq!(at(1.0).level(Side::Left), Level::Silent);
    }
}
