//! A divider between two panels: seen, dragged, and moved by the arrow keys.

use egui::{CursorIcon, Id, Key, Modifiers, Rect, Role, Sense, Stroke, Ui, WidgetInfo, vec2};

use crate::theme::Tokens;

/// So far a key moves it, in points.
const STEP: f32 = 24.0;
/// How long the mark on it is, at most.
const MARK: f32 = 44.0;

/// Which way a divider goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Level: it is moved up and down.
    Level,
    /// Upright: it is moved to the left and to the right.
    Upright,
}

/// Shows a divider in a gap, and how far it was moved, in points to the right or down.
pub fn show(ui: &Ui, gap: Rect, way: Way, name: &str) -> f32 {
    let hit = ui.interact(gap, Id::unique(("divider", name)), Sense::click_and_drag());
    hit.widget_info(|| WidgetInfo::labeled(Role::Slider, true, name));
    let live = hit.hovered() || hit.dragged() || hit.has_focus();
    let (along, cursor) = match way {
        Way::Level => (vec2(1.0, 0.0), CursorIcon::ResizeVertical),
        Way::Upright => (vec2(0.0, 1.0), CursorIcon::ResizeHorizontal),
    };
    if hit.hovered() || hit.dragged() {
        ui.ctx().set_cursor_icon(cursor);
    }
    let tokens = Tokens::of(ui);
    let half = 0.5 * MARK.min(0.5 * gap.size().dot(along)) * along;
    let ink = if live { tokens.teal } else { tokens.faint };
    ui.painter().line_segment([gap.center() - half, gap.center() + half], Stroke::new(2.0, ink));
    let mut by = match way {
        Way::Level => hit.drag_delta().y,
        Way::Upright => hit.drag_delta().x,
    };
    if hit.has_focus() {
        let keys = match way {
            Way::Level => [(Key::ArrowUp, -STEP), (Key::ArrowDown, STEP)],
            Way::Upright => [(Key::ArrowLeft, -STEP), (Key::ArrowRight, STEP)],
        };
        ui.memory_mut(|memory| {
            let filter = egui::EventFilter { horizontal_arrows: true, vertical_arrows: true, ..Default::default() };
            memory.set_focus_lock_filter(hit.id, filter);
        });
        for (key, step) in keys {
            if ui.input_mut(|input| input.consume_key(Modifiers::NONE, key)) {
                by += step;
            }
        }
    }
    hit.on_hover_text("Drag it, or use the arrow keys.");
    by
}
