//! Painting canvas units at a zoom: lines, words, and the marks of the trade.
//!
//! Shapes after IEC 60617 (converter: a square with a diagonal) and IEC 60417
//! (5031 DC, 5032 AC, 5926 polarity, 5019 protective earth, 5172 class II).

use egui::{Align2, Color32, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, pos2, vec2};
use rigwright_core::rig::Form;

use crate::theme::{Tokens, text};

/// Paints canvas coordinates; ink is set once and used by all.
#[derive(Clone, Copy)]
pub struct Brush<'a> {
    /// Where to paint.
    pub painter: &'a Painter,
    /// Where the canvas begins on the screen.
    pub origin: Pos2,
    /// Points on the screen for one canvas unit.
    pub zoom: f32,
    /// The theme's colours.
    pub tokens: &'static Tokens,
    /// The colour of lines and words.
    pub ink: Color32,
    /// The width of lines at zoom 1.
    pub weight: f32,
}

impl<'a> Brush<'a> {
    /// The same with other ink.
    #[must_use]
    pub fn with(&self, ink: Color32, weight: f32) -> Brush<'a> {
        Brush { ink, weight, ..*self }
    }

    /// To the screen.
    #[must_use]
    pub fn at(&self, p: Pos2) -> Pos2 {
        self.origin + p.to_vec2() * self.zoom
    }

    /// A rectangle to the screen.
    #[must_use]
    pub fn rect_at(&self, rect: Rect) -> Rect {
        Rect::from_min_max(self.at(rect.min), self.at(rect.max))
    }

    fn stroke(&self) -> Stroke {
        Stroke::new((self.weight * self.zoom.sqrt()).max(0.7), self.ink)
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

    /// A filled dot: a joint.
    pub fn dot(&self, at: Pos2, radius: f32) {
        self.painter.circle_filled(self.at(at), radius * self.zoom, self.ink);
    }

    /// A ring.
    pub fn ring(&self, at: Pos2, radius: f32) {
        self.painter.circle_stroke(self.at(at), radius * self.zoom, self.stroke());
    }

    /// A box.
    pub fn block(&self, rect: Rect, corner: f32, fill: Color32) {
        self.painter.rect(self.rect_at(rect), corner * self.zoom, fill, self.stroke(), StrokeKind::Middle);
    }

    /// Words; their rectangle in canvas units.
    pub fn words(&self, at: Pos2, anchor: Align2, words: &str, points: f32, strong: bool) -> Rect {
        let font = if strong { text::drawn_name(points, self.zoom) } else { text::drawn(points, self.zoom) };
        let screen = self.painter.text(self.at(at), anchor, words, font, self.ink);
        let canvas = |p: Pos2| pos2((p.x - self.origin.x) / self.zoom, (p.y - self.origin.y) / self.zoom);
        Rect::from_min_max(canvas(screen.min), canvas(screen.max))
    }

    /// How wide words are, in canvas units.
    #[must_use]
    pub fn width(&self, words: &str, points: f32, strong: bool) -> f32 {
        let font = if strong { text::drawn_name(points, self.zoom) } else { text::drawn(points, self.zoom) };
        self.painter.layout_no_wrap(words.to_owned(), font, self.ink).size().x / self.zoom
    }

    /// Words cut to a width.
    #[must_use]
    pub fn cut(&self, words: &str, points: f32, strong: bool, room: f32) -> String {
        if self.width(words, points, strong) <= room {
            return words.to_owned();
        }
        let mut short = words.to_owned();
        while short.pop().is_some() && self.width(&format!("{short}…"), points, strong) > room {}
        format!("{}…", short.trim_end())
    }

    /// Words in two lines where one is too short for them; the second is cut to the width.
    #[must_use]
    pub fn two_lines(&self, words: &str, points: f32, strong: bool, room: f32) -> Vec<String> {
        if self.width(words, points, strong) <= room {
            return vec![words.to_owned()];
        }
        let breaks = words.match_indices(' ').map(|(at, _)| at).rev();
        let mut fitting = breaks.filter(|at| self.width(&words[..*at], points, strong) <= room);
        match fitting.next() {
            Some(at) => vec![words[..at].to_owned(), self.cut(&words[at + 1..], points, strong, room)],
            None => vec![self.cut(words, points, strong, room)],
        }
    }

    /// How power comes, as a mark `width` wide from a left end: 5031 or 5032, and 5926 beside DC.
    /// Gives back the right end.
    pub fn form(&self, left: Pos2, form: Form) -> f32 {
        let centre = left + vec2(7.0, 0.0);
        match form {
            Form::Alternating => {
                self.alternating(centre, 14.0);
                left.x + 14.0
            }
            _ => {
                self.direct(centre, 14.0);
                self.polarity(left + vec2(20.0, 0.0), form == Form::CentreNegative);
                left.x + 56.0
            }
        }
    }

    /// IEC 60417-5031: a whole line over a broken one.
    pub fn direct(&self, centre: Pos2, width: f32) {
        let half = 0.5 * width;
        let y = 0.15 * width;
        self.line(&[centre + vec2(-half, -y), centre + vec2(half, -y)]);
        let dash = width / 5.0;
        for start in [-half, -0.5 * dash, half - dash] {
            self.line(&[centre + vec2(start, y), centre + vec2(start + dash, y)]);
        }
    }

    /// IEC 60417-5032: one wave.
    pub fn alternating(&self, centre: Pos2, width: f32) {
        let wave = |i: i16| {
            let t = f32::from(i) / 16.0;
            centre + vec2((t - 0.5) * width, -0.22 * width * (std::f32::consts::TAU * t).sin())
        };
        let points: Vec<Pos2> = (0..=16).map(wave).collect();
        self.line(&points);
    }

    /// IEC 60417-5926: the sleeve as an open ring around the centre pin, and which of the two is which.
    pub fn polarity(&self, left: Pos2, centre_negative: bool) {
        let (radius, small) = (5.0, 3.6);
        let middle = left + vec2(18.0, 0.0);
        // The ring is open to the right, where the centre pin's lead goes out.
        let arc = |i: i16| {
            let turn = std::f32::consts::TAU * (0.11 + 0.78 * f32::from(i) / 20.0);
            middle + vec2(radius * turn.cos(), radius * turn.sin())
        };
        let points: Vec<Pos2> = (0..=20).map(arc).collect();
        self.line(&points);
        self.dot(middle, 1.5);
        let (sleeve, pin) = (left + vec2(small, 0.0), left + vec2(36.0 - small, 0.0));
        self.line(&[sleeve + vec2(small, 0.0), middle - vec2(radius, 0.0)]);
        self.line(&[middle, pin - vec2(small, 0.0)]);
        for (at, plus) in [(sleeve, centre_negative), (pin, !centre_negative)] {
            self.ring(at, small);
            let arm = 0.55 * small;
            self.line(&[at - vec2(arm, 0.0), at + vec2(arm, 0.0)]);
            if plus {
                self.line(&[at - vec2(0.0, arm), at + vec2(0.0, arm)]);
            }
        }
    }

    /// IEC 60417-5019: an earth in a ring.
    pub fn protective_earth(&self, centre: Pos2) {
        self.ring(centre, 7.0);
        self.line(&[centre - vec2(0.0, 4.6), centre]);
        for (i, half) in [4.0, 2.6, 1.2].into_iter().enumerate() {
            let y = 1.7 * i as f32;
            self.line(&[centre + vec2(-half, y), centre + vec2(half, y)]);
        }
    }

    /// IEC 60417-5172: a square in a square.
    pub fn class_two(&self, centre: Pos2) {
        for side in [12.0, 6.5] {
            let rect = Rect::from_center_size(centre, egui::Vec2::splat(side));
            self.block(rect, 0.0, Color32::TRANSPARENT);
        }
    }

    /// IEC 60617: a converter, from what stands on the upper left to what stands on the lower right.
    pub fn converter(&self, rect: Rect, from_alternating: bool, to: Form, fill: Color32) {
        self.block(rect, 2.0, fill);
        self.line(&[rect.left_bottom(), rect.right_top()]);
        let side = rect.width();
        let (upper, lower) = (rect.min + vec2(0.28, 0.3) * side, rect.min + vec2(0.7, 0.74) * side);
        let width = 0.3 * side;
        if from_alternating {
            self.alternating(upper, width)
        } else {
            self.direct(upper, width)
        }
        if to == Form::Alternating { self.alternating(lower, width) } else { self.direct(lower, width) }
    }

    /// IEC 60617: a battery, long plates and short ones.
    pub fn battery(&self, rect: Rect) {
        let middle = rect.center();
        for (i, x) in [-9.0, -3.0, 3.0, 9.0].into_iter().enumerate() {
            let half = if i % 2 == 0 { 14.0 } else { 7.0 };
            self.line(&[middle + vec2(x, -half), middle + vec2(x, half)]);
        }
        self.line(&[rect.left_center(), middle - vec2(9.0, 0.0)]);
        self.line(&[middle + vec2(9.0, 0.0), rect.right_center()]);
    }

    /// A bracket that opens to the right: what it spans is one thing.
    pub fn bracket(&self, x: f32, top: f32, bottom: f32) {
        self.line(&[pos2(x + 4.0, top), pos2(x, top), pos2(x, bottom), pos2(x + 4.0, bottom)]);
    }
}
