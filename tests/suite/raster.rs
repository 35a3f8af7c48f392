//! Pictures of the window without a graphics card or a display.
//!
//! egui hands every painter the same thing: triangles with a texture and a clip
//! rectangle. Filling them here keeps drivers out of the picture tests, and gives the
//! same picture each time: coverage is integer arithmetic, nothing depends on threads
//! or on the order of a hash. Colours are multiplied and blended as sRGB bytes, as in
//! egui's OpenGL painter; blended linearly, text would come out thinner than on screen.
//! Not drawn: paint callbacks (they need a graphics card) and mipmaps.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use egui::epaint::{ClippedPrimitive, ImageData, ImageDelta, Mesh, Primitive, Vertex};
use egui::{Color32, Context, FullOutput, Rect, TexturesDelta};
use egui::{TextureFilter, TextureId, TextureOptions, TextureWrapMode};
use egui_kittest::TestRenderer;
use image::RgbaImage;

/// Fills egui's triangles on the processor.
#[derive(Default)]
pub struct SoftwareRenderer {
    textures: Textures,
    /// Textures freed by the frame at hand, which may still show them: they go with
    /// the next frame's changes.
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
                apply(&mut self.textures, id, &change);
            }
        }
        self.freed.extend(delta.free.drain());
    }

    fn render(&mut self, ctx: &Context, output: &FullOutput) -> Result<RgbaImage, String> {
        let scale = output.pixels_per_point;
        let size = ctx.content_rect().size() * scale;
        let size = [size.x.round() as u32, size.y.round() as u32];
        let primitives = ctx.tessellate(output.shapes.clone(), scale);
        paint(size, scale, &self.textures, &primitives)
    }
}

/// Draws the primitives in their order on a transparent picture of `size` pixels.
/// A texture nobody uploaded is an error, since leaving it out would go unseen.
fn paint(
    size: [u32; 2],
    scale: f32,
    textures: &Textures,
    primitives: &[ClippedPrimitive],
) -> Result<RgbaImage, String> {
    let mut image = RgbaImage::new(size[0], size[1]);
    let (pixels, _) = image.as_chunks_mut::<4>();
    for ClippedPrimitive { clip_rect, primitive } in primitives {
        let Primitive::Mesh(Mesh { indices, vertices, texture_id }) = primitive else { continue };
        let (texture, clip) = (textures.get(texture_id), Clip::new(*clip_rect, scale, size));
        let texture = texture.ok_or_else(|| format!("{texture_id:?} was never uploaded"))?;
        for indices in indices.as_chunks::<3>().0 {
            let corners = indices.map(|index| vertices.get(index as usize));
            let [Some(a), Some(b), Some(c)] = corners else {
                return Err(format!("{indices:?} is past the vertices of its mesh"));
            };
            let triangle = Triangle::new([a, b, c], scale, texture);
            if let Some(triangle) = triangle {
                triangle.fill(pixels, size[0] as usize, &clip);
            }
        }
    }
    Ok(image)
}

/// What of the picture a primitive may touch, in pixels, rounded as OpenGL's painter does.
struct Clip {
    x: Range<i64>,
    y: Range<i64>,
}

impl Clip {
    fn new(rect: Rect, scale: f32, size: [u32; 2]) -> Self {
        let range = |min: f32, max: f32, size: u32| {
            let [min, max] = [min, max].map(|v| ((v * scale).round() as i64).clamp(0, size.into()));
            min..max
        };
        Self {
            x: range(rect.min.x, rect.max.x, size[0]),
            y: range(rect.min.y, rect.max.y, size[1]),
        }
    }
}

struct Texture {
    size: [usize; 2],
    pixels: Vec<Color32>,
    options: TextureOptions,
}

/// A whole image replaces the texture; a part is copied into it (new glyphs come so).
fn apply(textures: &mut Textures, id: TextureId, change: &ImageDelta) {
    let ImageData::Color(image) = &change.image;
    let Some([left, top]) = change.pos else {
        let (size, pixels, options) = (image.size, image.pixels.clone(), change.options);
        textures.insert(id, Texture { size, pixels, options });
        return;
    };
    let Some(texture) = textures.get_mut(&id) else { return };
    texture.options = change.options;
    let rows = texture.pixels.chunks_exact_mut(texture.size[0].max(1)).skip(top);
    for (to, from) in rows.zip(image.pixels.chunks_exact(image.size[0].max(1))) {
        for (to, from) in to.iter_mut().skip(left).zip(from) {
            *to = *from;
        }
    }
}

