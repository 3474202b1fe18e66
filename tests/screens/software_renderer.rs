//! Draws a finished frame on the CPU, so that picture tests need no graphics driver and give the same bytes everywhere.
//!
//! Method: triangles by edge functions with the top-left rule (Pineda 1988, "A parallel algorithm for polygon
//! rasterization", Computer Graphics 22(4), 17–20), colors blended premultiplied in gamma space as egui expects.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_possible_wrap,
    reason = "pixel numbers are held inside the picture before they are cast"
)]

use std::collections::BTreeMap;

use egui::epaint::Vertex;
use egui::{
    Color32, Context, FullOutput, ImageData, Pos2, TextureFilter, TextureId, TexturesDelta,
};
use egui_kittest::TestRenderer;
use image::RgbaImage;

/// One color, premultiplied, each part 0..=1.
type Rgba = [f32; 4];

/// A renderer that needs nothing but a processor.
#[derive(Default)]
pub(crate) struct SoftwareRenderer {
    textures: BTreeMap<TextureKey, Texture>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum TextureKey {
    Managed(u64),
    User(u64),
}

impl From<TextureId> for TextureKey {
    fn from(id: TextureId) -> Self {
        match id {
            TextureId::Managed(n) => Self::Managed(n),
            TextureId::User(n) => Self::User(n),
        }
    }
}

struct Texture {
    width: usize,
    height: usize,
    pixels: Vec<Rgba>,
    is_linear: bool,
}

impl Texture {
    fn texel(&self, x: isize, y: isize) -> Rgba {
        let x = x.clamp(0, self.width as isize - 1) as usize;
        let y = y.clamp(0, self.height as isize - 1) as usize;
        self.pixels[y * self.width + x]
    }

    fn sample(&self, u: f64, v: f64) -> Rgba {
        let (x, y) = (u * self.width as f64, v * self.height as f64);
        if !self.is_linear {
            return self.texel(x.floor() as isize, y.floor() as isize);
        }
        let (x, y) = (x - 0.5, y - 0.5);
        let (i, j) = (x.floor() as isize, y.floor() as isize);
        let (fx, fy) = ((x - x.floor()) as f32, (y - y.floor()) as f32);
        let (a, b) = (self.texel(i, j), self.texel(i + 1, j));
        let (c, d) = (self.texel(i, j + 1), self.texel(i + 1, j + 1));
        std::array::from_fn(|k| {
            let top = a[k] + (b[k] - a[k]) * fx;
            let bottom = c[k] + (d[k] - c[k]) * fx;
            top + (bottom - top) * fy
        })
    }
}

impl TestRenderer for SoftwareRenderer {
    #[expect(
        clippy::iter_over_hash_type,
        reason = "each texture is changed on its own, in any order"
    )]
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        for (id, images) in std::mem::take(&mut delta.set) {
            for image in images {
                self.update_texture(id.into(), &image);
            }
        }
        for id in std::mem::take(&mut delta.free) {
            self.textures.remove(&id.into());
        }
    }

    fn render(&mut self, ctx: &Context, output: &FullOutput) -> Result<RgbaImage, String> {
        let scale = output.pixels_per_point;
        let size = ctx.content_rect().size() * scale;
        let background = rgba(wetlane::theme::Palette::of_context(ctx).ground);
        let mut canvas = Canvas::new(size.x.round() as usize, size.y.round() as usize, background);
        for primitive in ctx.tessellate(output.shapes.clone(), scale) {
            let egui::epaint::Primitive::Mesh(mesh) = &primitive.primitive else {
                return Err("paint callbacks cannot be drawn on the processor".to_owned());
            };
            let texture = self
                .textures
                .get(&mesh.texture_id.into())
                .ok_or_else(|| format!("no {:?}", mesh.texture_id))?;
            let clip = canvas.clip(primitive.clip_rect, scale);
            for corners in mesh.indices.chunks_exact(3) {
                let corners =
                    [corners[0], corners[1], corners[2]].map(|i| mesh.vertices[i as usize]);
                canvas.triangle(corners, texture, clip, scale);
            }
        }
        canvas.into_image()
    }
}

