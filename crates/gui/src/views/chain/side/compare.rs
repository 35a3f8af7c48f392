//! The variants side by side, in figures: a page of the panel at the side.

use egui::text::LayoutJob;
use egui::{Color32, FontId, RichText, Role, Sense, Ui, WidgetInfo, vec2};
use rigwright_core::compare::{
    Against, ComparisonRow, Cost, Figures, JUMPS_COUNTED, LEVEL_TAKEN, STRAIGHT_WAY, WorstJump, money,
};
use rigwright_core::response::words::{equivalent_line, peak_line};
use rigwright_core::rig::{Rig, Variant};
use rigwright_core::units::{Level, hertz, metres};
use rigwright_core::words::lower;

use crate::theme::{self, Tokens, text};
use crate::views::chain::plot::compared;
use crate::views::chain::plot::style::{SAMPLE, sample};
use crate::views::{Facts, Intent};
use crate::widgets::{panel, term};

/// One figure of a row.
struct Cell {
    /// The figure.
    main: String,
    /// A word more, in small print.
    detail: String,
    /// All of it as a sentence, for a screen reader and under the pointer.
    sentence: String,
    /// It is an answer of before the last change.
    old: bool,
}

const JUMP: &str = "worst jump";
const HEADINGS: [&str; 4] = ["peak", "sounds like", JUMP, "cost"];

/// The page.
pub fn ui(ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    ui.horizontal(|ui| {
        ui.label(RichText::new("compared with").font(text::small()).color(tokens.quiet));
        compared::choose(ui, facts, "what the rigs are compared with", out);
    });
    let base = compared::base(facts);
    let Some(base_rig) = base.rig else {
        panel::quiet(ui, format!("No signal comes {STRAIGHT_WAY} yet."));
        return;
    };
    let shown = || facts.project.variants.iter().enumerate().filter(|(_, variant)| facts.inputs.shows(variant.id));
    if shown().next().is_none() {
        panel::quiet(ui, format!("Every rig is left out. {}", compared::brings_back("a name")));
        return;
    }
    columns(ui, |ui, at| {
        let heading = term::sentence(ui, HEADINGS[at], text::small(), tokens.quiet, None);
        if HEADINGS[at] == JUMP && !heading.on_a_term {
            heading.response.on_hover_text(format!("The largest rise or fall of any switch, {JUMPS_COUNTED}"));
        }
    });
    ui.spacing_mut().item_spacing.y = 1.0;
    for (index, variant) in shown() {
        ui.add_space(5.0);
        let answer = facts.answers.get(variant.id).and_then(|response| facts.inputs.answer(facts.project, response));
        let worst = match answer {
            Some(_) => facts.answers.worst_jump(variant.id).map(|worst| (**worst.answer, worst.old)),
            None => Some((None, false)),
        };
        let row = ComparisonRow::of(variant, base_rig, answer, worst.and_then(|(jump, _)| jump));
        name(ui, facts, index, variant, base.against == Against::Variant(variant.id), out);
        let figures = row.figures.as_ref();
        let jump = match facts.answers.jump_died(variant.id) {
            true => none("not known", "its worst jump couldn't be worked out".to_owned()),
            false => jump(worst, &variant.rig),
        };
        let cells = [peak(figures), sounds_like(figures), jump, cost(&row.cost, &facts.project.currency)];
        columns(ui, |ui, at| cell(ui, tokens, &variant.name, &cells[at]));
    }
    ui.add_space(8.0);
    panel::quiet(ui, format!("Jumps are those of the findings: {JUMPS_COUNTED}."));
    panel::quiet(ui, "Costs are what a rig has more than the one it is compared with, leads by make and length.");
}

/// Four columns of one width, so that figures stand under each other.
fn columns(ui: &mut Ui, mut each: impl FnMut(&mut Ui, usize)) {
    ui.columns(HEADINGS.len(), |columns| {
        for (at, ui) in columns.iter_mut().enumerate() {
            ui.spacing_mut().item_spacing.y = 0.0;
            each(ui, at);
        }
    });
}

/// Line sample and name; a click takes the variant in hand.
fn name(ui: &mut Ui, facts: &Facts<'_>, index: usize, variant: &Variant, is_base: bool, out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(SAMPLE, Sense::hover());
        sample(ui.painter(), rect, index, tokens.accent(index));
        let in_hand = variant.id == facts.variant.id;
        let words = RichText::new(&variant.name).family(theme::medium());
        let words = if in_hand { words } else { words.color(tokens.quiet) };
        let button = ui.add(egui::Button::new(words).frame(false).truncate()).on_hover_text("Takes this rig in hand");
        if button.clicked() {
            out.push(Intent::Show(variant.id));
        }
        if is_base {
            ui.label(RichText::new("the base").font(text::small()).color(tokens.quiet));
        }
    });
}

