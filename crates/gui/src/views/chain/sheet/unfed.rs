//! The mark of a unit that gets no power: a supply's plug that is out.

use egui::{Pos2, Stroke, vec2};

use super::drawing::DeviceShape;
use super::pen::Pen;

/// What stands below the name of such a unit.
pub const NO_FEED: &str = "no feed";

/// A barrel plug, struck through, above the unit on the right.
pub fn mark(pen: &Pen<'_>, shape: &DeviceShape) {
    plug(pen, pen.at(shape.at + vec2(shape.reach - 4.0, -25.0)));
}

/// The same at a place of the screen.
pub fn plug(pen: &Pen<'_>, at: Pos2) {
    let zoom = pen.camera.zoom;
    let alarm = pen.with(pen.tokens.alarm, 1.3);
    let radius = (6.0 * zoom).max(4.0);
    let stroke = Stroke::new((1.4 * zoom.powf(0.6)).max(1.0), alarm.ink);
    pen.painter.circle(at, radius, pen.tokens.sheet, stroke);
    pen.painter.circle_filled(at, 0.3 * radius, alarm.ink);
    let arm = vec2(1.0, -1.0) * 1.25 * radius;
    pen.painter.line_segment([at - arm, at + arm], stroke);
}