impl SoftwareRenderer {
    fn update_texture(&mut self, key: TextureKey, delta: &egui::epaint::ImageDelta) {
        let ImageData::Color(image) = &delta.image;
        let [width, height] = image.size;
        let pixels: Vec<Rgba> = image.pixels.iter().map(|c| rgba(*c)).collect();
        let Some([left, top]) = delta.pos else {
            let is_linear = delta.options.magnification == TextureFilter::Linear;
            self.textures.insert(
                key,
                Texture {
                    width,
                    height,
                    pixels,
                    is_linear,
                },
            );
            return;
        };
        if let Some(whole) = self.textures.get_mut(&key) {
            for row in 0..height {
                let from = (top + row) * whole.width + left;
                whole.pixels[from..from + width]
                    .copy_from_slice(&pixels[row * width..(row + 1) * width]);
            }
        }
    }
}

fn rgba(color: Color32) -> Rgba {
    color.to_array().map(|c| f32::from(c) / 255.0)
}

/// A rectangle of whole pixels: left, top, right, bottom (the last two excluded).
type PixelRect = [usize; 4];

struct Canvas {
    width: usize,
    height: usize,
    pixels: Vec<Rgba>,
}

impl Canvas {
    fn new(width: usize, height: usize, background: Rgba) -> Self {
        Self {
            width,
            height,
            pixels: vec![background; width * height],
        }
    }

    fn clip(&self, rect: egui::Rect, scale: f32) -> PixelRect {
        let bound = |x: f32, most: usize| (x * scale).round().clamp(0.0, most as f32) as usize;
        [
            bound(rect.min.x, self.width),
            bound(rect.min.y, self.height),
            bound(rect.max.x, self.width),
            bound(rect.max.y, self.height),
        ]
    }

    fn triangle(&mut self, corners: [Vertex; 3], texture: &Texture, clip: PixelRect, scale: f32) {
        let place = |p: Pos2| [f64::from(p.x * scale), f64::from(p.y * scale)];
        let [mut a, mut b, c] = corners;
        let mut area = edge(place(a.pos), place(b.pos), place(c.pos));
        if area < 0.0 {
            std::mem::swap(&mut a, &mut b);
            area = -area;
        }
        if area == 0.0 || area.is_nan() {
            return;
        }
        let points = [place(a.pos), place(b.pos), place(c.pos)];
        let paint = Paint::new([a, b, c], texture);
        let [left, top, right, bottom] = covered(points, clip);
        for y in top..bottom {
            let middle = y as f64 + 0.5;
            let (from, to) = row_span(points, middle, left, right);
            for x in from..to {
                if let Some(weights) = weights(points, [x as f64 + 0.5, middle], area) {
                    let source = paint.at(weights);
                    let target = &mut self.pixels[y * self.width + x];
                    let kept = 1.0 - source[3];
                    target[0] = source[0] + target[0] * kept;
                    target[1] = source[1] + target[1] * kept;
                    target[2] = source[2] + target[2] * kept;
                    target[3] = source[3] + target[3] * kept;
                }
            }
        }
    }

    fn into_image(self) -> Result<RgbaImage, String> {
        let bytes = self
            .pixels
            .iter()
            .flat_map(|p| p.map(|c| (c.clamp(0.0, 1.0) * 255.0).round() as u8))
            .collect();
        RgbaImage::from_raw(self.width as u32, self.height as u32, bytes)
            .ok_or_else(|| "one color per pixel".to_owned())
    }
}

/// The color of a triangle at each of its points.
struct Paint<'a> {
    colors: [Rgba; 3],
    uvs: [[f64; 2]; 3],
    texture: &'a Texture,
    /// The texel, where all corners share it.
    one_texel: Option<Rgba>,
    /// The color, where all corners share it and the texel.
    one_color: Option<Rgba>,
}

