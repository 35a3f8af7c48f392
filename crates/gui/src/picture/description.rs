//! A picture as a list of what is in it, from the back to the front. Lengths are
//! points, 96 to the inch as on the screen, from the upper left corner.

use egui::{Color32, Pos2, Rect, Stroke, Vec2};

/// A picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Description {
    /// What it is of, in words.
    pub title: String,
    /// How wide and how high it is.
    pub size: Vec2,
    /// What lies behind everything.
    pub ground: Color32,
    /// What is on it.
    pub items: Vec<Item>,
}

/// Something that is painted.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Nothing of it is seen outside this; none where all of it lies inside anyway.
    pub clip: Option<Rect>,
    /// What it is.
    pub shape: Primitive,
}

/// What can be painted. A colour without opacity and a line without width are nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum Primitive {
    /// Straight lines through points, as a line or around an area.
    Polyline {
        /// The corners.
        points: Vec<Pos2>,
        /// Whether the last is joined to the first.
        closed: bool,
        /// The ink inside.
        fill: Color32,
        /// The line itself, half of it on either side.
        stroke: Stroke,
    },
    /// A rectangle.
    Rectangle {
        /// Where, along the middle of its border.
        rect: Rect,
        /// The radius of its corners.
        corner: f32,
        /// The ink inside.
        fill: Color32,
        /// Its border.
        stroke: Stroke,
    },
    /// An ellipse, or a circle.
    Ellipse {
        /// Its middle.
        centre: Pos2,
        /// Half its width and half its height.
        radius: Vec2,
        /// The ink inside.
        fill: Color32,
        /// Its border.
        stroke: Stroke,
    },
    /// Words, as the outlines of their letters.
    Words {
        /// What they say.
        words: String,
        /// The outlines; what winds around is filled.
        outline: Vec<Segment>,
        /// Their ink.
        ink: Color32,
    },
}

/// A step of an outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Segment {
    /// A new contour begins here.
    Move(Pos2),
    /// A straight line.
    Line(Pos2),
    /// A parabola: its control point and where it ends.
    Quadratic(Pos2, Pos2),
    /// A cubic: its control points and where it ends.
    Cubic(Pos2, Pos2, Pos2),
    /// Back to where the contour began.
    Close,
}

impl Primitive {
    /// What it may cover, lines with their width.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        match self {
            Self::Polyline { points, stroke, .. } => {
                // A pointed corner reaches farther than half a line's width, up to the limit of four.
                Rect::from_points(points).expand(2.0 * stroke.width)
            }
            Self::Rectangle { rect, stroke, .. } => rect.expand(0.5 * stroke.width),
            Self::Ellipse { centre, radius, stroke, .. } => {
                Rect::from_center_size(*centre, 2.0 * *radius).expand(0.5 * stroke.width)
            }
            Self::Words { outline, .. } => {
                let mut bounds = Rect::NOTHING;
                for segment in outline {
                    match *segment {
                        Segment::Move(to) | Segment::Line(to) => bounds.extend_with(to),
                        Segment::Quadratic(by, to) => [by, to].into_iter().for_each(|p| bounds.extend_with(p)),
                        Segment::Cubic(a, b, to) => [a, b, to].into_iter().for_each(|p| bounds.extend_with(p)),
                        Segment::Close => {}
                    }
                }
                bounds
            }
        }
    }
}

impl Description {
    /// What all words in it say, in the order in which they are painted.
    pub fn words(&self) -> impl Iterator<Item = &str> {
        self.items.iter().filter_map(|item| match &item.shape {
            Primitive::Words { words, .. } => Some(words.as_str()),
            _ => None,
        })
    }
}
