//! Drawing in canvas units: lines, resistors, coils, capacitors, triangles, earths.
//!
//! Shapes follow IEC 60617: a resistor is a rectangle, a coil half-circles, a
//! capacitor two bars, an amplifier a triangle.

use std::cell::RefCell;
use std::sync::Arc;

use egui::{Align2, Color32, Galley, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, vec2};

use super::camera::Camera;
use super::room::overlap;
use crate::theme::{Tokens, size, text};

/// Far out, text grows relative to the drawing, so that names can still be read.
const LEAST_TEXT: f32 = 0.82;
/// Farther out than this there is no room for text at all.
const NO_TEXT: f32 = 0.2;

/// Paints canvas coordinates through a camera; ink is set once and used by all.
pub struct Pen<'a> {
    /// Where to paint.
    pub painter: &'a Painter,
    /// How the sheet is seen.
    pub camera: Camera,
    /// The sheet's rectangle on the screen.
    pub screen: Rect,
    /// The theme's colours.
    pub tokens: &'static Tokens,
    /// The colour of lines.
    pub ink: Color32,
    /// Their width at zoom 1.
    pub weight: f32,
    /// Where words were written, in points of the screen.
    written: &'a RefCell<Vec<Rect>>,
}

impl<'a> Pen<'a> {
    /// A pen for symbols that remembers in `written` where it has written.
    #[must_use]
    pub fn new(
        painter: &'a Painter,
        camera: Camera,
        screen: Rect,
        tokens: &'static Tokens,
        written: &'a RefCell<Vec<Rect>>,
    ) -> Self {
        Self { painter, camera, screen, tokens, ink: tokens.ink, weight: size::SYMBOL_LINE, written }
    }

    /// Where words were written by now.
    #[must_use]
    pub fn written(&self) -> Vec<Rect> {
        self.written.borrow().clone()
    }

    /// No words are written in this place of the screen from now on.
    pub fn keep_free(&self, place: Rect) {
        self.written.borrow_mut().push(place);
    }

    /// Words of a size as they are painted.
    #[must_use]
    pub fn galley(&self, words: &str, points: f32, strong: bool) -> Arc<Galley> {
        let zoom = self.text_zoom();
        let font = if strong { text::drawn_name(points, zoom) } else { text::drawn(points, zoom) };
        self.painter.layout_no_wrap(words.to_owned(), font, self.ink)
    }

    /// Words that wrap at a width in canvas units.
    #[must_use]
    pub fn wrapped(&self, words: &str, points: f32, width: f32, ink: Color32) -> Arc<Galley> {
        let font = text::drawn(points, self.text_zoom());
        self.painter.layout(words.to_owned(), font, ink, width * self.camera.zoom.max(LEAST_TEXT))
    }

    /// The same pen with other ink.
    #[must_use]
    pub fn with(&self, ink: Color32, weight: f32) -> Self {
        Self { painter: self.painter, ink, weight, ..*self }
    }

    /// The same pen for symbols: thin ink.
    #[must_use]
    pub fn symbol(&self) -> Self {
        self.with(self.tokens.ink, size::SYMBOL_LINE)
    }

    /// The same pen for what is off.
    #[must_use]
    pub fn faint(&self) -> Self {
        self.with(self.tokens.faint, size::SYMBOL_LINE)
    }

    /// To the screen.
    #[must_use]
    pub fn at(&self, p: Pos2) -> Pos2 {
        self.camera.screen_from_canvas(self.screen, p)
    }

    /// Points of text for one canvas unit: close up, text grows less than the
    /// drawing, so that there is room for more of it.
    fn text_zoom(&self) -> f32 {
        let zoom = self.camera.zoom;
        if zoom <= 1.3 { zoom.max(LEAST_TEXT) } else { 1.3 + 0.3 * (zoom - 1.3) }
    }

    /// Whether it is so far out that there is no room for text.
    #[must_use]
    pub fn has_no_text(&self) -> bool {
        self.camera.zoom < NO_TEXT
    }

    fn stroke(&self) -> Stroke {
        // Thin lines stay visible far out and don't turn into bars close up.
        Stroke::new((self.weight * self.camera.zoom.powf(0.6)).max(0.7), self.ink)
    }

    /// A line through corners.
    pub fn line(&self, points: &[Pos2]) {
        let points: Vec<Pos2> = points.iter().map(|p| self.at(*p)).collect();
        self.painter.add(Shape::line(points, self.stroke()));
    }

    /// A dashed line through corners.
    pub fn dashed(&self, points: &[Pos2]) {
        let points: Vec<Pos2> = points.iter().map(|p| self.at(*p)).collect();
        self.painter.extend(Shape::dashed_line(&points, self.stroke(), 5.0, 4.0));
    }

