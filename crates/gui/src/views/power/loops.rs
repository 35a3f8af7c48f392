//! What may hum: first the question that tells loops from what is none, then
//! the ground loops, the likeliest first, with what breaks each.

use egui::{Button, Label, RichText, Ui};
use rigwright_core::ground::{GroundLoop, Likelihood};
use rigwright_core::hum::{Fact, First, Help};
use rigwright_core::units::counted;
use rigwright_core::words::{capital, lower};

use super::canvas::Scene;
use super::panel::link;
use crate::state::left_out;
use crate::theme::{Tokens, text};
use crate::views::{Facts, Intent, Pointed, remedy};
use crate::widgets::entry::entry;
use crate::widgets::{panel, small};

/// So many are listed to begin with.
const FIRST: usize = 3;

/// The list's own state.
#[derive(Debug, Default)]
pub struct Loops {
    whole: bool,
}

impl Loops {
    /// The list.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, scene: &Scene<'_>, out: &mut Vec<Intent>) {
        let Some(answer) = scene.answer else { return };
        ui.separator();
        panel::heading(ui, "Ground loops");
        first(ui, &answer.hum.first);
        let Some(count) = left_out::loops(answer.loop_count) else {
            return panel::quiet(ui, "None: no current finds a second way back.");
        };
        let more = left_out::more_loops(answer.loops.len(), answer.loop_count);
        panel::quiet(ui, format!("{}.", capital(&count)));
        if let Some(words) = more {
            panel::quiet(ui, words);
        }
        ui.horizontal_wrapped(|ui| {
            let tokens = Tokens::of(ui);
            let never =
                RichText::new("Never lift a mains earth to break one.").font(text::small()).color(tokens.copper);
            ui.label(never);
            link(ui, "Cautions", out);
        });
        let told = &answer.hum.facts;
        for fact in told.iter().take(if self.whole { usize::MAX } else { FIRST }) {
            let loops: Vec<&GroundLoop> = fact.loops.iter().filter_map(|at| answer.loops.get(*at)).collect();
            one(ui, facts, scene, fact, &loops, out);
        }
        if told.len() > FIRST {
            let words = if self.whole {
                "Show the likeliest only".to_owned()
            } else {
                format!("Show {} more", counted(told.len() - FIRST))
            };
            if ui.add(small::button(words)).clicked() {
                self.whole = !self.whole;
            }
        }
    }
}

/// What to ask before any cure of a loop.
fn first(ui: &mut Ui, first: &First) {
    if first.question.is_empty() {
        return;
    }
    let tokens = Tokens::of(ui);
    entry(ui, tokens.teal, 1.0, |ui| {
        ui.add(Label::new(RichText::new(&first.question).color(tokens.ink)).wrap());
        for line in &first.no_loops {
            panel::quiet(ui, line.as_str());
        }
    });
}

fn one(ui: &mut Ui, facts: &Facts<'_>, scene: &Scene<'_>, fact: &Fact, loops: &[&GroundLoop], out: &mut Vec<Intent>) {
    let tokens = Tokens::of(ui);
    let Some(likeliest) = loops.first() else { return };
    let ink = if fact.likelihood <= Likelihood::Possible { tokens.copper } else { tokens.border };
    let hovered = entry(ui, ink, if scene.old { 0.55 } else { 1.0 }, |ui| {
        ui.add(Label::new(RichText::new(format!("{}.", fact.text)).color(tokens.ink)).wrap());
        if let Some(why) = &fact.why {
            panel::quiet(ui, why.as_str());
        }
        if let [only] = loops {
            panel::quiet(ui, &only.path);
        }
        if loops.len() > 1 || fact.likelihood < Likelihood::Seldom {
            for help in &fact.remedies {
                offer(ui, scene, help, out);
            }
        }
        ui.horizontal_wrapped(|ui| {
            for (at, found) in loops.iter().enumerate() {
                let number = (loops.len() > 1).then_some(at + 1);
                show(ui, facts, scene, found, number, out);
            }
        });
    });
    if hovered && !scene.old {
        out.push(Intent::Point(Pointed::Loop(Box::new((*likeliest).clone()))));
    }
}

/// A button where the drawing can have it, or else words.
fn offer(ui: &mut Ui, scene: &Scene<'_>, help: &Help, out: &mut Vec<Intent>) {
    match help {
        Help::Remedy(remedy) => remedy::ui(ui, remedy, scene.old, out),
        Help::Words(words) => panel::quiet(ui, format!("Would help: {}.", lower(words))),
    }
}

/// The button that lights a loop's way; of several by its number.
fn show(
    ui: &mut Ui,
    facts: &Facts<'_>,
    scene: &Scene<'_>,
    found: &GroundLoop,
    number: Option<usize>,
    out: &mut Vec<Intent>,
) {
    let shown = facts.power.loop_shown == Some(found);
    let does = if shown { "Hide the loop" } else { "Show the loop" };
    let face =
        number.map_or_else(|| does.to_owned(), |number| format!("{} {number}", if shown { "Hide" } else { "Show" }));
    let face = RichText::new(face).font(text::small()).color(Tokens::of(ui).teal);
    let button = ui.add_enabled(!scene.old, Button::new(face));
    let named = format!("{does}: {}", found.path);
    button.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Button, !scene.old, &named));
    let hint = if number.is_some() { found.path.as_str() } else { "Lights its way here and on the Chain screen" };
    if button.on_hover_text(hint).clicked() {
        out.push(Intent::ShowLoop((!shown).then(|| Box::new(found.clone()))));
    }
}
