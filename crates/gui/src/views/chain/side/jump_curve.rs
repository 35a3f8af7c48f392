//! A jump over all frequencies, as a small curve beside its figures.

use egui::{Role, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2};
use rigwright_core::states::{Jump, States};

use crate::theme::{Tokens, text};

const HEIGHT: f32 = 38.0;
/// The curve's scale is never finer than this to either side.
const LEAST_DB: f64 = 3.0;

/// The whole jump where it goes furthest (solid) and with everything else off
/// (dashed), from 20 Hz to 20 kHz.
pub fn ui(ui: &mut Ui, states: &States, jump: &Jump, name: &str) {
    let tokens = Tokens::of(ui);
    let furthest = if jump.rise.db.abs() >= jump.fall.db.abs() { &jump.rise } else { &jump.fall };
    let alone = jump.alone_db.as_deref().filter(|_| !furthest.among.is_empty());
    let size = vec2(ui.available_width().min(320.0), HEIGHT);
    let (rect, hit) = ui.allocate_exact_size(size, Sense::hover());
    let label = format!("The jump of {name} over all frequencies");
    hit.widget_info(|| WidgetInfo::labeled(Role::Image, true, &label));
    let tip = if alone.is_some() {
        "From 20 Hz to 20 kHz: solid where it goes furthest, dashed with everything else off"
    } else {
        "From 20 Hz to 20 kHz, with everything else off, where it goes furthest"
    };
    hit.on_hover_text(tip);
    let curves = furthest.curve_db.iter().chain(alone.into_iter().flatten());
    let reach = curves.filter(|db| db.is_finite()).fold(LEAST_DB, |reach, db| reach.max(db.abs()));
    let frame = rect.shrink2(vec2(0.0, 3.0));
    let (Some(first), Some(last)) = (states.hz().first(), states.hz().last()) else { return };
    let (from, span) = (first.ln(), (last / first).ln());
    let points = |curve: &[f64]| -> Vec<egui::Pos2> {
        let heard = states.hz().iter().zip(curve).filter(|(_, db)| db.is_finite());
        heard
            .map(|(hz, db)| {
                let x = frame.left() + ((hz.ln() - from) / span) as f32 * frame.width();
                pos2(x, frame.center().y - (db / reach) as f32 * 0.5 * frame.height())
            })
            .collect()
    };
    let painter = ui.painter().with_clip_rect(rect);
    painter.hline(frame.x_range(), frame.center().y, Stroke::new(1.0, tokens.faint));
    if let Some(alone) = alone {
        painter.extend(Shape::dashed_line(&points(alone), Stroke::new(1.2, tokens.quiet), 4.0, 3.0));
    }
    painter.add(Shape::line(points(&furthest.curve_db), Stroke::new(1.6, tokens.accent(0))));
    let scale = format!("±{reach:.0} dB");
    painter.text(frame.right_top(), egui::Align2::RIGHT_TOP, scale, text::small(), tokens.quiet);
}
