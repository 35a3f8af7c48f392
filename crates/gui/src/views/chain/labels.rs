//! Words in the plot: peaks, strings' notes, what the bands are, what 0 dB is.

use egui::{Align2, Color32, Painter, Pos2, Rect, Stroke, pos2, vec2};
use egui_plot::{PlotPoint, PlotTransform};
use rigwright_core::response::PointAnswer;
use rigwright_core::units::hertz;

use super::curves::Shown;
use super::hatch::Slice;
use crate::theme::{Tokens, text};

/// Names of the notes along the top, where there is room.
pub fn notes(painter: &Painter, transform: &PlotTransform, notes: &[(f64, &str)], top: f64, tokens: &Tokens) {
    let mut free_from = f32::NEG_INFINITY;
    for (hz, name) in notes {
        let at = transform.position_from_point(&PlotPoint::new(hz.log10(), top));
        let galley = painter.layout_no_wrap((*name).to_owned(), text::small(), tokens.quiet);
        let left = at.x - 0.5 * galley.size().x;
        if left >= free_from {
            free_from = left + galley.size().x + 4.0;
            painter.galley(pos2(left, at.y + 3.0), galley, tokens.quiet);
        }
    }
}

/// The frequency of each peak beside it, and of the ghost's with what it is;
/// gives back the room that they take.
pub fn peaks(
    painter: &Painter,
    transform: &PlotTransform,
    shown: &[Shown<'_>],
    ghost: Option<(&str, &PointAnswer)>,
    tokens: &Tokens,
) -> Vec<Rect> {
    let frame = transform.frame().shrink(2.0);
    let ghost = ghost.map(|(words, answer)| (answer, tokens.ink, format!(", {words}")));
    let curves = shown.iter().map(|curve| (curve.answer, curve.ink, String::new())).chain(ghost);
    let peaks: Vec<(Pos2, String, Color32)> = curves
        .filter_map(|(answer, ink, more)| {
            let peak = answer.peak.ok()?;
            let at = transform.position_from_point(&PlotPoint::new(peak.hz.log10(), peak.db));
            Some((at, format!("{}{more}", hertz(peak.hz)), ink))
        })
        .collect();
    // No word on any of the dots.
    let dot = |at: Pos2| Rect::from_center_size(at, vec2(8.0, 8.0));
    let mut taken: Vec<Rect> = peaks.iter().map(|(at, ..)| dot(*at)).collect();
    for (at, words, ink) in peaks {
        painter.circle_filled(at, 3.0, ink);
        let galley = painter.layout_no_wrap(words, text::small(), ink);
        let Some(rect) = beside(at, galley.size(), frame, &taken) else { continue };
        let nearest = rect.clamp(at);
        if nearest.distance(at) > 14.0 {
            painter.line_segment([at, nearest], Stroke::new(0.8, ink));
        }
        taken.push(rect);
        painter.galley(rect.min, galley, ink);
    }
    taken
}

/// Room for words near a point: above it, or else beside it, or else further
/// away, whichever is the first that is free.
fn beside(at: Pos2, size: egui::Vec2, frame: Rect, taken: &[Rect]) -> Option<Rect> {
    let (w, h) = (size.x, size.y);
    let near = [vec2(0.0, -14.0), vec2(0.5 * w + 10.0, -6.0)];
    let rows = (1_u8..=6).map(f32::from).flat_map(|row| {
        let up = -14.0 - row * (h + 4.5);
        [0.0, 0.6, -0.6].into_iter().map(move |aside| vec2(aside * w, up))
    });
    let left = -0.5 * w - 10.0;
    let low = [vec2(left, -6.0), vec2(0.0, 14.0), vec2(0.5 * w + 10.0, 10.0), vec2(left, 10.0)];
    let places = near.into_iter().chain(rows).chain(low);
    let rects = places.map(|by| Rect::from_center_size(at + by, size));
    let free = |rect: &Rect| !taken.iter().any(|other| other.expand(2.0).intersects(*rect));
    rects.into_iter().find(|rect| frame.contains_rect(*rect) && free(rect))
}

/// What the bands are, written where neither they nor anything else is in the way.
pub fn bands(
    painter: &Painter,
    frame: Rect,
    bands: &[Vec<Slice>],
    taken: &[Rect],
    words: &str,
    ink: Color32,
) -> Option<Rect> {
    let galley = painter.layout_no_wrap(words.to_owned(), text::small(), ink);
    let place = free_place(frame, bands, taken, galley.size())?;
    painter.galley(place.min, galley, ink);
    Some(place)
}

/// Below all bands or else above them, from the left on.
fn free_place(frame: Rect, bands: &[Vec<Slice>], taken: &[Rect], size: egui::Vec2) -> Option<Rect> {
    const GAP: f32 = 8.0;
    // The strings' notes stand along the top.
    let room = Rect::from_min_max(frame.min + vec2(GAP, 20.0), frame.max - vec2(GAP, GAP));
    let lefts: Vec<f32> = (0..40)
        .map(|at| room.left() + 0.025 * at as f32 * room.width())
        .filter(|x| x + size.x <= room.right())
        .collect();
    let edges = |left: f32| {
        let near = move |slice: &&Slice| (left - GAP..=left + size.x + GAP).contains(&slice.x);
        let there = bands.iter().flatten().filter(near);
        there.fold((f32::INFINITY, f32::NEG_INFINITY), |(top, bottom), slice| {
            (top.min(slice.top), bottom.max(slice.bottom))
        })
    };
    // Somewhat in, first, as one would write it.
    let inner = lefts.len() / 8;
    let in_order = || lefts.iter().skip(inner).chain(lefts.iter().take(inner));
    let below = in_order().map(|left| pos2(*left, edges(*left).1 + GAP));
    let above = in_order().map(|left| pos2(*left, edges(*left).0 - GAP - size.y));
    let places = below.chain(above).map(|min| Rect::from_min_size(min, size));
    places.into_iter().find(|rect| {
        rect.min.y.is_finite()
            && room.contains_rect(*rect)
            && !taken.iter().any(|other| other.expand(4.0).intersects(*rect))
    })
}

/// The line at 0 dB and whose it is.
pub fn zero(painter: &Painter, transform: &PlotTransform, name: &str, tokens: &Tokens) -> Rect {
    let frame = *transform.frame();
    let y = transform.position_from_point_y(0.0);
    painter.hline(frame.x_range(), y, Stroke::new(1.2, tokens.quiet));
    painter.text(
        pos2(frame.left() + 6.0, y - 3.0),
        Align2::LEFT_BOTTOM,
        format!("0 dB: {name}"),
        text::small(),
        tokens.quiet,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_peaks_near_each_other_keep_apart() {
        let frame = Rect::from_min_size(Pos2::ZERO, vec2(990.0, 300.0));
        let mut taken = Vec::new();
        for at in 0..8 {
            let place = beside(pos2(500.0 + 3.0 * at as f32, 150.0), vec2(45.0, 14.0), frame, &taken).unwrap();
            assert!(frame.contains_rect(place) && !taken.iter().any(|other: &Rect| other.intersects(place)));
            taken.push(place);
        }
        // At the frame's edge it stands inside.
        let corner = beside(pos2(985.0, 5.0), vec2(45.0, 14.0), frame, &[]).unwrap();
        assert!(frame.contains_rect(corner), "{corner}");
    }

    fn flat(top: f32, bottom: f32) -> Vec<Slice> {
        (0..100).map(|at| Slice { x: 10.0 * at as f32, top, bottom }).collect()
    }

    #[test]
    fn the_words_stand_below_the_bands_or_else_above_or_not_at_all() {
        let frame = Rect::from_min_size(Pos2::ZERO, vec2(990.0, 300.0));
        let size = vec2(200.0, 14.0);
        let below = free_place(frame, &[flat(100.0, 180.0), flat(120.0, 200.0)], &[], size).unwrap();
        assert!(below.top() >= 200.0 && frame.contains_rect(below), "{below}");
        let above = free_place(frame, &[flat(100.0, 290.0)], &[], size).unwrap();
        assert!(above.bottom() <= 100.0 && above.top() >= 20.0, "{above}");
        assert_eq!(free_place(frame, &[flat(25.0, 290.0)], &[], size), None);
        let beside = free_place(frame, &[flat(100.0, 180.0)], &[below], size).unwrap();
        assert!(!beside.intersects(below), "{beside}");
        assert_eq!(free_place(Rect::from_min_size(Pos2::ZERO, vec2(150.0, 300.0)), &[], &[], size), None);
    }
}
