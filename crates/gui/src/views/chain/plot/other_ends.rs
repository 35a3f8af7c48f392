//! The curves of the rig in hand at its other ends, beside that of the one at which levels are
//! taken: two amps, or both inputs of a desk.

use egui::Ui;
use rigwright_core::response::EndpointAnswer;

use super::curves::Shown;
use super::sound_lines::line_legend;
use super::style;
use crate::state::Input;
use crate::theme::Tokens;
use crate::views::{Facts, Intent};

/// So many others are shown.
const MOST: usize = 3;

/// Whether they are shown.
pub fn choose(ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
    let mut shown = facts.inputs.other_ends();
    let tip = "Shows what arrives at the other ends of this rig too, each as a line of its own.";
    if ui.checkbox(&mut shown, "the others beside it").on_hover_text(tip).changed() {
        out.push(Intent::Input(Input::OtherEnds(shown)));
    }
}

/// The other ends of the rig in hand, the signal's order kept.
fn ends<'f>(facts: &'f Facts<'_>) -> impl Iterator<Item = (usize, &'f EndpointAnswer)> {
    let response = facts.response().filter(|_| facts.inputs.other_ends() && facts.project.test_point.is_none());
    let others = response.into_iter().flat_map(|response| {
        let chosen = facts.inputs.endpoint_of(response);
        response.endpoints.iter().enumerate().filter(move |(at, _)| *at != chosen).map(|(_, end)| end)
    });
    others.take(MOST).enumerate()
}

/// Their curves.
pub fn curves<'f>(facts: &'f Facts<'_>, tokens: &'f Tokens) -> impl Iterator<Item = Shown<'f>> {
    let response = facts.response();
    ends(facts).filter_map(move |(at, end)| {
        Some(Shown {
            name: &end.name,
            ink: ink(facts, tokens, at),
            style: style::end(at),
            response: response?,
            answer: &end.at,
            all: None,
            old: false,
            curve_old: false,
            in_hand: false,
        })
    })
}

/// A sample of each line, and whose it is.
pub fn legend(ui: &mut Ui, facts: &Facts<'_>) {
    let tokens = Tokens::of(ui);
    for (at, end) in ends(facts) {
        let label = format!("Line of the end {}", end.name);
        line_legend(ui, &end.name, &label, style::end(at), ink(facts, tokens, at));
    }
}

/// The accents that follow those of variants and sounds.
fn ink(facts: &Facts<'_>, tokens: &Tokens, at: usize) -> egui::Color32 {
    tokens.accent(facts.project.variants.len() + facts.sound_curves().len() + at)
}
