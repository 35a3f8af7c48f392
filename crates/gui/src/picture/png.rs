//! A picture as pixels, and those as PNG.
//!
//! Filled by `tiny-skia`, which the window's borders are drawn by already: a reader of
//! SVG in between would cost seconds of build time and give the same.

use egui::{Color32, Pos2, Rect, Stroke, Vec2};
use tiny_skia::{FillRule, Mask, Paint, Path, PathBuilder, Pixmap, Transform};

use super::{Description, Primitive, Segment};

/// Pixels a point: sharp on paper, too, at 192 to the inch.
const FINENESS: f32 = 2.0;
/// As many pixels as a picture ever has; a larger one is coarser.
const MOST_PIXELS: f32 = 40e6;
/// Inches have so many points here, and metres so many inches.
const POINTS_PER_METRE: f32 = 96.0 / 0.0254;

/// A picture as pixels: red, green, blue and opacity of each, row by row.
#[derive(Debug, Clone, PartialEq)]
pub struct Pixels {
    /// So many a row.
    pub width: u32,
    /// So many rows.
    pub height: u32,
    /// Four bytes each, all of them opaque.
    pub rgba: Vec<u8>,
    /// Pixels a point.
    fineness: f32,
}

impl Pixels {
    /// A picture as pixels, as fine as there is room for; none of one without any size.
    #[must_use]
    pub fn of(picture: &Description) -> Option<Self> {
        let area = (picture.size.x * picture.size.y).max(1.0);
        let fineness = FINENESS.min((MOST_PIXELS / area).sqrt());
        let size = (picture.size * fineness).round().max(Vec2::splat(1.0));
        let (width, height) = (size.x as u32, size.y as u32);
        let mut canvas = Canvas {
            pixmap: Pixmap::new(width, height)?,
            transform: Transform::from_scale(fineness, fineness),
            mask: None,
        };
        let [red, green, blue, _] = picture.ground.to_srgba_unmultiplied();
        canvas.pixmap.fill(tiny_skia::Color::from_rgba8(red, green, blue, u8::MAX));
        for item in &picture.items {
            canvas.clip_to(item.clip)?;
            canvas.paint(&item.shape);
        }
        Some(Self { width, height, rgba: canvas.pixmap.take(), fineness })
    }
}

/// Pixels as a file's bytes.
pub fn png(pixels: &Pixels) -> Result<Vec<u8>, png::EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, pixels.width, pixels.height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let a_metre = (POINTS_PER_METRE * pixels.fineness).round() as u32;
    let dims = png::PixelDimensions { xppu: a_metre, yppu: a_metre, unit: png::Unit::Meter };
    encoder.set_pixel_dims(Some(dims));
    let opaque: Vec<u8> = pixels.rgba.as_chunks::<4>().0.iter().flat_map(|[r, g, b, _]| [*r, *g, *b]).collect();
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&opaque)?;
    writer.finish()?;
    Ok(bytes)
}

struct Canvas {
    pixmap: Pixmap,
    transform: Transform,
    /// What is cut off now, and by which edges.
    mask: Option<(Rect, Mask)>,
}

impl Canvas {
    /// From here on nothing is seen outside some edges.
    fn clip_to(&mut self, clip: Option<Rect>) -> Option<()> {
        if self.mask.as_ref().map(|(known, _)| *known) == clip {
            return Some(());
        }
        self.mask = None;
        if let Some(clip) = clip {
            let mut mask = Mask::new(self.pixmap.width(), self.pixmap.height())?;
            if let Some(path) = rectangle(clip, 0.0) {
                mask.fill_path(&path, FillRule::Winding, true, self.transform);
            }
            self.mask = Some((clip, mask));
        }
        Some(())
    }

    fn paint(&mut self, shape: &Primitive) {
        match shape {
            Primitive::Polyline { points, closed, fill, stroke } => {
                let fill = if *closed { *fill } else { Color32::TRANSPARENT };
                self.path(polyline(points, *closed), fill, *stroke);
            }
            Primitive::Rectangle { rect, corner, fill, stroke } => {
                self.path(rectangle(*rect, *corner), *fill, *stroke);
            }
            Primitive::Ellipse { centre, radius, fill, stroke } => {
                let around = Rect::from_center_size(*centre, 2.0 * *radius);
                let oval = to_rect(around).and_then(PathBuilder::from_oval);
                self.path(oval, *fill, *stroke);
            }
            Primitive::Words { outline, ink, .. } => self.path(path(outline), *ink, Stroke::NONE),
        }
    }

    fn path(&mut self, path: Option<Path>, fill: Color32, stroke: Stroke) {
        let Some(path) = path else { return };
        let mask = self.mask.as_ref().map(|(_, mask)| mask);
        if fill != Color32::TRANSPARENT {
            self.pixmap.fill_path(&path, &paint(fill), FillRule::Winding, self.transform, mask);
        }
        if !stroke.is_empty() {
            let line = tiny_skia::Stroke { width: stroke.width, ..tiny_skia::Stroke::default() };
            self.pixmap.stroke_path(&path, &paint(stroke.color), &line, self.transform, mask);
        }
    }
}

fn paint(ink: Color32) -> Paint<'static> {
    let [red, green, blue, opacity] = ink.to_srgba_unmultiplied();
    let mut paint = Paint::default();
    paint.set_color_rgba8(red, green, blue, opacity);
    paint
}

fn to_rect(rect: Rect) -> Option<tiny_skia::Rect> {
    tiny_skia::Rect::from_ltrb(rect.min.x, rect.min.y, rect.max.x, rect.max.y)
}

