//! How the sheet is looked at: moved by the pointer, the wheel and two fingers, zoomed, and
//! the rubber band that selects.

use std::collections::BTreeSet;

use egui::{
    CursorIcon, Event, Key, MouseWheelUnit, PointerButton, Pos2, Rect, Response, Stroke, StrokeKind, Ui, Vec2, vec2,
};

use super::Sheet;
use super::arrange::LEAST_FIT;
use super::camera::Camera;
use super::canvas::Canvas;
use super::drag::along_at_edge;
use crate::state::{Habits, Selected, Selection};
use crate::views::Intent;

/// Whether the sheet itself is in the hand: by the middle button, or with Space held down.
#[must_use]
pub fn moves_the_sheet(ui: &Ui) -> bool {
    ui.input(|input| {
        let by_space = input.key_down(Key::Space) && input.pointer.primary_down();
        input.pointer.button_down(PointerButton::Middle) || by_space
    })
}

impl Canvas {
    /// Pan and zoom; whether anything moved.
    pub(super) fn look(
        &mut self,
        ui: &Ui,
        ground: &Response,
        (screen, bounds): (Rect, Rect),
        habits: Habits,
        camera: &mut Camera,
    ) -> bool {
        let before = *camera;
        self.pull(ui, ground, screen, habits, camera);
        if let Some(pointer) = ui.ctx().pointer_hover_pos().filter(|p| self.is_dragging() && screen.contains(*p)) {
            let by = along_at_edge(screen, camera.screen_rect(screen, bounds), pointer);
            if by != Vec2::ZERO {
                camera.pan(by);
                ui.ctx().request_repaint();
            }
        }
        if let Some(pointer) = ui
            .ctx()
            .pointer_hover_pos()
            .filter(|p| screen.contains(*p) && ui.ctx().layer_id_at(*p) == Some(ui.layer_id()))
        {
            self.wheel(ui, screen, pointer, camera);
        }
        *camera != before
    }

    /// Dragging with the middle button, with Space, or on empty paper.
    fn pull(&mut self, ui: &Ui, ground: &Response, screen: Rect, habits: Habits, camera: &mut Camera) {
        let (origin, delta, shift) =
            ui.input(|input| (input.pointer.press_origin(), input.pointer.delta(), input.modifiers.shift));
        let is_ours = |at: Pos2| screen.contains(at) && ui.ctx().layer_id_at(at) == Some(ui.layer_id());
        if moves_the_sheet(ui) {
            if self.drag.is_none() && self.band.is_none() && origin.is_some_and(is_ours) {
                camera.pan(delta);
                ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
            }
            return;
        }
        if self.drag.is_some() || !ground.dragged_by(PointerButton::Primary) {
            return;
        }
        // Shift is always the other of the two.
        if habits.paper_moves != shift {
            if self.band.is_none() {
                camera.pan(ground.drag_delta());
            }
        } else if ground.drag_started() {
            self.band = origin.map(|origin| camera.canvas_from_screen(screen, origin));
        }
    }

    /// A wheel zooms; a touchpad moves the sheet, and zooms by a pinch or with Ctrl.
    fn wheel(&mut self, ui: &Ui, screen: Rect, pointer: Pos2, camera: &mut Camera) {
        let (unit, scroll, pinch, fingers) = ui.input(|input| {
            let unit = input.events.iter().rev().find_map(|event| match event {
                Event::MouseWheel { unit, .. } => Some(*unit),
                _ => None,
            });
            let fingers = input.multi_touch().map(|touch| touch.translation_delta);
            (unit, input.smooth_scroll_delta(), input.zoom_delta(), fingers)
        });
        self.fine_wheel = unit.map_or(self.fine_wheel, |unit| unit == MouseWheelUnit::Point);
        let turn = if self.fine_wheel { 0.0 } else { scroll.y };
        let factor = pinch * (turn * 0.004).exp();
        if (factor - 1.0).abs() > 1e-4 {
            camera.zoom_about(screen, pointer, factor);
        }
        let by = vec2(scroll.x, if self.fine_wheel { scroll.y } else { 0.0 }) + fingers.unwrap_or_default();
        if by.length() > 0.1 {
            camera.pan(by);
        }
        // What moves the sheet scrolls nothing around it.
        if scroll != Vec2::ZERO {
            ui.input_mut(|input| input.smooth_scroll_delta = Vec2::ZERO);
        }
    }

    /// Shows what is selected as large as there is room for, from the next frame on.
    pub fn fit_selected(&mut self, selection: &Selection) {
        let (Some((_, screen)), Some((.., drawing))) = (self.shown, &self.drawing) else { return };
        let devices = selection.devices().into_iter().map(Selected::Device);
        let leads = selection.leads().into_iter().map(Selected::Lead);
        let places = devices.chain(leads).filter_map(|item| drawing.place_of(item));
        let all = places.reduce(Rect::union);
        if let Some(all) = all {
            self.camera = Some(Camera::fit(all.expand2(vec2(60.0, 40.0)), screen.shrink(8.0), LEAST_FIT));
        }
    }
}

impl Sheet<'_, '_> {
    /// The rubber band, and what lies in it; when it is let go, that is selected.
    pub fn band(&mut self, ui: &Ui, pointer: Option<Pos2>) {
        let Some(from) = self.canvas.band else { return };
        let (is_down, gave_up, adds) =
            ui.input(|input| (input.pointer.primary_down(), input.key_pressed(Key::Escape), input.modifiers.shift));
        let to = pointer.unwrap_or(from);
        let band = Rect::from_two_pos(from, to);
        let devices = self.drawing.devices.iter().filter(|shape| shape.core().intersects(band));
        let devices: BTreeSet<Selected> = devices.map(|shape| Selected::Device(shape.id)).collect();
        if gave_up {
            self.canvas.band = None;
        } else if is_down {
            let rect = self.pen.camera.screen_rect(self.pen.screen, band);
            let tokens = self.pen.tokens;
            self.pen.painter.rect(
                rect,
                2.0,
                tokens.teal.gamma_multiply(0.10),
                Stroke::new(1.0, tokens.teal),
                StrokeKind::Inside,
            );
            for shape in self.drawing.devices.iter().filter(|shape| devices.contains(&Selected::Device(shape.id))) {
                let outline = self.pen.camera.screen_rect(self.pen.screen, shape.rect.expand(3.0));
                self.pen.painter.rect_stroke(outline, 5.0, Stroke::new(1.2, tokens.copper), StrokeKind::Inside);
            }
        } else {
            self.canvas.band = None;
            let inside = |points: &[Pos2]| points.iter().all(|at| band.contains(*at));
            let leads = self.drawing.leads.iter().filter(|shape| inside(&shape.points));
            let leads = leads.map(|shape| Selected::Lead(shape.id));
            let kept = self.facts.selection.items().filter(|_| adds);
            let notes = self.facts.variant.notes.iter().map(|note| Selected::Note(note.id));
            let notes = notes.filter(|note| self.drawing.place_of(*note).is_some_and(|place| place.intersects(band)));
            // Devices last: one of them counts as picked last.
            self.out.push(Intent::SelectAll(kept.chain(leads).chain(notes).chain(devices).collect()));
        }
    }
}
