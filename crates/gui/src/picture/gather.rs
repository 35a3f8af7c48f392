//! From what a frame painted to a list of what is in a picture.

use egui::emath::{Rot2, TSTransform};
use egui::epaint::{ClippedShape, ColorMode, PathStroke, RectShape, TextShape};
use egui::{Color32, FontDefinitions, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2, vec2};

use super::letters::{Letters, Placed};
use super::{Item, Primitive, Segment};

/// What can't be in a picture, in a word.
pub type Undrawable = &'static str;

/// What shapes amount to, in their order. Those that nobody would see are left out.
pub fn gather(shapes: &[ClippedShape], size: Vec2, fonts: &FontDefinitions) -> Result<Vec<Item>, Undrawable> {
    let whole = Rect::from_min_size(Pos2::ZERO, size);
    let mut gathered = Gathered { letters: Letters::of(fonts), items: Vec::new() };
    for ClippedShape { clip_rect, shape, transform_after_tessellation } in shapes {
        if *transform_after_tessellation != TSTransform::IDENTITY {
            return Err("something moved afterwards");
        }
        let clip = clip_rect.intersect(whole);
        if clip.is_positive() {
            gathered.shape(shape, clip)?;
        }
    }
    Ok(gathered.items)
}

struct Gathered<'a> {
    letters: Letters<'a>,
    items: Vec<Item>,
}

impl Gathered<'_> {
    fn shape(&mut self, shape: &Shape, clip: Rect) -> Result<(), Undrawable> {
        match shape {
            Shape::Noop => {}
            Shape::Vec(shapes) => shapes.iter().try_for_each(|shape| self.shape(shape, clip))?,
            Shape::Circle(circle) => {
                let (radius, fill) = (Vec2::splat(circle.radius), circle.fill);
                self.add(Primitive::Ellipse { centre: circle.center, radius, fill, stroke: circle.stroke }, clip);
            }
            Shape::Ellipse(ellipse) if ellipse.angle == 0.0 => {
                let (centre, radius, fill) = (ellipse.center, ellipse.radius, ellipse.fill);
                self.add(Primitive::Ellipse { centre, radius, fill, stroke: ellipse.stroke }, clip);
            }
            Shape::LineSegment { points, stroke } => {
                let points = points.to_vec();
                self.add(Primitive::Polyline { points, closed: false, fill: NONE, stroke: *stroke }, clip);
            }
            Shape::Path(path) => {
                let stroke = plain(&path.stroke)?;
                let (points, closed) = (path.points.clone(), path.closed);
                self.add(Primitive::Polyline { points, closed, fill: path.fill, stroke }, clip);
            }
            Shape::Band(band) if band.angle == 0.0 && band.stroke.is_empty() => {
                let upper = band.points.iter().map(|point| pos2(point.x, point.y.min));
                let lower = band.points.iter().rev().map(|point| pos2(point.x, point.y.max));
                let points = upper.chain(lower).collect();
                self.add(Primitive::Polyline { points, closed: true, fill: band.fill, stroke: Stroke::NONE }, clip);
            }
            Shape::Rect(rect) => {
                let rectangle = rectangle(rect)?;
                self.add(rectangle, clip);
            }
            Shape::Text(text) => self.text(text, clip)?,
            Shape::Ellipse(_) | Shape::Band(_) => return Err("something turned"),
            Shape::Mesh(_) => return Err("a net of triangles"),
            Shape::QuadraticBezier(_) | Shape::CubicBezier(_) => return Err("a bent line"),
            Shape::Callback(_) => return Err("what only a graphics card draws"),
        }
        Ok(())
    }

    fn add(&mut self, shape: Primitive, clip: Rect) {
        let (fill, line) = match &shape {
            Primitive::Polyline { fill, stroke, .. }
            | Primitive::Rectangle { fill, stroke, .. }
            | Primitive::Ellipse { fill, stroke, .. } => (*fill, *stroke),
            Primitive::Words { ink, .. } => (*ink, Stroke::NONE),
        };
        let bounds = shape.bounds();
        let is_seen = fill != NONE || !line.is_empty();
        if is_seen && bounds.is_finite() && bounds.intersects(clip) {
            let clip = (!clip.contains_rect(bounds)).then_some(clip);
            self.items.push(Item { clip, shape });
        }
    }

    /// Words, one line at a time and each in its ink.
    fn text(&mut self, text: &TextShape, clip: Rect) -> Result<(), Undrawable> {
        let job = &text.galley.job;
        let lined = |section: &egui::text::LayoutSection| {
            let format = &section.format;
            let lines = !format.underline.is_empty() || !format.strikethrough.is_empty();
            lines || format.background != NONE || format.italics
        };
        if job.sections.iter().any(lined) || !text.underline.is_empty() {
            return Err("words with a line or a patch of their own");
        }
        let turned = Rot2::from_angle(text.angle);
        // Letters stand in the text's order; only what cuts it short is put in.
        let mut at = 0;
        for row in &text.galley.rows {
            let mut line = Vec::with_capacity(row.glyphs.len());
            let mut section = job.sections.first();
            for glyph in &row.glyphs {
                if job.text[at..].starts_with(glyph.chr) {
                    let here = |section: &&egui::text::LayoutSection| {
                        (section.byte_range.start.0..section.byte_range.end.0).contains(&at)
                    };
                    section = job.sections.iter().find(here);
                    at += glyph.chr.len_utf8();
                }
                let Some(section) = section else { continue };
                line.push((glyph, &section.format));
            }
            if row.ends_with_newline && job.text[at..].starts_with('\n') {
                at += 1;
            }
            for part in line.chunk_by(|a, b| a.1.color == b.1.color) {
                let Some((_, format)) = part.first() else { continue };
                let place = |(glyph, format): &(&egui::epaint::text::Glyph, &'_ egui::TextFormat)| {
                    let by = row.pos.to_vec2() + glyph.pos.to_vec2();
                    (glyph.chr, by, format.font_id.clone())
                };
                let placed: Vec<_> = part.iter().map(|(glyph, format)| place(&(*glyph, *format))).collect();
                let line: Vec<Placed<'_>> = placed
                    .iter()
                    .map(|(letter, by, font)| Placed {
                        letter: *letter,
                        at: by.to_pos2(),
                        family: &font.family,
                        size: font.size,
                    })
                    .collect();
                let mut outline = Vec::new();
                self.letters.outline(&line, &mut outline);
                let ink = text.override_text_color.unwrap_or(format.color);
                let ink = if ink == Color32::PLACEHOLDER { text.fallback_color } else { ink };
                let ink = ink.gamma_multiply(text.opacity_factor);
                let words: String = placed.iter().map(|(letter, ..)| *letter).collect();
                if words.trim().is_empty() {
                    continue;
                }
                let outline = outline.into_iter().map(|segment| moved(segment, text.pos, turned)).collect();
                self.add(Primitive::Words { words, outline, ink }, clip);
            }
        }
        Ok(())
    }
}

