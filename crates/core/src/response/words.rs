//! What arrives, in sentences: the figures of a curve, what a run amounts to, where
//! an answer ends before the rig does.

use super::{Amount, NoEquivalent, NoMinus3, PointAnswer, RunAnswer, Silencer};
use crate::rig::{JackRef, Rig};
use crate::units::{Level, counted, engineering, hertz, metres};
use crate::words::{capital, list};

/// A fall at 20 kHz smaller than this is called flat.
const FLAT_DB: f64 = 0.1;

/// Where nothing arrives that could be told, without a full stop.
pub const NO_SIGNAL: &str = "No signal gets to an amp, a DI box or an interface";

/// The figures of a curve, one line each, without full stops: "Peak at 2.43 kHz, 5.0 dB above
/// 200 Hz". What has been said already by a line before isn't said again.
#[must_use]
pub fn lines(answer: &PointAnswer) -> Vec<String> {
    let peak = match answer.peak {
        Ok(found) => peak_line(&found),
        Err(why) => format!("No peak: {why}"),
    };
    let minus3 = match answer.minus3 {
        Ok(point) => format!("3 dB down at {}", hertz(point.hz)),
        // A comb has been told above.
        Err(NoMinus3::Comb { .. }) => String::new(),
        Err(why) => format!("No 3 dB point: {why}"),
    };
    let lead = match &answer.lead_equivalent {
        // With no peak the first line has said why.
        Err(NoEquivalent::NoPeak(_)) => String::new(),
        equivalent => equivalent_line(equivalent),
    };
    let nulls: Vec<String> = answer.nulls_hz.iter().map(|hz| hertz(*hz)).collect();
    let nulls = match nulls.is_empty() {
        true => String::new(),
        false => format!("Nulls at {}: there what arrives by several ways cancels", list(&nulls)),
    };
    [peak, nulls, minus3, lead].into_iter().filter(|line| !line.is_empty()).collect()
}

/// "Peak at 2.43 kHz, 5.0 dB above 200 Hz"
#[must_use]
pub fn peak_line(peak: &super::Peak) -> String {
    format!("Peak at {}, {:.1} dB above 200 Hz", hertz(peak.hz), peak.height_db)
}

/// What a change does to the peak: "Peak 2.61 kHz → 2.43 kHz, 0.8 dB lower", "Peak stays at
/// 2.61 kHz, 0.8 dB lower", "Peak 2.61 kHz → none: …".
#[must_use]
pub fn peak_change(before: &PointAnswer, after: &PointAnswer) -> String {
    let (was, is) = match (&before.peak, &after.peak) {
        (Ok(was), Ok(is)) => (was, is),
        (Ok(was), Err(why)) => return format!("Peak {} → none: {why}", hertz(was.hz)),
        (Err(_), Ok(is)) => return format!("No peak → {}, {:.1} dB above 200 Hz", hertz(is.hz), is.height_db),
        (Err(_), Err(why)) => return format!("No peak, before or after: {why}"),
    };
    let (from, to) = (hertz(was.hz), hertz(is.hz));
    let place = if from == to { format!("Peak stays at {to}") } else { format!("Peak {from} → {to}") };
    let higher = is.height_db - was.height_db;
    match higher.abs() < 0.05 {
        true => place,
        false => format!("{place}, {:.1} dB {}", higher.abs(), if higher > 0.0 { "higher" } else { "lower" }),
    }
}

/// "Sounds like 14.3 m of its own lead, straight into the amp", or why it sounds like none.
#[must_use]
pub fn equivalent_line(equivalent: &Result<f64, NoEquivalent>) -> String {
    match equivalent {
        Ok(length) => {
            format!("Sounds like {} of its own lead, straight into the amp", metres((length * 10.0).round() / 10.0))
        }
        Err(why) => format!("Sounds like no plain lead: {why}"),
    }
}

/// The same figures for a table, each with its heading and in full; none of them is left out.
#[must_use]
pub fn rows(answer: &PointAnswer) -> Vec<(String, String)> {
    let because = |why: &dyn std::fmt::Display| format!("none, because {why}");
    let peak = match &answer.peak {
        Ok(peak) => {
            format!("{}, {:.1} dB above the level at 200 Hz", hertz(peak.hz), peak.height_db)
        }
        Err(why) => because(why),
    };
    let minus3 = match &answer.minus3 {
        Ok(minus3) => format!("{}, 3 dB below the level at 200 Hz", hertz(minus3.hz)),
        Err(why) => because(why),
    };
    let equivalent = match &answer.lead_equivalent {
        Ok(m) => format!("{} of the guitar's own lead, straight into the amp", metres(*m)),
        Err(why) => because(why),
    };
    let mut rows = vec![("Peak".to_owned(), peak)];
    if !answer.nulls_hz.is_empty() {
        let nulls: Vec<String> = answer.nulls_hz.iter().map(|hz| hertz(*hz)).collect();
        rows.push(("Nulls".to_owned(), format!("{}, where several ways cancel", list(&nulls))));
    }
    rows.push(("−3 dB point".to_owned(), minus3));
    rows.push(("Lead equivalent".to_owned(), equivalent));
    rows
}

