//! The whole window on a project, driven without a display.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::Theme;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use wetlane::app::action::{Action, Screen};
use wetlane::app::{App, Setting};
use wetlane::campaign::project::Project;
use wetlane::campaign::project_file::{from_bytes, to_bytes};

use crate::software_renderer::SoftwareRenderer;

pub(crate) const NOW: &str = "2026-02-05T09:00:00Z";

/// The sample campaign with readings.
pub(crate) fn sample() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../sample-projects/a-silver-nanowire-electrode.json")
}

/// The window as it starts with this setting.
pub(crate) fn window_with<'a>(
    setting: Setting,
    size: egui::Vec2,
    scale: f32,
    look: Theme,
) -> Harness<'a, App> {
    let mut harness = Harness::builder()
        .with_size(size)
        .with_pixels_per_point(scale)
        .with_theme(look)
        .with_max_steps(40)
        .with_render_cursor(false)
        .renderer(SoftwareRenderer::default())
        .build_eframe(|creation| {
            let setting = Setting {
                clock: Arc::new(|| NOW.to_owned()),
                ..setting
            };
            let app = App::new(&creation.egui_ctx, setting);
            creation.egui_ctx.set_theme(look);
            app
        });
    settle(&mut harness);
    harness
}

/// The window with a project file on one of its screens.
pub(crate) fn window_on<'a>(
    file: PathBuf,
    screen: Screen,
    size: egui::Vec2,
    scale: f32,
    look: Theme,
) -> Harness<'a, App> {
    let setting = Setting {
        file: Some(file),
        ..Setting::default()
    };
    let mut harness = window_with(setting, size, scale, look);
    act(&mut harness, Action::GoTo(screen));
    harness
}

/// Does what menus and keys can do.
pub(crate) fn act(harness: &mut Harness<'_, App>, action: Action) {
    let ctx = harness.ctx.clone();
    harness.state_mut().act(action, &ctx);
    settle(harness);
}

/// Frames until work in the background has ended.
pub(crate) fn settle(harness: &mut Harness<'_, App>) {
    for _ in 0..400 {
        harness.step();
        if harness.state().derived().under_way().is_empty() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    harness.run_steps(4);
}

/// The project that is open.
pub(crate) fn project<'h>(harness: &'h Harness<'_, App>) -> &'h Project {
    harness
        .state()
        .session()
        .expect("the sample is open")
        .project()
}

/// Frames until a label is there; plans and judgements come from the background.
pub(crate) fn wait_for(harness: &mut Harness<'_, App>, label: &str) {
    let mut tries = 0..600;
    let is_there = tries.any(|_| {
        harness.step();
        let found = is_said(harness, label);
        if !found {
            std::thread::sleep(std::time::Duration::from_millis(50));
        }
        found
    });
    assert!(is_there, "{label:?} never came");
    harness.run_steps(3);
}

/// True if some label has these words in it.
pub(crate) fn is_said(harness: &Harness<'_, App>, words: &str) -> bool {
    harness.query_all_by_label_contains(words).next().is_some()
}

/// Types into the field of this name and ends with Enter.
pub(crate) fn type_into(harness: &mut Harness<'_, App>, name: &str, text: &str) {
    harness.get_by_label(name).focus();
    harness.step();
    harness.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::A);
    harness.step();
    harness.get_by_label(name).type_text(text);
    harness.step();
    harness.key_press(egui::Key::Enter);
    settle(harness);
}

/// Clicks what bears this label.
pub(crate) fn click(harness: &mut Harness<'_, App>, label: &str) {
    harness.get_by_label(label).click();
    harness.run_steps(4);
}

/// A picture of the window, where the variable says to which folder.
pub(crate) fn picture(harness: &mut Harness<'_, App>, name: &str) {
    if let Some(folder) = std::env::var_os("WETLANE_PICTURES") {
        let path = Path::new(&folder).join(format!("{name}.png"));
        let image = harness.render().expect("drawn on the processor");
        image.save(path).expect("a folder that can be written");
    }
}

/// The sample campaign after a change, in a file of its own.
pub(crate) fn changed_sample(name: &str, change: impl FnOnce(&mut Project)) -> PathBuf {
    let bytes = std::fs::read(sample()).expect("the sample");
    let mut project = from_bytes(&bytes, &sample()).expect("a project");
    change(&mut project);
    let folder = std::env::temp_dir().join(format!("wetlane-screens-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a temporary folder");
    let path = folder.join(name);
    std::fs::write(&path, to_bytes(&project).expect("written")).expect("written");
    path
}