    /// A filled dot: a contact.
    pub fn dot(&self, at: Pos2, radius: f32) {
        self.painter.circle_filled(self.at(at), radius * self.camera.zoom, self.ink);
    }

    /// An open circle: a jack.
    pub fn ring(&self, at: Pos2, radius: f32, fill: Color32) {
        self.painter.circle(self.at(at), radius * self.camera.zoom, fill, self.stroke());
    }

    /// A rectangle: a resistor, or a unit.
    pub fn rect(&self, rect: Rect, corner: f32, fill: Color32) {
        let rect = self.camera.screen_rect(self.screen, rect);
        self.painter.rect(rect, corner * self.camera.zoom, fill, self.stroke(), StrokeKind::Middle);
    }

    /// A triangle that points to the right: something that amplifies or buffers.
    pub fn triangle(&self, centre: Pos2, width: f32, height: f32, fill: Color32) {
        let (w, h) = (0.5 * width, 0.5 * height);
        let points = [vec2(-w, -h), vec2(w, 0.0), vec2(-w, h)];
        let points = points.map(|p| self.at(centre + p)).to_vec();
        self.painter.add(Shape::convex_polygon(points, fill, self.stroke()));
    }

    /// An arrow from a tail to a head.
    pub fn arrow(&self, tail: Pos2, head: Pos2) {
        self.line(&[tail, head]);
        let way = (head - tail).normalized();
        let side = vec2(-way.y, way.x);
        self.line(&[head - way * 7.0 + side * 3.5, head, head - way * 7.0 - side * 3.5]);
    }

    /// A coil of `turns` half-circles from `from` to the right (or down).
    pub fn coil(&self, from: Pos2, turns: usize, pitch: f32, down: bool) {
        let radius = 0.5 * pitch;
        for turn in 0..turns {
            let middle = (turn as f32 + 0.5) * pitch;
            let points: Vec<Pos2> = (0..=12)
                .map(|i| {
                    let angle = std::f32::consts::PI * (1.0 - i as f32 / 12.0);
                    let (along, out) = (middle + radius * angle.cos(), radius * angle.sin());
                    from + if down { vec2(out, along) } else { vec2(along, -out) }
                })
                .collect();
            self.line(&points);
        }
    }

    /// Signal 0 V below a point: a short stem and one bar with two shorter ones.
    pub fn zero_volts(&self, at: Pos2, stem: f32) {
        self.line(&[at, at + vec2(0.0, stem)]);
        for (i, half) in [7.0, 4.5, 2.0].into_iter().enumerate() {
            let y = stem + 3.0 * i as f32;
            self.line(&[at + vec2(-half, y), at + vec2(half, y)]);
        }
    }

    /// A sine of one period, `width` wide.
    pub fn sine(&self, centre: Pos2, width: f32, height: f32) {
        let points: Vec<Pos2> = (0..=24)
            .map(|i| {
                let t = i as f32 / 24.0;
                centre + vec2((t - 0.5) * width, -0.5 * height * (std::f32::consts::TAU * t).sin())
            })
            .collect();
        self.line(&points);
    }

    /// Text of a size in canvas units; nothing where it would be too small to read.
    pub fn text(&self, at: Pos2, anchor: Align2, words: &str, points: f32, strong: bool) {
        if self.camera.zoom < NO_TEXT || words.is_empty() {
            return;
        }
        let galley = self.galley(words, points, strong);
        let rect = anchor.anchor_size(self.at(at), galley.size());
        let mut written = self.written.borrow_mut();
        // A line up or down where other words stand; nothing where that doesn't help.
        let shifts = [0.0, 1.0, -1.0, 2.0, -2.0].map(|by| rect.translate(vec2(0.0, by * (rect.height() + 1.0))));
        let Some(rect) = shifts.into_iter().find(|rect| !written.iter().any(|other| overlap(*rect, *other))) else {
            return;
        };
        written.push(rect);
        self.painter.galley(rect.min, galley, self.ink);
    }

    /// Text on a patch of the sheet's colour, so that lines don't run through it.
    pub fn label(&self, at: Pos2, anchor: Align2, words: &str, points: f32, strong: bool) {
        if self.camera.zoom < NO_TEXT || words.is_empty() {
            return;
        }
        let width = self.text_width(words, points, strong);
        let height = self.galley(words, points, strong).size().y / self.camera.zoom;
        let rect = anchor.anchor_size(at, vec2(width + 8.0, height));
        let screen = self.camera.screen_rect(self.screen, rect);
        self.painter.rect_filled(screen, 0.0, self.tokens.sheet);
        self.text(rect.center(), Align2::CENTER_CENTER, words, points, strong);
    }

    /// Width of text in canvas units.
    #[must_use]
    pub fn text_width(&self, words: &str, points: f32, strong: bool) -> f32 {
        self.galley(words, points, strong).size().x / self.camera.zoom
    }
}
