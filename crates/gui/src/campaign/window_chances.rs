//! The chance of working over two settings, for shading the coating window.
//!
//! The chances are those of [`super::chance`], from fewer draws: of the limits in closed form, and of drying through the
//! response of the dryer to the errors of its inputs, which is interpolated between a few marches. Where that cannot be had
//! (films of the range that never dry), drying is left out, and the map says so.

use wetlane_physics::probability::{CHART_DRAWS, ChanceError, Chances, DryingResponse, Shade};
use wetlane_physics::{Irradiance, Length, Line, Setting, Span, TableRange, Temperature};

use super::chance::{NoChance, USUAL_LEAST_CHANCE, chances_at};
use super::feasibility::JudgeError;
use super::project::{Project, SettingValue, Settings};
use super::resolve::{ResolveError, Resolved, resolve};
use super::window_map::MapAxis;
use crate::figure::isolines::{Grid, Isoline, isolines};

/// The chance over two settings.
#[derive(Debug, Clone, PartialEq)]
pub struct ChanceMap {
    /// Share of the draws in which every hard limit holds; not-a-number where it is not known.
    pub chance: Grid,
    /// The chance that the project asks for.
    pub least: f64,
    /// Where the chance is just that.
    pub border: Vec<Isoline>,
    /// False if drying takes no part in the chances although the line dries.
    pub counts_drying: bool,
}

/// A place of the grid: the line there, and its knobs.
type Place = Option<(Line, Setting)>;

/// The chances over two settings with all others at `held`. `stop` ends the work early.
///
/// # Errors
/// [`NoChance`] if no place leads to a line, or once `stop` says so.
pub fn window_chances(
    project: &Project,
    held: &Settings,
    (x, y): (&MapAxis, &MapAxis),
    stop: &dyn Fn() -> bool,
) -> Result<ChanceMap, NoChance> {
    let (xs, ys) = (x.positions(), y.positions());
    let settings_at = |place: usize| {
        let mut settings = held.clone();
        let (across, up) = (xs.get(place % xs.len()), ys.get(place / xs.len()));
        for (axis, value) in [(x, across), (y, up)] {
            let value = value.copied().unwrap_or(axis.low);
            settings.insert(axis.id.clone(), SettingValue::Number(value));
        }
        settings
    };
    let resolved: Vec<Result<Resolved, ResolveError>> = (0..xs.len() * ys.len())
        .map(|place| resolve(project, &settings_at(place)))
        .collect();
    let Some(first) = resolved.iter().position(Result::is_ok) else {
        let problem = resolved.into_iter().find_map(Result::err);
        let problem = problem.unwrap_or(ResolveError::NoLine);
        return Err(NoChance::Judge(JudgeError::from(problem)));
    };
    let places: Vec<Place> = resolved
        .iter()
        .map(|resolved| resolved.as_ref().ok().map(|r| (r.line, r.setting)))
        .collect();
    let chances = chances_at(project, &settings_at(first), CHART_DRAWS)?;
    let line = *chances.prepared().line();
    let response = response_of(&chances, &line, &places, stop)?;
    let counts_drying = response.is_some() || !dries(&line);
    let drawn = (&line, &chances, response.as_ref());
    let values = chances_of_places(project, &places, drawn, settings_at, stop)?;
    let chance = Grid { xs, ys, values };
    let least = project.limits.least_chance.unwrap_or(USUAL_LEAST_CHANCE);
    Ok(ChanceMap {
        border: isolines(&chance, least),
        chance,
        least,
        counts_drying,
    })
}

const fn dries(line: &Line) -> bool {
    line.dryer.is_some() || line.infrared.is_some()
}

/// How the dryer answers to the errors over all places; `None` where nothing dries or its dry speeds cannot be interpolated.
fn response_of(
    chances: &Chances,
    line: &Line,
    places: &[Place],
    stop: &dyn Fn() -> bool,
) -> Result<Option<DryingResponse>, NoChance> {
    let is_one_line = places.iter().flatten().all(|(other, _)| other == line);
    let range = range_of(chances, places).filter(|_| dries(line) && is_one_line);
    let Some(range) = range else {
        return Ok(None);
    };
    match DryingResponse::new(chances, range, stop) {
        Ok(response) => Ok(Some(response)),
        Err(ChanceError::Table(_)) => Ok(None),
        Err(error) => Err(error.into()),
    }
}

/// The stretch of wet thicknesses and temperatures that the places span; `None` if one of them lacks what drying needs.
fn range_of(chances: &Chances, places: &[Place]) -> Option<TableRange> {
    let settings = || places.iter().flatten().map(|(_, setting)| setting);
    let prepared = chances.prepared();
    let wets: Option<Vec<f64>> = settings()
        .map(|setting| Some(prepared.wet_thickness(setting).ok()??.m()))
        .collect();
    let spanned = |values: &[f64]| {
        let least = values.iter().copied().fold(f64::INFINITY, f64::min);
        let greatest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        (least <= greatest).then_some((least, greatest))
    };
    let of = |knob: fn(&Setting) -> Option<f64>| {
        spanned(&settings().filter_map(knob).collect::<Vec<_>>())
    };
    let wet = spanned(&wets?)?;
    let gas = of(|setting| setting.gas_temperature.map(Temperature::k))?;
    let kelvins = |(least, greatest): (f64, f64)| Span {
        least: Temperature::from_k(least),
        greatest: Temperature::from_k(greatest),
    };
    Some(TableRange {
        wet_thickness: Span {
            least: Length::from_m(wet.0),
            greatest: Length::from_m(wet.1),
        },
        gas: kelvins(gas),
        roller: of(|setting| setting.roller_temperature.map(Temperature::k)).map(kelvins),
        infrared: of(|setting| setting.infrared_power.map(Irradiance::w_per_m2)).map(
            |(least, greatest)| Span {
                least: Irradiance::from_w_per_m2(least),
                greatest: Irradiance::from_w_per_m2(greatest),
            },
        ),
    })
}

/// The chance at every place, row by row. Places on another line (the ink is an axis) get draws of their own.
fn chances_of_places(
    project: &Project,
    places: &[Place],
    first: (&Line, &Chances, Option<&DryingResponse>),
    settings_at: impl Fn(usize) -> Settings,
    stop: &dyn Fn() -> bool,
) -> Result<Vec<f64>, NoChance> {
    let (line, chances, response) = first;
    let line_of = |place: &Place| place.map(|(line, _)| line);
    let mut values = Vec::with_capacity(places.len());
    for same in places.chunk_by(|a, b| line_of(a) == line_of(b)) {
        let Some(here) = same.first().and_then(line_of) else {
            values.resize(values.len() + same.len(), f64::NAN);
            continue;
        };
        let settings: Vec<Setting> = same.iter().flatten().map(|(_, setting)| *setting).collect();
        let mut shades: Vec<Option<Shade>> = vec![None; settings.len()];
        if here == *line {
            chances.shade(&settings, response, &mut shades, stop)?;
        } else {
            let chances = chances_at(project, &settings_at(values.len()), CHART_DRAWS)?;
            chances.shade(&settings, None, &mut shades, stop)?;
        }
        values.extend(
            shades
                .iter()
                .map(|shade| shade.map_or(f64::NAN, |s| s.all_hold)),
        );
    }
    Ok(values)
}
