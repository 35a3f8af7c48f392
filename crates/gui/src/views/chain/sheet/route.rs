//! The way of a lead over the sheet, and what lies near it.

use egui::{Pos2, pos2};

use super::drawing::ROW;

/// The corners of a lead from an output at `a` to an input at `b`; `down` where
/// the output points downward, `up` where the lead comes to the input from below.
pub fn route(a: Pos2, b: Pos2, down: bool, up: bool) -> Vec<Pos2> {
    const OUT: f32 = 16.0;
    if (a.y - b.y).abs() < 0.5 && b.x >= a.x {
        return vec![a, b];
    }
    if down && b.x >= a.x && b.y > a.y {
        return vec![a, pos2(a.x, b.y), b];
    }
    if up && b.x >= a.x && a.y > b.y {
        return vec![a, pos2(b.x, a.y), b];
    }
    if b.x >= a.x + 2.0 * OUT {
        let x = a.x + OUT;
        return vec![a, pos2(x, a.y), pos2(x, b.y), b];
    }
    // Back to the left: through the channel between two rows.
    let channel = if b.y > a.y + 100.0 { b.y - 0.51 * ROW } else { a.y.max(b.y) + 0.46 * ROW };
    vec![a, pos2(a.x + OUT, a.y), pos2(a.x + OUT, channel), pos2(b.x - OUT, channel), pos2(b.x - OUT, b.y), b]
}

/// Middle and length of the longest level stretch.
pub fn longest_level(points: &[Pos2]) -> (Pos2, f32) {
    points
        .windows(2)
        .filter(|w| (w[0].y - w[1].y).abs() < 0.5)
        .map(|w| (w[0] + (w[1] - w[0]) * 0.5, w[0].distance(w[1])))
        .fold(
            (points.first().copied().unwrap_or(Pos2::ZERO), 0.0),
            |best, next| if next.1 > best.1 { next } else { best },
        )
}

/// Distance of `at` from a line of corners, and how far along it (0 to 1) the nearest point lies.
pub fn nearest(points: &[Pos2], at: Pos2) -> (f32, f32) {
    let total: f32 = points.windows(2).map(|w| w[0].distance(w[1])).sum();
    let mut before = 0.0;
    let mut best = (f32::INFINITY, 0.0);
    for w in points.windows(2) {
        let (way, length) = (w[1] - w[0], w[0].distance(w[1]));
        let part = if length > 0.0 { ((at - w[0]).dot(way) / (length * length)).clamp(0.0, 1.0) } else { 0.0 };
        let distance = (w[0] + way * part).distance(at);
        if distance < best.0 {
            best = (distance, if total > 0.0 { (before + part * length) / total } else { 0.0 });
        }
        before += length;
    }
    best
}
