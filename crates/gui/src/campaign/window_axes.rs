//! Which settings make a window, and from where to where it is drawn.

use super::machine_span::machine_span;
use super::project::{Project, Role, SettingEntry, Variation};
use super::window_map::MapAxis;

/// How far beyond the varied range the window is drawn, as a share of it.
const BEYOND: f64 = 0.35;

/// Settings that can be an axis: numbers that physics knows, varied ones first.
pub fn numeric_settings(project: &Project) -> Vec<&SettingEntry> {
    let is_number =
        |setting: &&SettingEntry| setting.now.number().is_some() && setting.role != Role::Free;
    let varied = project
        .settings
        .iter()
        .filter(is_number)
        .filter(|setting| setting.is_varied());
    let fixed = project
        .settings
        .iter()
        .filter(is_number)
        .filter(|setting| !setting.is_varied());
    varied.chain(fixed).collect()
}

/// Speed across, and up what sets the film: the film itself, or the knob of the head that lays it down. Where there are
/// no such settings, the first two numbers.
pub fn default_axes(project: &Project) -> Option<(String, String)> {
    let all = numeric_settings(project);
    let of_role = |roles: &[Role]| {
        all.iter()
            .find(|setting| roles.contains(&setting.role))
            .map(|setting| setting.id.clone())
    };
    let x = of_role(&[Role::Speed, Role::DryerTime, Role::CapillaryNumber]);
    let film = of_role(&[Role::WetThickness, Role::DryThickness, Role::CoatWeight]);
    let knobs = project.head_kind().metering_knobs().iter();
    let y = film.or_else(|| {
        let roles: Vec<Role> = knobs.map(|knob| Role::of_knob(*knob)).collect();
        of_role(&roles)
    });
    let first_two = || Some((all.first()?.id.clone(), all.get(1)?.id.clone()));
    x.zip(y).or_else(first_two)
}

/// The axis of a setting: its range and a third beyond, never past the machine's span, never to zero or below.
pub fn window_axis(project: &Project, id: &str, n: usize) -> Option<MapAxis> {
    let setting = project.setting(id)?;
    let now = setting.now.number()?;
    let (low, high) = match &setting.variation {
        Variation::Range { low, high, .. } => (*low, *high),
        Variation::Levels { levels } => (*levels.first()?, *levels.last()?),
        Variation::Fixed => (0.6 * now, 1.4 * now),
        Variation::Categories { .. } => return None,
    };
    let (low, high) = (low.min(now), high.max(now));
    let more = BEYOND * (high - low);
    let low_end = if low > 0.0 {
        (low - more).max(0.25 * low)
    } else {
        low - more
    };
    let high_end = high + more;
    let (least, greatest) =
        machine_span(project, setting).unwrap_or((f64::NEG_INFINITY, f64::INFINITY));
    let axis = MapAxis {
        id: id.to_owned(),
        low: low_end.max(least.min(low)),
        high: high_end.min(greatest.max(high)),
        n,
    };
    (axis.low < axis.high).then_some(axis)
}

/// A place on a chart as a number that people type: three significant digits.
pub fn readable(value: f64) -> f64 {
    format!("{value:.2e}").parse().unwrap_or(value)
}
