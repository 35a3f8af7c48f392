//! The units of a state that is pointed at, lit on the drawing: a ring of dots and
//! a word, over everything as it stands.

use egui::{Align2, Pos2, Rect, Shape, Stroke, StrokeKind, pos2, vec2};
use rigwright_core::rig::{Device, Position, State};

use super::drawing::DeviceShape;
use super::pen::Pen;
use super::symbols;
use crate::views::Lit;

/// From the edge of a unit's box to the ring around it.
const ROOM: f32 = 6.0;
/// Height of the word.
const TEXT: f32 = 11.0;

/// Lights a device as far as a state is about it; `state` is how it stands.
pub fn paint(pen: &Pen<'_>, shape: &DeviceShape, device: &Device, lit: &Lit, state: &State) {
    if !device.has_switch() {
        return;
    }
    let subject = lit.subject == Some(device.id);
    let Some(switch) = device.on_off() else { return };
    let listed = lit.set.iter().find(|setting| setting.switch == switch.id);
    let on = listed.map_or(switch.default, |setting| setting.to) == Position::ON;
    let around = symbols::unit_box(shape.at).expand(ROOM);
    if subject {
        let rect = pen.camera.screen_rect(pen.screen, around.expand(3.0));
        let stroke = Stroke::new(2.0, pen.tokens.copper);
        pen.painter.rect_stroke(rect, 5.0, stroke, StrokeKind::Middle);
    }
    if on {
        ring(pen, around);
    }
    let word = match (subject, on, device.is_on(state)) {
        (true, _, _) => "this switch",
        (false, true, _) => "on",
        (false, false, true) => "off",
        (false, false, false) => return,
    };
    let ink = if subject { pen.tokens.copper } else { pen.tokens.teal };
    let at = pos2(around.right() + 4.0, around.top() + 2.0);
    pen.with(ink, 1.0).label(at, Align2::LEFT_CENTER, word, TEXT, true);
}

/// A ring around a device that a ground loop goes by.
pub fn on_loop(pen: &Pen<'_>, shape: &DeviceShape) {
    let rect = pen.camera.screen_rect(pen.screen, shape.rect);
    pen.painter.rect_stroke(rect, 5.0, Stroke::new(2.2, pen.tokens.copper), StrokeKind::Middle);
}

/// A lead whose screen a ground loop goes by: a broken line along it.
pub fn lead_on_loop(pen: &Pen<'_>, points: &[Pos2]) {
    pen.with(pen.tokens.copper.gamma_multiply(0.35), 10.0).line(points);
    pen.with(pen.tokens.copper, 2.4).dashed(points);
}

/// What is lit, and how to put it out, in a corner of the sheet.
pub fn loop_words(pen: &Pen<'_>, words: &str) {
    let at = pen.screen.left_bottom() + vec2(14.0, -12.0);
    let room = pen.screen.width() - 28.0;
    let galley = pen.painter.layout(words.to_owned(), crate::theme::text::small(), pen.tokens.copper, room);
    let rect = Align2::LEFT_BOTTOM.anchor_size(at, galley.size());
    pen.painter.rect_filled(rect.expand(4.0), 3.0, pen.tokens.sheet);
    pen.painter.galley(rect.min, galley, pen.tokens.copper);
}

/// Dots along a rectangle with its corners cut.
fn ring(pen: &Pen<'_>, rect: Rect) {
    let cut = 7.0;
    let (x, y) = (vec2(cut, 0.0), vec2(0.0, cut));
    let (a, b, c, d) = (rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom());
    let corners = [a + x, b - x, b + y, c - y, c - x, d + x, d - y, a + y, a + x];
    let points: Vec<Pos2> = corners.iter().map(|corner| pen.at(*corner)).collect();
    let zoom = pen.camera.zoom.clamp(0.5, 2.0);
    pen.painter.extend(Shape::dotted_line(&points, pen.tokens.teal, 5.0 * zoom, 1.5 * zoom));
}
