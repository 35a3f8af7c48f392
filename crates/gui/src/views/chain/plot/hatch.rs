//! Hatching of a band between two edges: parallel lines or dots, cut to the
//! band exactly. Pure geometry, in points of the screen.

use egui::{Pos2, pos2};

/// A place along a band: where its upper and lower edge are, y downward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slice {
    /// To the right.
    pub x: f32,
    /// The upper edge.
    pub top: f32,
    /// The lower edge, at or below the upper one.
    pub bottom: f32,
}

/// What fills a band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hatch {
    /// Nothing.
    None,
    /// Parallel lines that go down by `slope` a point to the right, so far apart.
    Lines {
        /// Downward, a point to the right.
        slope: f32,
        /// From line to line, square to them.
        spacing: f32,
    },
    /// Dots, so far apart, every second row shifted.
    Dots {
        /// From dot to dot.
        spacing: f32,
    },
}

/// A piece of a line that isn't over yet.
#[derive(Clone, Copy)]
struct Open {
    from: Pos2,
    to: Pos2,
}

/// All pieces of the lines `y = x·slope + n·step` (seen from `origin`) that lie
/// in the band. `spacing` is square to the lines.
pub fn lines(band: &[Slice], origin: Pos2, slope: f32, spacing: f32) -> Vec<[Pos2; 2]> {
    let step = spacing * (1.0 + slope * slope).sqrt();
    if step <= 0.0 || !step.is_finite() {
        return Vec::new();
    }
    // A line's number at a point: on the line itself it is whole.
    let number = |x: f32, y: f32| (y - origin.y - slope * (x - origin.x)) / step;
    let numbers: Vec<(f32, f32)> =
        band.iter().map(|slice| (number(slice.x, slice.top), number(slice.x, slice.bottom))).collect();
    let (first, last) = numbers
        .iter()
        .fold((f32::INFINITY, f32::NEG_INFINITY), |(first, last), (top, bottom)| (first.min(*top), last.max(*bottom)));
    if first > last || !(last - first).is_finite() {
        return Vec::new();
    }
    let first = first.ceil() as i32;
    let count = usize::try_from(last.floor() as i32 - first + 1).unwrap_or(0);
    let mut open: Vec<Option<Open>> = vec![None; count];
    let mut found = Vec::new();
    for (slices, numbers) in band.windows(2).zip(numbers.windows(2)) {
        let ([a, b], [(top_a, bottom_a), (top_b, bottom_b)]) = (slices, numbers) else { continue };
        let from = top_a.min(*top_b).ceil() as i32;
        let to = bottom_a.max(*bottom_b).floor() as i32;
        for line in from..=to {
            let here = line as f32;
            // Inside where the upper edge is at or above it, and the lower one at or below.
            let above = below_zero(top_a - here, top_b - here);
            let below = below_zero(here - bottom_a, here - bottom_b);
            let (start, end) = (above.0.max(below.0), above.1.min(below.1));
            if start >= end {
                continue;
            }
            let point = |along: f32| {
                let x = a.x + along * (b.x - a.x);
                pos2(x, origin.y + slope * (x - origin.x) + here * step)
            };
            let Some(slot) = usize::try_from(line - first).ok().and_then(|at| open.get_mut(at)) else { continue };
            match slot {
                Some(piece) if start == 0.0 && piece.to.x == a.x => piece.to = point(end),
                _ => {
                    let piece = Open { from: point(start), to: point(end) };
                    found.extend(slot.replace(piece).map(|over| [over.from, over.to]));
                }
            }
        }
    }
    found.extend(open.into_iter().flatten().map(|piece| [piece.from, piece.to]));
    found
}

/// Where, from 0 to 1, something that goes evenly from `a` to `b` is at or below zero.
fn below_zero(a: f32, b: f32) -> (f32, f32) {
    match (a <= 0.0, b <= 0.0) {
        (true, true) => (0.0, 1.0),
        (false, false) => (1.0, 0.0),
        (true, false) => (0.0, a / (a - b)),
        (false, true) => (a / (a - b), 1.0),
    }
}

