//! A thing to read with a stroke before it, as lists of findings have them.

use egui::{Ui, vec2};

/// How strongly something is shown that may be of the rig before its last change.
#[must_use]
pub fn strength(old: bool) -> f32 {
    if old { 0.55 } else { 1.0 }
}

/// Contents with a stroke before them; true while the pointer is on it.
pub fn entry(ui: &mut Ui, ink: egui::Color32, strength: f32, contents: impl FnOnce(&mut Ui)) -> bool {
    ui.add_space(2.0);
    let inside = ui.horizontal_top(|ui| {
        ui.add_space(9.0);
        ui.vertical(|ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 2.0;
            ui.multiply_opacity(strength);
            contents(ui);
        });
    });
    let rect = inside.response.rect;
    let bar = egui::Rect::from_min_size(rect.min, vec2(3.0, rect.height()));
    ui.painter().rect_filled(bar, 1.5, ink.gamma_multiply(strength));
    ui.add_space(4.0);
    ui.rect_contains_pointer(rect)
}
