//! What things are called on the Power screen.

use rigwright_core::diagnosis::Severity;
use rigwright_core::power::{Check, PowerFault, TapCheck};
use rigwright_core::rig::{
    Device, DeviceId, Feed, FeedFrom, Form, Outlet, OutletRef, Power, Rig, Supply, ZeroVolt, device_name,
};
pub use rigwright_core::units::part_of as load;
use rigwright_core::units::{engineering, trimmed};

use crate::state::PowerAnswer;
pub use rigwright_core::power::words::{band, wants};

/// Where a unit has one.
pub const OWN_BATTERY: &str = "a battery of its own";
/// What some 0 V is.
pub const TO_EARTH: &str = "joined to the mains earth";

/// "8.97 V"
pub fn volts(value: f64) -> String {
    format!("{value:.2} V")
}

/// "180 mA": the figure that stands in a unit's box.
pub fn draw(device: &Device, tap: Option<&TapCheck>) -> String {
    match &device.power {
        Power::Low(need) => {
            let usual = need.ways.first().map_or(0.0, |way| way.running.get());
            let amperes = tap.filter(|tap| tap.volts.is_some()).map_or(usual, |tap| tap.running);
            current(amperes)
        }
        Power::Mains(mains) => format!("{} W", trimmed(mains.draw.get(), 3)),
        Power::Battery(battery) => current(battery.draw.get()),
        Power::Unknown => "?".to_owned(),
        Power::Nothing => "nothing".to_owned(),
    }
}

/// "180 mA"
pub fn current(amperes: f64) -> String {
    // A fuzz's half a milliampere is no 500 µA to anybody.
    if amperes < 1.0 { format!("{} mA", trimmed(amperes * 1e3, 3)) } else { engineering(amperes, "A", 3) }
}

/// "9 V", or what comes in where the outlet only passes it on.
pub fn outlet_volts(outlet: &Outlet, passes: Option<f64>) -> String {
    let Some(setting) = outlet.setting() else { return "no such position".to_owned() };
    let volts = passes.unwrap_or(setting.volts.get());
    let alternating = if setting.form == Form::Alternating { " AC" } else { "" };
    format!("{} V{alternating}", trimmed((volts * 100.0).round() / 100.0, 5))
}

/// What comes out of an outlet that passes on what comes in, if it is one.
pub fn passed(rig: &Rig, check: Option<&Check>, at: OutletRef) -> Option<f64> {
    let supply = rig.device(at.supply)?.kind.supply()?;
    check.filter(|_| supply.passes)?.outlet(at)?.volts
}

/// "Supply, outlet 3"; where there is but one, "Supply".
pub fn place(rig: &Rig, at: OutletRef) -> String {
    let supply = device_name(rig, at.supply);
    match outlets(rig, at.supply) {
        1 => supply,
        _ => format!("{supply}, outlet {}", at.outlet),
    }
}

/// The same with its voltage: "Supply, outlet 3, 18 V".
pub fn place_volts(rig: &Rig, check: Option<&Check>, at: OutletRef) -> String {
    let volts = rig.outlet(at).map_or_else(String::new, |outlet| outlet_volts(outlet, passed(rig, check, at)));
    format!("{}, {volts}", place(rig, at))
}

fn outlets(rig: &Rig, supply: DeviceId) -> usize {
    rig.device(supply).and_then(|device| device.kind.supply()).map_or(0, |supply| supply.outlets.len())
}

/// The title of a rail: "Outlet 3, 18 V", "Daisy lead, 9 V, one shared 0 V".
pub fn rail(rig: &Rig, check: Option<&Check>, at: OutletRef) -> String {
    let Some(outlet) = rig.outlet(at) else { return String::new() };
    let volts = outlet_volts(outlet, passed(rig, check, at));
    let feed = rig.feed_from(at);
    if outlets(rig, at.supply) == 1 && feed.is_some_and(Feed::is_daisy) {
        return format!("Daisy lead, {volts}");
    }
    let number = match outlets(rig, at.supply) {
        1 => "Outlet".to_owned(),
        _ => format!("Outlet {}", at.outlet),
    };
    match feed.map(|feed| feed.from) {
        Some(FeedFrom::Series { lower, upper }) if at == lower => {
            let sum = check.and_then(|check| check.feeds.iter().find(|each| Some(each.feed) == feed.map(|f| f.id)));
            let sum =
                sum.and_then(|sum| sum.volts).map_or_else(String::new, |volts| format!(", {}", self::volts(volts)));
            format!("{number} in series with {}{sum}", other(at, upper))
        }
        Some(FeedFrom::Series { lower, .. }) => format!("{number}, {volts}: on top of {}", other(at, lower)),
        Some(FeedFrom::Parallel { first, second }) if at == first => {
            format!("{number} in parallel with {}, {volts}", other(at, second))
        }
        Some(FeedFrom::Parallel { first, .. }) => format!("{number}, {volts}: in parallel with {}", other(at, first)),
        Some(FeedFrom::One(_)) if feed.is_some_and(Feed::is_daisy) => format!("{number}, {volts}, daisy lead"),
        _ => format!("{number}, {volts}"),
    }
}

fn other(at: OutletRef, other: OutletRef) -> String {
    if other.supply == at.supply { format!("outlet {}", other.outlet) } else { "another supply's outlet".to_owned() }
}

