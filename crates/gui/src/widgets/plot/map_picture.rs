//! What of a map is kept between frames: its colors as a texture and its lines, made anew when its inputs change.

use std::sync::Arc;

use egui::{Color32, ColorImage, Id, TextureHandle, TextureOptions, Ui};

use super::contour_map::ContourMap;
use super::field::Field;
use crate::figure::isolines::{Grid, Isoline, clip_lines, isolines};
use crate::theme::map_color;

/// The picture of a map.
pub(super) struct MapPicture {
    /// Colors of the field; transparent where the line cannot run or no value is known.
    pub(super) texture: TextureHandle,
    /// Lines of each level, in the order of the levels.
    pub(super) levels: Vec<Vec<Isoline>>,
    /// Edge of what can run.
    pub(super) edges: Vec<Isoline>,
    /// Edge of the region of all goals.
    pub(super) goals: Vec<Isoline>,
}

/// What a picture was made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Key {
    revision: u64,
    size: [usize; 2],
}

#[derive(Clone)]
struct Kept {
    key: Key,
    picture: Arc<MapPicture>,
}

/// The picture of `map`, taken from the last frame when its revision and size are the same.
pub(super) fn picture(ui: &Ui, id: Id, map: &ContourMap<'_>, field: &Field<'_>) -> Arc<MapPicture> {
    let key = Key {
        revision: map.revision,
        size: pixels(field),
    };
    let kept: Option<Kept> = ui.data(|data| data.get_temp(id));
    if let Some(kept) = kept.filter(|kept| kept.key == key) {
        return kept.picture;
    }
    let picture = Arc::new(make(ui, map, field, key.size));
    ui.data_mut(|data| {
        data.insert_temp(
            id,
            Kept {
                key,
                picture: Arc::clone(&picture),
            },
        )
    });
    picture
}

/// One texel a point is enough: the texture is drawn smoothly and its edges lie under lines.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "held within 1..=1600"
)]
fn pixels(field: &Field<'_>) -> [usize; 2] {
    [field.rect.width(), field.rect.height()].map(|side| side.round().clamp(1.0, 1600.0) as usize)
}

fn make(ui: &Ui, map: &ContourMap<'_>, field: &Field<'_>, size: [usize; 2]) -> MapPicture {
    let image = ColorImage::new(size, colors(map, field, size));
    let texture = ui
        .ctx()
        .load_texture(map.name, image, TextureOptions::LINEAR);
    let inside = |at: [f64; 2]| match map.margin {
        Some(margin) => margin.interpolate(at[0], at[1]),
        None => Some(1.0),
    };
    let lines = |grid: &Grid, level: f64| clip_lines(&isolines(grid, level), inside);
    MapPicture {
        texture,
        levels: map
            .levels
            .iter()
            .map(|level| lines(map.values, level.value))
            .collect(),
        edges: map
            .margin
            .map_or_else(Vec::new, |margin| isolines(margin, 0.0)),
        goals: map.goals.map_or_else(Vec::new, |goals| lines(goals, 0.0)),
    }
}

fn colors(map: &ContourMap<'_>, field: &Field<'_>, size: [usize; 2]) -> Vec<Color32> {
    let [width, height] = size;
    let middle = |i: usize, n: usize| (i as f64 + 0.5) / n as f64;
    let across: Vec<f64> = (0..width)
        .map(|i| field.x.value_at(middle(i, width)))
        .collect();
    let mut colors = Vec::with_capacity(width * height);
    for j in 0..height {
        let y = field.y.value_at(1.0 - middle(j, height));
        for &x in &across {
            colors.push(color(map, x, y));
        }
    }
    colors
}

fn color(map: &ContourMap<'_>, x: f64, y: f64) -> Color32 {
    if map
        .margin
        .is_some_and(|margin| margin.interpolate(x, y).is_none_or(|m| m < 0.0))
    {
        return Color32::TRANSPARENT;
    }
    let position = map
        .values
        .interpolate(x, y)
        .and_then(|value| map.scale.position(value));
    position.map_or(Color32::TRANSPARENT, map_color)
}
