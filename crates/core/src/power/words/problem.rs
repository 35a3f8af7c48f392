//! Problems of power as diagnoses: in sentences, with what they are about.

use std::fmt;

use crate::diagnosis::{About, Diagnosis, Rule, Subject};
use crate::power::problem::{PowerFault, PowerProblem, RatingScope};
use crate::rig::{Bypass, Connector, Country, DeviceId, Kind, OutletRef, Rig, WithoutPower, ZeroVolt, device_name};
use crate::units::{beside, part_of as of, trimmed};

impl PowerProblem {
    /// How it is told, before anybody has looked for what remedies it.
    #[must_use]
    pub fn told(&self, rig: &Rig) -> Diagnosis {
        let rule = Rule { subject: Subject::Power, key: self.what.key() };
        Diagnosis {
            warning: self.what.warning(),
            why: self.why().to_owned(),
            about: About { feeds: self.feed.into_iter().collect(), ..About::devices(self.what.devices()) },
            ..Diagnosis::new(rule, self.severity, self.words(rig))
        }
    }

    /// One sentence with its number.
    #[must_use]
    pub(in crate::power) fn words(&self, rig: &Rig) -> String {
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
    pub(in crate::power) fn why(&self) -> &'static str {
        match self.what {
            PowerFault::TooHigh { destroys: true, .. } => {
                "Unplug it before you switch on: over-voltage can destroy it."
            }
            PowerFault::TooHigh { .. } => {
                "It is past what it is made for: it may run hot and age, or sound otherwise than it should."
            }
            PowerFault::Reversed { .. } => "Unplug it before you switch on: reversed poles can destroy it.",
            PowerFault::AlternatingIntoDirect { .. } => {
                "Unplug it before you switch on: AC can destroy it, and its peaks are 1.4 times as high."
            }
            PowerFault::SeriesShort { .. } => {
                "The pair's middle is joined to 0 V a second time, which shorts one outlet. Only isolated outlets can be put in series."
            }
            PowerFault::PositiveGround { .. } => {
                "Its plus is joined to the signal's ground, so a shared 0 V shorts the supply through the patch leads. Give it an isolated outlet, with none but units like it."
            }
            PowerFault::SharedWinding { .. } => {
                "Unplug it before you switch on: inside it a rectifier stands between the AC and the signal's ground, and the screens of the patch leads join that ground to the winding past it. Diodes and transformer can burn. One unit a winding, unless the makers of all that share it allow it."
            }
            PowerFault::MainsTooHigh { .. } => {
                "Don't plug it in there: its transformer and capacitors can burn. Set its voltage selector if it has one, with the fuse that its maker names for that voltage, or use a step-down transformer of enough VA that passes the earth on. A plug adapter changes no voltage."
            }
            PowerFault::MainsTooLow { .. } => {
                "It won't work as it should, and valves stay too cold. Set its voltage selector if it has one, with the fuse that its maker names for that voltage, or use a step-up transformer of enough VA that passes the earth on."
            }
            PowerFault::OverSixty { .. } => "Past 60 V DC a voltage is no longer safe to touch.",
            PowerFault::NoLoadTooHigh { .. } => {
                "An unregulated adaptor gives far more than its rating until it is loaded, and a unit that draws little doesn't load it."
            }
            PowerFault::TooLow { .. } => "It may sound thin or distorted, or not start at all.",
            PowerFault::DirectIntoAlternating { burns: true, .. } => {
                "Unplug it before you switch on: DC doesn't pass its transformer, it only heats the winding until that burns."
            }
            PowerFault::DirectIntoAlternating { .. } => "It doesn't work on DC.",
            PowerFault::Over { .. } => "The voltage sags, units drop out or hum, and the supply runs hot.",
            PowerFault::StartUp { .. } => {
                "Heaters of valves draw 3-5 times as much for about a second. Switched on all at once the supply may not come up; plug the hungry ones in one after another, or spread them."
            }
            PowerFault::Surge { .. } => {
                "Digital units draw 3-10 times as much until their capacitors are full. Most supplies ride through that; with one that blinks and doesn't come up, plug these in one after another."
            }
            PowerFault::NoPowerIn { .. } => "What hangs on it gets nothing.",
            PowerFault::Unfed { .. } => {
                "A buffer needs power even while the effect is off; a mechanical bypass switch doesn't. A bypass with a relay or an electronic switch may pass or be silent: its maker says which."
            }
            PowerFault::ParallelNotAllowed { .. } => {
                "One outlet may feed current back into the other. Only pairs whose maker allows it."
            }
            PowerFault::UnequalPair { .. } => {
                "A pair wants two outlets that give the same kind of current, in parallel also the same voltage."
            }
            PowerFault::WrongPlug {
                plug: Connector::Barrel21 | Connector::Barrel25,
                socket: Connector::Barrel21 | Connector::Barrel25,
                ..
            } => "The two look alike: one doesn't go in, the other goes in and makes no safe contact.",
            PowerFault::WrongPlug { .. } => "Use a lead that ends in the right plug.",
            PowerFault::DaisyPolarity { .. } => {
                "One swapped plug on a daisy lead is soon in the wrong unit. Give it an outlet of its own."
            }
            PowerFault::Tight { .. } => "A supply that is used to the full runs hot and leaves nothing for start-up.",
            PowerFault::DaisyDigital { .. } => {
                "A digital unit's clock comes back on the shared 0 V and is heard as whine."
            }
            PowerFault::Clock { .. } => {
                "A small doubler is a charge pump: the 0 V goes through it, and its clock may be heard as a whine. Feed it from an isolated outlet, and only what needs it."
            }
            PowerFault::KeepApart { .. } => "They share a 0 V, and with it each other's noise.",
            PowerFault::MuchGain { .. } => {
                "What one of them puts on the shared 0 V the others amplify. From three drives, fuzzes or compressors on, or more than about 40 dB, it is mostly heard."
            }
        }
    }
}

