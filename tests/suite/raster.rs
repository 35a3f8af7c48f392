//! Pictures of the window without a graphics card or a display.
//!
//! egui hands every painter the same thing: triangles with a texture and a clip
//! rectangle. Filling them here keeps drivers out of the picture tests, and gives the
//! same picture each time: coverage is integer arithmetic, and nothing depends on
//! threads or on the order of a hash. Colours are multiplied and blended as sRGB bytes,
//! as egui's OpenGL painter does; blended linearly, text would look thinner than on
//! screen. Not drawn: paint callbacks (they need a graphics card), mipmaps, repeated
//! textures and a filter of their own for shrunk ones.

#![allow(clippy::disallowed_methods, reason = "a renderer is tested with raw colours")]

use std::array::from_fn;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::sync::Arc;

use egui::epaint::{ClippedPrimitive, ImageData, ImageDelta, Mesh, Primitive, Vertex};
use egui::{Color32, ColorImage, Context, FullOutput, Rect, RichText, Ui};
use egui::{TextureFilter, TextureId, TexturesDelta};
use egui_kittest::{Harness, TestRenderer};
use image::RgbaImage;

/// Fills egui's triangles on the processor.
#[derive(Default)]
pub struct SoftwareRenderer {
    textures: Textures,
    /// Textures freed by the frame at hand, which may still show them: they go when
    /// the next frame's changes come.
    freed: BTreeSet<TextureId>,
}

type Textures = BTreeMap<TextureId, Texture>;

impl TestRenderer for SoftwareRenderer {
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        for id in std::mem::take(&mut self.freed) {
            self.textures.remove(&id);
        }
        for (id, changes) in delta.set.drain() {
            for change in changes {
                upload(&mut self.textures, id, &change);
            }
        }
        self.freed.extend(delta.free.drain());
    }

    fn render(&mut self, ctx: &Context, output: &FullOutput) -> Result<RgbaImage, String> {
        let scale = output.pixels_per_point;
        let size = ctx.content_rect().size() * scale;
        let size = [size.x, size.y].map(|length| length.round() as u32);
        let primitives = ctx.tessellate(output.shapes.clone(), scale);
        paint(size, scale, &self.textures, &primitives)
    }
}

/// Draws the primitives in their order on a transparent picture of `size` pixels.
/// A texture nobody uploaded is an error: what it leaves out would go unseen.
fn paint(
    size: [u32; 2],
    scale: f32,
    textures: &Textures,
    primitives: &[ClippedPrimitive],
) -> Result<RgbaImage, String> {
    let mut image = RgbaImage::new(size[0], size[1]);
    for primitive in primitives {
        let Primitive::Mesh(mesh) = &primitive.primitive else {
            continue;
        };
        let texture =
            textures.get(&mesh.texture_id).ok_or_else(|| format!("{:?} was never uploaded", mesh.texture_id))?;
        let clip = clip_in_pixels(primitive.clip_rect, scale, size);
        for triangle in mesh.indices.as_chunks::<3>().0 {
            let mut corners = triangle.map(|index| mesh.vertices[index as usize]);
            corners.iter_mut().for_each(|corner| corner.pos *= scale);
            fill(&mut image, &clip, texture, corners);
        }
    }
    Ok(image)
}

/// The columns and rows a primitive may touch, rounded as the OpenGL painter does.
type Clip = [Range<i64>; 2];

fn clip_in_pixels(rect: Rect, scale: f32, size: [u32; 2]) -> Clip {
    from_fn(|axis| {
        let pixel = |at: f32| ((at * scale).round() as i64).clamp(0, size[axis].into());
        pixel(rect.min[axis])..pixel(rect.max[axis])
    })
}

struct Texture {
    image: Arc<ColorImage>,
    filter: TextureFilter,
}

/// A whole image replaces the texture; a part, such as new glyphs, is copied into it.
fn upload(textures: &mut Textures, id: TextureId, change: &ImageDelta) {
    let ImageData::Color(image) = &change.image;
    if let (Some([left, top]), Some(texture)) = (change.pos, textures.get_mut(&id)) {
        let whole = Arc::make_mut(&mut texture.image);
        let rows = whole.pixels.chunks_exact_mut(whole.size[0].max(1));
        let new_rows = image.pixels.chunks_exact(image.size[0].max(1));
        for (row, new_row) in rows.skip(top).zip(new_rows) {
            let texels = row.iter_mut().skip(left).zip(new_row);
            texels.for_each(|(texel, new)| *texel = *new);
        }
    } else if change.is_whole() {
        let (image, filter) = (image.clone(), change.options.magnification);
        textures.insert(id, Texture { image, filter });
    }
}

impl Texture {
    /// Colours from 0 to 1. Outside, the texels of the border go on for ever.
    fn texel(&self, x: i64, y: i64) -> [f32; 4] {
        let ColorImage { size, pixels, .. } = &*self.image;
        let inside = |at: i64, size: usize| (at.max(0) as usize).min(size.saturating_sub(1));
        let color = pixels.get(inside(y, size[1]) * size[0] + inside(x, size[0]));
        let parts = color.copied().unwrap_or_default().to_array();
        parts.map(|part| f32::from(part) / 255.0)
    }

