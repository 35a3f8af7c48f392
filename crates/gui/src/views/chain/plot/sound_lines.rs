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
        let galley = ui.painter().layout_no_wrap(curve.name.clone(), text::small(), tokens.ink);
        let (rect, hit) = ui.allocate_exact_size(galley.size() + vec2(42.0, 6.0), Sense::hover());
        let label = format!("Line of the sound {}", curve.name);
        hit.widget_info(|| WidgetInfo::labeled(Role::Image, true, &label));
        let (from, to) = (rect.left_center() + vec2(4.0, 0.0), rect.left_center() + vec2(32.0, 0.0));
        let ink = ink(tokens, facts, at);
        let stroke = Stroke::new(2.0, ink);
        let mut shapes = Vec::new();
        style(at).line(&[from, to], stroke, &mut shapes);
        ui.painter().extend(shapes);
        ui.painter().galley(rect.left_center() + vec2(38.0, -0.5 * galley.size().y), galley, tokens.ink);
    }
}
