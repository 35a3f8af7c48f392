//! The report for people: plain aligned text.

use rigwright_core::diagnosis::{Diagnosis, Severity};
use rigwright_core::response::words as response_words;
use rigwright_core::rig::{
    NO_SWITCH, State, device_name, left_out_words, missing_words, place_name, place_names, signal_problems, standing,
};
use rigwright_core::states::Extreme;
use rigwright_core::units::{Level, engineering, hertz};

use super::gather::{Point, Report, VariantReport};
use super::{power, table, words};

/// Writes a report as text.
pub fn render(report: &Report<'_>) -> String {
    let mut page = Page::default();
    page.lines(table::underlined(report.title, '='));
    for variant in &report.variants {
        page.gap();
        page.lines(table::underlined(variant.name, '-'));
        page.lines(stands(report, variant));
        points(report, variant, &mut page);
        switches(variant, &mut page);
        runs(variant, &mut page);
        findings(variant, &mut page);
        page.lines(power::lines(&variant.power));
        page.lines(power::loop_lines(&variant.power));
        problems(variant, &mut page);
    }
    page.text
}

/// Lines, none of which can break out of its place.
#[derive(Default)]
pub struct Page {
    pub text: String,
}

impl Page {
    pub fn line(&mut self, line: &str) {
        self.text += words::one_line(line).trim_end();
        self.text.push('\n');
    }

    pub fn lines(&mut self, lines: impl IntoIterator<Item = String>) {
        lines.into_iter().for_each(|line| self.line(&line));
    }

    pub fn indented(&mut self, lines: impl IntoIterator<Item = String>) {
        lines.into_iter().for_each(|line| self.line(&format!("  {line}")));
    }

    pub fn gap(&mut self) {
        self.text.push('\n');
    }
}

/// How everything stands.
fn stands(report: &Report<'_>, variant: &VariantReport<'_>) -> Vec<String> {
    let state: &State = &variant.state;
    let mut rows = Vec::new();
    if let Some(sound) = report.sound {
        rows.push(("Sound".to_owned(), sound.to_owned()));
    }
    if report.vary_hand {
        rows.push(("All states".to_owned(), "over what a hand works, too".to_owned()));
    }
    rows.extend(variant.out_of_reach.iter().map(|words| ("Missing".to_owned(), words.clone())));
    if let Some(words) = missing_words(&variant.missing) {
        rows.push(("Missing".to_owned(), words));
    }
    if let Some(words) = words::unfed(variant.rig, &variant.unfed, variant.feeding) {
        rows.push(("Not fed".to_owned(), words));
    }
    let (on, switches) = standing::on(variant.rig, state);
    let on = match (on.len(), switches) {
        (_, 0) => NO_SWITCH.to_owned(),
        (0, _) => format!("none of {switches}"),
        (n, _) => format!("{} ({n} of {switches}; what is on is taken as flat)", on.join(", ")),
    };
    rows.push(("On".to_owned(), on));
    let staying = standing::stays_on(variant.rig, state);
    if !staying.is_empty() {
        rows.push(("Stays on".to_owned(), staying.join(", ")));
    }
    let moved = standing::others_moved(variant.rig, state);
    if !moved.is_empty() {
        rows.push(("Set besides".to_owned(), moved.join(", ")));
    }
    let turned = standing::turned(variant.rig, state);
    let turned = if turned.is_empty() { "nothing".to_owned() } else { turned.join(", ") };
    rows.push(("Not full up".to_owned(), turned));
    table::pairs(&rows)
}

fn points(report: &Report<'_>, variant: &VariantReport<'_>, page: &mut Page) {
    if variant.endpoints.is_empty() {
        page.gap();
        page.line(&format!("{}.", response_words::NO_SIGNAL));
    }
    for point in &variant.endpoints {
        page.gap();
        page.line(&point.name);
        page.indented(figures(point));
    }
    page.lines(response_words::endpoints_left_out(variant.endpoints_left_out));
    if let Some(point) = &variant.test_point {
        page.gap();
        page.line(&format!("Test point, {}", point.name));
        page.indented(figures(point));
    }
    levels(report, variant, page);
}

fn figures(point: &Point) -> Vec<String> {
    table::pairs(&response_words::rows(&point.answer))
}

/// One row a frequency, one column a place.
fn levels(report: &Report<'_>, variant: &VariantReport<'_>, page: &mut Page) {
    let mut shown: Vec<(&str, &Point)> = variant.endpoints.iter().map(|point| (point.name.as_str(), point)).collect();
    shown.extend(variant.test_point.as_ref().map(|point| ("Test point", point)));
    let Some((_, first)) = shown.first() else {
        return;
    };
    page.gap();
    if shown.iter().all(|(_, point)| point.reference == first.reference) {
        page.line(&format!("Levels in dB; 0 dB is {}", first.reference));
    } else {
        page.line("Levels in dB; 0 dB is");
        let rows: Vec<_> = shown.iter().map(|(name, point)| ((*name).to_owned(), point.reference.clone())).collect();
        page.indented(table::pairs(&rows));
    }
    let headings: Vec<String> =
        std::iter::once("").chain(shown.iter().map(|(name, _)| *name)).map(str::to_owned).collect();
    let rows: Vec<Vec<String>> = report
        .hz
        .iter()
        .enumerate()
        .map(|(at, &hz)| {
            let cells = shown.iter().map(|(_, point)| point.levels.get(at).map_or_else(String::new, level));
            std::iter::once(engineering(hz, "Hz", report.figures)).chain(cells).collect()
        })
        .collect();
    page.indented(table::columns(&headings, &rows));
}

