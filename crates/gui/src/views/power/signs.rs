//! The signs of the Power screen one by one, for the legend: drawn by what draws the rails.

use egui::{Painter, Rect, pos2, vec2};
use rigwright_core::power::Load;

use super::brush::Brush;
use super::paint;
use super::returns::SharedReturn;
use super::trace::Stretch;
use crate::help::Sign;
use crate::theme::Tokens;

/// Draws a sign of the Power screen in a place; nothing of another screen's.
pub fn paint(painter: &Painter, place: Rect, tokens: &'static Tokens, sign: Sign) {
    let brush = Brush { painter, origin: place.min, zoom: 1.0, tokens, ink: tokens.ink, weight: 1.5 };
    let (width, middle) = (place.width(), 0.5 * place.height());
    let boxes = |top: f32| [0.3, 0.75].map(|part| Rect::from_center_size(pos2(part * width, top), vec2(26.0, 14.0)));
    let units = |top: f32| {
        boxes(top).into_iter().for_each(|rect| brush.with(tokens.border, 1.0).block(rect, 4.0, tokens.raised))
    };
    match sign {
        Sign::Rail => {
            let y = middle - 10.0;
            brush.with(tokens.ink, paint::RAIL).line(&[pos2(2.0, y), pos2(width - 2.0, y)]);
            for rect in boxes(middle + 10.0) {
                brush.line(&[pos2(rect.center().x, y), rect.center_top()]);
                brush.dot(pos2(rect.center().x, y), 3.2);
            }
            units(middle + 10.0);
        }
        Sign::LoadBar => {
            let load = Load { running: 0.3, start_up: 0.3, lasting: 0.3, limit: Some(0.5) };
            paint::level(&brush, Rect::from_center_size(pos2(0.5 * width, middle), vec2(width - 8.0, 8.0)), &load, 0.8);
        }
        Sign::SharedReturn => {
            units(middle - 6.0);
            let line = [pos2(6.0, middle + 8.0), pos2(width - 6.0, middle + 8.0)];
            let shared = SharedReturn {
                lines: vec![line],
                brackets: Vec::new(),
                at: line[0],
                words: String::new(),
                devices: Vec::new(),
                earthed: false,
            };
            paint::shared(&brush, &shared, false);
        }
        Sign::LoopWay => {
            let points =
                vec![pos2(6.0, middle - 8.0), pos2(width - 8.0, middle - 8.0), pos2(width - 8.0, middle + 8.0)];
            paint::trace(&brush, &[Stretch { points, signal: false }]);
        }
        _ => {}
    }
}
