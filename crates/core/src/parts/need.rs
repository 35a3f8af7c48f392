//! What is asked of a part besides its words: "18 V", "under 30 mA", "true bypass".

mod read;

use crate::rig::{Bypass, Kind, Mixer, Power, SizeClass, Splitter, Treadle};
use crate::units::{Dimension, shown, trimmed};
use crate::words::list;

use super::Part;

/// How a number of a part has to stand to one that was typed, in the SI unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bound {
    /// Just so much.
    Exactly(f64),
    /// So much or less.
    AtMost(f64),
    /// So much or more.
    AtLeast(f64),
}

/// A number that was calculated is to be the same as one that was typed.
const LAST_BIT: f64 = 1e-9;

impl Bound {
    /// Whether a number is so.
    #[must_use]
    pub fn holds(self, value: f64) -> bool {
        self.meets(value, value)
    }

    /// Whether some number from `least` to `most` is so.
    #[must_use]
    pub fn meets(self, least: f64, most: f64) -> bool {
        let not_above = |value: f64| least <= value * (1.0 + LAST_BIT);
        let not_below = |value: f64| most >= value * (1.0 - LAST_BIT);
        match self {
            Self::Exactly(value) => not_above(value) && not_below(value),
            Self::AtMost(value) => not_above(value),
            Self::AtLeast(value) => not_below(value),
        }
    }

    /// "at most 30 mA"; `number` writes the number.
    fn in_words(self, number: impl Fn(f64) -> String) -> String {
        match self {
            Self::Exactly(value) => number(value),
            Self::AtMost(value) => format!("at most {}", number(value)),
            Self::AtLeast(value) => format!("at least {}", number(value)),
        }
    }
}

/// One thing that is asked of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Need {
    /// A voltage in V that the part works on, or that an outlet of it gives.
    Voltage(Bound),
    /// A current in A that the part draws at its socket while it works, or that an outlet
    /// of it gives. What takes nothing at a socket has none; a supply's is its outlets'.
    Current(Bound),
    /// A mass in g.
    Mass(Bound),
    /// A price in the currency of the catalogue's prices.
    Price(Bound),
    /// A kind of bypass that the part has or can be set to; a loop switcher's contacts are a
    /// true bypass to what hangs in its loops.
    Bypass(Bypass),
    /// A buffer in the way while the part is off, or always.
    Buffered,
    /// A kind of bypass that can be chosen inside.
    SelectableBypass,
    /// The same, or an outlet whose voltage can be chosen.
    Selectable,
    /// A class of size.
    Size(SizeClass),
}

impl Need {
    /// In words that are read as the same need again.
    #[must_use]
    pub fn in_words(self) -> String {
        match self {
            Self::Voltage(bound) => bound.in_words(|volts| shown(volts, Dimension::Voltage, "V")),
            Self::Current(bound) => bound.in_words(|amperes| shown(amperes, Dimension::Current, "A")),
            Self::Mass(bound) => bound.in_words(|grams| shown(grams, Dimension::Mass, "g")),
            Self::Price(bound) => format!("price {}", bound.in_words(|price| trimmed(price, 6))),
            Self::Bypass(bypass) => bypass.name().to_owned(),
            Self::Buffered => "buffered".to_owned(),
            Self::SelectableBypass => "selectable bypass".to_owned(),
            Self::Selectable => "selectable".to_owned(),
            Self::Size(size) => size.describe().split(',').next().unwrap_or_default().to_owned(),
        }
    }

    /// Whether a part meets the need; of voltages and currents nothing is said here, since
    /// they belong to one socket together.
    fn fits(self, part: &Part) -> bool {
        match self {
            Self::Voltage(_) | Self::Current(_) => true,
            Self::Mass(bound) => bound.holds(part.body.mass.get()),
            Self::Price(bound) => bound.holds(part.body.price.get()),
            Self::Bypass(bypass) => has_bypass(&part.kind, bypass),
            Self::Buffered => has_bypass(&part.kind, Bypass::Buffered) || is_buffered(&part.kind),
            Self::SelectableBypass => is_selectable(&part.kind),
            Self::Selectable => is_selectable(&part.kind) || has_choice_of_voltage(&part.kind),
            Self::Size(size) => part.body.size == size,
        }
    }
}

fn has_bypass(kind: &Kind, bypass: Bypass) -> bool {
    match kind {
        Kind::Switcher(_) => bypass == Bypass::True,
        kind => kind.pedal().is_some_and(|pedal| pedal.bypass == bypass || pedal.selectable.contains(&bypass)),
    }
}