/// The middles of all dots of a radius that lie whole in the band.
pub fn dots(band: &[Slice], origin: Pos2, spacing: f32, radius: f32) -> Vec<Pos2> {
    let mut found = Vec::new();
    if spacing <= 0.0 {
        return found;
    }
    // Columns at half the spacing: rows are shifted by that from one to the next.
    let column = 0.5 * spacing;
    for slices in band.windows(2) {
        let [a, b] = slices else { continue };
        let from = ((a.x - origin.x) / column).ceil() as i32;
        let to = ((b.x - origin.x) / column).ceil() as i32;
        for at in from..to {
            let x = origin.x + at as f32 * column;
            let along = (x - a.x) / (b.x - a.x);
            let top = a.top + along * (b.top - a.top) + radius;
            let bottom = a.bottom + along * (b.bottom - a.bottom) - radius;
            let shift = if at % 2 == 0 { 0.0 } else { 0.5 };
            let row = |y: f32| (y - origin.y) / spacing - shift;
            for row in row(top).ceil() as i32..=row(bottom).floor() as i32 {
                found.push(pos2(x, origin.y + (row as f32 + shift) * spacing));
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A band that widens, closes, goes steeply down and opens again.
    fn wild() -> Vec<Slice> {
        let edge = |x: f32| 80.0 + 60.0 * (x / 23.0).sin() + 0.4 * x;
        let width = |x: f32| (50.0 * (x / 41.0).sin()).max(0.0);
        (0..120)
            .map(|at| {
                let x = 10.0 + 3.1 * at as f32;
                Slice { x, top: edge(x), bottom: edge(x) + width(x) }
            })
            .collect()
    }

    fn edges_at(band: &[Slice], x: f32) -> Option<(f32, f32)> {
        let at = band.windows(2).find(|w| w[0].x <= x && x <= w[1].x)?;
        let along = (x - at[0].x) / (at[1].x - at[0].x);
        let between = |a: f32, b: f32| a + along * (b - a);
        Some((between(at[0].top, at[1].top), between(at[0].bottom, at[1].bottom)))
    }

    const SLOPES: [f32; 6] = [-1.0, 1.0, -3.0, 3.0, 0.3, 0.0];

    #[test]
    fn no_line_leaves_the_band() {
        let (band, origin) = (wild(), pos2(3.0, 7.0));
        for slope in SLOPES {
            let found = lines(&band, origin, slope, 7.0);
            assert!(found.len() > 10, "{slope}: {}", found.len());
            for [from, to] in found {
                assert!(from.x < to.x);
                for along in [0.0, 0.25, 0.5, 0.75, 1.0] {
                    let point = from.lerp(to, along);
                    let (top, bottom) = edges_at(&band, point.x).unwrap();
                    assert!(top - 0.01 <= point.y && point.y <= bottom + 0.01, "{slope}: {point} in {top}..{bottom}");
                }
            }
        }
    }

    /// Wherever a line goes through the band there is a piece of it.
    #[test]
    fn no_piece_is_missing_and_none_is_there_twice() {
        let (band, origin) = (wild(), pos2(3.0, 7.0));
        for slope in SLOPES {
            let found = lines(&band, origin, slope, 7.0);
            let step = 7.0 * (1.0 + slope * slope).sqrt();
            let mut inside = 0;
            for at in 0..500 {
                let x = 10.0 + 0.737 * at as f32;
                let Some((top, bottom)) = edges_at(&band, x) else { continue };
                for line in -180..120 {
                    let y = origin.y + slope * (x - origin.x) + step * line as f32;
                    let on_it = |[from, to]: &&[Pos2; 2]| {
                        let along = (x - from.x) / (to.x - from.x);
                        (0.0..=1.0).contains(&along) && (from.lerp(*to, along).y - y).abs() < 0.02
                    };
                    let pieces = found.iter().filter(on_it).count();
                    // At the edges themselves rounding decides.
                    if top + 0.05 < y && y < bottom - 0.05 {
                        assert_eq!(pieces, 1, "{slope}: {x}, {y}");
                        inside += 1;
                    } else if y < top - 0.05 || y > bottom + 0.05 {
                        assert_eq!(pieces, 0, "{slope}: {x}, {y}");
                    }
                }
            }
            assert!(inside > 300, "{slope}: {inside}");
        }
    }

    #[test]
    fn every_dot_is_whole_and_none_is_missing() {
        let (band, origin, spacing, radius) = (wild(), pos2(3.0, 7.0), 6.0, 0.9);
        let found = dots(&band, origin, spacing, radius);
        for dot in &found {
            let (top, bottom) = edges_at(&band, dot.x).unwrap();
            assert!(top - 0.01 <= dot.y - radius && dot.y + radius <= bottom + 0.01, "{dot}");
        }
        let mut expected = 0;
        for column in 0..200 {
            let x = origin.x + 3.0 * column as f32;
            let Some((top, bottom)) = edges_at(&band, x) else { continue };
            let shift = if column % 2 == 0 { 0.0 } else { 3.0 };
            let rows = (-100..200).map(|row| origin.y + shift + 6.0 * row as f32);
            expected += rows.filter(|y| top + 0.9 <= *y && *y <= bottom - 0.9).count();
        }
        assert!(expected > 100);
        assert!(found.len().abs_diff(expected) <= 2, "{} dots of {expected}", found.len());
    }

    #[test]
    fn what_has_no_area_has_no_hatching() {
        let flat: Vec<Slice> = (0..50).map(|x| Slice { x: x as f32, top: 20.5, bottom: 20.5 }).collect();
        assert!(lines(&flat, pos2(0.0, 0.0), 0.0, 7.0).is_empty());
        assert!(dots(&flat, pos2(0.0, 0.0), 6.0, 0.9).is_empty());
        assert!(lines(&[], pos2(0.0, 0.0), 1.0, 7.0).is_empty());
        assert!(lines(&flat[..1], pos2(0.0, 0.0), 1.0, 7.0).is_empty());
        assert!(lines(&flat, pos2(0.0, 0.0), 1.0, 0.0).is_empty());
        let broken = [Slice { x: 0.0, top: f32::NEG_INFINITY, bottom: 5.0 }, Slice { x: 1.0, top: 0.0, bottom: 5.0 }];
        assert!(lines(&broken, pos2(0.0, 0.0), 1.0, 7.0).is_empty());
    }
}