    /// The colour at a place counted in texels.
    fn sample(&self, u: f32, v: f32) -> [f32; 4] {
        if self.filter == TextureFilter::Nearest {
            return self.texel(u.floor() as i64, v.floor() as i64);
        }
        // A texel's colour is that of its middle, half a texel in.
        let (u, v) = (u - 0.5, v - 0.5);
        let (left, top) = (u.floor(), v.floor());
        // Through i32, so that a place far out still has a next one.
        let (x, y) = (i64::from(left as i32), i64::from(top as i32));
        let mix = |a: [f32; 4], b: [f32; 4], part: f32| -> [f32; 4] { from_fn(|i| a[i] + (b[i] - a[i]) * part) };
        let upper = mix(self.texel(x, y), self.texel(x + 1, y), u - left);
        let lower = mix(self.texel(x, y + 1), self.texel(x + 1, y + 1), u - left);
        mix(upper, lower, v - top)
    }
}

/// Corners are snapped to 1/256 pixel, as graphics cards do: in whole numbers, two
/// triangles agree exactly on which of them owns a pixel on their common side.
const STEPS: i64 = 256;
/// Two million pixels: keeps the products below in 64 bits.
const FAR: f32 = (1 << 29) as f32;

/// One side as a function of the pixel's middle: positive inside, zero on the line.
struct Side {
    at_origin: i64,
    per_x: i64,
    per_y: i64,
    /// The least value that counts as inside: pixels on a top or left side belong to
    /// this triangle, those on a bottom or right side to its neighbour.
    least: i64,
}

impl Side {
    fn new(from: [i64; 2], to: [i64; 2]) -> Self {
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let top_or_left = dy < 0 || (dy == 0 && dx > 0);
        Self {
            at_origin: dx * (STEPS / 2 - from[1]) - dy * (STEPS / 2 - from[0]),
            per_x: -dy * STEPS,
            per_y: dx * STEPS,
            least: i64::from(!top_or_left),
        }
    }

    fn at(&self, x: i64, y: i64) -> i64 {
        self.at_origin + self.per_x * x + self.per_y * y
    }

    /// Shortens a row of pixels to those inside, so that none needs a test of its own.
    fn narrow(&self, x: &mut Range<i64>, y: i64) {
        let spare = self.at(0, y) - self.least;
        if self.per_x > 0 {
            x.start = x.start.max(-spare.div_euclid(self.per_x));
        } else if self.per_x < 0 {
            x.end = x.end.min(spare.div_euclid(-self.per_x) + 1);
        } else if spare < 0 {
            x.end = x.start;
        }
    }
}

/// Blends one triangle, its corners in pixels, into the picture.
fn fill(image: &mut RgbaImage, clip: &Clip, texture: &Texture, mut corners: [Vertex; 3]) {
    let snap = |at: f32| (at * STEPS as f32).round().clamp(-FAR, FAR) as i64;
    let mut places = corners.map(|corner| [snap(corner.pos.x), snap(corner.pos.y)]);
    let [a, b, c] = places;
    let area = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    if area == 0 {
        return;
    } else if area < 0 {
        // egui winds its triangles both ways; inside shall be positive.
        corners.swap(1, 2);
        places.swap(1, 2);
    }
    let [a, b, c] = places;
    let sides = [Side::new(a, b), Side::new(b, c), Side::new(c, a)];
    let top = (a[1].min(b[1]).min(c[1]) - STEPS / 2).div_euclid(STEPS);
    let bottom = (a[1].max(b[1]).max(c[1]) - STEPS / 2).div_euclid(STEPS);

    // Red, green, blue, alpha (0 to 255) and the place in the texture, in texels: at
    // the first corner, then what the second and the third corner's weight adds.
    let [first, second, third] = corners.map(|corner| {
        let [red, green, blue, alpha] = corner.color.to_array().map(f32::from);
        let [u, v] = [0, 1].map(|axis| corner.uv[axis] * texture.image.size[axis] as f32);
        [red, green, blue, alpha, u, v]
    });
    let second: [f32; 6] = from_fn(|i| second[i] - first[i]);
    let third: [f32; 6] = from_fn(|i| third[i] - first[i]);
    let add = |base: [f32; 6], weights: [f32; 2]| -> [f32; 6] {
        from_fn(|i| base[i] + second[i] * weights[0] + third[i] * weights[1])
    };
    // A corner's weight is the distance from the side opposite to it.
    let weigh =
        |of: &dyn Fn(&Side) -> i64| [&sides[2], &sides[0]].map(|side| (of(side) as f64 / area.abs() as f64) as f32);
    let step = add([0.0; 6], weigh(&|side| side.per_x));
    // Most triangles show one texel, egui's white one: it is looked up once.
    let same = |i: usize| second[i] == 0.0 && third[i] == 0.0;
    let one_texel = (4..6).all(same);
    let one_texel = one_texel.then(|| texture.sample(first[4], first[5]));
    let one_color = one_texel.filter(|_| (0..4).all(same));

    let width = image.width() as usize;
    let (pixels, _) = image.as_chunks_mut::<4>();
    for y in top.max(clip[1].start)..(bottom + 1).min(clip[1].end) {
        let mut x = clip[0].clone();
        sides.iter().for_each(|side| side.narrow(&mut x, y));
        if x.is_empty() {
            continue;
        }
        let row = &mut pixels[y as usize * width..][x.start as usize..x.end as usize];
        let start = add(first, weigh(&|side| side.at(x.start, y)));
        if let Some(texel) = one_color.filter(|texel| start[3] * texel[3] >= 255.0) {
            row.fill([0, 1, 2, 3].map(|i| (start[i] * texel[i] + 0.5) as u8));
            continue;
        }
        for (n, pixel) in row.iter_mut().enumerate() {
            let at: [f32; 6] = from_fn(|i| start[i] + step[i] * n as f32);
            let texel = one_texel.unwrap_or_else(|| texture.sample(at[4], at[5]));
            // Colours are premultiplied: alpha only dims what is below.
            let shine_through = 1.0 - at[3] * texel[3] / 255.0;
            for (i, value) in pixel.iter_mut().enumerate() {
                *value = (at[i] * texel[i] + f32::from(*value) * shine_through + 0.5) as u8;
            }
        }
    }
}