/// What each switch does among all settings of the others.
fn switches(variant: &VariantReport<'_>, page: &mut Page) {
    let Some(states) = &variant.switches else { return };
    if !variant.rig.devices.iter().any(|device| device.all_switches().next().is_some()) {
        // How everything stands says so.
        return;
    }
    page.gap();
    page.line(&format!("What each switch does: {}", states.note()));
    let at = |end: &Extreme| {
        let hz = states.hz().get(end.at).map_or_else(String::new, |hz| hertz(*hz));
        format!("{} at {hz}", Level::Decibels(end.db))
    };
    let alone = |curve: Option<&Vec<f64>>| {
        let furthest =
            curve.and_then(|curve| (0..curve.len()).max_by(|&a, &b| curve[a].abs().total_cmp(&curve[b].abs())));
        let told = curve.zip(furthest).and_then(|(curve, at)| Some((*curve.get(at)?, *states.hz().get(at)?)));
        told.map_or_else(|| "silent".to_owned(), |(db, hz)| format!("{} at {}", Level::Decibels(db), hertz(hz)))
    };
    let heard = format!("up to {}", hertz(states.heard_hz.1));
    let headings = ["Switched on", "peak", &heard, "largest rise", "largest fall", "with all else off"];
    // The furthest that is heard stands first, its peak before its level.
    let rows: Vec<Vec<String>> = variant
        .heard
        .iter()
        .filter_map(|heard| {
            let furthest = heard.furthest;
            let jump = states.jumps.iter().find(|jump| furthest.is_of(jump))?;
            let peak = match heard.peak {
                Some(peak) => peak.moved_words().unwrap_or_else(|| "stays".to_owned()),
                None => "not looked at".to_owned(),
            };
            let level = format!("{} at {}", Level::Decibels(furthest.db), hertz(furthest.hz));
            let name = words::step(variant.rig, jump);
            Some(vec![name, peak, level, at(&jump.rise), at(&jump.fall), alone(jump.alone_db.as_ref())])
        })
        .collect();
    if rows.is_empty() {
        page.line("  No switch is heard there.");
    } else {
        page.indented(table::columns(&headings.map(str::to_owned), &rows));
    }
    if !states.mutes.is_empty() {
        let left_out = left_out_words(&states.mutes, |device| device_name(variant.rig, device));
        page.line(&format!("  {left_out}"));
    }
}

/// "−0.5", "silent": the unit stands above the table.
fn level(level: &Level) -> String {
    level.to_string().trim_end_matches(" dB").to_owned()
}

fn runs(variant: &VariantReport<'_>, page: &mut Page) {
    if variant.runs.is_empty() {
        return;
    }
    page.gap();
    page.line("Runs");
    let rows: Vec<_> = variant
        .runs
        .iter()
        .map(|run| {
            let way = format!("{} → {}", place_name(variant.rig, run.from), place_names(variant.rig, &run.ends));
            let high = if run.high_impedance { " (high impedance)" } else { "" };
            (way, format!("{}{high}", response_words::amount(run)))
        })
        .collect();
    page.indented(table::pairs(&rows));
}

/// What its owner should know, each with its reason and what mends it.
fn findings(variant: &VariantReport<'_>, page: &mut Page) {
    page.gap();
    if variant.findings.is_empty() {
        // A rig whose signal can't go as drawn isn't judged.
        let while_wrong = if signal_problems(variant.rig).is_empty() { "" } else { ", as long as there are problems" };
        page.line(&format!("Findings: none{while_wrong}"));
        return;
    }
    page.line("Findings");
    for (severity, heading) in [(Severity::Act, "To act on"), (Severity::Know, "To know")] {
        let these: Vec<&Diagnosis> = variant.findings.iter().filter(|finding| finding.severity == severity).collect();
        if these.is_empty() {
            continue;
        }
        page.line(&format!("  {heading}"));
        for finding in these {
            page.line(&format!("    {}", finding.text));
            page.line(&format!("      Why: {}", finding.why));
            for fix in &finding.remedies {
                page.indented([format!("    Fix: {}", fix.words)]);
                page.indented(fix.gives_up.iter().map(|gives_up| format!("      {gives_up}")));
            }
        }
    }
}

fn problems(variant: &VariantReport<'_>, page: &mut Page) {
    page.gap();
    if variant.problems.is_empty() {
        page.line("Problems: none");
        return;
    }
    page.line("Problems");
    page.indented(variant.problems.iter().map(ToString::to_string));
}
