//! What is inside the instrument: pickup, pots, tone capacitor, treble bleed.

use super::PickupWiring;
use crate::units::{Farads, Henries, Metres, Ohms, Ratio, Turn, Volts};

/// How much of a pot stands below the wiper at a given turn.
///
/// The letters on pots mean different laws in different regions, so the law
/// itself is stored. [practice, S: taper]
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Taper {
    /// α = x.
    Linear,
    /// Two straight segments that meet at α = `half` at half turn.
    TwoSegments {
        /// α at half turn, above 0 and below 1.
        half: Turn,
    },
    /// α = (bˣ − 1)/(b − 1) with b = (1/`half` − 1)².
    Exponential {
        /// α at half turn, above 0 and below 1.
        half: Turn,
    },
}

impl Taper {
    /// α, the part of the resistance below the wiper, at turn x: 0 at 0, 1 at 1.
    #[must_use]
    pub fn part_below(self, turn: Turn) -> f64 {
        let x = turn.get();
        match self {
            Self::Linear => x,
            Self::TwoSegments { half } => {
                let half = half.get();
                if x <= 0.5 { 2.0 * half * x } else { half + 2.0 * (1.0 - half) * (x - 0.5) }
            }
            Self::Exponential { half } => {
                // 1e-6 keeps the formula away from its poles; no pot is so steep.
                let half = half.get().clamp(1e-6, 1.0 - 1e-6);
                let b = (1.0 / half - 1.0).powi(2);
                if (b - 1.0).abs() < 1e-9 { x } else { (b.powf(x) - 1.0) / (b - 1.0) }
            }
        }
    }
}

/// A potentiometer.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pot {
    /// End to end.
    pub resistance: Ohms,
    /// Its law.
    pub taper: Taper,
    /// Whether its track is cut at the full end, so that nothing of it loads there.
    #[serde(default)]
    pub no_load: bool,
}

impl Pot {
    /// One whose track goes all the way.
    #[must_use]
    pub const fn of(resistance: Ohms, taper: Taper) -> Self {
        Self { resistance, taper, no_load: false }
    }

    /// Whether nothing of it loads at a turn: full up on a cut track.
    #[must_use]
    pub fn is_cut_at(&self, turn: Turn) -> bool {
        self.no_load && turn == Turn::FULL
    }

    /// Resistance above the wiper and below it, in Ω, at a turn.
    #[must_use]
    pub fn split(&self, turn: Turn) -> (Ohms, Ohms) {
        let below = self.taper.part_below(turn).clamp(0.0, 1.0);
        let whole = self.resistance.get();
        (Ohms::clamped(whole * (1.0 - below)), Ohms::clamped(whole * below))
    }
}

/// A magnetic pickup: EMF behind R and L, eddy loss across L, winding C across the terminals.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pickup {
    /// Direct-current resistance of the winding.
    pub resistance: Ohms,
    /// Inductance.
    pub inductance: Henries,
    /// Capacitance of the winding.
    pub capacitance: Farads,
    /// Eddy-current loss as a resistance across the inductance; none leaves it out.
    pub eddy_loss: Option<Ohms>,
    /// Where it stands under the strings, if somebody says.
    #[serde(default)]
    pub place: Option<PickupPlace>,
}

impl Pickup {
    /// One of which nobody says where it stands.
    #[must_use]
    pub const fn of(resistance: Ohms, inductance: Henries, capacitance: Farads) -> Self {
        Self { resistance, inductance, capacitance, eddy_loss: None, place: None }
    }
}

/// Where a pickup stands under the strings: what of their harmonics it hears.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PickupPlace {
    /// From the bridge to its middle.
    pub from_bridge: Metres,
    /// How much of a string one of its coils hears, along the string.
    pub width: Metres,
    /// Of one with two coils, how far apart they are.
    #[serde(default)]
    pub coils_apart: Option<Metres>,
}

/// Where the tone branch joins the volume pot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum ToneOrder {
    /// On the volume's input: the usual wiring.
    OnInput,
    /// On the volume's wiper: the older order, which keeps treble when turned down.
    OnWiper,
}

/// The tone control: a pot as a variable resistor in series with a capacitor.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tone {
    /// The pot.
    pub pot: Pot,
    /// The capacitor.
    pub capacitor: Farads,
    /// Where the branch joins.
    pub order: ToneOrder,
}