/// "1.43 nF, as much as 14.3 m of its lead"; "470 Ω drives 740 pF, flat to 20 kHz"
#[must_use]
pub fn amount(run: &RunAnswer) -> String {
    amount_of(run, "its lead")
}

/// "high-impedance run up to Amp: 1.43 nF, as much as 14.3 m of this lead"
#[must_use]
pub fn run_words(rig: &Rig, run: &RunAnswer) -> String {
    let name = |jack: &JackRef| rig.device(jack.device).map_or("nothing", |device| device.name.as_str());
    let until = run.ends.first().map_or("an open end", name);
    let kind = match (run.amount, run.high_impedance) {
        (Amount::Driven { .. }, false) => "buffered run",
        _ => "high-impedance run",
    };
    format!("{kind} up to {until}: {}", amount_of(run, "this lead"))
}

fn amount_of(run: &RunAnswer, lead: &str) -> String {
    let capacitance = engineering(run.capacitance, "F", 3);
    match run.amount {
        Amount::Lead { metres: m } => format!("{capacitance}, as much as {} of {lead}", metres(m)),
        Amount::Driven { ohms, fall_db } => {
            let drives = format!("{} drives {capacitance}", engineering(ohms, "Ω", 3));
            match fall_db {
                None => format!("{drives}, silent"),
                Some(db) if db.abs() < FLAT_DB => format!("{drives}, flat to 20 kHz"),
                Some(db) => format!("{drives}, {} at 20 kHz", Level::Decibels(db)),
            }
        }
    }
}

/// Why nothing comes through, a sentence each: "The volume of Guitar is at 0."; empty
/// where it can't be told.
#[must_use]
pub fn silent_because(found: &[Silencer], rig: &Rig) -> String {
    let told = found.iter().filter_map(|one| one.told(rig));
    told.map(|words| format!("{}.", capital(&words))).collect::<Vec<_>>().join(" ")
}

/// Of so many endpoints no level is worked out.
#[must_use]
pub fn endpoints_left_out(left_out: usize) -> Option<String> {
    match left_out {
        0 => None,
        1 => Some("One more input of an amp, a DI box or an interface is reached, and isn't told.".to_owned()),
        more => Some(format!(
            "{} more inputs of amps, DI boxes and interfaces are reached, and aren't told.",
            counted(more)
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::super::{NoPeak, Peak, Request, respond};
    use super::*;
    use crate::cascade::LineCache;
    use crate::network::Sweep;

    #[test]
    fn a_change_of_the_peak_is_told_by_its_place_and_its_height() {
        let project = crate::file::demo().unwrap();
        let mut cache = LineCache::new(Sweep::audio());
        let answer = respond(&Request::of(&project, &project.variants[0]), &mut cache).endpoints.remove(0).at;
        let with = |peak| PointAnswer { peak, ..answer.clone() };
        let peak = |hz, height_db| with(Ok(Peak { hz, db: 0.0, height_db }));
        let none = || with(Err(NoPeak::Silent));
        assert_eq!(peak_change(&peak(2610.0, 5.0), &peak(2430.0, 5.04)), "Peak 2.61 kHz → 2.43 kHz");
        assert_eq!(peak_change(&peak(2610.0, 5.0), &peak(2430.0, 4.2)), "Peak 2.61 kHz → 2.43 kHz, 0.8 dB lower");
        assert_eq!(peak_change(&peak(2610.0, 5.0), &peak(2611.0, 6.0)), "Peak stays at 2.61 kHz, 1.0 dB higher");
        assert_eq!(peak_change(&peak(2610.0, 5.0), &none()), format!("Peak 2.61 kHz → none: {}", NoPeak::Silent));
        assert_eq!(peak_change(&none(), &peak(2610.0, 5.0)), "No peak → 2.61 kHz, 5.0 dB above 200 Hz");
        assert_eq!(peak_change(&none(), &none()), format!("No peak, before or after: {}", NoPeak::Silent));
    }

    #[test]
    fn nothing_is_said_where_all_is_told() {
        assert_eq!(endpoints_left_out(0), None);
        assert!(endpoints_left_out(1).is_some_and(|words| words.starts_with("One more input of")));
        assert!(endpoints_left_out(308).is_some_and(|words| words.starts_with("308 more inputs of")));
    }
}
