//! What a unit wants, and how long a battery lasts.

use crate::power::{Hours, Life};
use crate::rig::{Form, Need, Way};
use crate::units::trimmed;

/// "9 V", "9-18 V", with AC where it is.
#[must_use]
pub fn range(way: &Way) -> String {
    let (least, most) = (trimmed(way.least.get(), 4), trimmed(way.most.get(), 4));
    let alternating = if way.form == Form::Alternating { " AC" } else { "" };
    if least == most { format!("{least} V{alternating}") } else { format!("{least}-{most} V{alternating}") }
}

/// "9 V", "9 V or 18 V", "12 V AC".
#[must_use]
pub fn wants(need: &Need) -> String {
    let mut ways: Vec<String> = need.ways.iter().map(range).collect();
    ways.dedup();
    if ways.is_empty() { "nobody has said how much".to_owned() } else { ways.join(" or ") }
}

/// "28-50 h", "1 h 30 min to 2 h 45 min" (for what doesn't last long).
#[must_use]
pub fn band(hours: &Hours) -> String {
    let Hours { least, most } = *hours;
    if most >= 10.0 {
        // Of a band no more figures than it is wide.
        let figures = |value: f64| trimmed(value, if value < 1.0 { 1 } else { 2 });
        let (least, most) = (figures(least), figures(most));
        return if least == most { format!("{most} h") } else { format!("{least}-{most} h") };
    }
    let clock = |value: f64| {
        let minutes = (value * 60.0).round();
        format!("{:.0} h {:.0} min", (minutes / 60.0).floor(), minutes % 60.0)
    };
    let (least, most) = (clock(least), clock(most));
    if least == most { least } else { format!("{least} to {most}") }
}

/// "lasts 7-13 h down to 8.1 V, the least that what hangs on it is made for, and 28-50 h until it is empty".
#[must_use]
pub fn lasts(life: &Life) -> String {
    match (life.until, &life.empty) {
        (Some(until), Some(empty)) => format!(
            "lasts {} down to {} V, the least that what hangs on it is made for, and {} until it is empty",
            band(&life.hours),
            trimmed(until, 3),
            band(empty)
        ),
        _ => format!("lasts {}", band(&life.hours)),
    }
}

/// What empties batteries most.
pub const PLUG_LEFT_IN: &str =
    "A plug left in a unit's input empties its battery, played or not: pull it out afterwards.";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn how_long_a_battery_lasts_is_told_as_a_person_plans_it() {
        let hours = |least, most| Hours { least, most };
        assert_eq!(band(&hours(27.5, 50.4)), "28-50 h");
        assert_eq!(band(&hours(660.0, 1210.0)), "660-1200 h");
        assert_eq!(band(&hours(55.0, 55.2)), "55 h");
        assert_eq!(band(&hours(1.5, 2.75)), "1 h 30 min to 2 h 45 min");
        assert_eq!(band(&hours(1.9999, 2.0)), "2 h 0 min");
        let life = Life { hours: hours(7.0, 13.0), until: Some(8.1), empty: Some(hours(28.0, 50.0)) };
        assert_eq!(
            lasts(&life),
            "lasts 7-13 h down to 8.1 V, the least that what hangs on it is made for, and 28-50 h until it is empty"
        );
        assert_eq!(lasts(&Life { until: None, empty: None, ..life }), "lasts 7-13 h");
    }
}
