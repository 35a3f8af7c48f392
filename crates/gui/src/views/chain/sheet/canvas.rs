//! The sheet: what is pointed at, dragged, dropped, zoomed.

use std::cell::RefCell;
use std::sync::Arc;

use egui::{Id, Pos2, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, vec2};
use rigwright_core::parts::Part;
use rigwright_core::rig::{CanvasPoint, DeviceId, Variant, VariantId};

use super::arrange::LEAST_FIT;
use super::camera::Camera;
use super::drag::{Drag, Goal, on_canvas};
use super::drawing::Drawing;
use super::pen::Pen;
use super::typing::{Said, Typing};
use super::{Sheet, name};
use crate::state::Selected;
use crate::theme::{Tokens, size};
use crate::views::{Facts, Intent};

/// What stays free at the sheet's sides and at its top and bottom, where all of it is shown.
const BORDER: Vec2 = vec2(30.0, 4.0);

/// The widget of something that the sheet draws.
#[must_use]
pub fn widget_id(variant: VariantId, item: Selected) -> Id {
    match item {
        Selected::Device(id) => Id::unique(("device", variant.0, id.0)),
        Selected::Lead(id) => Id::unique(("lead", variant.0, id.0)),
        Selected::Note(id) => Id::unique(("note", variant.0, id.0)),
    }
}

/// The sheet's own state; no part of the project.
#[derive(Debug, Default)]
pub struct Canvas {
    pub(super) camera: Option<Camera>,
    /// What is being dragged over the sheet.
    pub drag: Option<Drag>,
    /// The drawing and what it was made from: made again only when that changes.
    pub(super) drawing: Option<(Arc<Variant>, Vec2, Drawing)>,
    /// The drawing while devices are held over the sheet, and where they were.
    held: Option<(Vec<(DeviceId, Pos2)>, Drawing)>,
    /// Whether the sheet was fitted to the window when the drag began.
    was_fitted: bool,
    /// How and where the sheet was last seen.
    pub(super) shown: Option<(Camera, Rect)>,
    /// Where the rubber band begins that is being drawn, on the canvas.
    pub band: Option<Pos2>,
    /// Whether the wheel that turned last is a touchpad, which tells points and not lines.
    pub(super) fine_wheel: bool,
    /// The label that is being typed over.
    pub typing: Option<Typing>,
    /// Where labels stood in the last frame that can be typed over.
    pub labels: Vec<(Said, Rect)>,
    /// What has the keyboard, of what the sheet draws.
    pub focused: Option<Selected>,
    /// What was picked last when the sheet was last shown, and whether it has to be in sight.
    seen: Option<Selected>,
    must_show: bool,
    /// Whether what is selected is to be typed over from the next frame on.
    types_over: bool,
    /// Where the paper was clicked for its menu, on the canvas.
    pub(super) menu_at: Option<Pos2>,
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

    /// Sees to it that what is selected is in sight from the next frame on.
    pub fn reveal(&mut self) {
        self.must_show = true;
    }

    /// Types over what the sheet says of what is selected, from the next frame on.
    pub fn type_over_selected(&mut self) {
        self.types_over = true;
    }

    /// Where a new note goes: where the paper's menu was opened, or in the middle.
    #[must_use]
    pub fn note_place(&mut self) -> Option<CanvasPoint> {
        let middle = self.shown.map(|(camera, _)| camera.centre);
        self.menu_at.take().or(middle).map(on_canvas)
    }

    /// Whether something is being dragged over the sheet.
    pub fn is_dragging(&self) -> bool {
        self.drag.is_some() || self.band.is_some()
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
        let moved = self.look(ui, &ground, (screen, drawing.bounds), facts.habits, &mut camera);
        if self.keep_in_sight(ui, facts, (screen, &drawing), &mut camera) || moved {
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
        let held = self.held(pointer, &drawing).map(|held| self.drawn_with_held(&drawing, facts.variant, held));
        let shown = held.as_ref().map_or(&drawing, |(.., drawing)| drawing);
        self.focused = None;
        Sheet { canvas: self, facts, drawing: shown, pen: &pen, out, ground: &ground, framed: Vec::new() }
            .show(&mut child);
        self.held = held;
        self.drawing = Some((Arc::clone(facts.variant), size, drawing));
    }

    /// The drawing with devices held at places; the last one, if they are there still.
    fn drawn_with_held(
        &mut self,
        drawing: &Drawing,
        variant: &Variant,
        held: Vec<(DeviceId, Pos2)>,
    ) -> (Vec<(DeviceId, Pos2)>, Drawing) {
        match self.held.take() {
            Some(last) if last.0 == held => last,
            _ => {
                let drawing = drawing.with_held(variant, &held);
                (held, drawing)
            }
        }
    }

    /// Keeps what was picked last in sight, and the keyboard on it, where others than the
    /// pointer picked it; whether the sheet moved.
    fn keep_in_sight(
        &mut self,
        ui: &Ui,
        facts: &Facts<'_>,
        (screen, drawing): (Rect, &Drawing),
        camera: &mut Camera,
    ) -> bool {
        let last = facts.selection.last();
        let is_new = std::mem::replace(&mut self.seen, last) != last;
        if let (true, Some(item), Some(focused)) = (is_new, last, self.focused)
            && item != focused
            && !ui.input(|input| input.pointer.any_click())
        {
            ui.memory_mut(|memory| memory.request_focus(widget_id(facts.variant.id, item)));
        }
        if std::mem::take(&mut self.types_over) {
            self.typing = facts.selection.item().and_then(|item| Typing::of_item(facts.variant, item));
        }
        let must_show = std::mem::take(&mut self.must_show) || is_new;
        if !must_show || self.drag.is_some() || self.band.is_some() {
            return false;
        }
        let place = last.and_then(|item| drawing.place_of(item));
        place.is_some_and(|place| camera.bring_in(screen, screen.shrink(24.0), place))
    }
}
