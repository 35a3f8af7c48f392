//! Bands and curves as one picture, made anew only when an answer or the place
//! on the screen changed.

use std::sync::Arc;

use egui::epaint::{BandPoint, BandShape, Mesh, Tessellator};
use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, pos2};
use egui_plot::{PlotPoint, PlotTransform};
use rigwright_core::response::{PointAnswer, Response};

use super::curves::{Shown, VerticalAxis};
use super::hatch::Slice;
use super::style::{STYLES, Style, hatch_ink};
use crate::state::AllStates;
use crate::theme::{size, strength};

/// Where edges are nearer to each other than this, in points, there is no band to see.
const THIN: f32 = 2.0;
/// Edges this far outside the plot are drawn as if they were there: nobody sees it.
const FAR: f32 = 200.0;

/// An answer of before the last change is so much fainter.
const OLD: f32 = 0.55;

/// The last picture, and what it was made from.
#[derive(Debug, Default)]
pub struct Picture {
    kept: Option<(Key, Kept)>,
    made: u64,
    /// Whether it stays strokes: triangles are quick to paint, and nothing else.
    in_strokes: bool,
}

/// What was drawn.
#[derive(Debug)]
struct Kept {
    ink: Shape,
    bands: Vec<Vec<Slice>>,
}

#[derive(Debug)]
struct Key {
    frame: Rect,
    bounds: ([f64; 2], [f64; 2]),
    pixels_per_point: f32,
    base: Option<Option<Arc<Response>>>,
    endpoint: usize,
    parts: Vec<Part>,
}

#[derive(Debug)]
struct Part {
    ink: Color32,
    style: &'static Style,
    in_hand: bool,
    old: (bool, bool),
    response: Arc<Response>,
    all: Option<Arc<AllStates>>,
}

/// What a picture depends on besides what is shown.
pub struct PictureInputs<'a> {
    /// From values to the screen.
    pub transform: &'a PlotTransform,
    /// In the difference view, the base's response, if there is one.
    pub base: Option<Option<&'a Arc<Response>>>,
    /// Which endpoint levels are taken at.
    pub endpoint: usize,
}

fn same<T>(a: Option<&Arc<T>>, b: Option<&Arc<T>>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => Arc::ptr_eq(a, b),
        (None, None) => true,
        _ => false,
    }
}

impl Key {
    fn of(inputs: &PictureInputs<'_>, shown: &[Shown<'_>], pixels_per_point: f32) -> Self {
        let bounds = inputs.transform.bounds();
        let part = |shown: &Shown<'_>| Part {
            ink: shown.ink,
            style: shown.style,
            in_hand: shown.in_hand,
            old: (shown.old, shown.curve_old),
            response: Arc::clone(shown.response),
            all: shown.all.cloned(),
        };
        Self {
            frame: *inputs.transform.frame(),
            bounds: (bounds.min(), bounds.max()),
            pixels_per_point,
            base: inputs.base.map(|base| base.cloned()),
            endpoint: inputs.endpoint,
            parts: shown.iter().map(part).collect(),
        }
    }

    fn same(&self, other: &Self) -> bool {
        let part = |(a, b): (&Part, &Part)| {
            let plain = |part: &Part| (part.ink, part.style, part.in_hand, part.old);
            plain(a) == plain(b) && Arc::ptr_eq(&a.response, &b.response) && same(a.all.as_ref(), b.all.as_ref())
        };
        let base = match (&self.base, &other.base) {
            (Some(a), Some(b)) => same(a.as_ref(), b.as_ref()),
            (None, None) => true,
            _ => false,
        };
        let place = |key: &Self| (key.frame, key.bounds, key.pixels_per_point, key.endpoint);
        base && place(self) == place(other)
            && self.parts.len() == other.parts.len()
            && self.parts.iter().zip(&other.parts).all(part)
    }
}

impl Picture {
    /// One that isn't made into triangles.
    pub fn in_strokes() -> Self {
        Self { in_strokes: true, ..Self::default() }
    }

