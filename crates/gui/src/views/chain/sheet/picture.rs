//! The whole drawing as a picture: as the sheet shows it with nothing pointed at.

use std::cell::RefCell;

use egui::{Sense, Ui, Vec2, vec2};
use rigwright_core::rig::Variant;

use super::Sheet;
use super::camera::Camera;
use super::canvas::Canvas;
use super::drawing::Drawing;
use super::pen::Pen;
use crate::theme::Tokens;
use crate::views::Facts;

/// As wide or high as a picture ever is, in points: symbols can be dragged far apart.
const LARGEST: f32 = 12_000.0;

/// What a picture's rows go by: the shape of a page that lies, in points.
const PAGE: Vec2 = vec2(1600.0, 1000.0);

/// How large the drawing is.
#[must_use]
pub fn size(variant: &Variant) -> Vec2 {
    let bounds = Drawing::of(variant, PAGE).bounds;
    bounds.size() * zoom(bounds.size())
}

/// Points for a canvas unit: life-size, or as large as there is room for.
fn zoom(whole: Vec2) -> f32 {
    (LARGEST / whole.max_elem().max(1.0)).min(1.0)
}

/// The drawing in the middle of the room that there is.
pub fn paint(ui: &mut Ui, facts: &Facts<'_>) {
    let tokens = Tokens::of(ui);
    let drawing = Drawing::of(facts.variant, PAGE);
    let (screen, ground) = ui.allocate_exact_size(ui.available_size(), Sense::hover());
    let camera = Camera { zoom: zoom(drawing.bounds.size()), centre: drawing.bounds.center() };
    let painter = ui.painter().clone();
    let written = RefCell::default();
    let pen = Pen::new(&painter, camera, screen, tokens, &written);
    let (mut canvas, mut out) = (Canvas::of_picture(), Vec::new());
    Sheet { canvas: &mut canvas, facts, drawing: &drawing, pen: &pen, out: &mut out, ground: &ground }.show(ui);
}
