//! What stands under the pointer: the levels of all curves at its frequency, exactly.

use egui::{Painter, Pos2, Rect, Stroke, pos2, vec2};
use egui_plot::PlotTransform;
use rigwright_core::response::PointAnswer;
use rigwright_core::units::{Level, hertz};

use super::curves::{Shown, VerticalAxis};
use crate::theme::{Tokens, text};

/// What is to be read.
pub struct Readout<'a> {
    /// Levels or differences.
    pub axis: VerticalAxis<'a>,
    /// The curves.
    pub shown: &'a [Shown<'a>],
    /// What a change would give that is pointed at.
    pub ghost: Option<(&'a str, &'a PointAnswer)>,
    /// What makes the edge under the pointer, if it is at one.
    pub edge: Option<String>,
}

impl Readout<'_> {
    /// A line at the pointer, a dot on each curve, and a card with the levels.
    pub fn paint(&self, painter: &Painter, transform: &PlotTransform, pointer: Pos2, tokens: &Tokens) {
        let Self { axis, shown, ghost, edge } = self;
        let frame = *transform.frame();
        if !frame.contains(pointer) || shown.is_empty() {
            return;
        }
        let hz = 10.0_f64.powf(transform.value_from_position(pointer).x);
        painter.vline(pointer.x, frame.y_range(), Stroke::new(1.0, tokens.quiet));
        let first = match axis {
            VerticalAxis::Level => hertz(hz),
            VerticalAxis::Difference { name, .. } => format!("{}, from {name}", hertz(hz)),
        };
        let mut lines = vec![(first, tokens.ink)];
        let curves = shown.iter().map(|curve| (curve.name, curve.answer, curve.ink));
        for (name, answer, ink) in curves.chain(ghost.iter().map(|(words, answer)| (*words, *answer, tokens.ink))) {
            let value = axis.at(answer, hz);
            if let Some(db) = value {
                painter.circle_filled(pos2(pointer.x, transform.position_from_point_y(db)), 3.2, ink);
            }
            let value = value.map_or(Level::Silent, Level::Decibels);
            lines.push((format!("{value}  {name}"), ink));
        }
        lines.extend(edge.iter().map(|words| (words.clone(), tokens.quiet)));
        let galleys: Vec<_> =
            lines.into_iter().map(|(words, ink)| (painter.layout_no_wrap(words, text::small(), ink), ink)).collect();
        let width = galleys.iter().map(|(galley, _)| galley.size().x).fold(0.0, f32::max) + 16.0;
        let height = galleys.iter().map(|(galley, _)| galley.size().y + 3.0).sum::<f32>() + 11.0;
        let left = if pointer.x + 14.0 + width < frame.right() { pointer.x + 14.0 } else { pointer.x - 14.0 - width };
        let top =
            (pointer.y - 0.5 * height).clamp(frame.top() + 4.0, (frame.bottom() - height - 4.0).max(frame.top() + 4.0));
        let card = Rect::from_min_size(pos2(left, top), vec2(width, height));
        painter.rect(card, 5.0, tokens.panel, Stroke::new(1.0, tokens.border), egui::StrokeKind::Inside);
        let mut at = card.min + vec2(8.0, 6.0);
        for (galley, ink) in galleys {
            let step = galley.size().y + 3.0;
            painter.galley(at, galley, ink);
            at.y += step;
        }
    }
}
