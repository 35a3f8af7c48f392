//! The sheet follows the keyboard: what it comes to beyond an edge is brought in sight.

use egui::{Rect, Response, Ui, Vec2};

use super::Sheet;

/// So far from the sheet's edge, in points, what was beyond it is brought.
const INSIDE: f32 = 40.0;

impl Sheet<'_, '_> {
    /// Moves the sheet, from the next frame on, if something that keys have come to lies beyond its edge.
    pub fn follow(&mut self, ui: &Ui, hit: &Response) {
        let screen = self.pen.screen;
        let at = hit.rect.center();
        let by_hand = || ui.input(|input| input.pointer.any_down() || input.pointer.any_released());
        if !hit.gained_focus() || screen.shrink(6.0).contains(at) || by_hand() {
            return;
        }
        let inside = screen.shrink2(Vec2::splat(INSIDE).min(0.4 * screen.size()));
        let mut camera = self.pen.camera;
        let place = Rect::from_pos(camera.canvas_from_screen(screen, at));
        camera.bring_in(screen, inside, place);
        self.canvas.look_at(camera);
        ui.ctx().request_repaint();
    }
}
