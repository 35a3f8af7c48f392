//! The sheet: what is pointed at, dragged, dropped, zoomed.

use egui::{Rect, Response, Role, Sense, Stroke, StrokeKind, Ui, vec2};
use rigwright_core::rig::{DeviceId, JackRef};

use super::camera::Camera;
use super::drawing::Drawing;
use super::pen::Pen;
use super::{Sheet, name};
use crate::theme::{Tokens, size};
use crate::views::{Facts, Intent};

/// What is being dragged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Drag {
    /// A device, held at an offset from its middle, in canvas units.
    Device { id: DeviceId, hold: egui::Vec2 },
    /// A new lead from a free jack.
    Lead { from: JackRef },
    /// The test point.
    TestPoint,
}

/// The sheet's own state; no part of the project.
#[derive(Debug, Default)]
pub struct Canvas {
    camera: Option<Camera>,
    /// What is being dragged over the sheet.
    pub drag: Option<Drag>,
    /// The drawing and what it was made from: made again only when that changes.
    drawing: Option<(std::sync::Arc<rigwright_core::rig::Variant>, Drawing)>,
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

    /// Whether something is being dragged over the sheet.
    pub fn is_dragging(&self) -> bool {
        self.drag.is_some()
    }

    /// Begins a drag. The sheet stays as it is seen from here on, so that what
    /// is dropped stands under the pointer.
    pub fn start_drag(&mut self, drag: Drag, camera: Camera) {
        self.drag = Some(drag);
        self.camera = Some(camera);
    }

    /// The sheet in all the room there is.
    pub fn ui(&mut self, ui: &mut Ui, facts: &Facts<'_>, out: &mut Vec<Intent>) {
        let tokens = Tokens::of(ui);
        let (screen, ground) = ui.allocate_exact_size(ui.available_size(), Sense::click_and_drag());
        name(&ground, Role::Group, "Sheet with the rig as a circuit drawing");
        let fresh = self.drawing.as_ref().is_none_or(|(variant, _)| !std::sync::Arc::ptr_eq(variant, facts.variant));
        if fresh {
            let drawing = Drawing::of(&facts.variant.rig, &facts.variant.places);
            self.drawing = Some((std::sync::Arc::clone(facts.variant), drawing));
        }
        let Some((_, drawing)) = self.drawing.take() else {
            return;
        };
        // Fitted, it stays fitted when the window or the rig changes.
        let mut camera = self.camera.unwrap_or_else(|| Camera::fit(drawing.bounds, screen.shrink2(vec2(30.0, 4.0))));
        if self.look(ui, &ground, screen, &mut camera) {
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
        let pen = Pen { painter: &painter, camera, screen, tokens, ink: tokens.ink, weight: size::SYMBOL_LINE };
        let mut child = ui.new_child(egui::UiBuilder::new().max_rect(screen).id_salt("sheet"));
        child.set_clip_rect(screen.intersect(ui.clip_rect()));
        Sheet { canvas: self, facts, drawing: &drawing, pen: &pen, out, ground: &ground }.show(&mut child);
        self.drawing = Some((std::sync::Arc::clone(facts.variant), drawing));
    }

    /// Pan and zoom; whether anything moved.
    fn look(&self, ui: &Ui, ground: &Response, screen: Rect, camera: &mut Camera) -> bool {
        let before = *camera;
        if ground.dragged() && self.drag.is_none() {
            camera.pan(ground.drag_delta());
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
