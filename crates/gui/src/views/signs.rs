//! The signs of all screens one by one, for the legend: each drawn by the screen's own code.

use egui::{Role, Sense, Ui, Vec2, WidgetInfo, vec2};

use super::{chain, power};
use crate::help::Sign;
use crate::theme::Tokens;

/// How much room a sign has.
pub const SIZE: Vec2 = vec2(92.0, 44.0);

/// Draws a sign on a piece of the sheet; `looks` is what a screen reader says of it.
pub fn show(ui: &mut Ui, sign: Sign, looks: &str) {
    let (rect, response) = ui.allocate_exact_size(SIZE, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, looks));
    if !ui.is_rect_visible(rect) {
        return;
    }
    let tokens = Tokens::of(ui);
    ui.painter().rect_filled(rect, 4.0, tokens.sheet);
    let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
    let place = rect.shrink2(vec2(5.0, 4.0));
    match () {
        () if sign.is_of_power() => power::sign(&painter, place, tokens, sign),
        () if sign.is_of_plot() => chain::plot_sign(&painter, place, tokens, sign),
        () => chain::sheet_sign(&painter, place, tokens, sign),
    }
}
