//! Where the ring stands around something that has the keyboard, where that isn't just its own place.

use egui::{Context, Id, Rect, Response, Ui};

/// Has the ring stand around this, while it has the keyboard.
pub fn around(ui: &Ui, hit: &Response, place: Rect) {
    if hit.has_focus() {
        ui.data_mut(|data| data.insert_temp(key(), (hit.id, place)));
    }
}

/// Around what it is to stand, if that was said of this one.
#[must_use]
pub fn of(ctx: &Context, id: Id) -> Option<Rect> {
    let said: Option<(Id, Rect)> = ctx.data(|data| data.get_temp(key()));
    said.filter(|(of, _)| *of == id).map(|(_, place)| place)
}

fn key() -> Id {
    Id::unique("where the ring stands")
}