fn polyline(points: &[Pos2], closed: bool) -> Option<Path> {
    let mut path = PathBuilder::new();
    for (at, point) in points.iter().enumerate() {
        if at == 0 { path.move_to(point.x, point.y) } else { path.line_to(point.x, point.y) }
    }
    if closed {
        path.close();
    }
    path.finish()
}

fn path(outline: &[Segment]) -> Option<Path> {
    let mut path = PathBuilder::new();
    for segment in outline {
        match *segment {
            Segment::Move(to) => path.move_to(to.x, to.y),
            Segment::Line(to) => path.line_to(to.x, to.y),
            Segment::Quadratic(by, to) => path.quad_to(by.x, by.y, to.x, to.y),
            Segment::Cubic(a, b, to) => path.cubic_to(a.x, a.y, b.x, b.y, to.x, to.y),
            Segment::Close => path.close(),
        }
    }
    path.finish()
}

/// From a quarter of a circle to the cubic that is nearest to it.
const KAPPA: f32 = 0.552_284_8;

fn rectangle(rect: Rect, corner: f32) -> Option<Path> {
    if corner <= 0.0 {
        return to_rect(rect).map(PathBuilder::from_rect);
    }
    let Rect { min, max } = rect;
    let (r, k) = (corner, corner * (1.0 - KAPPA));
    let mut path = PathBuilder::new();
    path.move_to(min.x + r, min.y);
    path.line_to(max.x - r, min.y);
    path.cubic_to(max.x - k, min.y, max.x, min.y + k, max.x, min.y + r);
    path.line_to(max.x, max.y - r);
    path.cubic_to(max.x, max.y - k, max.x - k, max.y, max.x - r, max.y);
    path.line_to(min.x + r, max.y);
    path.cubic_to(min.x + k, max.y, min.x, max.y - k, min.x, max.y - r);
    path.line_to(min.x, min.y + r);
    path.cubic_to(min.x, min.y + k, min.x + k, min.y, min.x + r, min.y);
    path.close();
    path.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::picture::Item;
    use egui::{pos2, vec2};

    fn picture(items: Vec<Item>, size: Vec2) -> Description {
        Description { title: String::new(), size, ground: Color32::WHITE, items }
    }

    fn black(rect: Rect, clip: Option<Rect>) -> Item {
        Item { clip, shape: Primitive::Rectangle { rect, corner: 0.0, fill: Color32::BLACK, stroke: Stroke::NONE } }
    }

    fn ink_at(pixels: &Pixels, at: Pos2) -> u8 {
        let (x, y) = ((at.x * pixels.fineness) as usize, (at.y * pixels.fineness) as usize);
        pixels.rgba[4 * (y * pixels.width as usize + x)]
    }

    #[test]
    fn a_point_is_two_pixels_and_what_is_cut_off_is_not_seen() {
        let left = Rect::from_min_max(pos2(0.0, 0.0), pos2(20.0, 20.0));
        let clip = Rect::from_min_max(pos2(5.0, 5.0), pos2(10.0, 10.0));
        let pixels = Pixels::of(&picture(vec![black(left, Some(clip))], vec2(40.0, 20.0))).unwrap();
        assert_eq!((pixels.width, pixels.height), (80, 40));
        assert_eq!(ink_at(&pixels, pos2(7.0, 7.0)), 0);
        assert_eq!([pos2(2.0, 7.0), pos2(12.0, 7.0), pos2(30.0, 7.0)].map(|at| ink_at(&pixels, at)), [255; 3]);
        let pixels = Pixels::of(&picture(vec![black(left, None)], vec2(40.0, 20.0))).unwrap();
        assert_eq!((ink_at(&pixels, pos2(2.0, 7.0)), ink_at(&pixels, pos2(30.0, 7.0))), (0, 255));
    }

    #[test]
    fn a_huge_picture_is_coarser_and_still_whole() {
        let size = vec2(40_000.0, 5_000.0);
        let far = Rect::from_min_max(pos2(39_000.0, 4_000.0), pos2(40_000.0, 5_000.0));
        let pixels = Pixels::of(&picture(vec![black(far, None)], size)).unwrap();
        let count = f64::from(pixels.width) * f64::from(pixels.height);
        assert!((38e6..41e6).contains(&count), "{count}");
        assert_eq!(ink_at(&pixels, pos2(39_500.0, 4_500.0)), 0);
        assert_eq!(ink_at(&pixels, pos2(38_000.0, 4_500.0)), 255);
    }

    #[test]
    fn a_file_holds_the_same_pixels() {
        let ink = black(Rect::from_min_max(pos2(0.0, 0.0), pos2(3.0, 3.0)), None);
        let pixels = Pixels::of(&picture(vec![ink], vec2(8.0, 4.0))).unwrap();
        let bytes = png(&pixels).unwrap();
        let mut reader = png::Decoder::new(std::io::Cursor::new(&bytes)).read_info().unwrap();
        let mut read = vec![0; reader.output_buffer_size().unwrap()];
        let info = reader.next_frame(&mut read).unwrap();
        assert_eq!((info.width, info.height), (16, 8));
        let same = read.as_chunks::<3>().0.iter().zip(pixels.rgba.as_chunks::<4>().0);
        assert!(same.clone().count() == 128 && same.into_iter().all(|(a, b)| a == &b[..3]));
        assert_eq!(reader.info().pixel_dims.map(|dims| dims.xppu), Some(7559), "192 to the inch");
    }
}
