//! What would be better: a search over changes, each shown as a ghost while it
//! is pointed at and done by a click.

use egui::{Align, ProgressBar, RichText, Ui};
use rigwright_core::advice::{Suggestion, Wishes, figures_words};
use rigwright_core::units::{Dimension, Metres};

use super::nothing;
use crate::state::Input;
use crate::theme::{Tokens, text};
use crate::views::{DIED, Facts, Intent, diagnoses};
use crate::widgets::quantity::{self, Quantity, Typed};
use crate::widgets::{panel, small};

/// The list's own state.
#[derive(Debug, Default)]
pub struct AdvicePanel {
    whole: bool,
    show_wishes: bool,
    /// Somebody waits for what is found.
    waits: bool,
}

/// So many suggestions are shown to begin with.
const FIRST: usize = 4;

impl AdvicePanel {
    /// A button to begin with; then how far it is; then what was found.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        if facts.response().is_none_or(|response| response.endpoints.is_empty()) {
            return;
        }
        let tokens = Tokens::of(ui);
        ui.separator();
        let is_there = facts.answers.seeking().is_none() && facts.advice.as_ref().is_some_and(|shown| !shown.old);
        if is_there && std::mem::take(&mut self.waits) {
            // What was waited for isn't left below the panel's edge.
            ui.scroll_to_cursor(Some(Align::Min));
        }
        panel::heading(ui, "What would be better");
        if let Some(done) = facts.answers.seeking() {
            ui.horizontal(|ui| {
                let percent = format!("{:.0} %", done * 100.0);
                ui.add(ProgressBar::new(done as f32).desired_width(160.0).text(percent).fill(tokens.teal));
                if ui.button("Stop looking").clicked() {
                    self.waits = false;
                    out.push(Intent::StopSeeking);
                }
            });
        } else {
            let words = if facts.advice.is_some() { "Look again" } else { "Look for something better" };
            let tip = "Tries buffers at every place, other bypasses, leads and orders, each over all footswitch states";
            if facts.advice.as_ref().is_none_or(|shown| shown.old) && ui.button(words).on_hover_text(tip).clicked() {
                self.waits = true;
                out.push(Intent::Seek);
            }
        }
        if facts.answers.advice_died() {
            nothing(ui, DIED);
        }
        let words = if self.show_wishes { "Hide what may be changed" } else { "What may be changed …" };
        if ui.add(small::button(words)).clicked() {
            self.show_wishes = !self.show_wishes;
        }
        if self.show_wishes {
            let mut wanted = facts.inputs.wishes();
            wishes(ui, &mut wanted);
            if wanted != facts.inputs.wishes() {
                out.push(Intent::Input(Input::Wishes(wanted)));
            }
        }
        let Some(shown) = &facts.advice else { return };
        if shown.old {
            nothing(ui, "What follows was found before the last change.");
        }
        let advice = shown.answer;
        panel::quiet(ui, format!("Now: {}.", figures_words(&facts.variant.rig, &advice.now)));
        if facts.variant.rig.has_fuzz_switch(&facts.project.limits) {
            panel::quiet(
                ui,
                "Jumps are told as in the findings: as far up as the amp gives something, with no low-impedance fuzz on.",
            );
        }
        if let Some(why) = &advice.left_out {
            nothing(ui, why);
        } else if advice.suggestions.is_empty() {
            nothing(ui, "Nothing that was tried is better than the rig as it is.");
        }
        let count = advice.suggestions.len();
        let told = |one: &Suggestion| one.told(&facts.variant.rig, &facts.project.currency);
        let limit = if self.whole { usize::MAX } else { FIRST };
        for suggestion in advice.suggestions.iter().take(limit) {
            diagnoses::one(ui, facts, &told(suggestion), shown.old, out);
        }
        if count > FIRST {
            let words = if self.whole { "Show the best only".to_owned() } else { format!("Show all {count}") };
            if ui.add(small::button(words)).clicked() {
                self.whole = !self.whole;
            }
        }
        if !advice.practice.is_empty() {
            panel::quiet(ui, "What is usually done, as a second opinion (common practice, no source):");
        }
        for usual in &advice.practice {
            diagnoses::one(ui, facts, &told(usual), shown.old, out);
        }
        for sentence in &advice.proved {
            panel::quiet(ui, format!("Proved: {sentence}"));
        }
    }
}

/// What the search may try.
fn wishes(ui: &mut Ui, wishes: &mut Wishes) {
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Buffers to put in").font(text::small()));
        for (count, words) in [(0, "none"), (1, "one"), (2, "up to two")] {
            ui.selectable_value(&mut wishes.buffers, count, words);
        }
    });
    ui.checkbox(&mut wishes.bypass, "Other bypasses, where a unit has a choice");
    ui.checkbox(&mut wishes.order, "Another order of the units");
    ui.checkbox(&mut wishes.switcher, "A loop switcher");
    ui.checkbox(&mut wishes.leads, "Other or shorter leads");
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("None to the guitar or an amp shorter than").font(text::small()));
        let length = wishes.shortest_lead.get();
        let (_, typed) = quantity::edit(
            ui,
            &Quantity { name: "shortest lead", value: length, dimension: Dimension::Length, unit: "m" },
            "",
        );
        if let Typed::Value(metres) | Typed::Stepped(metres) = typed {
            // Past what a lead can be, the nearest that it can.
            wishes.shortest_lead = Metres::clamped(metres);
        }
    });
}
