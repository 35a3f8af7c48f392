//! The way of a lead around what stands on the sheet, where the plain way would run
//! through it: the shortest one with few corners that doesn't lie on another lead.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use egui::{Pos2, Rect, pos2};

use super::room;

/// From the edge of what stands there to the lanes around it.
const LANES: [f32; 2] = [10.0, 20.0];
/// So much longer may a way be for one corner less.
const CORNER: f32 = 40.0;
/// The same for not crossing another lead, and for not lying on it (for each unit of length).
const CROSSING: f32 = 160.0;
const ON_ANOTHER: f32 = 6.0;
/// Nearer than this, side by side, two leads look like one.
const APART: f32 = 6.0;
/// What stands farther off than this from both ends is no matter.
const NEAR: f32 = 280.0;
/// Of that only so many, the nearest ones.
const MOST_OBSTACLES: usize = 24;

/// A straight piece of a lead.
pub type Piece = (Pos2, Pos2);

/// Whether a straight piece, level or upright, goes through a rectangle.
#[must_use]
pub fn goes_through((a, b): Piece, rect: Rect) -> bool {
    room::overlap(Rect::from_two_pos(a, b), rect)
}

/// Whether a way is clear of all rectangles.
#[must_use]
pub fn is_clear(points: &[Pos2], obstacles: &[Rect]) -> bool {
    points.windows(2).all(|w| obstacles.iter().all(|rect| !goes_through((w[0], w[1]), *rect)))
}

fn is_level((a, b): Piece) -> bool {
    (a.y - b.y).abs() < (a.x - b.x).abs()
}

/// How long two pieces lie on each other.
#[must_use]
pub fn together(a: Piece, b: Piece) -> f32 {
    if is_level(a) != is_level(b) {
        return 0.0;
    }
    let (apart, shared) = match is_level(a) {
        true => ((a.0.y - b.0.y).abs(), overlap((a.0.x, a.1.x), (b.0.x, b.1.x))),
        false => ((a.0.x - b.0.x).abs(), overlap((a.0.y, a.1.y), (b.0.y, b.1.y))),
    };
    if apart < APART { shared } else { 0.0 }
}

fn overlap(a: (f32, f32), b: (f32, f32)) -> f32 {
    (a.0.max(a.1).min(b.0.max(b.1)) - a.0.min(a.1).max(b.0.min(b.1))).max(0.0)
}

/// Whether two pieces cross.
#[must_use]
pub fn cross(a: Piece, b: Piece) -> bool {
    if is_level(a) == is_level(b) {
        return false;
    }
    let (level, upright) = if is_level(a) { (a, b) } else { (b, a) };
    let (x, y) = (upright.0.x, level.0.y);
    let within = |v: f32, p: f32, q: f32| v > p.min(q) + 0.5 && v < p.max(q) - 0.5;
    within(x, level.0.x, level.1.x) && within(y, upright.0.y, upright.1.y)
}

/// A place on the grid, how it was come to, and what that took.
#[derive(Clone, Copy, PartialEq)]
struct Step {
    /// What it took, and what it takes at least from here.
    total: f32,
    taken: f32,
    node: usize,
}

impl Eq for Step {}

impl Ord for Step {
    fn cmp(&self, other: &Self) -> Ordering {
        // The least first; of equals the one that was found first.
        other.total.total_cmp(&self.total).then_with(|| other.node.cmp(&self.node))
    }
}

