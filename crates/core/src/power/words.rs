//! Problems of power in sentences.

use std::fmt;

use super::problem::{Place, PowerProblem, What};
use crate::rig::{Connector, DeviceId, OutletRef, Rig, ZeroVolt};
use crate::units::{engineering, trimmed};

impl PowerProblem {
    /// One sentence with its number.
    #[must_use]
    pub fn words(&self, rig: &Rig) -> String {
        let text = Sentence { what: &self.what, rig }.to_string();
        let mut letters = text.chars();
        // A device's name stays as the player wrote it; our own words begin large.
        match (self.what.begins_with_name(), letters.next()) {
            (false, Some(first)) => first.to_uppercase().chain(letters).collect(),
            _ => text,
        }
    }

    /// Why it matters, in a sentence or two.
    #[must_use]
    pub fn why(&self) -> &'static str {
        match self.what {
            What::TooHigh { .. } => "Unplug it before you switch on: over-voltage can destroy it.",
            What::Reversed { .. } => "Unplug it before you switch on: reversed poles can destroy it.",
            What::AlternatingIntoDirect { .. } => {
                "Unplug it before you switch on: AC can destroy it, and its peaks are 1.4 times as high."
            }
            What::SeriesShort { .. } => {
                "The pair's middle is joined to 0 V a second time, which shorts one outlet. Only isolated outlets can be put in series."
            }
            What::PositiveGround { .. } => {
                "Its plus is joined to the signal's ground, so a shared 0 V shorts the supply through the patch leads. Give it an isolated outlet of its own."
            }
            What::OverSixty { .. } => "Past 60 V DC a voltage is no longer safe to touch.",
            What::NoLoadTooHigh { .. } => {
                "An unregulated adaptor gives far more than its rating until it is loaded, and a unit that draws little doesn't load it."
            }
            What::TooLow { .. } => "It may sound thin or distorted, or not start at all.",
            What::DirectIntoAlternating { .. } => "It doesn't work on DC.",
            What::Over { .. } => "The voltage sags, units drop out or hum, and the supply runs hot.",
            What::StartUp { .. } => {
                "Switched on all at once the supply may not come up; plug the hungry ones in one after another, or spread them."
            }
            What::NoPowerIn { .. } => "What hangs on it gets nothing.",
            What::ParallelNotAllowed { .. } => {
                "One outlet may feed current back into the other. Only pairs whose maker allows it."
            }
            What::UnequalPair { .. } => {
                "A pair wants two outlets that give the same kind of current, in parallel also the same voltage."
            }
            What::WrongPlug {
                plug: Connector::Barrel21 | Connector::Barrel25,
                socket: Connector::Barrel21 | Connector::Barrel25,
                ..
            } => "The two look alike: one doesn't go in, the other goes in and makes no safe contact.",
            What::WrongPlug { .. } => "Use a lead that ends in the right plug.",
            What::DaisyPolarity { .. } => {
                "One swapped plug on a daisy lead is soon in the wrong unit. Give it an outlet of its own."
            }
            What::Tight { .. } => "A supply that is used to the full runs hot and leaves nothing for start-up.",
            What::DaisyDigital { .. } => "A digital unit's clock comes back on the shared 0 V and is heard as whine.",
            What::KeepApart { .. } => "They share a 0 V, and with it each other's noise.",
            What::MuchGain { .. } => {
                "What one of them puts on the shared 0 V the others amplify. From three drives, fuzzes or compressors on, or more than about 40 dB, it is mostly heard."
            }
        }
    }
}

impl Place {
    fn words(self, rig: &Rig) -> String {
        let supply = name(rig, self.supply());
        match self {
            Self::Outlet(outlet) => format!("outlet {} of {supply}", outlet.outlet),
            Self::Group(_, ZeroVolt::Inlet) => format!("the group of {supply} on its inlet's 0 V"),
            Self::Group(_, ZeroVolt::Group(number)) => format!("group {number} of {supply}"),
            Self::Total(_) => supply,
        }
    }
}

impl What {
    fn begins_with_name(&self) -> bool {
        !matches!(
            self,
            Self::SeriesShort { .. }
                | Self::OverSixty { .. }
                | Self::ParallelNotAllowed { .. }
                | Self::UnequalPair { .. }
                | Self::Over { place: Place::Outlet(_) | Place::Group(..), .. }
                | Self::StartUp { place: Place::Outlet(_) | Place::Group(..), .. }
                | Self::Tight { place: Place::Outlet(_) | Place::Group(..), .. }
        )
    }
}

fn name(rig: &Rig, id: DeviceId) -> String {
    rig.device(id).map_or_else(|| format!("device {}", id.0), |device| device.name.clone())
}

