//! Power for people: plain aligned text.

use rigwright_core::ground::GroundLoop;
use rigwright_core::power::{OutletCheck, Severity, SupplyCheck};
use rigwright_core::rig::{Device, DeviceId, Power, Rig};
use rigwright_core::units::{engineering, trimmed};

use super::PowerReport;
use crate::cli::table;
use crate::cli::words::{device, one_line};
use crate::state::power_words;

/// All of `rigwright power`.
pub fn render(title: &str, reports: &[(&str, PowerReport<'_>)]) -> String {
    let mut all: Vec<String> = table::underlined(title, '=').to_vec();
    for (name, report) in reports {
        all.push(String::new());
        all.extend(table::underlined(name, '-'));
        all.extend(lines(report));
        all.extend(loop_lines(report));
        all.push(String::new());
        all.push(CAUTION.to_owned());
    }
    all.iter().map(|line| format!("{}\n", one_line(line).trim_end())).collect()
}

const CAUTION: &str = "Never lift a mains earth to cure hum. Valve amps hold several hundred volts long after they are unplugged. Local codes and licensed electricians come first.";

/// The power of one variant.
pub fn lines(report: &PowerReport<'_>) -> Vec<String> {
    let mut out = vec![String::new()];
    let check = &report.check;
    let mains = trimmed(check.mains.volt_amperes(), 3);
    if check.supplies.is_empty() {
        out.push("Power: no supply is drawn".to_owned());
    } else {
        let own = trimmed(check.mains.devices, 3);
        out.push(format!(
            "Power: {mains} VA of the mains at {} plugs, {own} VA of it by amps and the like",
            check.mains.plugs
        ));
    }
    for supply in &check.supplies {
        out.extend(supply_lines(report, supply));
    }
    for battery in &check.batteries {
        let lasts =
            battery.hours.map_or_else(|| "isn't drawn from".to_owned(), |h| format!("lasts {} h", trimmed(h, 2)));
        out.push(format!("  The battery of {} {lasts}", device(report.rig, battery.device)));
    }
    out.extend(check.unfed.iter().map(|id| format!("  {}", unfed(report.rig, *id))));
    if !check.unknown.is_empty() {
        let names: Vec<String> = check.unknown.iter().map(|id| device(report.rig, *id)).collect();
        out.push(format!("  Nobody has said what these take: {}", names.join(", ")));
    }
    out.push(String::new());
    if report.told.is_empty() {
        out.push("Problems of power: none".to_owned());
    } else {
        out.push("Problems of power".to_owned());
    }
    for (problem, mends) in &report.told {
        let loud = match problem.severity {
            Severity::Danger => "Danger: ",
            Severity::Act => "To act on: ",
            Severity::Know => "To know: ",
        };
        out.push(format!("  {loud}{}", problem.words(report.rig)));
        out.push(format!("    Why: {}", problem.why()));
        out.extend(mends.iter().map(|mend| format!("    Fix: {}", mend.words)));
    }
    if report.without_mends > 0 {
        let problems = if report.without_mends == 1 { "one of them" } else { "others" };
        out.push(format!("  What mends {problems} wasn't looked for: in so large a rig it would take too long."));
    }
    if let Some(too_large) = &report.too_large {
        out.push(String::new());
        out.push(format!("Best allocation: {too_large}"));
    }
    if let Some((allocation, changes)) = &report.allocation {
        out.push(String::new());
        out.push(format!("Best allocation: {}", power_words::outcome(report.rig, allocation)));
        let given_up = power_words::given_up(report.rig, allocation, &report.headroom);
        out.extend(given_up.into_iter().map(|line| format!("  {line}")));
        out.push(format!("  {}", power_words::proof(report.rig, allocation)));
        if changes.is_empty() {
            out.push("  It is plugged in like that already.".to_owned());
        }
        out.extend(changes.iter().map(|line| format!("  {line}")));
        if let Some(conflict) = &allocation.conflict {
            out.push(format!("  {}", power_words::conflict(report.rig, conflict)));
            out.extend(conflict.cures.iter().map(|cure| format!("    {}", power_words::cure(report.rig, cure))));
        }
    }
    out
}

/// The ground loops of one variant.
pub fn loop_lines(report: &PowerReport<'_>) -> Vec<String> {
    let mut out = vec![String::new()];
    match report.loop_count {
        0 => out.push("Ground loops: none".to_owned()),
        1 => out.push("Ground loops: one possible cause of hum".to_owned()),
        count => out.push(format!("Ground loops: {count} possible causes of hum, the likeliest first")),
    }
    if let more @ 1.. = report.loop_count.saturating_sub(report.loops.len()) {
        out.push(format!("  Told here are {}; there are {more} more like them.", report.loops.len()));
    }
    for GroundLoop { text, path, cures, .. } in &report.loops {
        out.push(format!("  {text}"));
        out.push(format!("    Its way: {path}"));
        out.extend(cures.iter().map(|cure| format!("    Would break it: {}", cure.words(report.rig))));
    }
    out
}

/// "Chorus wants 9 V and is not fed."
pub fn unfed(rig: &Rig, id: DeviceId) -> String {
    let need = rig.device(id).and_then(|device| device.power.need());
    let wants = need.map_or_else(|| "power".to_owned(), power_words::wants);
    format!("{} wants {wants} and is not fed.", device(rig, id))
}

fn supply_lines(report: &PowerReport<'_>, figures: &SupplyCheck) -> Vec<String> {
    let rig = report.rig;
    let Some(supply) = rig.device(figures.supply) else { return Vec::new() };
    let given = match figures.total.limit {
        Some(limit) => format!("gives {} of {} W", trimmed(figures.total.running, 3), trimmed(limit, 3)),
        None => format!("gives {} W", trimmed(figures.total.running, 3)),
    };
    let mut out =
        vec![format!("  {} ({}), {given}, takes {}", supply.name, inlet(rig, supply), taken(supply, figures))];
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

fn inlet(rig: &Rig, supply: &Device) -> String {
    match &supply.power {
        Power::Mains(mains) if mains.earthed => "mains, earthed".to_owned(),
        Power::Mains(_) => "mains, class II".to_owned(),
        Power::Battery(_) => "battery".to_owned(),
        Power::Low(_) => match rig.feed_to(supply.id) {
            Some(feed) => format!("fed by {}", power_words::from(rig, feed.from)),
            None => "not fed".to_owned(),
        },
        Power::Unknown | Power::Nothing => "nobody has said what comes in".to_owned(),
    }
}

fn taken(supply: &Device, figures: &SupplyCheck) -> String {
    let unit = if matches!(supply.power, Power::Mains(_)) { "VA" } else { "W" };
    format!("{} {unit}", trimmed(figures.taken, 3))
}

fn row(report: &PowerReport<'_>, outlet: &OutletCheck) -> Vec<String> {
    let there = report.rig.outlet(outlet.outlet).and_then(|there| there.setting());
    let gives = outlet.volts.map_or_else(|| "nothing".to_owned(), volts);
    let form = there.map_or("", |setting| setting.form.name());
    let limit = outlet.load.limit.map_or_else(String::new, |limit| format!(" of {}", engineering(limit, "A", 3)));
    let load = format!("{}{limit}", milliamperes(outlet.load.running));
    let units: Vec<String> = outlet
        .devices
        .iter()
        .map(|id| {
            let got = report.check.tap(*id).and_then(|tap| tap.volts);
            let got = got.map_or_else(|| "nothing".to_owned(), volts);
            format!("{} {got}", device(report.rig, *id))
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
