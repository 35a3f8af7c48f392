//! The whole rig, small, in a corner of the sheet: where it is larger than what can be seen of
//! it. The part that is seen is framed, and can be dragged.

use egui::{CursorIcon, Id, Pos2, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, pos2, vec2};

use super::camera::Camera;
use super::{Sheet, name};
use crate::state::Selected;

/// As large as it is, in points, and how far from the sheet's edges.
const LARGEST: Vec2 = vec2(190.0, 96.0);
const FROM_EDGE: f32 = 10.0;
/// In a sheet smaller than this, in points, it would cover too much.
const LEAST_SHEET: Vec2 = vec2(420.0, 240.0);

/// Where it stands, if there is one: on the sheet, for a drawing that reaches out of it.
#[must_use]
pub fn place(screen: Rect, bounds: Rect, camera: Camera) -> Option<Rect> {
    let shown = camera.screen_rect(screen, bounds);
    if screen.expand(1.0).contains_rect(shown) || screen.width() < LEAST_SHEET.x || screen.height() < LEAST_SHEET.y {
        return None;
    }
    let scale = (LARGEST.x / bounds.width()).min(LARGEST.y / bounds.height());
    let size = bounds.size() * scale;
    Some(Rect::from_min_size(screen.right_bottom() - size - Vec2::splat(FROM_EDGE), size))
}

/// The canvas point that stands at a place of it.
fn canvas_from(place: Rect, bounds: Rect, at: Pos2) -> Pos2 {
    bounds.min + (at - place.min) * (bounds.width() / place.width())
}

impl Sheet<'_, '_> {
    /// Shows it, and moves the sheet by it.
    pub fn overview(&mut self, ui: &Ui) {
        let pen = self.pen;
        let bounds = self.drawing.bounds;
        let Some(rect) = place(pen.screen, bounds, pen.camera).filter(|_| !self.canvas.is_picture) else { return };
        let id = Id::unique(("overview of the sheet", self.facts.variant.id.0));
        let hit = ui.interact(rect, id, Sense::click_and_drag() - Sense::FOCUSABLE);
        name(&hit, Role::Group, "Overview of the whole rig");
        let tokens = pen.tokens;
        pen.painter.rect(rect.expand(3.0), 4.0, tokens.panel, Stroke::new(1.0, tokens.border), StrokeKind::Outside);
        let painter = pen.painter.with_clip_rect(rect.expand(3.0).intersect(pen.screen));
        let scale = rect.width() / bounds.width();
        let at = |p: Pos2| rect.min + (p - bounds.min) * scale;
        for lead in &self.drawing.leads {
            let points = lead.points.iter().map(|p| at(*p)).collect();
            painter.add(egui::Shape::line(points, Stroke::new(1.0, tokens.quiet)));
        }
        for shape in &self.drawing.devices {
            let selected = self.facts.selection.contains(Selected::Device(shape.id));
            let ink = if selected { tokens.copper } else { tokens.ink };
            let core = Rect::from_min_max(at(shape.core().min), at(shape.core().max));
            painter.rect(core, 1.0, tokens.sheet, Stroke::new(1.0, ink), StrokeKind::Inside);
        }
        let seen = |p: Pos2| at(pen.camera.canvas_from_screen(pen.screen, p));
        let frame = Rect::from_min_max(seen(pen.screen.min), seen(pen.screen.max)).intersect(rect.expand(2.0));
        painter.rect_stroke(frame, 2.0, Stroke::new(1.6, tokens.teal), StrokeKind::Inside);
        if (hit.clicked() || hit.dragged())
            && let Some(pointer) = hit.interact_pointer_pos()
        {
            let centre = canvas_from(rect, bounds, pos2(pointer.x, pointer.y));
            self.canvas.look_at(Camera { centre, ..pen.camera });
            ui.ctx().request_repaint();
        }
        hit.on_hover_cursor(CursorIcon::Move).on_hover_text("The whole rig. Drag the frame to see another part.");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_there_only_where_the_drawing_reaches_out_of_the_sheet() {
        let screen = Rect::from_min_size(pos2(0.0, 0.0), vec2(900.0, 400.0));
        let bounds = Rect::from_min_size(pos2(-40.0, -60.0), vec2(1600.0, 500.0));
        let all = Camera::fit(bounds, screen, 0.1);
        assert_eq!(place(screen, bounds, all), None);
        let part = Camera { zoom: 1.0, ..all };
        let shown = place(screen, bounds, part).unwrap();
        assert!(screen.contains_rect(shown));
        assert!(((shown.width() / shown.height()) - 1600.0 / 500.0).abs() < 1e-3);
        let there = canvas_from(shown, bounds, shown.max);
        assert!(there.distance(bounds.max) < 1.0, "{there:?}");
        let small = Rect::from_min_size(screen.min, vec2(300.0, 200.0));
        assert_eq!(place(small, bounds, part), None);
    }
}