    /// Draws bands, then curves, the variant in hand on top. Gives back where
    /// the bands are on the screen.
    pub fn draw(
        &mut self,
        painter: &Painter,
        axis: VerticalAxis<'_>,
        shown: &[Shown<'_>],
        inputs: &PictureInputs<'_>,
    ) -> &[Vec<Slice>] {
        let key = Key::of(inputs, shown, painter.pixels_per_point());
        let kept = match self.kept.take() {
            Some((old, kept)) if old.same(&key) => kept,
            _ => {
                self.made += 1;
                let (shapes, bands) = make(axis, shown, inputs.transform);
                let ink = if self.in_strokes { Shape::Vec(shapes) } else { triangles(painter, shapes) };
                Kept { ink, bands }
            }
        };
        painter.add(kept.ink.clone());
        &self.kept.insert((key, kept)).1.bands
    }
}

/// The strokes of bands and curves, and where the bands are.
fn make(axis: VerticalAxis<'_>, shown: &[Shown<'_>], transform: &PlotTransform) -> (Vec<Shape>, Vec<Vec<Slice>>) {
    let origin = transform.frame().left_top();
    let in_order = || shown.iter().filter(|one| !one.in_hand).chain(shown.iter().filter(|one| one.in_hand));
    let banded = shown.iter().filter(|one| one.states().is_some()).count();
    let several = banded > 1;
    // There are no more hatchings than that to tell bands apart by: past it they only hide each other.
    let in_hand_only = banded > STYLES.len();
    let mut shapes = Vec::new();
    let mut bands = Vec::new();
    for one in in_order() {
        let Some(states) = one.states().filter(|_| one.in_hand || !in_hand_only) else { continue };
        let band = slices(&axis.strip(states), transform);
        let ink = if one.old { one.ink.gamma_multiply(OLD) } else { one.ink };
        if one.in_hand {
            let points = band.iter().map(|slice| BandPoint::new(slice.x, slice.top..=slice.bottom)).collect();
            shapes.push(BandShape::filled(points, ink.gamma_multiply(0.11)).into());
        }
        if several {
            one.style.fill(&band, origin, hatch_ink(ink), &mut shapes);
        }
        for edge in edges(&band) {
            one.style.line(&edge, Stroke::new(1.0, ink.gamma_multiply(strength::BAND_EDGE)), &mut shapes);
        }
        bands.push(band);
    }
    for one in in_order() {
        let width = if one.in_hand { size::CURVE } else { size::CURVE - 0.6 };
        let ink = if one.curve_old { one.ink.gamma_multiply(OLD) } else { one.ink };
        for points in points(axis, one.answer, transform) {
            one.style.line(&points, Stroke::new(width, ink), &mut shapes);
        }
    }
    (shapes, bands)
}

/// Strokes as triangles.
fn triangles(painter: &Painter, shapes: Vec<Shape>) -> Shape {
    let options = painter.ctx().tessellation_options(|options| *options);
    let mut tessellator = Tessellator::new(painter.pixels_per_point(), options, [1, 1], Vec::new());
    let mut mesh = Mesh::default();
    shapes.into_iter().for_each(|shape| tessellator.tessellate_shape(shape, &mut mesh));
    Shape::Mesh(Arc::new(mesh))
}

/// A curve's stretches on the screen.
fn points(axis: VerticalAxis<'_>, answer: &PointAnswer, transform: &PlotTransform) -> Vec<Vec<Pos2>> {
    let at = |[log_hz, db]: [f64; 2]| transform.position_from_point(&PlotPoint::new(log_hz, db));
    let stretches = axis.stretches(answer).into_iter();
    stretches.map(|stretch| stretch.into_iter().map(at).collect()).collect()
}

/// A curve that is only thought of: what a change would give that is pointed at.
pub fn ghost(painter: &Painter, axis: VerticalAxis<'_>, answer: &PointAnswer, transform: &PlotTransform, ink: Color32) {
    let mut shapes = Vec::new();
    for points in points(axis, answer, transform) {
        ghost_line(&points, ink, &mut shapes);
    }
    painter.extend(shapes);
}

/// A line of such a curve.
pub fn ghost_line(points: &[Pos2], ink: Color32, out: &mut Vec<Shape>) {
    Shape::dashed_line_many(points, Stroke::new(size::CURVE - 0.6, ink), 2.5, 2.5, out);
}

fn slices(strip: &[[f64; 3]], transform: &PlotTransform) -> Vec<Slice> {
    let frame = transform.frame();
    let y = |db: f64| transform.position_from_point_y(db).clamp(frame.top() - FAR, frame.bottom() + FAR);
    let slice = |[log_hz, low, high]: &[f64; 3]| Slice {
        x: transform.position_from_point_x(*log_hz),
        top: y(*high),
        bottom: y(*low).max(y(*high)),
    };
    strip.iter().map(slice).collect()
}

/// The edges of a band, upper and lower, wherever it is wide enough to be one.
fn edges(band: &[Slice]) -> Vec<Vec<Pos2>> {
    let mut found = Vec::new();
    for wide in band.chunk_by(|a, b| is_wide(a) == is_wide(b)).filter(|run| run.first().is_some_and(is_wide)) {
        found.push(wide.iter().map(|slice| pos2(slice.x, slice.top)).collect());
        found.push(wide.iter().map(|slice| pos2(slice.x, slice.bottom)).collect());
    }
    found
}

/// Whether a band is wide enough to be seen somewhere: a rig without switches has none.
pub fn is_seen(band: &[Slice]) -> bool {
    band.iter().any(is_wide)
}

fn is_wide(slice: &Slice) -> bool {
    slice.bottom - slice.top > THIN
}

#[cfg(test)]
#[path = "picture_tests.rs"]
mod tests;