fn cell(ui: &mut Ui, tokens: &Tokens, variant: &str, cell: &Cell) {
    let strength = if cell.old { 0.55 } else { 1.0 };
    let width = ui.available_width();
    let line = |words: &str, font: FontId, ink: Color32| {
        let mut job = LayoutJob::simple_singleline(words.to_owned(), font, ink.gamma_multiply(strength));
        job.wrap = egui::text::TextWrapping::truncate_at_width(width);
        ui.painter().layout_job(job)
    };
    let main = line(&cell.main, text::body(), tokens.ink);
    let detail = line(&cell.detail, text::small(), tokens.quiet);
    let height = main.size().y + detail.size().y;
    let (rect, hit) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    let below = rect.min + vec2(0.0, main.size().y);
    ui.painter().galley(rect.min, main, tokens.ink);
    ui.painter().galley(below, detail, tokens.quiet);
    let sentence = format!("{variant}: {}", cell.sentence);
    hit.widget_info(|| WidgetInfo::labeled(Role::Label, true, &sentence));
    hit.on_hover_text(&cell.sentence);
}

fn none(main: &str, sentence: String) -> Cell {
    Cell { main: main.to_owned(), detail: String::new(), sentence, old: false }
}

/// Why there are no figures.
fn no_signal() -> String {
    format!("no signal gets to {LEVEL_TAKEN}")
}

fn peak(figures: Option<&Figures>) -> Cell {
    match figures.map(|figures| &figures.peak) {
        Some(Ok(peak)) => {
            let high = format!("{:.1} dB high", peak.height_db);
            let sentence = lower(&peak_line(peak));
            Cell { main: hertz(peak.hz), detail: high, sentence, old: false }
        }
        Some(Err(why)) => none("none", format!("no peak, {why}")),
        None => none("none", format!("no peak, {}", no_signal())),
    }
}

fn sounds_like(figures: Option<&Figures>) -> Cell {
    let equivalent = figures.map(|figures| &figures.lead_equivalent);
    let sentence = equivalent.map_or_else(String::new, |equivalent| lower(&equivalent_line(equivalent)));
    match equivalent {
        Some(Ok(length)) => {
            let length = metres((length * 10.0).round() / 10.0);
            Cell { main: length, detail: "of its lead".to_owned(), sentence, old: false }
        }
        Some(Err(_)) => none("no lead", sentence),
        None => none("no lead", format!("sounds like nothing, {}", no_signal())),
    }
}

/// The worst jump and whether it is that of before the last change; none while it isn't known yet.
fn jump(worst: Option<(Option<WorstJump>, bool)>, rig: &Rig) -> Cell {
    let Some((jump, old)) = worst else {
        return none("…", "its worst jump is being worked out".to_owned());
    };
    let Some(jump) = jump else {
        return Cell { old, ..none("none", "no jump, no switch is heard".to_owned()) };
    };
    let device = rig.device(jump.device()).map_or("", |device| device.name.as_str());
    let size = Level::Decibels(jump.db);
    let before = if old { ", before the last change" } else { "" };
    Cell {
        main: size.to_string(),
        detail: if jump.exact { device.to_owned() } else { format!("at least, {device}") },
        sentence: format!("{JUMP} {}, {}{before}", jump.words(), jump.step_words(rig)),
        old,
    }
}

fn cost(cost: &Cost, currency: &str) -> Cell {
    let more = cost.more();
    let sign = if more > 0.0 { "+" } else { "" };
    let unpriced = cost.added.leads_without_price + cost.left_out.leads_without_price;
    let detail = match unpriced {
        0 if cost.left_out.is_empty() => String::new(),
        0 => format!("left out {}", money(whole(cost.left_out.price), currency)),
        1 => "1 lead unpriced".to_owned(),
        count => format!("{count} leads unpriced"),
    };
    Cell { main: format!("{sign}{}", money(whole(more), currency)), detail, sentence: cost.told(currency), old: false }
}

/// Nobody reads cents of hundreds; the sentence has them.
fn whole(price: f64) -> f64 {
    if price.abs() < 100.0 { price } else { price.round() }
}