impl Texture {
    fn texel(&self, x: i64, y: i64) -> [f32; 4] {
        let wrap = |at: i64, size: usize| {
            let size = (size as i64).max(1);
            match self.options.wrap_mode {
                TextureWrapMode::ClampToEdge => at.clamp(0, size - 1),
                TextureWrapMode::Repeat => at.rem_euclid(size),
                // The mirrored half counts down again: size - 1 to 0.
                TextureWrapMode::MirroredRepeat => {
                    let at = at.rem_euclid(2 * size);
                    at.min(2 * size - 1 - at)
                }
            }
        };
        let index = wrap(y, self.size[1]) as usize * self.size[0] + wrap(x, self.size[0]) as usize;
        let color = self.pixels.get(index).copied().unwrap_or_default();
        color.to_array().map(f32::from)
    }

    /// The colour at a place counted in texels.
    fn sample(&self, u: f32, v: f32, filter: TextureFilter) -> [f32; 4] {
        if filter == TextureFilter::Nearest {
            return self.texel(u.floor() as i64, v.floor() as i64);
        }
        // A texel's colour is that of its middle, half a texel in. Through i32, so that
        // a place far out still has a next one.
        let (u, v) = (u - 0.5, v - 0.5);
        let (left, top) = (u.floor(), v.floor());
        let (x, y) = (i64::from(left as i32), i64::from(top as i32));
        let upper = mix(self.texel(x, y), self.texel(x + 1, y), u - left);
        let lower = mix(self.texel(x, y + 1), self.texel(x + 1, y + 1), u - left);
        mix(upper, lower, v - top)
    }
}

fn mix(a: [f32; 4], b: [f32; 4], part: f32) -> [f32; 4] {
    std::array::from_fn(|i| a[i] + (b[i] - a[i]) * part)
}

/// A pixel in the 1/256 steps to which corners are snapped, as graphics cards do. Whole
/// numbers make two triangles agree exactly on which owns a pixel of their common edge.
const STEP: i64 = 256;
/// Two million pixels: keeps the products below in 64 bits.
const FAR: f32 = (1 << 29) as f32;

/// One side as a function of the pixel: positive inside, zero on the line.
struct Edge {
    at_origin: i64,
    per_x: i64,
    per_y: i64,
    /// The least value that counts as inside: pixels on a top or left side belong to
    /// the triangle, those on a bottom or right side to its neighbour.
    least: i64,
}

impl Edge {
    fn new(from: [i64; 2], to: [i64; 2]) -> Self {
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let (x, y) = (STEP / 2 - from[0], STEP / 2 - from[1]);
        let top_or_left = dy < 0 || (dy == 0 && dx > 0);
        Self {
            at_origin: dx * y - dy * x,
            per_x: -dy * STEP,
            per_y: dx * STEP,
            least: i64::from(!top_or_left),
        }
    }

    /// Shortens a row of pixels to those inside.
    fn narrow(&self, y: i64, x: &mut Range<i64>) {
        let spare = self.at_origin + self.per_y * y - self.least;
        match self.per_x.cmp(&0) {
            Ordering::Greater => x.start = x.start.max(-spare.div_euclid(self.per_x)),
            Ordering::Less => x.end = x.end.min(spare.div_euclid(-self.per_x) + 1),
            Ordering::Equal if spare < 0 => x.end = x.start,
            Ordering::Equal => {}
        }
    }
}

/// Red, green, blue, alpha (0 to 255), then the place in the texture in texels.
type Values = [f32; 6];

/// `base + a * wa + b * wb`, value by value.
fn blend_values(base: &Values, a: &Values, wa: f32, b: &Values, wb: f32) -> Values {
    std::array::from_fn(|i| base[i] + a[i] * wa + b[i] * wb)
}

struct Triangle<'a> {
    texture: &'a Texture,
    edges: [Edge; 3],
    rows: Range<i64>,
    area: f64,
    /// At the first corner, then what the second and the third add to it.
    values: [Values; 3],
}

