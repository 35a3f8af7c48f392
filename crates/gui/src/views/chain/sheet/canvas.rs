//! The sheet: what is pointed at, dragged, dropped, zoomed.

use std::cell::RefCell;
use std::sync::Arc;

use egui::{Pos2, Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, Vec2, vec2};
use rigwright_core::parts::Part;
use rigwright_core::rig::{DeviceId, Variant};

use super::arrange::LEAST_FIT;
use super::camera::Camera;
use super::drag::{Drag, Goal, along_at_edge};
use super::drawing::Drawing;
use super::pen::Pen;
use super::{Sheet, name};
use crate::theme::{Tokens, size};
use crate::views::{Facts, Intent};

/// What stays free at the sheet's sides and at its top and bottom, where all of it is shown.
const BORDER: Vec2 = vec2(30.0, 4.0);

/// The sheet's own state; no part of the project.
#[derive(Debug, Default)]
pub struct Canvas {
    camera: Option<Camera>,
    /// What is being dragged over the sheet.
    pub drag: Option<Drag>,
    /// The drawing and what it was made from: made again only when that changes.
    drawing: Option<(Arc<Variant>, Vec2, Drawing)>,
    /// The drawing while a device is held over the sheet, and where that was.
    held: Option<(DeviceId, Pos2, Drawing)>,
    /// Whether the sheet was fitted to the window when the drag began.
    was_fitted: bool,
    /// How and where the sheet was last seen.
    shown: Option<(Camera, Rect)>,
    /// Whether it is for a picture, without what is there for a hand that drags.
    pub is_picture: bool,
}

impl Canvas {
    /// A sheet for a picture.
    pub fn of_picture() -> Self {
        Self { is_picture: true, ..Self::default() }
    }

    /// Shows the whole rig from the next frame on.
    pub fn fit(&mut self) {
        self.camera = None;
    }

    /// Zooms about the middle.
    pub fn zoom(&mut self, factor: f32) {
        if let Some((mut camera, screen)) = self.shown {
            camera.zoom_about(screen, screen.center(), factor);
            self.camera = Some(camera);
        }
    }

    /// Shows a place of the sheet from the next frame on.
    pub fn look_at(&mut self, camera: Camera) {
        self.camera = Some(camera);
    }

    /// Whether something is being dragged over the sheet.
    pub fn is_dragging(&self) -> bool {
        self.drag.is_some()
    }

    /// Begins a drag. The sheet stays as it is seen from here on, so that what
    /// is dropped stands under the pointer.
    pub fn start_drag(&mut self, drag: Drag, camera: Camera) {
        self.drag = Some(drag);
        self.was_fitted = self.camera.is_none();
        self.camera = Some(camera);
    }

    /// Begins to drag a part that comes from outside the sheet.
    pub fn carry(&mut self, part: Box<Part>) {
        if let Some((camera, _)) = self.shown {
            self.start_drag(Drag::Part { part }, camera);
        }
    }

    /// Ends a drag. Where the drawing lays itself out anew, a sheet that was fitted is so again.
    pub fn dropped(&mut self, goal: Goal) {
        self.drag = None;
        if self.was_fitted && matches!(goal, Goal::Lead(_) | Goal::Device(_)) {
            self.camera = None;
        }
    }

    /// The sheet in all the room there is.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let tokens = Tokens::of(ui);
        let (screen, ground) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        name(&ground, Role::Group, "Sheet with the rig as a circuit drawing");
        let inside = screen.shrink2(BORDER);
        // What hangs on the mouse isn't laid out anew under it.
        let size = match &self.drawing {
            Some((_, size, _)) if self.drag.is_some() => *size,
            _ => inside.size().round(),
        };
        let kept = self.drawing.take();
        let kept = kept.filter(|(variant, of, _)| Arc::ptr_eq(variant, facts.variant) && *of == size);
        let drawing = kept.map_or_else(|| Drawing::of(facts.variant, size), |(.., drawing)| drawing);
        // Fitted, it stays fitted when the window or the rig changes.
        let mut camera = self.camera.unwrap_or_else(|| Camera::fit(drawing.bounds, inside, LEAST_FIT));
        self.see_to_drag(ui, facts, &drawing);
        if self.look(ui, &ground, (screen, drawing.bounds), &mut camera) {
            self.camera = Some(camera);
        }
        self.shown = Some((camera, screen));
        let painter = ui.painter().with_clip_rect(screen);
        painter.rect(
            screen,
            f32::from(size::CORNER),
            tokens.sheet,
            Stroke::new(1.0, tokens.border),
            StrokeKind::Inside,
        );
        // The border stays free of what is drawn.
        let painter = painter.with_clip_rect(screen.shrink(1.0));
        let written = RefCell::default();
        let pen = Pen::new(&painter, camera, screen, tokens, &written);
        let mut child = ui.new_child(egui::UiBuilder::new().max_rect(screen).id_salt("sheet"));
        child.set_clip_rect(screen.intersect(ui.clip_rect()));
        let pointer = ui.ctx().pointer_hover_pos().map(|p| camera.canvas_from_screen(screen, p));
        let held = self.held(pointer, &drawing).map(|(id, at)| self.drawn_with_held(&drawing, facts.variant, (id, at)));
        let shown = held.as_ref().map_or(&drawing, |(.., drawing)| drawing);
        Sheet { canvas: self, facts, drawing: shown, pen: &pen, out, ground: &ground }.show(&mut child);
        self.held = held;
        self.drawing = Some((Arc::clone(facts.variant), size, drawing));
    }

    /// The drawing with a device held at a place; the last one, if the device is there still.
    fn drawn_with_held(
        &mut self,
        drawing: &Drawing,
        variant: &Variant,
        (id, at): (DeviceId, Pos2),
    ) -> (DeviceId, Pos2, Drawing) {
        match self.held.take() {
            Some(held) if held.0 == id && held.1 == at => held,
            _ => (id, at, drawing.with_held(variant, (id, at))),
        }
    }

    /// Pan and zoom; whether anything moved.
    fn look(&self, ui: &Ui, ground: &Response, (screen, bounds): (Rect, Rect), camera: &mut Camera) -> bool {
        let before = *camera;
        if ground.dragged() && self.drag.is_none() {
            camera.pan(ground.drag_delta());
        }
        if let Some(pointer) = ui.ctx().pointer_hover_pos().filter(|p| self.drag.is_some() && screen.contains(*p)) {
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
            let (scroll, pinch) = ui.input(|input| (input.smooth_scroll_delta(), input.zoom_delta()));
            let factor = pinch * (scroll.y * 0.004).exp();
            if (factor - 1.0).abs() > 1e-4 {
                camera.zoom_about(screen, pointer, factor);
            }
            if scroll.x.abs() > 0.1 {
                camera.pan(vec2(scroll.x, 0.0));
            }
        }
        *camera != before
    }
}