impl RatingScope {
    fn words(self, rig: &Rig) -> String {
        let supply = device_name(rig, self.supply());
        match self {
            Self::Outlet(outlet) => format!("outlet {} of {supply}", outlet.outlet),
            Self::Group(_, ZeroVolt::Inlet) => format!("the group of {supply} on its inlet's 0 V"),
            Self::Group(_, ZeroVolt::Group(number)) => format!("group {number} of {supply}"),
            Self::Total(_) => supply,
        }
    }
}

impl PowerFault {
    fn begins_with_name(&self) -> bool {
        !matches!(
            self,
            Self::SeriesShort { .. }
                | Self::OverSixty { .. }
                | Self::ParallelNotAllowed { .. }
                | Self::UnequalPair { .. }
                | Self::Over { scope: RatingScope::Outlet(_) | RatingScope::Group(..), .. }
                | Self::StartUp { scope: RatingScope::Outlet(_) | RatingScope::Group(..), .. }
                | Self::Surge { scope: RatingScope::Outlet(_) | RatingScope::Group(..), .. }
                | Self::Tight { scope: RatingScope::Outlet(_) | RatingScope::Group(..), .. }
        )
    }
}

/// Volts to a hundredth.
fn volts(value: f64) -> String {
    format!("{} V", trimmed((value * 100.0).round() / 100.0, 4))
}

/// "in Japan, and too little in 2 other places"
fn mains_of(country: Option<Country>, more: usize, much: &str) -> String {
    let at = match country {
        None => "at home".to_owned(),
        Some(Country::Elsewhere) => "elsewhere on the tour".to_owned(),
        Some(country) => format!("in {}", country.name()),
    };
    match more {
        0 => at,
        1 => format!("{at}, and too {much} in 1 other place"),
        count => format!("{at}, and too {much} in {count} other places"),
    }
}