/// What bridges the volume pot from its input lug to its wiper.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub enum TrebleBleed {
    /// A capacitor alone.
    Capacitor {
        /// Its capacitance.
        capacitance: Farads,
    },
    /// A capacitor and a resistor side by side.
    Parallel {
        /// The capacitor.
        capacitance: Farads,
        /// The resistor.
        resistance: Ohms,
    },
    /// A capacitor and a resistor one after another.
    Series {
        /// The capacitor.
        capacitance: Farads,
        /// The resistor.
        resistance: Ohms,
    },
}

/// Which strings; it decides which notes the plot marks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Instrument {
    /// Six strings.
    Guitar,
    /// Four strings, an octave lower.
    Bass,
}

impl Instrument {
    /// The usual length of its strings, from nut to bridge. [memory, S: pickup-place]
    #[must_use]
    pub const fn usual_scale(self) -> Metres {
        match self {
            Self::Guitar => Metres::of(0.6477),
            Self::Bass => Metres::of(0.864),
        }
    }
}

/// A passive guitar or bass: one pickup and its controls, and how further ones are joined to it.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Guitar {
    /// Guitar or bass.
    pub instrument: Instrument,
    /// Its pickup; of several the first.
    pub pickup: Pickup,
    /// The volume pot; none is a pickup straight to the jack.
    pub volume: Option<Pot>,
    /// The tone control, if any.
    pub tone: Option<Tone>,
    /// The treble bleed, if any; it needs a volume pot.
    pub treble_bleed: Option<TrebleBleed>,
    /// Its highest voltage, a string struck hard; where nobody says, the player's limit tells.
    #[serde(default)]
    pub peak: Option<Volts>,
    /// The length of its strings, from nut to bridge; where nobody says, the usual one.
    #[serde(default)]
    pub scale: Option<Metres>,
    /// Its other pickups, and what joins them all; none where it has but one.
    #[serde(default)]
    pub pickup_wiring: Option<Box<PickupWiring>>,
}

/// An instrument with electronics of its own: a source behind a resistance. Or a
/// bare piezo, whose own capacitance stands in the way.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ActiveSource {
    /// Guitar or bass.
    pub instrument: Instrument,
    /// Output resistance.
    pub output: Ohms,
    /// Level of its volume control fully up, re its own EMF: 1 is 0 dB.
    pub gain: Ratio,
    /// The capacitance of a piezo that has no preamplifier, in series.
    #[serde(default)]
    pub piezo: Option<Farads>,
    /// Its highest voltage before that gain; where nobody says, the player's limit tells.
    #[serde(default)]
    pub peak: Option<Volts>,
}

impl ActiveSource {
    /// One with electronics, of which nobody has said how loud it is.
    #[must_use]
    pub const fn of(instrument: Instrument, output: Ohms, gain: Ratio) -> Self {
        Self { instrument, output, gain, piezo: None, peak: None }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tapers_meet_their_printed_values() {
        // [S: taper]: at three quarters of a turn 0.4014 (15 %) and 0.3250 (10 %).
        let at = |half: f64, x: f64| Taper::Exponential { half: Turn::of(half) }.part_below(Turn::of(x));
        assert!((at(0.15, 0.75) - 0.4014).abs() < 5e-5);
        assert!((at(0.10, 0.75) - 0.3250).abs() < 5e-5);
        // Two segments at 15 %: α = 0.15 + 1.70(x − ½) above half.
        let two = Taper::TwoSegments { half: Turn::of(0.15) };
        assert!((two.part_below(Turn::of(0.75)) - (0.15 + 1.70 * 0.25)).abs() < 1e-12);
        assert!((two.part_below(Turn::of(0.25)) - 0.30 * 0.25).abs() < 1e-12);
    }

    #[test]
    fn every_taper_goes_from_nothing_to_all() {
        for half in [0.0, 0.1, 0.5, 0.9, 1.0] {
            let half = Turn::of(half);
            for taper in [Taper::Linear, Taper::TwoSegments { half }, Taper::Exponential { half }] {
                assert_eq!(taper.part_below(Turn::CLOSED), 0.0);
                assert!((taper.part_below(Turn::FULL) - 1.0).abs() < 1e-12);
            }
        }
    }
}