/// How many pixels of each colour a window of 80 × 60 points shows.
fn colors(scale: f32, content: impl FnMut(&mut Ui)) -> Result<BTreeMap<[u8; 4], usize>, String> {
    let window = Harness::builder().with_size([80.0, 60.0]);
    let window = window.renderer(SoftwareRenderer::default());
    let mut window = window.with_pixels_per_point(scale).build_ui(content);
    let mut counts = BTreeMap::new();
    for pixel in window.render()?.pixels() {
        *counts.entry(pixel.0).or_default() += 1;
    }
    Ok(counts)
}

/// Draws a rectangle of two half transparent triangles: `area` pixels shall have its
/// colour, and all others none; a pixel drawn by both would be a third kind.
fn check(clip: Rect, min: [f32; 2], max: [f32; 2], area: usize) -> Result<(), String> {
    let color = Color32::from_rgba_premultiplied(90, 30, 0, 100);
    let mut mesh = Mesh::default();
    mesh.add_colored_rect(Rect::from_min_max(min.into(), max.into()), color);
    let draw = |ui: &mut Ui| _ = ui.painter().with_clip_rect(clip).add(mesh.clone());
    let expected = [([0; 4], 4800 - area), (color.to_array(), area)].into();
    assert_eq!(colors(1.0, draw)?, expected, "{clip}: {min:?} to {max:?}");
    Ok(())
}

#[test]
fn a_rectangle_covers_the_pixels_whose_middle_it_holds() -> Result<(), String> {
    check(Rect::EVERYTHING, [3.0, 4.0], [13.0, 9.0], 50)?;
    check(Rect::EVERYTHING, [2.4, 4.4], [13.6, 8.6], 60)?;
    // A middle on the left or top side is in, one on the right or bottom side is out.
    let these = Rect::from_min_max([3.0, 4.0].into(), [13.0, 9.0].into());
    check(these, [3.5, 4.5], [13.5, 9.5], 50)
}

#[test]
fn triangles_with_a_common_side_are_blended_once() -> Result<(), String> {
    check(Rect::EVERYTHING, [2.0, 1.0], [37.0, 29.0], 35 * 28)?;
    check(Rect::EVERYTHING, [0.5, 0.5], [59.5, 59.5], 59 * 59)?;
    check(Rect::EVERYTHING, [2.0, 1.0], [71.3, 17.7], 69 * 17)
}

#[test]
fn nothing_is_drawn_outside_the_clip_rectangle() -> Result<(), String> {
    let clip = Rect::from_min_max([5.4, 36.0].into(), [15.4, 99.0].into());
    check(clip, [-9.0; 2], [99.0; 2], 10 * 24)
}

#[test]
fn text_and_shapes_grow_with_the_scale() -> Result<(), String> {
    let content = |ui: &mut Ui| {
        let bar = Rect::from_min_max(ui.max_rect().min, [28.0, 13.0].into());
        ui.painter().rect_filled(bar, 0.0, Color32::RED);
        ui.label(RichText::new("H").size(40.0).color(Color32::GREEN));
    };
    let [red, green] = [Color32::RED, Color32::GREEN].map(|color| color.to_array());
    let (once, twice) = (colors(1.0, content)?, colors(2.0, content)?);
    assert_eq!((once.get(&red), twice.get(&red)), (Some(&100), Some(&400)));
    let [once, twice] = [once, twice].map(|colors| colors.get(&green).copied());
    assert!(once > Some(50) && twice > once.map(|pixels| 3 * pixels));
    Ok(())
}