/// What it means for the signal that a device gets no power, as the end of a sentence.
#[must_use]
pub fn when_unfed(kind: &Kind) -> Option<&'static str> {
    let pedal = kind.pedal().map(|pedal| (pedal.unpowered(), pedal.bypass));
    Some(match (kind, pedal) {
        (Kind::Supply(_), _) => return None,
        (_, Some((WithoutPower::Unknown, _))) => {
            "whether its relay lets the signal pass isn't known, and it can't be switched on; its maker says which"
        }
        (_, Some((WithoutPower::Passes, Bypass::True))) => {
            "its true bypass lets the signal pass, and it can't be switched on"
        }
        (_, Some((WithoutPower::Passes, Bypass::AlwaysLoading))) => {
            "its bypass lets the signal pass and its input still loads it, and it can't be switched on"
        }
        (_, Some((WithoutPower::Passes, Bypass::Buffered))) => {
            "it lets the signal pass without its buffer, and it can't be switched on"
        }
        (_, Some((WithoutPower::Silent, Bypass::Buffered))) => {
            "the buffer of its bypass is silent, so nothing comes through"
        }
        (_, Some((WithoutPower::Silent, _))) => "its relay doesn't let the signal pass, so nothing comes through",
        (Kind::Active(_), _) => "its electronics are silent, so nothing comes out of it",
        (Kind::Amp(_) | Kind::Interface(_), _) => "nothing that goes into it is heard",
        (Kind::DirectBox(_), _) => "nothing comes to the desk, though the signal passes to its through jack",
        (Kind::Tuner(_), _) => "it shows nothing, and the signal doesn't go through it",
        (kind, _) => match kind.without_power()? {
            WithoutPower::Silent | WithoutPower::Unknown => "its electronics are silent, so nothing comes through",
            WithoutPower::Passes => "the signal passes all the same",
        },
    })
}

struct Sentence<'a> {
    what: &'a PowerFault,
    rig: &'a Rig,
}

