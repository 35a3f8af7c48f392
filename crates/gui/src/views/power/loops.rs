//! What may hum: first the question that tells loops from what is none, then
//! the ground loops, the likeliest first, with what breaks each.

use egui::{Label, RichText, Ui};
use rigwright_core::ground::{count_words, more_words};
use rigwright_core::hum::First;
use rigwright_core::power::Caution;
use rigwright_core::units::counted;
use rigwright_core::words::capital;

use super::canvas::Scene;
use crate::theme::{Tokens, text};
use crate::views::{Facts, Intent, cautions, diagnoses};
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
        let Some(count) = count_words(answer.loop_count) else {
            return panel::quiet(ui, "None: no current finds a second way back.");
        };
        let more = more_words(answer.loops.len(), answer.loop_count);
        panel::quiet(ui, format!("{}.", capital(&count)));
        if let Some(words) = more {
            panel::quiet(ui, words);
        }
        // Where the strip under the rails says it already, nothing here says it again.
        let called = cautions::called_for(scene.rig, scene.answer);
        if !cautions::is_in_strip(ui.ctx(), &called, Caution::Earth) {
            ui.horizontal_wrapped(|ui| {
                let never = RichText::new("Never lift a mains earth to break one.").font(text::small());
                ui.label(never.color(Tokens::of(ui).copper));
                diagnoses::cautions(ui, out);
            });
        }
        let told = &answer.hum.told;
        let shown = told.iter().take(if self.whole { usize::MAX } else { FIRST });
        diagnoses::list(ui, facts, shown.map(|told| (told, scene.old)), out);
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
