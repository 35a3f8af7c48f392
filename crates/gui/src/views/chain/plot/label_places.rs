//! Where words stand beside the points that they are about: none on another, none
//! on a point, and no line that ties words to their point across other words.

use egui::{Pos2, Rect, Vec2, vec2};

/// A point in the plot, and the room that its words take.
#[derive(Debug, Clone, Copy)]
pub struct LabelRequest {
    /// The point.
    pub at: Pos2,
    /// How large the words are.
    pub size: Vec2,
}

/// Where the words stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LabelPlace {
    /// The room that they take.
    pub rect: Rect,
    /// A line from the point to them, where they are too far from it to belong to it at a glance.
    pub tie: Option<[Pos2; 2]>,
}

/// Words nearer to their point than this belong to it without a line.
const NEAR: f32 = 14.0;
/// Words keep so far from others and from points.
const APART: f32 = 2.0;

/// The room of a point's dot.
fn dot(at: Pos2) -> Rect {
    Rect::from_center_size(at, vec2(8.0, 8.0))
}

/// A place for each, the most important first: what comes later stands further
/// away, or not at all where there is no room.
pub fn places(frame: Rect, wanted: &[LabelRequest], taken: &[Rect]) -> Vec<Option<LabelPlace>> {
    let dots: Vec<Rect> = wanted.iter().map(|one| dot(one.at)).collect();
    let mut words: Vec<Rect> = taken.to_vec();
    let mut ties: Vec<[Pos2; 2]> = Vec::new();
    let mut found = Vec::new();
    for one in wanted {
        let free = |place: &LabelPlace| {
            let room = place.rect.expand(APART);
            let clear = |rect: &Rect| !room.intersects(*rect);
            let tied = |tie| !words.iter().any(|rect| crosses(tie, rect.expand(0.5 * APART)));
            frame.contains_rect(place.rect)
                && words.iter().chain(&dots).all(clear)
                && !ties.iter().any(|tie| crosses(*tie, room))
                && place.tie.is_none_or(tied)
        };
        let alone = |place: &LabelPlace| place.tie.is_none_or(|tie| !ties.iter().any(|other| cross(*other, tie)));
        // A line across another line is better than no words.
        let mut possible = candidates(*one).filter(free).peekable();
        let first = possible.peek().copied();
        let place = possible.find(alone).or(first);
        words.extend(place.map(|place| place.rect));
        ties.extend(place.and_then(|place| place.tie));
        found.push(place);
    }
    found
}

/// Above a point, or else beside it, or else further away, where the line is shortest.
fn candidates(one: LabelRequest) -> impl Iterator<Item = LabelPlace> {
    let LabelRequest { at, size } = one;
    let place = move |by: Vec2| {
        let rect = Rect::from_center_size(at + by, size);
        let end = rect.clamp(at);
        LabelPlace { rect, tie: (end.distance(at) > NEAR).then_some([at, end]) }
    };
    let near = [vec2(0.0, -14.0), vec2(0.5 * size.x + 10.0, -6.0)];
    let far = move || {
        let rows = (-FAR..=FAR).map(|row| f32::from(row) * 0.5 * (size.y + 4.5));
        let columns = (-FAR..=FAR).map(|column| f32::from(column) * 0.25 * size.x);
        let steps = rows.flat_map(|down| columns.clone().map(move |aside| vec2(aside, down)));
        let mut found: Vec<(f32, LabelPlace)> = steps.map(|by| (effort(by, size), place(by))).collect();
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found
    };
    // Most points stand alone: the many places are made only for those that don't.
    near.into_iter().map(place).chain(std::iter::once_with(far).flatten().map(|(_, place)| place))
}

/// So many half rows up and down, and quarters of the words' width aside.
const FAR: i8 = 10;

/// How far the eye has to go, and what it goes over: curves run to a peak from
/// the left and fall from it to the right.
fn effort(by: Vec2, size: Vec2) -> f32 {
    let to = vec2((by.x.abs() - 0.5 * size.x).max(0.0), (by.y.abs() - 0.5 * size.y).max(0.0));
    let over = match by.y {
        y if y > 0.5 * size.y => 90.0,
        y if y > -0.5 * size.y => 30.0,
        _ => 0.0,
    };
    to.length() + over + if by.x < 0.0 { 10.0 } else { 0.0 }
}

/// Whether a line comes into a rectangle.
fn crosses(line: [Pos2; 2], rect: Rect) -> bool {
    let [from, along] = [line[0], (line[1] - line[0]).to_pos2()];
    // The part of the line that lies between both pairs of sides.
    let (mut enters, mut leaves) = (0.0_f32, 1.0_f32);
    for (start, step, low, high) in
        [(from.x, along.x, rect.left(), rect.right()), (from.y, along.y, rect.top(), rect.bottom())]
    {
        if step.abs() < f32::EPSILON {
            if start < low || start > high {
                return false;
            }
            continue;
        }
        let (a, b) = ((low - start) / step, (high - start) / step);
        (enters, leaves) = (enters.max(a.min(b)), leaves.min(a.max(b)));
    }
    enters <= leaves
}

