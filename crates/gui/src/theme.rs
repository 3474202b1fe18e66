//! Colors, faces, sizes and the egui style of the window: the only place that names a color.
//!
//! Two palettes (light, dark) share one set of roles. Color only repeats what shape, hatch and word already say,
//! and no red or green is used. Text colors keep at least 4.5:1 against `ground` and `sheet`, outlines of controls at
//! least 3:1 (W3C, Web Content Accessibility Guidelines 2.1, success criteria 1.4.3 and 1.4.11).

use std::sync::Arc;

use egui::{
    Color32, Context, CornerRadius, FontData, FontDefinitions, FontFamily, FontId, Margin, Stroke,
    Style,
};

use crate::figure::color_map;

/// Which of the two palettes the window uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ThemeChoice {
    /// As the desktop asks.
    #[default]
    System,
    /// Dark ink on a light ground.
    Light,
    /// Light ink on a dark ground.
    Dark,
}

impl ThemeChoice {
    /// All choices, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::System, Self::Light, Self::Dark];

    /// The word on screen.
    pub fn label(self) -> &'static str {
        match self {
            Self::System => "as the system",
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }

    /// Makes `ctx` follow this choice from the next frame on.
    pub fn apply(self, ctx: &Context) {
        ctx.set_theme(match self {
            Self::System => egui::ThemePreference::System,
            Self::Light => egui::ThemePreference::Light,
            Self::Dark => egui::ThemePreference::Dark,
        });
    }
}

/// The colors of one theme, one field per role.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Palette {
    /// Ground of the window.
    pub ground: Color32,
    /// Spine, plots, fields, cards.
    pub sheet: Color32,
    /// Text, bounds, rules, marks.
    pub ink: Color32,
    /// Units and secondary text.
    pub ink2: Color32,
    /// Axis lines, repeated values, neutral bars.
    pub ink3: Color32,
    /// Outline of buttons and fields.
    pub control: Color32,
    /// Rules and tracks (decoration).
    pub line: Color32,
    /// Row rules (decoration).
    pub hair: Color32,
    /// Neutral hatch lines.
    pub hatch: Color32,
    /// What can be acted on; data marks and fitted curves.
    pub accent: Color32,
    /// Text on `accent`.
    pub on_accent: Color32,
    /// Bands; first bottle on the foil strip.
    pub accent_soft: Color32,
    /// Ground of the selected row.
    pub selected: Color32,
    /// Wet lane, ink, samples.
    pub wet: Color32,
    /// Text on `wet`.
    pub on_wet: Color32,
    /// Words about limits; filled flag.
    pub amber: Color32,
    /// Limit curves; outline and hatch of a troubled station.
    pub amber_line: Color32,
    /// Fill of a faulty mark.
    pub amber_soft: Color32,
    /// Unused foil.
    pub foil: Color32,
}

impl Palette {
    /// Dark ink on a light ground.
    pub const LIGHT: Self = Self {
        ground: hex(0x00E9_EEED),
        sheet: hex(0x00FA_FBFA),
        ink: hex(0x0018_232A),
        ink2: hex(0x004C_5A61),
        ink3: hex(0x0058_666B),
        control: hex(0x0077_868A),
        line: hex(0x00B4_BFC0),
        hair: hex(0x00D5_DCDB),
        hatch: hex(0x008C_989B),
        accent: hex(0x000A_5C66),
        on_accent: hex(0x00FF_FFFF),
        accent_soft: hex(0x00CF_E3E2),
        selected: hex(0x00DC_EAE9),
        wet: hex(0x0015_7E87),
        on_wet: hex(0x00FF_FFFF),
        amber: hex(0x0084_490A),
        amber_line: hex(0x00B5_690F),
        amber_soft: hex(0x00F4_E4CB),
        foil: hex(0x00C9_D2D2),
    };

    /// Light ink on a dark ground.
    pub const DARK: Self = Self {
        ground: hex(0x0010_171A),
        sheet: hex(0x0018_2125),
        ink: hex(0x00E6_ECEB),
        ink2: hex(0x00A7_B4B6),
        ink3: hex(0x0093_A2A5),
        control: hex(0x0076_878C),
        line: hex(0x004A_585C),
        hair: hex(0x002B_373B),
        hatch: hex(0x0066_757A),
        accent: hex(0x006C_CBC8),
        on_accent: hex(0x0008_211F),
        accent_soft: hex(0x001B_4548),
        selected: hex(0x001C_3539),
        wet: hex(0x003F_A9AC),
        on_wet: hex(0x0008_211F),
        amber: hex(0x00F0_B765),
        amber_line: hex(0x00D9_9A45),
        amber_soft: hex(0x003B_2E18),
        foil: hex(0x0038_464A),
    };

