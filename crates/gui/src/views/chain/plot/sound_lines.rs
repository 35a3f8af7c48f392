//! How the curves of sounds look beside those of variants: in other strokes, so that
//! it takes no colour to tell them apart.

use egui::{Color32, Role, Sense, Stroke, Ui, WidgetInfo, vec2};

use super::style::{self, Style};
use crate::theme::{Tokens, text};
use crate::views::Facts;

/// The stroke of the sound at a place among those that are shown: none that a variant has.
#[must_use]
pub fn style(at: usize) -> &'static Style {
    style::sound(at)
}

/// Its colour: the accents that follow the variants'.
#[must_use]
pub fn ink(tokens: &Tokens, facts: &Facts<'_>, at: usize) -> Color32 {
    tokens.accent(facts.project.variants.len() + at)
}

/// A sample of each line that is shown, and whose it is.
pub fn legend(ui: &mut Ui, facts: &Facts<'_>) {
    let tokens = Tokens::of(ui);
    for (at, curve) in facts.sound_curves().iter().enumerate() {
        let label = format!("Line of the sound {}", curve.name);
        line_legend(ui, &curve.name, &label, style(at), ink(tokens, facts, at));
    }
}

/// A sample of a line with a name behind it; `label` is what a screen reader says.
pub fn line_legend(ui: &mut Ui, name: &str, label: &str, style: &Style, ink: Color32) {
    let tokens = Tokens::of(ui);
    let galley = ui.painter().layout_no_wrap(name.to_owned(), text::small(), tokens.ink);
    let (rect, hit) = ui.allocate_exact_size(galley.size() + vec2(42.0, 6.0), Sense::hover());
    hit.widget_info(|| WidgetInfo::labeled(Role::Image, true, label));
    let (from, to) = (rect.left_center() + vec2(4.0, 0.0), rect.left_center() + vec2(32.0, 0.0));
    let mut shapes = Vec::new();
    style.line(&[from, to], Stroke::new(2.0, ink), &mut shapes);
    ui.painter().extend(shapes);
    ui.painter().galley(rect.left_center() + vec2(38.0, -0.5 * galley.size().y), galley, tokens.ink);
}
