//! The whole drawing as a picture: as the sheet shows it with nothing pointed at.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

use egui::{Painter, Rect, Sense, Ui, Vec2, vec2};
use rigwright_core::response::Response;
use rigwright_core::rig::{LeadId, Rig, State, Variant};

use super::Sheet;
use super::camera::Camera;
use super::canvas::Canvas;
use super::drawing::Drawing;
use super::paint;
use super::pen::Pen;
use super::symbols::{is_switched, run_line, switch_place};
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
    Sheet {
        canvas: &mut canvas,
        facts,
        drawing: &drawing,
        pen: &pen,
        out: &mut out,
        ground: &ground,
        framed: Vec::new(),
    }
    .show(ui);
}

/// A rig's drawing for a small place: leads and symbols, nothing to work and hardly a word.
#[derive(Debug)]
pub struct Miniature {
    rig: Arc<Rig>,
    state: State,
    drawing: Drawing,
    natures: BTreeMap<LeadId, bool>,
}

impl Miniature {
    /// The drawing of a variant in rows for a place whose width is `shape` times its height.
    #[must_use]
    pub fn of(variant: &Variant, state: State, response: &Response, shape: f32) -> Self {
        let drawing = Drawing::of(variant, vec2(PAGE.y * shape, PAGE.y));
        Self { rig: Arc::clone(&variant.rig), state, drawing, natures: paint::natures(response) }
    }

    /// Paints all of it into a place.
    pub fn paint(&self, painter: &Painter, place: Rect, tokens: &'static Tokens) {
        let camera = Camera::fit(self.drawing.bounds, place, Camera::MIN_ZOOM);
        let written = RefCell::default();
        let pen = Pen::new(painter, camera, place, tokens, &written);
        for (shape, lead) in self.drawing.leads.iter().zip(&self.rig.leads) {
            let nature = self.natures.get(&shape.id).copied();
            paint::lead(&pen, shape, lead, run_line(tokens, nature), false);
        }
        for shape in &self.drawing.devices {
            if let Some(device) = self.drawing.wiring.device(&self.rig, shape.id) {
                paint::device(&pen, &self.drawing.wiring, shape, device, &self.natures, &self.state);
                if let Some(at) = switch_place(device, shape) {
                    let on = is_switched(device, &self.state);
                    let ink = if on { tokens.ink } else { tokens.quiet };
                    paint::footswitch(&pen, pen.at(at), on, ink);
                }
            }
        }
    }
}
