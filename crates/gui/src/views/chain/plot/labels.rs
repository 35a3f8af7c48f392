//! Words in the plot: peaks, strings' notes, what the bands are, what 0 dB is.

use egui::{Align2, Color32, Painter, Pos2, Rect, Stroke, pos2, vec2};
use egui_plot::{PlotPoint, PlotTransform};
use rigwright_core::response::PointAnswer;
use rigwright_core::units::hertz;

use super::curves::Shown;
use super::hatch::Slice;
use super::label_places::{LabelRequest, places};
use crate::theme::{Tokens, text};

/// Names of the notes along the top, where there is room; gives back the room that they take.
pub fn notes(
    painter: &Painter,
    transform: &PlotTransform,
    notes: &[(f64, &str)],
    top: f64,
    tokens: &Tokens,
) -> Vec<Rect> {
    let (mut free_from, mut taken) = (f32::NEG_INFINITY, Vec::new());
    for (hz, name) in notes {
        let at = transform.position_from_point(&PlotPoint::new(hz.log10(), top));
        let galley = painter.layout_no_wrap((*name).to_owned(), text::small(), tokens.quiet);
        let left = at.x - 0.5 * galley.size().x;
        if left >= free_from {
            free_from = left + galley.size().x + 4.0;
            let min = pos2(left, at.y + 3.0);
            taken.push(Rect::from_min_size(min, galley.size()));
            painter.galley(min, galley, tokens.quiet);
        }
    }
    taken
}

/// A peak and what there is to say of it.
struct Peak {
    at: Pos2,
    words: String,
    ink: Color32,
}

/// The frequency of each peak beside it, and of the ghost's with what it is, as
/// far as there is room; adds what they take to what is taken, and gives back where the words stand.
pub fn peaks(
    painter: &Painter,
    transform: &PlotTransform,
    shown: &[Shown<'_>],
    ghost: Option<(&str, &PointAnswer)>,
    taken: &mut Vec<Rect>,
    tokens: &Tokens,
) -> Vec<Rect> {
    let peak = |answer: &PointAnswer, ink: Color32, more: &str| {
        let peak = answer.peak.ok()?;
        let at = transform.position_from_point(&PlotPoint::new(peak.hz.log10(), peak.db));
        Some(Peak { at, words: format!("{}{more}", hertz(peak.hz)), ink })
    };
    // What is in hand and what is pointed at stand nearest; variants come before sounds.
    let (in_hand, others): (Vec<&Shown<'_>>, Vec<&Shown<'_>>) = shown.iter().partition(|one| one.in_hand);
    let of = |one: &Shown<'_>| peak(one.answer, one.ink, "");
    let ghost = ghost.and_then(|(words, answer)| peak(answer, tokens.ink, &format!(", {words}")));
    let in_order = in_hand.into_iter().filter_map(of).chain(ghost);
    let peaks: Vec<Peak> = in_order.chain(others.into_iter().filter_map(of)).collect();
    for peak in peaks.iter().rev() {
        painter.circle_filled(peak.at, 3.0, peak.ink);
    }
    let told = told_once(&peaks);
    let galleys: Vec<_> =
        told.iter().map(|peak| painter.layout_no_wrap(peak.words.clone(), text::small(), peak.ink)).collect();
    let wanted = told.iter().zip(&galleys).map(|(peak, galley)| LabelRequest { at: peak.at, size: galley.size() });
    let wanted: Vec<LabelRequest> = wanted.collect();
    let frame = transform.frame().shrink(2.0);
    let mut written = Vec::new();
    for ((peak, galley), place) in told.into_iter().zip(galleys).zip(places(frame, &wanted, taken)) {
        let Some(place) = place else { continue };
        if let Some(tie) = place.tie {
            painter.line_segment(tie, Stroke::new(0.8, peak.ink));
            taken.push(Rect::from_two_pos(tie[0], tie[1]));
        }
        taken.push(place.rect);
        written.push(place.rect);
        painter.galley(place.rect.min, galley, peak.ink);
    }
    written
}

/// Where several curves peak at one place the words are told once, for the most important.
fn told_once(peaks: &[Peak]) -> Vec<&Peak> {
    const ONE_DOT: f32 = 6.0;
    let mut told: Vec<&Peak> = Vec::new();
    for peak in peaks {
        let again = |other: &&Peak| other.words == peak.words && other.at.distance(peak.at) < ONE_DOT;
        if !told.iter().any(again) {
            told.push(peak);
        }
    }
    told
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
    fn what_several_curves_share_is_told_once() {
        let peak = |x: f32, words: &str| Peak { at: pos2(x, 50.0), words: words.to_owned(), ink: Color32::RED };
        let peaks =
            [peak(100.0, "2.58 kHz"), peak(101.0, "2.58 kHz"), peak(103.0, "2.61 kHz"), peak(300.0, "2.58 kHz")];
        let told: Vec<f32> = told_once(&peaks).iter().map(|peak| peak.at.x).collect();
        assert_eq!(told, [100.0, 103.0, 300.0]);
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