const NONE: Color32 = Color32::TRANSPARENT;

fn moved(segment: Segment, to: Pos2, turned: Rot2) -> Segment {
    let at = |p: Pos2| to + turned * p.to_vec2();
    match segment {
        Segment::Move(p) => Segment::Move(at(p)),
        Segment::Line(p) => Segment::Line(at(p)),
        Segment::Quadratic(by, p) => Segment::Quadratic(at(by), at(p)),
        Segment::Cubic(a, b, p) => Segment::Cubic(at(a), at(b), at(p)),
        Segment::Close => Segment::Close,
    }
}

/// A stroke of one colour along the middle of its line.
fn plain(stroke: &PathStroke) -> Result<Stroke, Undrawable> {
    if stroke.is_empty() {
        return Ok(Stroke::NONE);
    }
    match (&stroke.color, stroke.kind) {
        (ColorMode::Solid(color), StrokeKind::Middle) => Ok(Stroke::new(stroke.width, *color)),
        _ => Err("a line of many colours"),
    }
}

fn rectangle(shape: &RectShape) -> Result<Primitive, Undrawable> {
    let RectShape { corner_radius, fill, stroke, stroke_kind, .. } = shape;
    if shape.brush.is_some() || shape.blur_width > 0.0 || shape.angle != 0.0 || !corner_radius.is_same() {
        return Err("a shadow, or an image");
    }
    let stroke = if stroke.is_empty() { Stroke::NONE } else { *stroke };
    let out = match stroke_kind {
        StrokeKind::Inside => -0.5 * stroke.width,
        StrokeKind::Middle => 0.0,
        StrokeKind::Outside => 0.5 * stroke.width,
    };
    let rect = shape.rect.expand2(vec2(out, out));
    let most = 0.5 * rect.size().min_elem().max(0.0);
    let corner = (f32::from(corner_radius.nw) + out).clamp(0.0, most);
    let corner = if corner_radius.nw == 0 { 0.0 } else { corner };
    Ok(Primitive::Rectangle { rect, corner, fill: *fill, stroke })
}