impl<'a> Paint<'a> {
    fn new(corners: [Vertex; 3], texture: &'a Texture) -> Self {
        let [a, b, c] = corners;
        let colors = corners.map(|v| rgba(v.color));
        let uvs = corners.map(|v| [f64::from(v.uv.x), f64::from(v.uv.y)]);
        let one_texel =
            (a.uv == b.uv && b.uv == c.uv).then(|| texture.sample(uvs[0][0], uvs[0][1]));
        let one_color = one_texel.filter(|_| a.color == b.color && b.color == c.color);
        let one_color = one_color.map(|texel| std::array::from_fn(|k| colors[0][k] * texel[k]));
        Self {
            colors,
            uvs,
            texture,
            one_texel,
            one_color,
        }
    }

    fn at(&self, weights: [f64; 3]) -> Rgba {
        if let Some(color) = self.one_color {
            return color;
        }
        let texel = self.one_texel.unwrap_or_else(|| {
            let [p, q, r] = self.uvs;
            let mix = |k: usize| p[k] * weights[0] + q[k] * weights[1] + r[k] * weights[2];
            self.texture.sample(mix(0), mix(1))
        });
        let [p, q, r] = self.colors;
        let [wp, wq, wr] = [weights[0] as f32, weights[1] as f32, weights[2] as f32];
        let mix = |k: usize| (p[k] * wp + q[k] * wq + r[k] * wr) * texel[k];
        [mix(0), mix(1), mix(2), mix(3)]
    }
}

/// The pixels of a row that may lie inside, one more on either side for rounding.
fn row_span(points: [[f64; 2]; 3], y: f64, left: usize, right: usize) -> (usize, usize) {
    let (mut low, mut high) = (left as f64, right as f64);
    for k in 0..3 {
        let (from, to) = (points[(k + 1) % 3], points[(k + 2) % 3]);
        let rise = to[1] - from[1];
        if rise != 0.0 {
            let cut = from[0] + (to[0] - from[0]) * (y - from[1]) / rise;
            if rise > 0.0 {
                high = high.min(cut + 1.5);
            } else {
                low = low.max(cut - 1.5);
            }
        }
    }
    (
        low.floor().max(left as f64) as usize,
        high.ceil().clamp(left as f64, right as f64) as usize,
    )
}

/// Twice the signed area of the triangle a, b, p.
fn edge(a: [f64; 2], b: [f64; 2], p: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])
}

/// The pixels that a triangle may touch inside `clip`.
fn covered(points: [[f64; 2]; 3], clip: PixelRect) -> PixelRect {
    let low = |k: usize| {
        points
            .iter()
            .map(|p| p[k])
            .fold(f64::INFINITY, f64::min)
            .floor()
            .max(0.0) as usize
    };
    let high = |k: usize| points.iter().map(|p| p[k]).fold(0.0, f64::max).ceil() as usize;
    [
        low(0).max(clip[0]),
        low(1).max(clip[1]),
        high(0).min(clip[2]),
        high(1).min(clip[3]),
    ]
}

/// Barycentric weights of a pixel center; `None` outside. A pixel on a shared edge belongs to one triangle only.
fn weights(points: [[f64; 2]; 3], p: [f64; 2], area: f64) -> Option<[f64; 3]> {
    let mut weights = [0.0; 3];
    for (k, weight) in weights.iter_mut().enumerate() {
        let (from, to) = (points[(k + 1) % 3], points[(k + 2) % 3]);
        let w = edge(from, to, p);
        let (run, rise) = (to[0] - from[0], to[1] - from[1]);
        let is_top_left = rise < 0.0 || (rise == 0.0 && run > 0.0);
        if w < 0.0 || (w == 0.0 && !is_top_left) {
            return None;
        }
        *weight = w / area;
    }
    Some(weights)
}
