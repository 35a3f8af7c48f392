//! From canvas units to the screen and back.

use egui::{Pos2, Rect, Vec2, pos2, vec2};

use super::arrange::LARGEST_FIT;

/// Zoom and position of the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// Points on the screen for one canvas unit.
    pub zoom: f32,
    /// The canvas point that stands in the middle of the screen's rectangle.
    pub centre: Pos2,
}

impl Camera {
    /// The least zoom.
    pub const MIN_ZOOM: f32 = 0.12;
    /// The greatest.
    pub const MAX_ZOOM: f32 = 6.0;

    /// Shows `bounds` whole in a screen rectangle, no larger than life; where that would be
    /// smaller than `least`, their upper left corner at that zoom.
    #[must_use]
    pub fn fit(bounds: Rect, screen: Rect, least: f32) -> Self {
        let fitting = (screen.width() / bounds.width().max(1.0)).min(screen.height() / bounds.height().max(1.0));
        let zoom = fitting.clamp(least.max(Self::MIN_ZOOM), LARGEST_FIT);
        let half = 0.5 * screen.size() / zoom;
        let middle =
            |low: f32, high: f32, half: f32| if high - low > 2.0 * half { low + half } else { 0.5 * (low + high) };
        let centre = pos2(middle(bounds.left(), bounds.right(), half.x), middle(bounds.top(), bounds.bottom(), half.y));
        Self { zoom, centre }
    }

    /// Where a canvas point stands on the screen.
    #[must_use]
    pub fn screen_from_canvas(&self, screen: Rect, at: Pos2) -> Pos2 {
        screen.center() + (at - self.centre) * self.zoom
    }

    /// Which canvas point stands at a place of the screen.
    #[must_use]
    pub fn canvas_from_screen(&self, screen: Rect, at: Pos2) -> Pos2 {
        self.centre + (at - screen.center()) / self.zoom
    }

    /// A canvas rectangle on the screen.
    #[must_use]
    pub fn screen_rect(&self, screen: Rect, rect: Rect) -> Rect {
        Rect::from_min_max(self.screen_from_canvas(screen, rect.min), self.screen_from_canvas(screen, rect.max))
    }

    /// Zooms by `factor`; the canvas point under `fixed` stays under it.
    pub fn zoom_about(&mut self, screen: Rect, fixed: Pos2, factor: f32) {
        let under = self.canvas_from_screen(screen, fixed);
        self.zoom = (self.zoom * factor).clamp(Self::MIN_ZOOM, Self::MAX_ZOOM);
        self.centre += under - self.canvas_from_screen(screen, fixed);
    }

    /// Moves the sheet as little as brings a canvas rectangle into a part of the screen, if its
    /// middle isn't there; whether it moved.
    pub fn bring_in(&mut self, screen: Rect, part: Rect, rect: Rect) -> bool {
        let shown = self.screen_rect(screen, rect);
        if part.contains(shown.center()) {
            return false;
        }
        let by = |low: f32, high: f32, from: f32, to: f32| match () {
            () if high - low > to - from => 0.5 * (from + to) - 0.5 * (low + high),
            () if low < from => from - low,
            () if high > to => to - high,
            () => 0.0,
        };
        self.pan(vec2(
            by(shown.left(), shown.right(), part.left(), part.right()),
            by(shown.top(), shown.bottom(), part.top(), part.bottom()),
        ));
        true
    }

    /// Moves the sheet with the pointer.
    pub fn pan(&mut self, by: Vec2) {
        self.centre -= by / self.zoom;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back() {
        let screen = Rect::from_min_size(pos2(20.0, 90.0), vec2(1400.0, 400.0));
        let camera = Camera { zoom: 0.7, centre: pos2(300.0, 40.0) };
        let at = pos2(123.0, -45.0);
        assert!(camera.canvas_from_screen(screen, camera.screen_from_canvas(screen, at)).distance(at) < 1e-3);
    }

    #[test]
    fn zooming_keeps_what_is_under_the_pointer() {
        let screen = Rect::from_min_size(pos2(0.0, 0.0), vec2(800.0, 400.0));
        let mut camera = Camera { zoom: 1.0, centre: pos2(0.0, 0.0) };
        let pointer = pos2(700.0, 50.0);
        let before = camera.canvas_from_screen(screen, pointer);
        camera.zoom_about(screen, pointer, 1.7);
        assert!(camera.canvas_from_screen(screen, pointer).distance(before) < 1e-3);
    }

    #[test]
    fn what_is_out_of_sight_is_brought_in_and_what_is_in_sight_stays() {
        let screen = Rect::from_min_size(pos2(10.0, 10.0), vec2(800.0, 400.0));
        let mut camera = Camera { zoom: 0.8, centre: pos2(0.0, 0.0) };
        let near = Rect::from_center_size(pos2(100.0, 50.0), vec2(90.0, 60.0));
        assert!(!camera.bring_in(screen, screen, near));
        let far = Rect::from_center_size(pos2(1500.0, -700.0), vec2(90.0, 60.0));
        assert!(camera.bring_in(screen, screen, far));
        let shown = camera.screen_rect(screen, far);
        assert!(screen.expand(0.1).contains_rect(shown));
        assert!((shown.right() - screen.right()).abs() < 0.1 && (shown.top() - screen.top()).abs() < 0.1);
    }

    #[test]
    fn fitting_shows_everything() {
        let screen = Rect::from_min_size(pos2(10.0, 10.0), vec2(900.0, 300.0));
        let bounds = Rect::from_min_size(pos2(-50.0, -50.0), vec2(2000.0, 400.0));
        let camera = Camera::fit(bounds, screen, 0.2);
        let shown = camera.screen_rect(screen, bounds);
        assert!(screen.expand(0.5).contains_rect(shown));
        // No smaller than can be read: from the left, in the middle of the height.
        let camera = Camera::fit(bounds, screen, 0.6);
        let shown = camera.screen_rect(screen, bounds);
        assert_eq!(camera.zoom, 0.6);
        assert!((shown.left() - screen.left()).abs() < 0.5 && shown.right() > screen.right());
        assert!((shown.center().y - screen.center().y).abs() < 0.5);
    }
}
