//! Small pictures of terms, for those that are seen sooner than said.

use egui::{Color32, Painter, Pos2, Rect, Sense, Shape, Stroke, Ui, vec2};
use rigwright_core::terms::Term;

use crate::theme::Tokens;

/// Width and height, in points.
const SIZE: egui::Vec2 = vec2(200.0, 64.0);

/// What a picture is painted with.
struct Hand<'a> {
    painter: &'a Painter,
    frame: Rect,
    tokens: &'static Tokens,
}

/// The picture of a term, where there is one.
pub fn show(ui: &mut Ui, term: &Term) {
    let paint: fn(&Hand<'_>) = match term.name {
        "peak" => peak,
        "−3 dB point" => minus3,
        "jump" => jump,
        "all states" => all_states,
        "lead equivalent" => lead_equivalent,
        "high impedance" => high_impedance,
        "buffered" => buffered,
        "ground loop" => ground_loop,
        _ => return,
    };
    let (frame, _) = ui.allocate_exact_size(SIZE, Sense::hover());
    paint(&Hand { painter: ui.painter(), frame: frame.shrink(3.0), tokens: Tokens::of(ui) });
}

/// A pickup's curve: level, peak, fall. From 0 to 1, 0 at the top; its peak at `peak`, so much
/// `height` above the level before it.
fn resonance(x: f32, peak: f32, height: f32) -> f32 {
    let near = (-((x - peak) / 0.12).powi(2)).exp();
    let fall = ((x - peak - 0.02) / 0.2).max(0.0).powi(2);
    (0.45 - height * near + fall).min(1.0)
}

impl Hand<'_> {
    /// A place: 0, 0 is the upper left corner, 1, 1 the lower right one.
    fn at(&self, x: f32, y: f32) -> Pos2 {
        self.frame.lerp_inside(vec2(x, y))
    }

    fn line(&self, points: &[(f32, f32)], ink: Color32, weight: f32) {
        let points = points.iter().map(|(x, y)| self.at(*x, *y)).collect();
        self.painter.add(Shape::line(points, Stroke::new(weight, ink)));
    }

    fn dashed(&self, from: (f32, f32), to: (f32, f32)) {
        let ends = [self.at(from.0, from.1), self.at(to.0, to.1)];
        self.painter.extend(Shape::dashed_line(&ends, Stroke::new(1.0, self.tokens.quiet), 3.0, 3.0));
    }

    fn curve(&self, peak: f32, height: f32, ink: Color32) {
        let points: Vec<(f32, f32)> = (0..=60)
            .map(|at| at as f32 / 60.0)
            .map(|x| (x, resonance(x, peak, height)))
            .take_while(|(_, y)| *y < 1.0)
            .collect();
        self.line(&points, ink, 1.8);
    }

    fn dot(&self, x: f32, y: f32) {
        self.painter.circle_filled(self.at(x, y), 3.5, self.tokens.copper);
    }
}

fn peak(hand: &Hand<'_>) {
    hand.curve(0.6, 0.4, hand.tokens.ink);
    hand.dot(0.6, resonance(0.6, 0.6, 0.4));
}

/// The level at the left, and where the curve has come so far below it.
fn minus3(hand: &Hand<'_>) {
    hand.curve(0.5, 0.25, hand.tokens.ink);
    let crossing = (0..1000).map(|at| at as f32 / 1000.0).find(|x| *x > 0.5 && resonance(*x, 0.5, 0.25) > 0.65);
    let crossing = crossing.unwrap_or(1.0);
    hand.dashed((0.0, 0.45), (1.0, 0.45));
    hand.dashed((crossing, 0.45), (crossing, 0.65));
    hand.dot(crossing, 0.65);
}

