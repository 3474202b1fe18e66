//! A page of every widget, drawn in both themes and at two scales: fails when a widget cannot be drawn, lacks an
//! accessible name or uses a character that no face has. With `WETLANE_PICTURES` set, the pages are kept there.

use egui::{Theme, Ui, Vec2, vec2};
use egui_kittest::Harness;
use wetlane::theme;
use wetlane::widgets::limit_row::{LimitLine, limit_list};
use wetlane::widgets::margin_bar::{LimitState, Margin};
use wetlane::widgets::number_field::NumberField;
use wetlane::widgets::{button, heading};

use crate::software_renderer::SoftwareRenderer;

/// A harness with our faces and the processor renderer.
pub(crate) fn harness<'a>(
    size: Vec2,
    scale: f32,
    theme: Theme,
    page: impl FnMut(&mut Ui) + 'a,
) -> Harness<'a> {
    Harness::builder()
        .with_size(size)
        .with_pixels_per_point(scale)
        .with_theme(theme)
        .with_max_steps(20)
        .with_render_cursor(false)
        .with_context_setup(|ctx| {
            theme::install(ctx);
            ctx.set_missing_glyph_policy(egui::MissingGlyphPolicy::Panic);
        })
        .renderer(SoftwareRenderer::default())
        .build_ui(page)
}

/// Draws `page` in both themes at both scales.
fn draw(name: &str, size: Vec2, page: fn(&mut Ui)) -> Result<(), String> {
    for (theme, theme_name) in [(Theme::Light, "light"), (Theme::Dark, "dark")] {
        for scale in [1.0, 2.0] {
            let mut harness = harness(size, scale, theme, page);
            harness.run();
            let picture = harness.render()?;
            if let Some(folder) = std::env::var_os("WETLANE_PICTURES") {
                let file = format!("{name}-{theme_name}-{scale}x.png");
                let path = std::path::Path::new(&folder).join(file);
                picture.save(path).map_err(|error| error.to_string())?;
            }
        }
    }
    Ok(())
}

pub(crate) fn limits() -> Vec<LimitLine> {
    let limit =
        |name: &str, comparison: &str, value: f64, span: f64, state: LimitState, chance: &str| {
            LimitLine {
                name: name.into(),
                comparison: comparison.into(),
                margin: Margin {
                    value,
                    span: Some((value - span, value + span)),
                    state,
                },
                chance: chance.into(),
            }
        };
    vec![
        limit(
            "Stays wet",
            "40 ≤ 30 s",
            -0.25,
            0.0,
            LimitState::Broken,
            "3 %",
        ),
        limit(
            "Bead holds",
            "13.0 ≥ 12.4 µm",
            0.05,
            0.12,
            LimitState::Near,
            "76 %",
        ),
        limit(
            "Low flow",
            "13.0 ≥ 10.2 µm",
            0.21,
            0.04,
            LimitState::Holds,
            "> 99 %",
        ),
        limit(
            "Wires pass",
            "3 × 40 ≤ 250 µm",
            0.52,
            0.0,
            LimitState::Holds,
            "> 99 %",
        ),
        limit(
            "Ink wets the foil",
            "52 ≥ 28 mN/m",
            1.0,
            0.0,
            LimitState::Holds,
            "> 99 %",
        ),
    ]
}

fn first_page(ui: &mut Ui) {
    heading::sentence(
        ui,
        "The bead is near its limit: chance of a sound film 76 %.",
        "At a gap of 250 µm and 1.80 m/min the thinnest film the bead can hold is 12.4 µm; you ask 13.0 µm.",
    );
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        button::primary_button(ui, "Plan the runs");
        button::outlined_button(ui, "Take over 4 readings");
        button::choice_button(ui, "ribs", button::ButtonLook::Outlined);
        button::choice_button(ui, "cross bars", button::ButtonLook::Fault);
        button::link(ui, "Use another card…");
        let mut is_ticked = true;
        button::tick_box(ui, &mut is_ticked, "Recipe card");
        let mut is_ticked = false;
        button::tick_box(ui, &mut is_ticked, "Evidence");
    });
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        NumberField::new(egui::Id::unique("speed"), "Speed, m/min", "1.80")
            .unit("m/min")
            .show(ui);
        NumberField::new(egui::Id::unique("wet"), "Wet thickness, µm", "13.0")
            .unit("µm")
            .show(ui);
        NumberField::new(egui::Id::unique("empty"), "Dose, W·min/m²", "")
            .hint("dose")
            .show(ui);
    });
    ui.allocate_ui(vec2(342.0, 300.0), |ui| {
        limit_list(ui, "Limits", &limits(), Some(1));
        heading::section_head(ui, "If it breaks", "");
        heading::body_text(ui, "Bead holds: the bead tears off the lip. Cross bars at even spacing, then skips and bare patches.");
        heading::quiet_text(ui, "Thicker film, slower web, smaller gap or more vacuum helps.");
    });
}

#[test]
fn first_widgets_can_be_drawn() -> Result<(), String> {
    draw("first", vec2(820.0, 460.0), first_page)
}
