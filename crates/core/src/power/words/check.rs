//! What a rig takes of the mains, and what comes into a supply.

use super::from;
use crate::power::{MainsCheck, SupplyCheck};
use crate::rig::{Country, Device, MainsSupply, Power, Rig};
use crate::units::{Volts, trimmed};

/// "246 W of the mains (251 VA) at 4 plugs, 240 W of it by amps and the like"
#[must_use]
pub fn mains(check: &MainsCheck) -> String {
    let watts = trimmed(check.watts(), 3);
    // Apparent power is said where it is more.
    let apparent = match check.volt_amperes > check.watts() + 0.05 {
        true => format!(" ({} VA)", trimmed(check.volt_amperes, 3)),
        false => String::new(),
    };
    let plugs = match check.plugs {
        1 => "1 plug".to_owned(),
        count => format!("{count} plugs"),
    };
    let own = match check.devices {
        0.0 => String::new(),
        own => format!(", {} W of it by amps and the like", trimmed(own, 3)),
    };
    format!("{watts} W of the mains{apparent} at {plugs}{own}")
}

/// "230 V at home, 100 V in Japan"
#[must_use]
pub fn venues(mains: &MainsSupply) -> String {
    let venue = |(country, volts): (Option<Country>, Volts)| {
        let volts = trimmed(volts.get(), 4);
        match country {
            None => format!("{volts} V at home"),
            Some(Country::Elsewhere) => format!("{volts} V elsewhere"),
            Some(country) => format!("{volts} V in {}", country.name()),
        }
    };
    mains.all().map(venue).collect::<Vec<_>>().join(", ")
}

/// "mains, earthed", "fed by outlet 3 of Hub"
#[must_use]
pub fn inlet(rig: &Rig, supply: &Device) -> String {
    match &supply.power {
        Power::Mains(mains) if mains.earthed => "mains, earthed".to_owned(),
        Power::Mains(_) => "mains, class II".to_owned(),
        Power::Battery(_) => "battery".to_owned(),
        Power::Low(_) => match rig.feed_to(supply.id) {
            Some(feed) => format!("fed by {}", from(rig, feed.from)),
            None => "not fed".to_owned(),
        },
        Power::Unknown | Power::Nothing => "nobody has said what comes in".to_owned(),
    }
}

/// "4.48 W", "31 W (40 VA)"
#[must_use]
pub fn taken(supply: &Device, figures: &SupplyCheck) -> String {
    let watts = format!("{} W", trimmed(figures.taken, 3));
    match &supply.power {
        Power::Mains(_) if figures.volt_amperes > figures.taken + 0.005 => {
            format!("{watts} ({} VA)", trimmed(figures.volt_amperes, 3))
        }
        _ => watts,
    }
}
