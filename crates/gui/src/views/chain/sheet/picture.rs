//! The whole drawing as a picture: as the sheet shows it with nothing pointed at.

use egui::{Sense, Ui, Vec2};
use rigwright_core::rig::Variant;

use super::Sheet;
use super::camera::Camera;
use super::canvas::Canvas;
use super::drawing::Drawing;
use super::pen::Pen;
use crate::theme::{Tokens, size};
use crate::views::Facts;

/// As wide or high as a picture ever is, in points: symbols can be dragged far apart.
const LARGEST: f32 = 12_000.0;

/// How large the drawing is.
#[must_use]
pub fn size(variant: &Variant) -> Vec2 {
    let bounds = Drawing::of(&variant.rig, &variant.places).bounds;
    bounds.size() * zoom(bounds.size())
}

/// Points for a canvas unit: life-size, or as large as there is room for.
fn zoom(whole: Vec2) -> f32 {
    (LARGEST / whole.max_elem().max(1.0)).min(1.0)
}

/// The drawing in the middle of the room that there is.
pub fn paint(ui: &mut Ui, facts: &Facts<'_>) {
    let tokens = Tokens::of(ui);
    let drawing = Drawing::of(&facts.variant.rig, &facts.variant.places);
    let (screen, ground) = ui.allocate_exact_size(ui.available_size(), Sense::hover());
    let camera = Camera { zoom: zoom(drawing.bounds.size()), centre: drawing.bounds.center() };
    let painter = ui.painter().clone();
    let pen = Pen { painter: &painter, camera, screen, tokens, ink: tokens.ink, weight: size::SYMBOL_LINE };
    let (mut canvas, mut out) = (Canvas::of_picture(), Vec::new());
    Sheet { canvas: &mut canvas, facts, drawing: &drawing, pen: &pen, out: &mut out, ground: &ground }.show(ui);
}
