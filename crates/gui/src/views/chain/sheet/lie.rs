//! How all leads of a drawing lie: each its plain way, or around what stands there.

use egui::{Pos2, Rect, pos2, vec2};

use super::detour::{Piece, around, cross, is_clear, together, without_needless};
use super::route::route;

/// From a jack to the first corner.
const STUB: f32 = 16.0;
/// The longest stretch that a plain way may lie on another lead.
const SHARED: f32 = 24.0;

/// Where a lead begins and ends.
#[derive(Debug, Clone, Copy)]
pub struct Ends {
    /// The output's place, and the input's.
    pub from: Pos2,
    pub to: Pos2,
    /// Whether it leaves the output downward.
    pub down: bool,
    /// Whether it comes to the input from below.
    pub up: bool,
    /// The bodies that its plugs are at, by their places among the obstacles: a jack
    /// below a body lies in that body's own rectangle.
    pub own: [Option<usize>; 2],
}

/// The ways of all leads, those without ends left out as they are.
///
/// The plain way is taken wherever it is clear and crosses none before it; the others find theirs afterwards, around
/// the obstacles and off the leads that lie already.
pub fn lie(leads: &[Option<Ends>], obstacles: &[Rect]) -> Vec<Option<Vec<Pos2>>> {
    let mut pieces: Vec<Piece> = Vec::new();
    let mut ways: Vec<Option<Vec<Pos2>>> = vec![None; leads.len()];
    let mut later = Vec::new();
    for (at, ends) in leads.iter().enumerate() {
        let Some(ends) = ends else { continue };
        let plain = route(ends.from, ends.to, ends.down, ends.up);
        let shared = || {
            let each = plain.windows(2).map(|w| pieces.iter().map(|piece| together((w[0], w[1]), *piece)).sum::<f32>());
            each.sum::<f32>()
        };
        let crosses = || plain.windows(2).any(|w| pieces.iter().any(|piece| cross((w[0], w[1]), *piece)));
        if is_clear(&plain, &hindering(ends, obstacles)) && shared() <= SHARED && !crosses() {
            pieces.extend(plain.windows(2).map(|w| (w[0], w[1])));
            ways[at] = Some(plain);
        } else {
            later.push((at, *ends, plain));
        }
    }
    for (at, ends, plain) in later {
        let hindering = hindering(&ends, obstacles);
        let out = if ends.down { vec2(0.0, STUB) } else { vec2(STUB, 0.0) };
        let back = if ends.up { vec2(0.0, STUB) } else { vec2(-STUB, 0.0) };
        let found = around(ends.from + out, ends.to + back, &hindering, &pieces);
        let way = found.map(|inner| without_needless([ends.from].into_iter().chain(inner).chain([ends.to]).collect()));
        let way = way.unwrap_or(plain);
        pieces.extend(way.windows(2).map(|w| (w[0], w[1])));
        ways[at] = Some(way);
    }
    ways
}

/// What stands in a lead's way: all but the bodies whose jacks lie inside them.
fn hindering(ends: &Ends, obstacles: &[Rect]) -> Vec<Rect> {
    let lies_in = |at: usize, rect: &Rect| {
        let jacks = [ends.from, ends.to];
        ends.own.iter().zip(jacks).any(|(own, jack)| *own == Some(at) && rect.contains(jack))
    };
    obstacles.iter().enumerate().filter(|(at, rect)| !lies_in(*at, rect)).map(|(_, rect)| *rect).collect()
}

/// What a lead keeps off of a device: its symbol and its name, less than its jacks.
#[must_use]
pub fn body(rect: Rect) -> Rect {
    Rect::from_min_max(pos2(rect.min.x + 6.0, rect.min.y + 4.0), pos2(rect.max.x - 6.0, rect.max.y - 4.0))
}
