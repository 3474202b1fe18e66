//! Text set on a base line: plain, fitted to a width, wrapped, cased for plots, rotated along a curve.

use std::sync::Arc;

use egui::{
    Align, Color32, FontId, Galley, Painter, Pos2, Rect, Shape, epaint::TextShape, pos2, vec2,
};

/// Line height over text size.
pub const LINE_HEIGHT: f32 = 1.3;

/// Half width of the casing around text on plots, in points.
const CASING: f32 = 1.7;

/// One stretch of text in one face and color.
#[derive(Debug, Clone)]
pub struct Lettering {
    /// The words.
    pub text: String,
    /// Face and size.
    pub font: FontId,
    /// Color.
    pub color: Color32,
}

impl Lettering {
    /// Text in a face and color.
    pub fn new(text: impl Into<String>, font: FontId, color: Color32) -> Self {
        Self {
            text: text.into(),
            font,
            color,
        }
    }

    /// Width in points when set in one line.
    pub fn width(&self, painter: &Painter) -> f32 {
        self.lay_out(painter).size().x
    }

    fn lay_out(&self, painter: &Painter) -> Arc<Galley> {
        painter.layout_no_wrap(self.text.clone(), self.font.clone(), self.color)
    }

    /// Sets the text on the base line through `at`, to the right of it, around it or to the left of it.
    /// Returns the rectangle of the line.
    pub fn write(&self, painter: &Painter, at: Pos2, align: Align) -> Rect {
        place(painter, self.lay_out(painter), at, align, self.color)
    }

    /// As [`Self::write`], but ends in "…" where it would be wider than `most`.
    pub fn write_within(&self, painter: &Painter, at: Pos2, align: Align, most: f32) -> Rect {
        let galley = self.lay_out(painter);
        if galley.size().x <= most {
            return place(painter, galley, at, align, self.color);
        }
        let mut job = egui::text::LayoutJob::simple_singleline(
            self.text.clone(),
            self.font.clone(),
            self.color,
        );
        job.wrap = egui::text::TextWrapping::truncate_at_width(most.max(0.0));
        place(painter, painter.layout_job(job), at, align, self.color)
    }

    /// Sets the text in lines no wider than `most`, the first on the base line through `at`.
    /// Returns the rectangle of all lines.
    pub fn write_wrapped(&self, painter: &Painter, at: Pos2, most: f32) -> Rect {
        place(
            painter,
            self.lay_out_wrapped(painter, most),
            at,
            Align::LEFT,
            self.color,
        )
    }

    /// Height in points when set in lines no wider than `most`.
    pub fn wrapped_height(&self, painter: &Painter, most: f32) -> f32 {
        self.lay_out_wrapped(painter, most).size().y
    }

    fn lay_out_wrapped(&self, painter: &Painter, most: f32) -> Arc<Galley> {
        let mut job =
            egui::text::LayoutJob::simple(self.text.clone(), self.font.clone(), self.color, most);
        for section in &mut job.sections {
            section.format.line_height = Some((self.font.size * LINE_HEIGHT).round());
        }
        painter.layout_job(job)
    }

    /// As [`Self::write`], with a casing that keeps it legible over lines and colors.
    pub fn write_cased(&self, painter: &Painter, at: Pos2, align: Align, casing: Color32) -> Rect {
        for step in casing_steps() {
            let shadow = Self {
                color: casing,
                ..self.clone()
            };
            shadow.write(painter, at + step, align);
        }
        self.write(painter, at, align)
    }

    /// Sets the text around `center`, turned by `angle` (radians, clockwise on screen), with a casing.
    pub fn write_along(&self, painter: &Painter, center: Pos2, angle: f32, casing: Color32) {
        let galley = self.lay_out(painter);
        // Middle of the small letters, not of the line box, sits on the line that it names.
        let middle = vec2(
            galley.size().x / 2.0,
            ascent(&galley) - 0.24 * self.font.size,
        );
        let (sin, cos) = angle.sin_cos();
        let corner = center
            - vec2(
                middle.x * cos - middle.y * sin,
                middle.x * sin + middle.y * cos,
            );
        let turned = |at: Pos2, color: Color32| {
            let shape = TextShape::new(at, Arc::clone(&galley), color);
            Shape::Text(shape.with_override_text_color(color).with_angle(angle))
        };
        painter.extend(casing_steps().map(|step| turned(corner + step, casing)));
        painter.add(turned(corner, self.color));
    }
}

fn casing_steps() -> impl Iterator<Item = egui::Vec2> {
    const N_STEPS: u8 = 12;
    (0..N_STEPS).map(|i| {
        egui::Vec2::angled(std::f32::consts::TAU * f32::from(i) / f32::from(N_STEPS)) * CASING
    })
}

/// Distance from the top of the first line to its base line.
fn ascent(galley: &Galley) -> f32 {
    galley.rows.first().map_or(0.0, |row| {
        row.pos.y + row.glyphs.first().map_or(row.size.y, |glyph| glyph.pos.y)
    })
}

fn place(painter: &Painter, galley: Arc<Galley>, at: Pos2, align: Align, color: Color32) -> Rect {
    let width = galley.size().x;
    let left = match align {
        Align::Min => at.x,
        Align::Center => at.x - width / 2.0,
        Align::Max => at.x - width,
    };
    let corner = pos2(left, at.y - ascent(&galley));
    let rect = Rect::from_min_size(corner, galley.size());
    painter.galley(corner, galley, color);
    rect
}

/// Sets several stretches one after the other on one base line from `at`, `gap` points apart.
/// Returns the right end.
pub fn write_run(painter: &Painter, at: Pos2, gap: f32, stretches: &[Lettering]) -> f32 {
    let mut x = at.x;
    for (i, stretch) in stretches.iter().filter(|s| !s.text.is_empty()).enumerate() {
        if i > 0 {
            x += gap;
        }
        x = stretch.write(painter, pos2(x, at.y), Align::LEFT).right();
    }
    x
}

/// Width of [`write_run`].
pub fn run_width(painter: &Painter, gap: f32, stretches: &[Lettering]) -> f32 {
    let widths: Vec<f32> = stretches
        .iter()
        .filter(|s| !s.text.is_empty())
        .map(|s| s.width(painter))
        .collect();
    widths.iter().sum::<f32>() + gap * (widths.len().saturating_sub(1)) as f32
}

/// The base line that sets capitals of `size` in the vertical middle of a strip around `y`.
///
/// Capitals of the face are 0.72 of its size high (measured on the shipped face).
pub fn base_line_around(y: f32, size: f32) -> f32 {
    y + 0.36 * size
}
