//! Notes on the sheet: words on a leaf of their own, and an arrow to what they are about.

use std::collections::BTreeSet;

use egui::{Color32, CursorIcon, Id, PointerButton, Pos2, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, pos2, vec2};
use rigwright_core::rig::{CanvasPoint, Note, NoteId, Variant};

use super::canvas::widget_id;
use super::drag::{Drag, on_canvas};
use super::look::moves_the_sheet;
use super::pen::Pen;
use super::typing::{Said, Typing};
use super::{Sheet, keep_arrows, named};
use crate::state::{Selected, noting};
use crate::views::Intent;

/// As wide as a note's words run before they wrap, in canvas units, and their size.
const WIDTH: f32 = 190.0;
const POINTS: f32 = 12.0;
/// Around the words, in canvas units.
const AROUND: Vec2 = vec2(8.0, 6.0);

/// Where a place of the project stands on the canvas.
#[must_use]
pub fn pos(at: CanvasPoint) -> Pos2 {
    pos2(at.x as f32, at.y as f32)
}

/// About how large a note is, without looking at its letters.
#[must_use]
pub fn about(note: &Note) -> Rect {
    let wide = |line: &str| 6.6 * line.chars().count() as f32;
    let (mut lines, mut width) = (0.0, 20.0_f32);
    for line in note.text.split('\n') {
        lines += (wide(line) / WIDTH).ceil().max(1.0);
        width = width.max(wide(line).min(WIDTH));
    }
    Rect::from_min_size(pos(note.at), vec2(width, lines * 16.0) + 2.0 * AROUND)
}

/// All that a variant's notes take, arrows and all.
#[must_use]
pub fn bounds(variant: &Variant) -> Rect {
    let all = variant.notes.iter().map(|note| {
        let arrow = note.arrow.map_or(Rect::NOTHING, |at| Rect::from_pos(pos(at)));
        about(note).union(arrow)
    });
    all.fold(Rect::NOTHING, Rect::union)
}

/// Some notes of a variant with their arrows, farther by canvas units.
#[must_use]
pub fn moved(variant: &Variant, notes: &BTreeSet<NoteId>, by: Vec2) -> Vec<Note> {
    let some = variant.notes.iter().filter(|note| notes.contains(&note.id));
    some.map(|note| noting::moved(note, f64::from(by.x), f64::from(by.y))).collect()
}

/// Where each note lies on the screen.
#[must_use]
pub fn places(pen: &Pen<'_>, variant: &Variant) -> Vec<(NoteId, Rect)> {
    let place = |note: &Note| {
        let size = pen.wrapped(&note.text, POINTS, WIDTH, pen.tokens.ink).size() + 2.0 * AROUND * pen.camera.zoom;
        (note.id, Rect::from_min_size(pen.at(pos(note.at)), size))
    };
    variant.notes.iter().map(place).collect()
}

/// A note: its leaf, its words and its arrow.
fn paint(pen: &Pen<'_>, note: &Note, rect: Rect, ink: Color32) {
    if let Some(to) = note.arrow {
        arrow(pen, rect, pen.at(pos(to)), ink);
    }
    pen.painter.rect(rect, 3.0, pen.tokens.raised, Stroke::new(1.0, ink), StrokeKind::Inside);
    let words = pen.wrapped(&note.text, POINTS, WIDTH, pen.tokens.ink);
    pen.painter.galley(rect.min + AROUND * pen.camera.zoom, words, pen.tokens.ink);
}

/// A line from the nearest edge of a leaf to a point, with its head.
fn arrow(pen: &Pen<'_>, leaf: Rect, to: Pos2, ink: Color32) {
    let from = leaf.clamp(to);
    let way = to - from;
    if way.length() < 1.0 {
        return;
    }
    let stroke = Stroke::new(1.4, ink);
    let back = way.normalized() * (9.0 * pen.camera.zoom.max(0.5));
    let side = 0.45 * vec2(-back.y, back.x);
    pen.painter.line_segment([from, to], stroke);
    pen.painter.line_segment([to, to - back + side], stroke);
    pen.painter.line_segment([to, to - back - side], stroke);
}