/// Before the step and after it.
fn jump(hand: &Hand<'_>) {
    hand.curve(0.45, 0.3, hand.tokens.quiet);
    hand.curve(0.65, 0.4, hand.tokens.ink);
    hand.line(&[(0.66, 0.75), (0.66, 0.12)], hand.tokens.copper, 1.6);
    hand.line(&[(0.64, 0.26), (0.66, 0.12), (0.68, 0.26)], hand.tokens.copper, 1.6);
}

/// Two edges, and what lies between.
fn all_states(hand: &Hand<'_>) {
    /// How far the lower edge lies below the upper one to begin with.
    const BELOW: f32 = 0.3;
    for at in 0..24 {
        let x = at as f32 / 30.0;
        let (top, bottom) = (resonance(x, 0.65, 0.4), resonance(x, 0.45, 0.1) + BELOW);
        if bottom < 1.0 {
            hand.line(&[(x, bottom), (x + 0.02, top)], hand.tokens.faint, 1.0);
        }
    }
    hand.curve(0.65, 0.4, hand.tokens.copper);
    let low: Vec<(f32, f32)> =
        (0..=60).map(|at| at as f32 / 60.0).map(|x| (x, resonance(x, 0.45, 0.1) + BELOW)).collect();
    let low: Vec<(f32, f32)> = low.into_iter().take_while(|(_, y)| *y < 1.0).collect();
    hand.line(&low, hand.tokens.copper, 1.8);
}

/// A lead with its length.
fn lead_equivalent(hand: &Hand<'_>) {
    let ink = hand.tokens.copper;
    hand.line(&[(0.1, 0.4), (0.9, 0.4)], ink, 2.6);
    for x in [0.1, 0.9] {
        hand.painter.circle(hand.at(x, 0.4), 3.6, hand.tokens.sheet, Stroke::new(1.3, ink));
    }
    hand.line(&[(0.1, 0.75), (0.9, 0.75)], hand.tokens.quiet, 1.0);
    for (x, inward) in [(0.1, 0.03), (0.9, -0.03)] {
        hand.line(&[(x + inward, 0.65), (x, 0.75), (x + inward, 0.85)], hand.tokens.quiet, 1.0);
    }
}

/// A thick line with capacitance hanging on it.
fn high_impedance(hand: &Hand<'_>) {
    hand.line(&[(0.02, 0.2), (0.98, 0.2)], hand.tokens.copper, 2.6);
    for x in [0.25, 0.5, 0.75] {
        let ink = hand.tokens.ink;
        hand.line(&[(x, 0.2), (x, 0.5)], ink, 1.4);
        for y in [0.5, 0.62] {
            hand.line(&[(x - 0.05, y), (x + 0.05, y)], ink, 1.4);
        }
        hand.line(&[(x, 0.62), (x, 0.86)], ink, 1.4);
        hand.line(&[(x - 0.03, 0.86), (x + 0.03, 0.86)], ink, 1.4);
    }
}

/// A thick line into a triangle, and a thin one out of it.
fn buffered(hand: &Hand<'_>) {
    hand.line(&[(0.02, 0.5), (0.4, 0.5)], hand.tokens.copper, 2.6);
    hand.line(&[(0.4, 0.1), (0.4, 0.9), (0.6, 0.5), (0.4, 0.1)], hand.tokens.ink, 1.4);
    hand.line(&[(0.6, 0.5), (0.98, 0.5)], hand.tokens.teal, 1.5);
}

/// Two boxes, joined above by a screen and below by the earth.
fn ground_loop(hand: &Hand<'_>) {
    let ring: Vec<(f32, f32)> = vec![(0.2, 0.35), (0.8, 0.35), (0.8, 0.88), (0.2, 0.88), (0.2, 0.35)];
    hand.line(&ring, hand.tokens.alarm, 1.8);
    for x in [0.2, 0.8] {
        let around = Rect::from_center_size(hand.at(x, 0.35), vec2(34.0, 24.0));
        hand.painter.rect(around, 3.0, hand.tokens.raised, Stroke::new(1.4, hand.tokens.ink), egui::StrokeKind::Inside);
    }
}