/// Whether a buffer is always in the way of what isn't called a buffer.
fn is_buffered(kind: &Kind) -> bool {
    match kind {
        Kind::Treadle(Treadle::BufferedVolume { .. })
        | Kind::Splitter(Splitter::Buffered { .. })
        | Kind::Mixer(Mixer::Buffered { .. }) => true,
        Kind::MultiEffects(_) => true,
        Kind::Selector(selector) => selector.buffer().is_some(),
        Kind::Switcher(switcher) => switcher.input.is_some() || switcher.output.is_some(),
        _ => false,
    }
}

fn is_selectable(kind: &Kind) -> bool {
    kind.pedal().is_some_and(|pedal| !pedal.selectable.is_empty())
}

fn has_choice_of_voltage(kind: &Kind) -> bool {
    kind.supply().is_some_and(|supply| supply.outlets.iter().any(|outlet| outlet.settings.len() > 1))
}

/// A place where power goes in or out: from one voltage in V to another, and the current in A
/// that is told of it, if one is.
struct Socket {
    least: f64,
    most: f64,
    current: Option<f64>,
}

fn sockets(part: &Part) -> Vec<Socket> {
    let supply = part.kind.supply();
    let mut found = Vec::new();
    match &part.power {
        Power::Low(need) => found.extend(need.ways.iter().map(|way| Socket {
            least: way.least.get(),
            most: way.most.get(),
            // A module's own draw is the least of what it takes.
            current: supply.is_none().then(|| way.running.get()),
        })),
        Power::Mains(mains) => {
            found.push(Socket { least: mains.least.get(), most: mains.most.get(), current: None });
        }
        Power::Battery(battery) if supply.is_none() => {
            found.push(Socket { least: battery.volts.get(), most: battery.volts.get(), current: None });
        }
        Power::Battery(_) | Power::Nothing | Power::Unknown => {}
    }
    let settings = supply.into_iter().flat_map(|supply| &supply.outlets).flat_map(|outlet| &outlet.settings);
    found.extend(settings.map(|setting| Socket {
        least: setting.volts.get(),
        most: setting.volts.get(),
        current: Some(setting.limit.get()),
    }));
    found
}

/// What a query asks for: needs, and the words that are left.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wanted {
    /// What is asked of a part, in the order in which it was typed.
    pub needs: Vec<Need>,
    /// What a part has to be found by besides, in small letters.
    pub words: String,
}

impl Wanted {
    /// What a person asks for who typed this. What is no need is a word.
    #[must_use]
    pub fn read(query: &str) -> Self {
        let (needs, words) = read::read(query);
        Self { needs, words }
    }

    /// Whether a part meets all needs; of the words nothing is said. Limits of
    /// voltage and current are met at one and the same socket, and of several voltages each
    /// at one: 9 V may go in where 18 V come out.
    #[must_use]
    pub fn fits(&self, part: &Part) -> bool {
        self.is_fed_by(part) && self.needs.iter().all(|need| need.fits(part))
    }

    fn is_fed_by(&self, part: &Part) -> bool {
        let (mut voltages, mut limits, mut currents) = (Vec::new(), Vec::new(), Vec::new());
        for need in &self.needs {
            match need {
                Need::Voltage(bound @ Bound::Exactly(_)) => voltages.push(*bound),
                Need::Voltage(bound) => limits.push(*bound),
                Need::Current(bound) => currents.push(*bound),
                _ => {}
            }
        }
        let fits = |socket: &Socket| {
            let current = |bound: &Bound| socket.current.is_some_and(|current| bound.holds(current));
            limits.iter().all(|bound| bound.meets(socket.least, socket.most)) && currents.iter().all(current)
        };
        let mut sockets = sockets(part);
        sockets.retain(fits);
        if voltages.is_empty() {
            return (limits.is_empty() && currents.is_empty()) || !sockets.is_empty();
        }
        let some = |bound: &Bound| sockets.iter().any(|socket| bound.meets(socket.least, socket.most));
        voltages.iter().all(some)
    }

    /// How a query was understood: "true bypass, at most 30 mA and “delay”"; nothing where
    /// nothing was asked for.
    #[must_use]
    pub fn in_words(&self) -> String {
        let needs = self.needs.iter().map(|need| need.in_words());
        let words = (!self.words.is_empty()).then(|| format!("“{}”", self.words));
        list(&needs.chain(words).collect::<Vec<_>>())
    }
}

#[cfg(test)]
mod tests;