impl<'a> Triangle<'a> {
    /// None where there is nothing to fill: no area, or corners that are no numbers.
    fn new(mut corners: [&Vertex; 3], scale: f32, texture: &'a Texture) -> Option<Self> {
        let snap = |v: f32| (v * scale * STEP as f32).round().clamp(-FAR, FAR) as i64;
        let place = |vertex: &Vertex| [snap(vertex.pos.x), snap(vertex.pos.y)];
        if corners.iter().any(|vertex| vertex.pos.any_nan()) {
            return None;
        }
        let [a, b, c] = corners.map(place);
        let area = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
        if area < 0 {
            // egui winds its triangles both ways; inside shall be positive.
            corners.swap(1, 2);
        }
        let [a, b, c] = corners.map(place);
        let top = a[1].min(b[1]).min(c[1]) - STEP / 2;
        let bottom = a[1].max(b[1]).max(c[1]) - STEP / 2;
        let [base, second, third] = corners.map(|vertex| {
            let [red, green, blue, alpha] = vertex.color.to_array().map(f32::from);
            let u = vertex.uv.x * texture.size[0] as f32;
            [red, green, blue, alpha, u, vertex.uv.y * texture.size[1] as f32]
        });
        let less_base = |of: Values| std::array::from_fn(|i| of[i] - base[i]);
        (area != 0).then(|| Self {
            texture,
            edges: [Edge::new(b, c), Edge::new(c, a), Edge::new(a, b)],
            rows: top.div_euclid(STEP)..bottom.div_euclid(STEP) + 1,
            area: area.unsigned_abs() as f64,
            values: [base, less_base(second), less_base(third)],
        })
    }

    fn fill(&self, pixels: &mut [[u8; 4]], width: usize, clip: &Clip) {
        let [base, second, third] = &self.values;
        let [_, for_second, for_third] = &self.edges;
        let part = |value: i64| (value as f64 / self.area) as f32;
        let change = |second_part: i64, third_part: i64| {
            blend_values(&[0.0; 6], second, part(second_part), third, part(third_part))
        };
        let mut step = change(for_second.per_x, for_third.per_x);
        let down = change(for_second.per_y, for_third.per_y);
        let texels_a_pixel = step[4].hypot(step[5]).max(down[4].hypot(down[5]));
        let options = &self.texture.options;
        // A little over one, so that rounding doesn't decide where texels fit pixels.
        let filter = if texels_a_pixel > 1.001 { options.minification } else { options.magnification };

        // Most triangles show one texel, egui's white one: fetched once, not per pixel.
        let plain = |values: &Values, what: Range<usize>| values[what].iter().all(|v| *v == 0.0);
        let one_texel = plain(second, 4..6) && plain(third, 4..6);
        let one_color = plain(second, 0..4) && plain(third, 0..4);
        let texel = if one_texel { self.texture.sample(base[4], base[5], filter) } else { [255.0; 4] };
        for (step, texel) in step.iter_mut().zip(texel) {
            *step *= texel / 255.0;
        }

        for y in self.rows.start.max(clip.y.start)..self.rows.end.min(clip.y.end) {
            let mut x = clip.x.clone();
            self.edges.iter().for_each(|edge| edge.narrow(y, &mut x));
            if x.is_empty() {
                continue;
            }
            let here = |edge: &Edge| part(edge.at_origin + edge.per_x * x.start + edge.per_y * y);
            let start = blend_values(base, second, here(for_second), third, here(for_third));
            let color: [f32; 4] = std::array::from_fn(|i| start[i] * texel[i] / 255.0);
            let first = y as usize * width;
            let row = &mut pixels[first + x.start as usize..first + x.end as usize];
            if one_texel && one_color && color[3] >= 255.0 {
                row.fill(color.map(|v| (v + 0.5) as u8));
            } else if one_texel && one_color {
                row.iter_mut().for_each(|pixel| blend(pixel, color));
            } else {
                for (n, pixel) in row.iter_mut().enumerate() {
                    let n = n as f32;
                    let mut color = std::array::from_fn(|i| color[i] + step[i] * n);
                    if !one_texel {
                        let (u, v) = (start[4] + step[4] * n, start[5] + step[5] * n);
                        let texel = self.texture.sample(u, v, filter);
                        color = std::array::from_fn(|i| color[i] * texel[i] / 255.0);
                    }
                    blend(pixel, color);
                }
            }
        }
    }
}

/// Lays a premultiplied colour over a pixel.
fn blend(pixel: &mut [u8; 4], color: [f32; 4]) {
    let shine_through = 1.0 - color[3] / 255.0;
    for (below, above) in pixel.iter_mut().zip(color) {
        *below = (above + f32::from(*below) * shine_through + 0.5) as u8;
    }
}