    /// The palette of the theme in which `ui` draws.
    pub fn of(ui: &egui::Ui) -> &'static Self {
        if ui.visuals().dark_mode {
            &Self::DARK
        } else {
            &Self::LIGHT
        }
    }

    /// The palette of the present theme of `ctx`.
    pub fn of_context(ctx: &Context) -> &'static Self {
        match ctx.theme() {
            egui::Theme::Dark => &Self::DARK,
            egui::Theme::Light => &Self::LIGHT,
        }
    }
}

/// Lines and numbers drawn on a map, the same in both themes.
pub const MAP_INK: Color32 = hex(0x0010_181C);
/// Casing of lines and ground of number chips on a map, the same in both themes.
pub const MAP_CASING: Color32 = hex(0x00F4_F6F3);

/// The map color at `position` of the sequence (0 dark end, 1 light end); values outside are held at the ends.
pub fn map_color(position: f64) -> Color32 {
    let [r, g, b] = color_map::color_at(position);
    Color32::from_rgb(r, g, b)
}

/// The color of the shadow beside a paper page.
pub fn page_shadow(palette: &Palette) -> Color32 {
    palette.hair
}

const fn hex(rgb: u32) -> Color32 {
    let [_, r, g, b] = rgb.to_be_bytes();
    Color32::from_rgb(r, g, b)
}

/// Sizes of lettering, in points.
pub mod text_size {
    /// The sentence that opens a screen (bold).
    pub const SENTENCE: f32 = 20.0;
    /// The line under the sentence.
    pub const SUB_SENTENCE: f32 = 13.5;
    /// The word that heads a section (bold).
    pub const SECTION: f32 = 13.0;
    /// Body text and links.
    pub const BODY: f32 = 13.5;
    /// Table cells and rows of lists.
    pub const CELL: f32 = 13.0;
    /// Units, axis text, quiet labels.
    pub const UNIT: f32 = 12.5;
    /// Units in rows pitched closer than 20.
    pub const UNIT_CLOSE: f32 = 12.0;
    /// Units inside the spine.
    pub const UNIT_SPINE: f32 = 11.5;
    /// Words on buttons and numbers in fields.
    pub const BUTTON: f32 = 14.0;
    /// Screen names in the tape.
    pub const TAPE: f32 = 14.5;
    /// Name of the program on the start page (bold).
    pub const START_NAME: f32 = 30.0;
    /// Sentence of the start page (bold).
    pub const START_SENTENCE: f32 = 24.0;
    /// Words on the buttons of the start page (bold).
    pub const START_BUTTON: f32 = 19.0;
    /// Values at the machine (bold).
    pub const MACHINE_VALUE: f32 = 46.0;
    /// Run number at the machine (bold).
    pub const MACHINE_RUN: f32 = 40.0;
    /// Metres at the machine (bold).
    pub const MACHINE_METRE: f32 = 32.0;
    /// Verdict buttons at the machine (bold).
    pub const MACHINE_VERDICT: f32 = 30.0;
    /// Fault buttons at the machine.
    pub const MACHINE_FAULT: f32 = 20.0;
    /// Labels at the machine.
    pub const MACHINE_LABEL: f32 = 16.0;
}

/// Distances and line weights, in points.
pub mod measure {
    /// The grid to which places are rounded.
    pub const GRID: f32 = 4.0;
    /// Margin of the window.
    pub const WINDOW_MARGIN: f32 = 24.0;
    /// Gap between columns.
    pub const COLUMN_GAP: f32 = 26.0;
    /// From a head rule to the first base line.
    pub const HEAD_TO_BASE_LINE: f32 = 26.0;
    /// Pitch of limit rows.
    pub const LIMIT_PITCH: f32 = 21.0;
    /// Pitch of run rows.
    pub const RUN_PITCH: f32 = 21.0;
    /// Pitch of reading rows.
    pub const READING_PITCH: f32 = 20.0;
    /// Pitch of reading rows for fingers.
    pub const READING_PITCH_TOUCH: f32 = 26.0;
    /// Pitch of setting rows.
    pub const SETTING_PITCH: f32 = 35.0;
    /// Height of a button.
    pub const BUTTON_HEIGHT: f32 = 34.0;
    /// Height of a field.
    pub const FIELD_HEIGHT: f32 = 25.0;
    /// Smallest target at the machine.
    pub const MACHINE_TARGET: f32 = 56.0;
    /// Corner radius of buttons and cards.
    pub const BUTTON_RADIUS: u8 = 3;
    /// Corner radius of fields.
    pub const FIELD_RADIUS: u8 = 2;
    /// Weight of hair lines.
    pub const HAIR: f32 = 0.8;
    /// Weight of rules.
    pub const RULE: f32 = 1.0;
    /// Weight of bounds.
    pub const BOUND: f32 = 1.6;
    /// Weight of the limit curve that binds.
    pub const LIMIT_CURVE: f32 = 2.3;
    /// Weight of further limit curves.
    pub const SECOND_LIMIT: f32 = 1.2;
    /// Weight of the web.
    pub const WEB: f32 = 2.2;
    /// Height of the spine at full size.
    pub const SPINE_HEIGHT: f32 = 164.0;
    /// Height of the spine on a small screen.
    pub const SPINE_COMPACT_HEIGHT: f32 = 72.0;
    /// Height of the tape of screens.
    pub const TAPE_HEIGHT: f32 = 31.0;
    /// Height of the message line at the bottom.
    pub const STATUS_HEIGHT: f32 = 24.0;
    /// Window widths below this get one column at a time and the compact spine.
    pub const NARROW: f32 = 900.0;
}