/// Under a supply's symbol: "4 outlets, 24 W".
pub fn supply(device: &Device, supply: &Supply, check: Option<&Check>) -> String {
    let count = match supply.outlets.len() {
        1 => "1 outlet".to_owned(),
        count => format!("{count} outlets"),
    };
    let figures = check.and_then(|check| check.supply(device.id));
    match &device.power {
        Power::Mains(_) => match figures {
            Some(figures) => format!("{count}, {} W", trimmed(figures.taken, 3)),
            None => count,
        },
        Power::Battery(_) => {
            let hours = check.and_then(|check| check.batteries.iter().find(|life| life.device == device.id));
            match hours.and_then(|life| life.life) {
                // A block has one outlet: that needn't be said.
                Some(life) if supply.outlets.len() == 1 => format!("lasts {}", band(&life.hours)),
                Some(life) => format!("{count}, lasts {}", band(&life.hours)),
                None => count,
            }
        }
        Power::Low(_) if figures.is_some_and(|figures| !figures.fed) => format!("{count}, no power in"),
        _ => count,
    }
}

/// Whether what a unit gets is wrong, so that its wish is written beside it.
pub fn wrong(answer: Option<&PowerAnswer>, device: DeviceId) -> Option<Severity> {
    let about = answer?.check.problems.iter().filter(|problem| match problem.what {
        PowerFault::TooHigh { device: at, .. }
        | PowerFault::Reversed { device: at }
        | PowerFault::AlternatingIntoDirect { device: at, .. }
        | PowerFault::NoLoadTooHigh { device: at, .. }
        | PowerFault::TooLow { device: at, .. }
        | PowerFault::DirectIntoAlternating { device: at, .. }
        | PowerFault::SharedWinding { device: at, .. }
        | PowerFault::MainsTooHigh { device: at, .. }
        | PowerFault::MainsTooLow { device: at, .. }
        | PowerFault::WrongPlug { device: at, .. }
        | PowerFault::PositiveGround { device: at, .. } => at == device,
        _ => false,
    });
    about.map(|problem| problem.severity).min()
}

/// What stands under a unit's box: "8.97 V", "18.00 V, wants 9 V", "centre positive".
pub fn under(device: &Device, tap: Option<&TapCheck>, answer: Option<&PowerAnswer>) -> String {
    match &device.power {
        Power::Low(need) => {
            let Some(tap) = tap else { return format!("wants {}", wants(need)) };
            let Some(got) = tap.volts else { return "nothing comes in".to_owned() };
            let got = volts(got);
            let said = answer.into_iter().flat_map(|answer| &answer.check.problems);
            let mut about = said.filter(|problem| problem.what.devices().first() == Some(&device.id));
            let voltage = about.any(|problem| {
                let key = problem.what.key();
                matches!(key, "voltage-too-high" | "voltage-too-low" | "no-load-voltage" | "ac-into-dc" | "dc-into-ac")
            });
            if voltage {
                return format!("{got}, wants {}", wants(need));
            }
            let wanted = need.ways.first().map(|way| way.form);
            match wanted {
                Some(form) if wrong(answer, device.id).is_some() && form != tap.form => {
                    format!("{got}, wants {}", short_form(form))
                }
                _ if need.positive_ground => format!("{got}, positive ground"),
                Some(Form::CentrePositive) => format!("{got}, centre positive"),
                Some(Form::Alternating) => format!("{got} AC"),
                _ => got,
            }
        }
        Power::Mains(mains) if mains.earthed => "earthed".to_owned(),
        Power::Mains(_) => "class II".to_owned(),
        _ => String::new(),
    }
}

/// "centre negative", "AC": the polarity without the kind.
pub fn short_form(form: Form) -> &'static str {
    match form {
        Form::CentreNegative => "centre negative",
        Form::CentrePositive => "centre positive",
        Form::Alternating => "AC",
    }
}

/// What a screen reader says of a unit: "Mild drive, fed by Supply, outlet 3, 17.99 V, wants 9 V".
pub fn unit(rig: &Rig, device: &Device, check: Option<&Check>) -> String {
    let name = &device.name;
    match &device.power {
        Power::Low(need) => {
            let wants = wants(need);
            let Some(feed) = rig.feed_to(device.id) else { return format!("{name}, not fed, wants {wants}") };
            let from = place(rig, super::layout::first(feed.from));
            let got = check.and_then(|check| check.tap(device.id)).and_then(|tap| tap.volts);
            let got = got.map_or_else(|| "nothing comes in".to_owned(), volts);
            format!("{name}, fed by {from}, {got}, wants {wants}")
        }
        Power::Mains(mains) => {
            let earthed = if mains.earthed { "earthed" } else { "class II" };
            format!("{name}, on the mains, {} W, {earthed}", trimmed(mains.draw.get(), 3))
        }
        Power::Battery(_) => format!("{name}, on {OWN_BATTERY}"),
        Power::Unknown => format!("{name}, nobody has said what it takes"),
        Power::Nothing => format!("{name}, takes nothing"),
    }
}

/// What an outlet's 0 V is joined to, in words.
pub fn zero_volt(zero_volt: ZeroVolt, device: &Device) -> String {
    match (zero_volt, &device.power) {
        (ZeroVolt::Inlet, Power::Mains(mains)) if mains.earthed => TO_EARTH.to_owned(),
        (ZeroVolt::Inlet, _) => "that of its inlet".to_owned(),
        (ZeroVolt::Group(number), _) => format!("group {number}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loads_stand_beside_their_rating_in_a_players_units() {
        assert_eq!(load(0.265, 0.3, "A"), "265 of 300 mA");
        assert_eq!(load(0.0005, 0.1, "A"), "0.5 of 100 mA");
        assert_eq!(load(0.25, 1.7, "A"), "250 mA of 1.7 A");
    }
}