impl PartialOrd for Step {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// The lines of the grid in one direction, in order, none twice.
fn lines(mut found: Vec<f32>) -> Vec<f32> {
    found.sort_by(f32::total_cmp);
    found.dedup_by(|a, b| (*a - *b).abs() < 1.0);
    found
}

/// The way from `a` to `b` around `obstacles`, its corners from end to end, beside or
/// across `others` only where it must; none if there is no way.
///
/// It leaves `a` and comes to `b` in any direction; the grid of lanes around the obstacles
/// is searched by A* over places and directions.
#[must_use]
pub fn around(a: Pos2, b: Pos2, obstacles: &[Rect], others: &[Piece]) -> Option<Vec<Pos2>> {
    let field = Rect::from_two_pos(a, b).expand(NEAR);
    let mut near: Vec<Rect> = obstacles.iter().copied().filter(|rect| rect.intersects(field)).collect();
    let distance = |rect: &Rect| rect.distance_to_pos(a).min(rect.distance_to_pos(b));
    near.sort_by(|p, q| distance(p).total_cmp(&distance(q)));
    near.truncate(MOST_OBSTACLES);
    let others: Vec<Piece> =
        others.iter().copied().filter(|piece| Rect::from_two_pos(piece.0, piece.1).intersects(field)).collect();
    let around = |low: f32, high: f32| LANES.iter().flat_map(move |lane| [low - lane, high + lane]);
    let xs = lines(near.iter().flat_map(|rect| around(rect.min.x, rect.max.x)).chain([a.x, b.x]).collect());
    let ys = lines(near.iter().flat_map(|rect| around(rect.min.y, rect.max.y)).chain([a.y, b.y]).collect());
    let nearest = |lines: &[f32], at: f32| {
        (0..lines.len()).min_by(|&i, &j| (lines[i] - at).abs().total_cmp(&(lines[j] - at).abs())).unwrap_or(0)
    };
    let (start, goal) = ((nearest(&xs, a.x), nearest(&ys, a.y)), (nearest(&xs, b.x), nearest(&ys, b.y)));
    let at = |(i, j): (usize, usize)| match (i, j) {
        _ if (i, j) == start => a,
        _ if (i, j) == goal => b,
        _ => pos2(xs[i], ys[j]),
    };
    // Two nodes a place: come to it level, or upright.
    let node = |(i, j): (usize, usize), upright: bool| 2 * (j * xs.len() + i) + usize::from(upright);
    let place = |node: usize| ((node / 2) % xs.len(), (node / 2) / xs.len());
    let mut best = vec![f32::INFINITY; 2 * xs.len() * ys.len()];
    let mut from: Vec<Option<usize>> = vec![None; best.len()];
    let left = |p: Pos2| (p.x - b.x).abs() + (p.y - b.y).abs();
    let mut open = BinaryHeap::new();
    for upright in [false, true] {
        let first = node(start, upright);
        best[first] = if upright { CORNER } else { 0.0 };
        open.push(Step { total: best[first] + left(a), taken: best[first], node: first });
    }
    let mut end = None;
    while let Some(Step { taken, node: here, .. }) = open.pop() {
        if taken > best[here] {
            continue;
        }
        let (i, j) = place(here);
        if (i, j) == goal {
            end = Some(here);
            break;
        }
        let mut steps: Vec<((usize, usize), bool)> = Vec::with_capacity(4);
        if i > 0 {
            steps.push(((i - 1, j), false));
        }
        if i + 1 < xs.len() {
            steps.push(((i + 1, j), false));
        }
        if j > 0 {
            steps.push(((i, j - 1), true));
        }
        if j + 1 < ys.len() {
            steps.push(((i, j + 1), true));
        }
        for (next, upright) in steps {
            let piece = (at((i, j)), at(next));
            if near.iter().any(|rect| goes_through(piece, *rect)) {
                continue;
            }
            let length = piece.0.distance(piece.1);
            let turned = if upright == (here % 2 == 1) { 0.0 } else { CORNER };
            let beside: f32 = others.iter().map(|other| ON_ANOTHER * together(piece, *other)).sum();
            let crossings = others.iter().filter(|other| cross(piece, **other)).count() as f32;
            let reached = node(next, upright);
            let cost = taken + length + turned + beside + CROSSING * crossings;
            if cost < best[reached] {
                best[reached] = cost;
                from[reached] = Some(here);
                open.push(Step { total: cost + left(at(next)), taken: cost, node: reached });
            }
        }
    }
    let mut points = Vec::new();
    let mut here = end;
    while let Some(node) = here {
        points.push(at(place(node)));
        here = from[node];
    }
    points.reverse();
    (points.len() >= 2).then(|| without_needless(points))
}

/// The same way without corners that are none.
#[must_use]
pub fn without_needless(points: Vec<Pos2>) -> Vec<Pos2> {
    let mut kept: Vec<Pos2> = Vec::new();
    for point in points {
        if kept.last().is_some_and(|last| last.distance(point) < 0.5) {
            continue;
        }
        while let [.., a, b] = kept[..] {
            let straight = (a.x - b.x).abs() < 0.5 && (b.x - point.x).abs() < 0.5
                || (a.y - b.y).abs() < 0.5 && (b.y - point.y).abs() < 0.5;
            if !straight {
                break;
            }
            kept.pop();
        }
        kept.push(point);
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(x: f32, y: f32) -> Rect {
        Rect::from_center_size(pos2(x, y), egui::vec2(80.0, 100.0))
    }

    #[test]
    fn it_goes_around_what_stands_in_the_way() {
        let (a, b) = (pos2(0.0, 0.0), pos2(400.0, 0.0));
        let obstacles = [block(200.0, 10.0)];
        assert!(!is_clear(&[a, b], &obstacles));
        let way = around(a, b, &obstacles, &[]).unwrap();
        assert!(is_clear(&way, &obstacles), "{way:?}");
        assert_eq!((way.first(), way.last()), (Some(&a), Some(&b)));
        // Over it, since it stands lower than the ends: up before it, along, and down at the end.
        assert_eq!(way.len(), 5, "{way:?}");
        assert!(way.iter().all(|point| point.y <= 0.0));
        for w in way.windows(2) {
            assert!((w[0].x - w[1].x).abs() < 0.5 || (w[0].y - w[1].y).abs() < 0.5, "{way:?} is slanted");
        }
    }

    #[test]
    fn it_keeps_off_other_leads_where_it_can() {
        let (a, b) = (pos2(0.0, 0.0), pos2(400.0, 0.0));
        let obstacles = [block(200.0, 10.0)];
        let first = around(a, b, &obstacles, &[]).unwrap();
        let others: Vec<Piece> = first.windows(2).map(|w| (w[0], w[1])).collect();
        // Another pair of ends near by: its way doesn't lie on the first one.
        let second = around(pos2(0.0, 30.0), pos2(400.0, 30.0), &obstacles, &others).unwrap();
        let shared: f32 =
            second.windows(2).map(|w| others.iter().map(|other| together((w[0], w[1]), *other)).sum::<f32>()).sum();
        assert_eq!(shared, 0.0, "{first:?} {second:?}");
    }

    #[test]
    fn walled_in_there_is_no_way() {
        let a = pos2(0.0, 0.0);
        let wall = |x: f32, y: f32, w: f32, h: f32| Rect::from_center_size(pos2(x, y), egui::vec2(w, h));
        let walls = [
            wall(0.0, -60.0, 160.0, 20.0),
            wall(0.0, 60.0, 160.0, 20.0),
            wall(-70.0, 0.0, 20.0, 160.0),
            wall(70.0, 0.0, 20.0, 160.0),
        ];
        assert!(around(a, pos2(300.0, 0.0), &walls, &[]).is_none());
    }

    #[test]
    fn needless_corners_go() {
        let points = vec![pos2(0.0, 0.0), pos2(5.0, 0.0), pos2(9.0, 0.0), pos2(9.0, 0.0), pos2(9.0, 4.0)];
        assert_eq!(without_needless(points), [pos2(0.0, 0.0), pos2(9.0, 0.0), pos2(9.0, 4.0)]);
    }
}