/// Whether two lines cross.
fn cross(a: [Pos2; 2], b: [Pos2; 2]) -> bool {
    let side = |line: [Pos2; 2], point: Pos2| {
        let (along, to) = (line[1] - line[0], point - line[0]);
        along.x * to.y - along.y * to.x
    };
    side(a, b[0]) * side(a, b[1]) < 0.0 && side(b, a[0]) * side(b, a[1]) < 0.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    const WORDS: Vec2 = vec2(52.0, 14.0);

    fn frame(width: f32, height: f32) -> Rect {
        Rect::from_min_size(Pos2::ZERO, vec2(width, height))
    }

    /// What must hold of any places, and how many there are.
    fn check(frame: Rect, wanted: &[LabelRequest], taken: &[Rect]) -> usize {
        let places = places(frame, wanted, taken);
        assert_eq!(places.len(), wanted.len());
        let there: Vec<(usize, LabelPlace)> =
            places.iter().enumerate().filter_map(|(at, place)| place.map(|place| (at, place))).collect();
        for (at, place) in &there {
            assert!(frame.contains_rect(place.rect), "{place:?}");
            assert!(!taken.iter().any(|rect| rect.intersects(place.rect)), "{place:?}");
            assert!(!wanted.iter().any(|one| dot(one.at).intersects(place.rect)), "{place:?}");
            let near = place.rect.distance_to_pos(wanted[*at].at) <= NEAR + 0.01;
            assert_eq!(place.tie.is_none(), near, "{place:?}");
            for (_, other) in there.iter().filter(|(other, _)| other != at) {
                assert!(!place.rect.intersects(other.rect), "{place:?} on {other:?}");
                // Sampled, and not with the code's own arithmetic.
                for step in place.tie.iter().flat_map(|[a, b]| (0..=400).map(|t| a.lerp(*b, t as f32 / 400.0))) {
                    assert!(!other.rect.contains(step), "the line of {place:?} goes through {other:?}");
                }
            }
        }
        there.len()
    }

    fn all(points: impl IntoIterator<Item = (f32, f32)>) -> Vec<LabelRequest> {
        points.into_iter().map(|(x, y)| LabelRequest { at: pos2(x, y), size: WORDS }).collect()
    }

    #[test]
    fn words_of_points_near_each_other_keep_apart() {
        // As many as there are variants to compare, from one on another to far apart.
        for many in 2_u8..=6 {
            for gap in [0.0, 1.5, 3.0, 6.0, 10.0, 15.0, 25.0, 40.0] {
                let at = (0..many).map(|at| gap * f32::from(at));
                let wanted = all(at.map(|by| (500.0 + by, 150.0 + 0.3 * by)));
                let there = check(frame(990.0, 300.0), &wanted, &[]);
                assert_eq!(there, usize::from(many), "there is room for all, {gap} apart");
            }
        }
        // At the frame's edge they stand inside.
        assert_eq!(check(frame(990.0, 300.0), &all([(985.0, 5.0)]), &[]), 1);
    }

    #[test]
    fn any_crowd_keeps_apart() {
        // A row of numbers that are as good as random: x -> 75 x + 74 modulo 65537.
        let mut number = 1_u32;
        let mut next = |below: f32| {
            number = (75 * number + 74) % 65_537;
            below * number as f32 / 65_537.0
        };
        for crowd in 0..300 {
            let frame = frame(120.0 + next(800.0), 60.0 + next(300.0));
            let centre = pos2(next(frame.width()), next(frame.height()));
            let many = 2 + crowd % 11;
            let spread = next(80.0);
            let points: Vec<(f32, f32)> = (0..many)
                .map(|_| frame.clamp(centre + vec2(next(spread), next(0.4 * spread))))
                .map(|at| (at.x, at.y))
                .collect();
            let notes = [Rect::from_min_size(pos2(10.0, 3.0), vec2(14.0, 13.0))];
            check(frame, &all(points), &notes);
        }
    }

    #[test]
    fn where_there_is_no_room_the_less_important_is_left_out() {
        let wanted = all((0..12).map(|_| (60.0, 30.0)));
        let small = frame(120.0, 60.0);
        assert!((1..12).contains(&check(small, &wanted, &[])));
        assert!(places(small, &wanted, &[])[0].is_some());
        assert_eq!(check(frame(40.0, 60.0), &wanted, &[]), 0, "the frame is narrower than the words");
    }

    #[test]
    fn lines_and_rectangles() {
        let rect = Rect::from_min_max(pos2(10.0, 10.0), pos2(20.0, 20.0));
        for line in [[(0.0, 15.0), (30.0, 15.0)], [(15.0, 15.0), (16.0, 16.0)], [(5.0, 15.0), (15.0, 5.0)]] {
            assert!(crosses(line.map(Pos2::from), rect), "{line:?}");
        }
        for line in [[(0.0, 5.0), (30.0, 5.0)], [(0.0, 15.0), (9.0, 15.0)], [(0.0, 15.0), (15.0, 0.0)]] {
            assert!(!crosses(line.map(Pos2::from), rect), "{line:?}");
        }
        let upright = [(5.0, 0.0), (5.0, 10.0)].map(Pos2::from);
        assert!(cross(upright, [(0.0, 5.0), (10.0, 5.0)].map(Pos2::from)));
        assert!(!cross(upright, [(6.0, 5.0), (10.0, 5.0)].map(Pos2::from)));
    }
}