impl Sheet<'_, '_> {
    /// All notes, under the pointer.
    pub fn notes(&mut self, ui: &Ui, places: &[(NoteId, Rect)]) {
        let variant = self.facts.variant;
        for (note, (_, rect)) in variant.notes.iter().zip(places) {
            self.note(ui, note, *rect);
        }
    }

    fn note(&mut self, ui: &Ui, note: &Note, rect: Rect) {
        let pen = self.pen;
        let item = Selected::Note(note.id);
        let selected = self.facts.selection.contains(item);
        let (mut note, mut rect) = (note.clone(), rect);
        let pointer = ui.ctx().pointer_hover_pos().map(|at| pen.camera.canvas_from_screen(pen.screen, at));
        match (&self.canvas.drag, pointer) {
            (Some(Drag::Held { from, notes, .. }), Some(at)) if notes.contains(&note.id) => {
                let by = at - *from;
                note = noting::moved(&note, f64::from(by.x), f64::from(by.y));
                rect = rect.translate(by * pen.camera.zoom);
            }
            (Some(Drag::Arrow { note: id }), Some(at)) if *id == note.id => note.arrow = Some(on_canvas(at)),
            _ => {}
        }
        if self.canvas.is_picture {
            paint(pen, &note, rect, pen.tokens.quiet);
            return;
        }
        let id = widget_id(self.facts.variant.id, item);
        let hit = ui.interact(rect, id, Sense::click_and_drag());
        named(&hit, Role::Button, || format!("Note: {}", note.text));
        let ink = match (hit.has_focus() || hit.hovered(), selected) {
            (true, _) => pen.tokens.teal,
            (false, true) => pen.tokens.copper,
            (false, false) => pen.tokens.quiet,
        };
        paint(pen, &note, rect, ink);
        if hit.has_focus() {
            self.canvas.focused = Some(item);
            keep_arrows(ui, id);
        }
        if hit.drag_started_by(PointerButton::Primary) && !moves_the_sheet(ui) {
            let down = ui.input(|input| input.pointer.press_origin()).unwrap_or(rect.min);
            let from = pen.camera.canvas_from_screen(pen.screen, down);
            let drag = self.several_held(item, from).unwrap_or_else(|| {
                self.out.push(Intent::Select(Some(item)));
                Drag::Held { from, devices: Vec::new(), notes: [note.id].into() }
            });
            self.canvas.start_drag(drag, pen.camera);
        }
        if hit.double_clicked() {
            self.canvas.typing = Some(Typing::of(Said::Note(note.id), &note.text));
        } else if hit.clicked() {
            self.pick(ui, item);
        } else if hit.gained_focus() && !selected {
            self.out.push(Intent::Select(Some(item)));
        }
        self.note_menu(&hit, &note);
        self.arrow_handle(ui, &note, selected, id);
    }

    /// What the arrow is pulled by.
    fn arrow_handle(&mut self, ui: &Ui, note: &Note, selected: bool, id: Id) {
        let Some(to) = note.arrow else { return };
        let pen = self.pen;
        let at = pen.at(pos(to));
        // The panel has it for the keyboard.
        let hit = ui.interact(Rect::from_center_size(at, Vec2::splat(18.0)), id.with("arrow"), Sense::DRAG);
        named(&hit, Role::Button, || format!("Arrow of the note: {}", note.text));
        if hit.hovered() || selected {
            pen.painter.circle_stroke(at, 5.0, Stroke::new(1.2, pen.tokens.teal));
        }
        if hit.drag_started_by(PointerButton::Primary) && !moves_the_sheet(ui) {
            self.canvas.start_drag(Drag::Arrow { note: note.id }, pen.camera);
            self.out.push(Intent::Select(Some(Selected::Note(note.id))));
        }
        hit.on_hover_cursor(CursorIcon::Grab);
    }
}