/// Volts to a hundredth.
fn volts(value: f64) -> String {
    format!("{} V", trimmed((value * 100.0).round() / 100.0, 4))
}

/// "104 of 100 mA", "19 of 18 W": both numbers with the rating's prefix.
fn of(load: f64, limit: f64, unit: &str) -> String {
    let rating = engineering(limit, unit, 3);
    let scale = if rating.contains('m') { 1e3 } else { 1.0 };
    let (_, symbol) = rating.split_once(' ').unwrap_or(("", unit));
    format!("{} of {} {symbol}", trimmed(load * scale, 3), trimmed(limit * scale, 3))
}

struct Sentence<'a> {
    what: &'a What,
    rig: &'a Rig,
}

impl fmt::Display for Sentence<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = |id: DeviceId| name(self.rig, id);
        let pair = |first: OutletRef, second: OutletRef| {
            if first.supply == second.supply {
                format!("outlets {} and {} of {}", first.outlet, second.outlet, name(first.supply))
            } else {
                let one = Place::Outlet(first).words(self.rig);
                format!("{one} and {}", Place::Outlet(second).words(self.rig))
            }
        };
        match *self.what {
            What::TooHigh { device, volts: got, most } => {
                write!(f, "{} wants {} at most and gets {}.", name(device), volts(most), volts(got))
            }
            What::Reversed { device } => write!(f, "{} gets its two poles the wrong way round.", name(device)),
            What::AlternatingIntoDirect { device, volts: got } => {
                write!(f, "{} wants DC and gets {} AC.", name(device), volts(got))
            }
            What::SeriesShort { lower, upper } => {
                write!(f, "{} in series are a short.", pair(lower, upper))
            }
            What::PositiveGround { device, with: Some(with) } => {
                write!(f, "{} has positive ground and shares a 0 V with {}.", name(device), name(with))
            }
            What::PositiveGround { device, with: None } => {
                write!(f, "{} has positive ground and its 0 V is the mains earth.", name(device))
            }
            What::OverSixty { volts: got } => write!(f, "a supply lead carries {}, more than 60 V DC.", volts(got)),
            What::NoLoadTooHigh { device, no_load, most } => write!(
                f,
                "{} wants {} at most, and its adaptor gives {} with nothing on it.",
                name(device),
                volts(most),
                volts(no_load)
            ),
            What::TooLow { device, volts: got, least } => {
                write!(f, "{} wants {} at least and gets {}.", name(device), volts(least), volts(got))
            }
            What::DirectIntoAlternating { device } => write!(f, "{} wants AC and gets DC.", name(device)),
            What::Over { place, running, limit, .. } => {
                write!(f, "{} is over its rating: {}.", place.words(self.rig), of(running, limit, place.unit()))
            }
            What::StartUp { place, start_up, limit } => {
                let load = of(start_up, limit, place.unit());
                write!(f, "{} is over its rating at start-up: {load}.", place.words(self.rig))
            }
            What::NoPowerIn { supply } => write!(f, "{} feeds units, and nothing feeds it.", name(supply)),
            What::ParallelNotAllowed { first, second } => {
                write!(f, "{} may not be put in parallel.", pair(first, second))
            }
            What::UnequalPair { first, second } => {
                write!(f, "{} don't go together as a pair.", pair(first, second))
            }
            What::WrongPlug { device, plug, socket } => {
                write!(f, "{} has a socket for “{}” and gets “{}”.", name(device), socket.name(), plug.name())
            }
            What::DaisyPolarity { device, with } => {
                write!(f, "{} and {} want opposite polarity and hang on one daisy lead.", name(device), name(with))
            }
            What::Tight { place, running, limit, used } => write!(
                f,
                "{} carries {}, more than {} %.",
                place.words(self.rig),
                of(running, limit, place.unit()),
                trimmed(used * 100.0, 3)
            ),
            What::DaisyDigital { device, with } => {
                write!(f, "{} is digital and hangs on one daisy lead with {}.", name(device), name(with))
            }
            What::MuchGain { device, with, stages, .. } if stages > 2 => write!(
                f,
                "{} and {} are of {stages} drives, fuzzes and compressors that share a 0 V.",
                name(device),
                name(with)
            ),
            What::MuchGain { device, with, gain, .. } => write!(
                f,
                "{} and {} are on one 0 V with {} dB of gain that can be on together.",
                name(device),
                name(with),
                trimmed(gain, 3)
            ),
            What::KeepApart { device, with } => {
                write!(f, "{} is to be kept apart from {} and shares its 0 V.", name(device), name(with))
            }
        }
    }
}