const BOLD_FAMILY: &str = "bold";
const REGULAR: &str = "Lato Regular";
const BOLD: &str = "Lato Bold";
const SIGNS: &str = "DejaVu Sans";

/// The regular face at `size` points.
pub fn regular(size: f32) -> FontId {
    FontId::new(size, FontFamily::Proportional)
}

/// The bold face at `size` points.
pub fn bold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(BOLD_FAMILY.into()))
}

/// Loads the faces and both styles into `ctx`. Call once, before the first frame.
pub fn install(ctx: &Context) {
    ctx.set_fonts(faces());
    ctx.set_style_of(
        egui::Theme::Light,
        style(&Palette::LIGHT, egui::Theme::Light),
    );
    ctx.set_style_of(egui::Theme::Dark, style(&Palette::DARK, egui::Theme::Dark));
    ctx.options_mut(|options| options.fallback_theme = egui::Theme::Light);
}

/// The two Lato faces, each with `DejaVu Sans` behind it for signs that Lato lacks.
fn faces() -> FontDefinitions {
    let mut fonts = FontDefinitions::empty();
    let files: [(&str, &'static [u8]); 3] = [
        (REGULAR, include_bytes!("../assets/fonts/Lato-Regular.ttf")),
        (BOLD, include_bytes!("../assets/fonts/Lato-Bold.ttf")),
        (SIGNS, include_bytes!("../assets/fonts/DejaVuSans.ttf")),
    ];
    for (name, file) in files {
        fonts
            .font_data
            .insert(name.to_owned(), Arc::new(FontData::from_static(file)));
    }
    let family = |first: &str| vec![first.to_owned(), SIGNS.to_owned()];
    fonts
        .families
        .insert(FontFamily::Proportional, family(REGULAR));
    fonts
        .families
        .insert(FontFamily::Monospace, family(REGULAR)); // digits of Lato are of equal width
    fonts
        .families
        .insert(FontFamily::Name(BOLD_FAMILY.into()), family(BOLD));
    fonts
}

fn style(palette: &Palette, theme: egui::Theme) -> Style {
    use egui::TextStyle;

    let mut style = Style {
        visuals: visuals(palette, theme),
        ..Style::default()
    };
    style.text_styles = [
        (TextStyle::Small, regular(text_size::UNIT)),
        (TextStyle::Body, regular(text_size::BODY)),
        (TextStyle::Monospace, regular(text_size::CELL)),
        (TextStyle::Button, regular(text_size::BUTTON)),
        (TextStyle::Heading, bold(text_size::SENTENCE)),
    ]
    .into();
    let spacing = &mut style.spacing;
    spacing.item_spacing = egui::vec2(8.0, 4.0);
    spacing.button_padding = egui::vec2(10.0, 4.0);
    spacing.interact_size = egui::vec2(25.0, measure::FIELD_HEIGHT);
    spacing.window_margin = Margin::same(12);
    spacing.menu_margin = Margin::same(6);
    spacing.icon_width = 16.0;
    spacing.scroll.floating = true;
    spacing.scroll.bar_width = 8.0;
    style.interaction.selectable_labels = false;
    style.interaction.tooltip_delay = 0.4;
    style.scroll_animation = egui::style::ScrollAnimation::none();
    style.animation_time = 0.0; // an idle window draws nothing
    style
}

fn visuals(palette: &Palette, theme: egui::Theme) -> egui::Visuals {
    let mut visuals = theme.default_visuals();
    visuals.override_text_color = None;
    visuals.weak_text_color = Some(palette.ink2);
    visuals.hyperlink_color = palette.accent;
    visuals.faint_bg_color = palette.selected;
    visuals.extreme_bg_color = palette.sheet;
    visuals.text_edit_bg_color = Some(palette.sheet);
    visuals.code_bg_color = palette.sheet;
    visuals.warn_fg_color = palette.amber;
    visuals.error_fg_color = palette.amber;
    visuals.panel_fill = palette.ground;
    visuals.window_fill = palette.sheet;
    visuals.window_stroke = Stroke::new(measure::RULE, palette.control);
    visuals.window_corner_radius = CornerRadius::same(measure::BUTTON_RADIUS);
    visuals.menu_corner_radius = CornerRadius::same(measure::BUTTON_RADIUS);
    visuals.window_shadow = egui::Shadow::NONE;
    visuals.popup_shadow = egui::Shadow::NONE;
    visuals.selection.bg_fill = palette.accent_soft;
    visuals.selection.stroke = Stroke::new(measure::RULE, palette.accent);
    visuals.text_cursor.stroke = Stroke::new(1.6, palette.accent);
    visuals.text_cursor.blink = false; // a blinking caret repaints an idle window
    visuals.image_loading_spinners = false;
    visuals.disabled_alpha = 0.6;
    visuals.widgets = widget_visuals(palette);
    visuals
}

fn widget_visuals(palette: &Palette) -> egui::style::Widgets {
    let state = |fill: Color32, outline: Stroke, text: Color32| egui::style::WidgetVisuals {
        bg_fill: fill,
        weak_bg_fill: fill,
        bg_stroke: outline,
        corner_radius: CornerRadius::same(measure::BUTTON_RADIUS),
        fg_stroke: Stroke::new(measure::RULE, text),
        expansion: 0.0,
    };
    egui::style::Widgets {
        noninteractive: state(
            palette.ground,
            Stroke::new(measure::RULE, palette.line),
            palette.ink,
        ),
        inactive: state(
            palette.ground,
            Stroke::new(measure::RULE, palette.control),
            palette.ink,
        ),
        hovered: state(
            palette.selected,
            Stroke::new(measure::RULE, palette.accent),
            palette.ink,
        ),
        active: state(
            palette.accent_soft,
            Stroke::new(1.6, palette.accent),
            palette.ink,
        ),
        open: state(
            palette.selected,
            Stroke::new(measure::RULE, palette.accent),
            palette.ink,
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Contrast ratio of two opaque colors (W3C, Web Content Accessibility Guidelines 2.1, "contrast ratio" and
    /// "relative luminance").
    fn contrast(a: Color32, b: Color32) -> f64 {
        let channel = |c: u8| {
            let c = f64::from(c) / 255.0;
            if c <= 0.03928 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        let luminance = |c: Color32| {
            0.2126 * channel(c.r()) + 0.7152 * channel(c.g()) + 0.0722 * channel(c.b())
        };
        let (la, lb) = (luminance(a), luminance(b));
        (la.max(lb) + 0.05) / (la.min(lb) + 0.05)
    }

    #[test]
    fn contrast_formula_gives_the_standards_own_extremes() {
        // WCAG 2.1, note to "contrast ratio": ratios range from 1 to 21 (black on white).
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
        assert!((contrast(Color32::WHITE, Color32::WHITE) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn text_colors_reach_the_contrast_for_body_text() {
        // WCAG 2.1, success criterion 1.4.3 (level AA): at least 4.5:1.
        for (theme, p) in [("light", Palette::LIGHT), ("dark", Palette::DARK)] {
            for (role, text) in [
                ("ink", p.ink),
                ("ink2", p.ink2),
                ("ink3", p.ink3),
                ("accent", p.accent),
                ("amber", p.amber),
            ] {
                for (place, ground) in [
                    ("ground", p.ground),
                    ("sheet", p.sheet),
                    ("selected", p.selected),
                ] {
                    let ratio = contrast(text, ground);
                    assert!(ratio >= 4.5, "{theme}: {role} on {place} is {ratio:.2}:1");
                }
            }
            for (role, text, ground) in [
                ("on accent", p.on_accent, p.accent),
                ("on wet", p.on_wet, p.wet),
                ("amber on amber soft", p.amber, p.amber_soft),
                ("sheet on amber", p.sheet, p.amber),
            ] {
                let ratio = contrast(text, ground);
                assert!(ratio >= 4.5, "{theme}: {role} is {ratio:.2}:1");
            }
        }
    }

    #[test]
    fn outlines_of_controls_reach_the_contrast_for_controls() {
        // WCAG 2.1, success criterion 1.4.11: at least 3:1 for what identifies a control.
        for p in [Palette::LIGHT, Palette::DARK] {
            for outline in [p.control, p.amber_line, p.wet] {
                assert!(contrast(outline, p.ground) >= 3.0);
                assert!(contrast(outline, p.sheet) >= 3.0);
            }
        }
        assert!(contrast(MAP_INK, MAP_CASING) >= 4.5);
    }
}
