//! The signs of the level plot one by one, for the legend.

use egui::{Align2, Painter, Pos2, Rect, Stroke, pos2};

use super::hatch::Slice;
use super::picture::ghost_line;
use super::style::{hatch_ink, style};
use crate::help::Sign;
use crate::theme::{Tokens, size, text};

/// Draws a sign of the plot in a place; nothing of another screen's.
pub fn paint(painter: &Painter, place: Rect, tokens: &Tokens, sign: Sign) {
    let (ink, look) = (tokens.accent(0), style(0));
    let mut shapes = Vec::new();
    match sign {
        Sign::Curve => look.line(&curve(place, 0.5), Stroke::new(size::CURVE, ink), &mut shapes),
        Sign::Ghost => ghost_line(&curve(place, 0.5), tokens.ink, &mut shapes),
        Sign::Band => {
            let edges = curve(place, 0.3).into_iter().zip(curve(place, 0.7));
            let band: Vec<Slice> =
                edges.map(|(top, bottom)| Slice { x: top.x, top: top.y, bottom: bottom.y }).collect();
            look.fill(&band, place.min, hatch_ink(ink), &mut shapes);
            for edge in [curve(place, 0.3), curve(place, 0.7)] {
                look.line(&edge, Stroke::new(1.0, ink), &mut shapes);
            }
        }
        Sign::Notes => {
            painter.text(place.center(), Align2::CENTER_CENTER, "E2   A2   D3", text::small(), tokens.quiet);
        }
        _ => {}
    }
    painter.extend(shapes);
}

/// A curve with a peak, that begins so far down its place.
fn curve(place: Rect, begins: f32) -> Vec<Pos2> {
    let at = |step: u8| {
        let x = f32::from(step) / 30.0;
        let peak = (-((x - 0.65) / 0.12).powi(2)).exp();
        let y = begins - 0.22 * peak + 2.0 * (x - 0.75).max(0.0).powi(2);
        pos2(place.left() + x * place.width(), place.top() + y * place.height())
    };
    (0..=30).map(at).collect()
}
