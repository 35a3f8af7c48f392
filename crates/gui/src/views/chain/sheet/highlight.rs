//! The units of a state that is pointed at, highlighted on the drawing: a ring of dots and
//! a word, over everything as it stands.

use egui::{Align2, Color32, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2, vec2};
use rigwright_core::rig::{Device, Position, State, SwitchKey, SwitchRef};

use super::drawing::DeviceShape;
use super::pen::Pen;
use super::symbols;
use crate::views::StateHighlight;

/// From the edge of a unit's box to the ring around it.
const ROOM: f32 = 6.0;
/// Width of the ring around the switch of a loop.
const LOOP: f32 = 14.0;
/// Height of the word.
const TEXT: f32 = 11.0;

/// Lights a device as far as a state is about it; `state` is how it stands.
pub fn paint(pen: &Pen<'_>, shape: &DeviceShape, device: &Device, highlight: &StateHighlight, state: &State) {
    if !device.has_switch() {
        let main = device.main_switch().filter(|switch| highlight.subject == Some(switch.id));
        let at = main.and_then(|_| symbols::switch_place(device, shape));
        return at.into_iter().for_each(|at| this_switch(pen, at));
    }
    let Some(switch) = device.on_off() else { return };
    let subject = highlight.subject == Some(switch.id);
    let listed = highlight.set.iter().find(|setting| setting.switch == switch.id);
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

/// Lights a switcher's loops as far as a state is about them; `circle` is where the
/// switch of a loop is drawn, `state` is how the rig stands and `then` how it would.
pub fn loops(
    pen: &Pen<'_>,
    device: &Device,
    highlight: &StateHighlight,
    state: &State,
    then: &State,
    circle: impl Fn(u8) -> Option<Pos2>,
) {
    for number in 1..=device.kind.loops() {
        let Some(at) = circle(number) else { continue };
        let is_in = device.is_loop_in(number, then);
        if is_in {
            ring(pen, around_loop(at));
        }
        if highlight.subject == Some(SwitchRef { device: device.id, key: SwitchKey::Loop(number) }) {
            this_switch(pen, at);
            continue;
        }
        let word = match (is_in, device.is_loop_in(number, state)) {
            (true, _) => "in",
            (false, true) => "out",
            (false, false) => continue,
        };
        beside_switch(pen, at, word, pen.tokens.teal);
    }
}

fn around_loop(at: Pos2) -> Rect {
    Rect::from_center_size(at, Vec2::splat(LOOP))
}

/// Around a switch that an answer is about.
fn this_switch(pen: &Pen<'_>, at: Pos2) {
    let rect = pen.camera.screen_rect(pen.screen, around_loop(at).expand(1.0));
    pen.painter.rect_stroke(rect, 4.0, Stroke::new(2.0, pen.tokens.copper), StrokeKind::Middle);
    beside_switch(pen, at, "this switch", pen.tokens.copper);
}

fn beside_switch(pen: &Pen<'_>, at: Pos2, word: &str, ink: Color32) {
    let above = pos2(at.x, around_loop(at).top() - 9.0);
    pen.with(ink, 1.0).label(above, Align2::CENTER_CENTER, word, TEXT, true);
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

/// What is highlighted, and how to put it out, in a corner of the sheet.
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
    let cut = (0.25 * rect.height()).min(7.0);
    let (x, y) = (vec2(cut, 0.0), vec2(0.0, cut));
    let (a, b, c, d) = (rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom());
    let corners = [a + x, b - x, b + y, c - y, c - x, d + x, d - y, a + y, a + x];
    let points: Vec<Pos2> = corners.iter().map(|corner| pen.at(*corner)).collect();
    let zoom = pen.camera.zoom.clamp(0.5, 2.0);
    pen.painter.extend(Shape::dotted_line(&points, pen.tokens.teal, 5.0 * zoom, 1.5 * zoom));
}