impl fmt::Display for Sentence<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = |id: DeviceId| device_name(self.rig, id);
        let pair = |first: OutletRef, second: OutletRef| {
            if first.supply == second.supply {
                format!("outlets {} and {} of {}", first.outlet, second.outlet, name(first.supply))
            } else {
                let one = RatingScope::Outlet(first).words(self.rig);
                format!("{one} and {}", RatingScope::Outlet(second).words(self.rig))
            }
        };
        match *self.what {
            PowerFault::TooHigh { device, volts: got, most, .. } => {
                let (got, most) = beside(got, most, 4);
                write!(f, "{} wants {most} V at most and gets {got} V.", name(device))
            }
            PowerFault::Reversed { device } => write!(f, "{} gets its two poles the wrong way round.", name(device)),
            PowerFault::AlternatingIntoDirect { device, volts: got } => {
                write!(f, "{} wants DC and gets {} AC.", name(device), volts(got))
            }
            PowerFault::SeriesShort { lower, upper } => {
                write!(f, "{} in series are a short.", pair(lower, upper))
            }
            PowerFault::PositiveGround { device, with: Some(with) } => {
                write!(f, "{} has positive ground and shares a 0 V with {}.", name(device), name(with))
            }
            PowerFault::PositiveGround { device, with: None } => {
                write!(f, "{} has positive ground and its 0 V is the mains earth.", name(device))
            }
            PowerFault::SharedWinding { device, with: Some(with), both: true } => {
                write!(f, "{} and {} hang on one AC winding.", name(device), name(with))
            }
            PowerFault::SharedWinding { device, with: Some(with), .. } => {
                write!(f, "{} takes AC and shares its winding's 0 V with {}.", name(device), name(with))
            }
            PowerFault::SharedWinding { device, with: None, .. } => {
                write!(f, "{} takes AC from a winding that is joined to the mains earth.", name(device))
            }
            PowerFault::MainsTooHigh { device, volts: got, most, country, more } => {
                let (got, most) = beside(got, most, 4);
                let at = mains_of(country, more, "much");
                write!(f, "{} takes {most} V of the mains at most and gets {got} V {at}.", name(device))
            }
            PowerFault::MainsTooLow { device, volts: got, least, country, more } => {
                let (got, least) = beside(got, least, 4);
                let at = mains_of(country, more, "little");
                write!(f, "{} takes {least} V of the mains at least and gets {got} V {at}.", name(device))
            }
            PowerFault::OverSixty { volts: got } => {
                write!(f, "a supply lead carries {}, more than 60 V DC.", volts(got))
            }
            PowerFault::NoLoadTooHigh { device, no_load, most } => write!(
                f,
                "{} wants {} at most, and its adaptor gives {} with nothing on it.",
                name(device),
                volts(most),
                volts(no_load)
            ),
            PowerFault::TooLow { device, volts: got, least } => {
                let (got, least) = beside(got, least, 4);
                write!(f, "{} wants {least} V at least and gets {got} V.", name(device))
            }
            PowerFault::DirectIntoAlternating { device, .. } => write!(f, "{} wants AC and gets DC.", name(device)),
            PowerFault::Over { scope, running, limit, .. } => {
                write!(f, "{} is over its rating: {}.", scope.words(self.rig), of(running, limit, scope.unit()))
            }
            PowerFault::StartUp { scope, start_up, limit } => {
                let load = of(start_up, limit, scope.unit());
                write!(f, "{} is over its rating at start-up: {load}.", scope.words(self.rig))
            }
            PowerFault::Surge { scope, start_up, limit, more } => {
                let load = of(start_up, limit, scope.unit());
                let more = match more {
                    0 => String::new(),
                    1 => "; so is another rating of that supply".to_owned(),
                    count => format!("; so are {count} other ratings of that supply"),
                };
                let place = scope.words(self.rig);
                write!(f, "{place} is over its rating for some milliseconds at start-up: {load}{more}.")
            }
            PowerFault::NoPowerIn { supply } => write!(f, "{} feeds units, and nothing feeds it.", name(supply)),
            PowerFault::Unfed { device, at } => {
                let unit = name(device);
                match at {
                    Some(at) => write!(f, "{unit} hangs on {}, to which no power comes", name(at))?,
                    None => write!(f, "{unit} is not fed")?,
                }
                let then = self.rig.device(device).and_then(|device| when_unfed(&device.kind));
                match then {
                    Some(then) => write!(f, ": {then}."),
                    None => write!(f, "."),
                }
            }
            PowerFault::ParallelNotAllowed { first, second } => {
                write!(f, "{} may not be put in parallel.", pair(first, second))
            }
            PowerFault::UnequalPair { first, second } => {
                write!(f, "{} don't go together as a pair.", pair(first, second))
            }
            PowerFault::WrongPlug { device, plug, socket } => {
                write!(f, "{} has a socket for “{}” and gets “{}”.", name(device), socket.name(), plug.name())
            }
            PowerFault::DaisyPolarity { device, with } => {
                write!(f, "{} and {} want opposite polarity and hang on one daisy lead.", name(device), name(with))
            }
            PowerFault::Tight { scope, running, limit, used } => write!(
                f,
                "{} carries {}, more than {} %.",
                scope.words(self.rig),
                of(running, limit, scope.unit()),
                trimmed(used * 100.0, 3)
            ),
            PowerFault::DaisyDigital { device, with } => {
                write!(f, "{} has a clock inside and hangs on one daisy lead with {}.", name(device), name(with))
            }
            PowerFault::Clock { supply, with } => {
                write!(f, "{} has a clock inside and shares its 0 V with {}.", name(supply), name(with))
            }
            PowerFault::MuchGain { device, with, stages, .. } if stages > 2 => write!(
                f,
                "{} and {} are among {stages} drives, fuzzes and compressors that share a 0 V.",
                name(device),
                name(with)
            ),
            PowerFault::MuchGain { device, with, gain, .. } => write!(
                f,
                "{} and {} are on one 0 V with {} dB of gain that can be on together.",
                name(device),
                name(with),
                trimmed(gain, 3)
            ),
            PowerFault::KeepApart { device, with } => {
                write!(f, "{} is to be kept apart from {} and shares its 0 V.", name(device), name(with))
            }
        }
    }
}
