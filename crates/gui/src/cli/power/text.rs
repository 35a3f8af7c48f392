//! Power for people: plain aligned text.

use rigwright_core::diagnosis::{Severity, Warning};
use rigwright_core::ground::{count_words, more_words};
use rigwright_core::power::{OutletCheck, SupplyCheck, cautions, words};
use rigwright_core::rig::device_name;
use rigwright_core::units::{part_of, trimmed};

use super::PowerReport;
use crate::cli::table;
use crate::cli::words::one_line;

/// All of `rigwright power`.
pub fn render(title: &str, reports: &[(&str, PowerReport<'_>)]) -> String {
    let mut all: Vec<String> = table::underlined(title, '=').to_vec();
    for (name, report) in reports {
        all.push(String::new());
        all.extend(table::underlined(name, '-'));
        all.extend(lines(report));
        all.extend(loop_lines(report));
        all.push(String::new());
        all.extend(caution_lines(report));
    }
    all.iter().map(|line| format!("{}\n", one_line(line).trim_end())).collect()
}

/// What the rig calls for, and who comes first.
fn caution_lines(report: &PowerReport<'_>) -> Vec<String> {
    let danger = report.told.problems.iter().any(|told| told.warning == Some(Warning::SwitchOn));
    let mut out = vec!["Cautions".to_owned()];
    out.extend(cautions(report.rig, danger).into_iter().map(|caution| format!("  {}", caution.words())));
    out.push("  Local codes and licensed electricians come first.".to_owned());
    out
}

/// The power of one variant.
pub fn lines(report: &PowerReport<'_>) -> Vec<String> {
    let mut out = vec![String::new()];
    let check = &report.check;
    if check.supplies.is_empty() {
        out.push("Power: no supply is drawn".to_owned());
    } else {
        out.push(format!("Power: {}", words::mains(&check.mains)));
    }
    if check.mains.plugs > 0 {
        out.push(format!("  Mains: {}", words::venues(&report.mains)));
    }
    for supply in &check.supplies {
        out.extend(supply_lines(report, supply));
    }
    for battery in &check.batteries {
        let lasts = battery.life.as_ref().map_or_else(|| "isn't drawn from".to_owned(), words::lasts);
        out.push(format!("  The battery of {} {lasts}", device_name(report.rig, battery.device)));
    }
    if check.batteries.iter().any(|battery| battery.life.is_some_and(|life| life.until.is_some())) {
        out.push(format!("  {}", words::PLUG_LEFT_IN));
    }
    out.extend(report.told.waiting.iter().map(|waits| format!("  {}", waits.text)));
    out.extend(report.told.unknown.iter().map(|told| format!("  {}", bare(&told.text))));
    out.push(String::new());
    if report.told.problems.is_empty() {
        out.push("Problems of power: none".to_owned());
    } else {
        out.push("Problems of power".to_owned());
    }
    for told in report.told.problems_once(check) {
        let loud = match told.severity {
            Severity::Danger => "Danger: ",
            Severity::Act => "To act on: ",
            Severity::Know => "To know: ",
        };
        out.push(format!("  {loud}{}", told.text));
        out.push(format!("    Why: {}", told.why));
        out.extend(told.remedies.iter().map(|remedy| format!("    Fix: {}", remedy.words)));
    }
    out.extend(report.told.left_out_words().map(|words| format!("  {words}")));
    if let Some(too_large) = &report.too_large {
        out.push(String::new());
        out.push(format!("Best allocation: {too_large}"));
    }
    if let Some((allocation, changes)) = &report.allocation {
        out.push(String::new());
        out.push(format!("Best allocation: {}", words::outcome(report.rig, allocation)));
        let given_up = words::given_up(report.rig, allocation, &report.headroom);
        out.extend(given_up.into_iter().map(|line| format!("  {line}")));
        out.push(format!("  {}", words::proof(report.rig, allocation)));
        if changes.is_empty() {
            out.push(format!("  {}", words::LIKE_THAT_ALREADY));
        }
        out.extend(changes.iter().map(|line| format!("  {line}")));
        if let Some(conflict) = &allocation.conflict {
            out.push(format!("  {}", words::conflict(report.rig, conflict)));
            out.extend(conflict.cures.iter().map(|cure| format!("    {}", words::cure(report.rig, cure))));
        }
    }
    out
}

/// The ground loops of one variant.
pub fn loop_lines(report: &PowerReport<'_>) -> Vec<String> {
    let first = &report.hum.first;
    let mut out = vec![String::new(), format!("First: {}", first.question)];
    out.extend(first.no_loops.iter().map(|line| format!("  {line}")));
    out.push(String::new());
    let count = count_words(report.loop_count).unwrap_or_else(|| "none".to_owned());
    out.push(format!("Ground loops: {count}"));
    out.extend(more_words(report.loops.len(), report.loop_count).map(|words| format!("  {words}")));
    for told in &report.hum.told {
        out.push(format!("  {}", bare(&told.text)));
        if !told.why.is_empty() {
            out.push(format!("    Why: {}", told.why));
        }
        let ways = told.about.loops.iter().filter_map(|at| report.loops.get(*at));
        out.extend(ways.map(|found| format!("    Way: {}", found.path)));
        out.extend(told.remedies.iter().map(|remedy| format!("    Would help: {}", remedy.words)));
    }
    out
}

/// A sentence as a line that has no full stop.
fn bare(sentence: &str) -> &str {
    sentence.strip_suffix('.').unwrap_or(sentence)
}

fn supply_lines(report: &PowerReport<'_>, figures: &SupplyCheck) -> Vec<String> {
    let rig = report.rig;
    let Some(supply) = rig.device(figures.supply) else { return Vec::new() };
    let given = match figures.total.limit {
        Some(limit) => format!("gives {} of {} W", trimmed(figures.total.running, 3), trimmed(limit, 3)),
        None => format!("gives {} W", trimmed(figures.total.running, 3)),
    };
    let mut out = vec![format!(
        "  {} ({}), {given}, takes {}",
        supply.name,
        words::inlet(rig, supply),
        words::taken(supply, figures)
    )];
    let rows: Vec<Vec<String>> = figures.outlets.iter().map(|outlet| row(report, outlet)).collect();
    let headings = ["outlet", "gives", "as", "load", "at start-up", "feeds"].map(str::to_owned);
    // The last column is a list: it reads from its left.
    let (last, columns): (Vec<String>, Vec<Vec<String>>) =
        rows.into_iter().map(|mut row| (row.pop().unwrap_or_default(), row)).unzip();
    let lines = table::columns(&headings[..5], &columns);
    let feeds = std::iter::once(headings[5].clone()).chain(last);
    out.extend(lines.into_iter().zip(feeds).map(|(line, feeds)| format!("    {line}  {feeds}")));
    out
}

fn row(report: &PowerReport<'_>, outlet: &OutletCheck) -> Vec<String> {
    let there = report.rig.outlet(outlet.outlet).and_then(|there| there.setting());
    let gives = outlet.volts.map_or_else(|| "nothing".to_owned(), volts);
    let form = there.map_or("", |setting| setting.form.name());
    let load = match outlet.load.limit {
        Some(limit) => part_of(outlet.load.running, limit, "A"),
        None => milliamperes(outlet.load.running),
    };
    let units: Vec<String> = outlet
        .devices
        .iter()
        .map(|id| {
            let got = report.check.tap(*id).and_then(|tap| tap.volts);
            let got = got.map_or_else(|| "nothing".to_owned(), volts);
            format!("{} {got}", device_name(report.rig, *id))
        })
        .collect();
    let feeds = if units.is_empty() { "nothing".to_owned() } else { units.join(", ") };
    let number = outlet.outlet.outlet.to_string();
    vec![number, gives, form.to_owned(), load, milliamperes(outlet.load.start_up), feeds]
}

fn volts(value: f64) -> String {
    format!("{value:.2} V")
}

fn milliamperes(amperes: f64) -> String {
    format!("{} mA", trimmed(amperes * 1e3, 3))
}
