//! What the Answers screen and the report show of a fit: maps, curves, effects in words, goals at a point.
//!
//! Plain data, each number from a fit or a limit; drawing is somebody else's.

use super::sentence_case::in_sentence;
use wetlane_physics::LimitId;
use wetlane_stats::{ConfidenceLevel, FactorKind};

use super::analysis::{Certainty, QualityFit, SettingEffect};
use super::analysis_table::from_scale;
use super::project::{Goal, Project, QualityScale, RunRole, SettingValue, Settings};
use super::window_map::{MapAxis, WindowMap};
use crate::figure::isolines::Grid;

/// A film quality over two settings, all others held.
#[derive(Debug, Clone, PartialEq)]
pub struct QualityMap {
    /// Id of the quality.
    pub quality: String,
    /// Axis across.
    pub x: MapAxis,
    /// Axis up.
    pub y: MapAxis,
    /// Fitted values in the reading's own unit; not-a-number where they cannot be estimated.
    pub values: Grid,
    /// Half-width of the 95 % interval of the mean, on the fitted scale.
    pub half_widths: Grid,
    /// Scale for colors: logarithmic where the fit is.
    pub is_log: bool,
}

/// A film quality along one setting through a point, with its band.
#[derive(Debug, Clone, PartialEq)]
pub struct QualityCurve {
    /// Id of the setting.
    pub setting: String,
    /// Id of the quality.
    pub quality: String,
    /// Settings; for a category, 0, 1, 2 … for its levels.
    pub xs: Vec<f64>,
    /// Names of the levels of a category.
    pub levels: Vec<String>,
    /// Fitted values.
    pub values: Vec<Option<f64>>,
    /// Lower ends of the 95 % interval of the mean.
    pub lows: Vec<Option<f64>>,
    /// Upper ends.
    pub highs: Vec<Option<f64>>,
}

/// How a run looks on a plot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RunLook {
    /// Sound, or not run yet and feasible.
    Plain,
    /// A return run.
    Return,
    /// Faulty, or it cannot run.
    Faulty,
}

/// A run as a mark on a plot of two settings.
#[derive(Debug, Clone, PartialEq)]
pub struct RunMark {
    /// Run number.
    pub run: u32,
    /// Setting across.
    pub x: f64,
    /// Setting up.
    pub y: f64,
    /// Its look.
    pub look: RunLook,
    /// Settings in which it differs from the slice that the plot shows, as words.
    pub off_slice: String,
}

/// One line of "what matters".
#[derive(Debug, Clone, PartialEq)]
pub struct EffectLine {
    /// The effect itself.
    pub effect: SettingEffect,
    /// Label of the setting.
    pub label: String,
    /// One sentence: "lower by 68 % (65 to 70) over 10 to 24 µm".
    pub sentence: String,
    /// Change shown on the bar: per cent on a log scale, else in the quality's unit.
    pub shown: Option<(f64, f64, f64)>,
    /// Unit of the bar.
    pub unit: String,
}

/// One quality at a point against its goal.
#[derive(Debug, Clone, PartialEq)]
pub struct GoalLine {
    /// Id of the quality.
    pub quality: String,
    /// Label of the quality.
    pub label: String,
    /// Unit.
    pub unit: String,
    /// Fitted value.
    pub value: Option<f64>,
    /// Interval of one new run.
    pub single: Option<(f64, f64)>,
    /// The goal in words: "at most 40 Ω/sq".
    pub wanted: String,
    /// Whether the fitted value meets it; `None` if there is no goal or no value.
    pub meets: Option<bool>,
    /// Chance that one new run meets it, from the t distribution of its prediction.
    pub chance: Option<f64>,
    /// Why there is no value.
    pub why: Option<String>,
}

/// A number setting's shown range: its own and a little beyond.
pub fn axis_of(project: &Project, id: &str, n: usize) -> Option<MapAxis> {
    const BEYOND: f64 = 0.08;
    let setting = project.setting(id)?;
    let (low, high) = match &setting.variation {
        super::project::Variation::Range { low, high, .. } => (*low, *high),
        super::project::Variation::Levels { levels } => (*levels.first()?, *levels.last()?),
        super::project::Variation::Fixed | super::project::Variation::Categories { .. } => {
            return None;
        }
    };
    let more = BEYOND * (high - low);
    let low_end = if low > 0.0 {
        (low - more).max(low * 0.5)
    } else {
        low - more
    };
    Some(MapAxis {
        id: id.to_owned(),
        low: low_end,
        high: high + more,
        n,
    })
}

/// The fitted surface over two settings with all others at `held`; `None` once `stop` says so.
pub fn quality_map(
    fit: &QualityFit,
    held: &Settings,
    x: &MapAxis,
    y: &MapAxis,
    stop: &dyn Fn(f64) -> bool,
) -> Option<QualityMap> {
    let (xs, ys) = (x.positions(), y.positions());
    let mut settings = held.clone();
    let mut values = Vec::with_capacity(xs.len() * ys.len());
    let mut half_widths = Vec::with_capacity(xs.len() * ys.len());
    for (row, up) in ys.iter().enumerate() {
        if stop(row as f64 / ys.len() as f64) {
            return None;
        }
        settings.insert(y.id.clone(), SettingValue::Number(*up));
        for across in &xs {
            settings.insert(x.id.clone(), SettingValue::Number(*across));
            let predicted = fit.predict_on_scale(&settings).ok();
            let value = predicted.as_ref().and_then(|p| p.value().clone().ok());
            values.push(value.map_or(f64::NAN, |value| from_scale(value, fit.scale)));
            let interval = predicted
                .as_ref()
                .and_then(|p| p.mean_interval(ConfidenceLevel::NINETY_FIVE).ok());
            half_widths
                .push(interval.map_or(f64::NAN, |interval| 0.5 * (interval.high - interval.low)));
        }
    }
    let grid = |values| Grid {
        xs: xs.clone(),
        ys: ys.clone(),
        values,
    };
    Some(QualityMap {
        quality: fit.quality.id.clone(),
        x: x.clone(),
        y: y.clone(),
        values: grid(values),
        half_widths: grid(half_widths),
        is_log: fit.scale == QualityScale::Log,
    })
}

/// The fitted quality along one setting, all others at `held`.
pub fn quality_curve(
    fit: &QualityFit,
    held: &Settings,
    setting: &str,
    n: usize,
) -> Option<QualityCurve> {
    let factor = fit.space.factors().get(fit.space.index_of(setting)?)?;
    let (places, levels): (Vec<SettingValue>, Vec<String>) = match factor.kind() {
        FactorKind::Categorical { levels } => (
            levels.iter().cloned().map(SettingValue::Level).collect(),
            levels.clone(),
        ),
        FactorKind::Continuous { .. } | FactorKind::Discrete { .. } => {
            let (low, high) = factor.range()?;
            let last = n.max(2) - 1;
            let at = |i: usize| low + (high - low) * i as f64 / last as f64;
            (
                (0..=last).map(|i| SettingValue::Number(at(i))).collect(),
                Vec::new(),
            )
        }
    };
    let mut curve = QualityCurve {
        setting: setting.to_owned(),
        quality: fit.quality.id.clone(),
        xs: Vec::with_capacity(places.len()),
        levels,
        values: Vec::with_capacity(places.len()),
        lows: Vec::with_capacity(places.len()),
        highs: Vec::with_capacity(places.len()),
    };
    let mut settings = held.clone();
    for (index, place) in places.into_iter().enumerate() {
        curve.xs.push(place.number().unwrap_or(index as f64));
        settings.insert(setting.to_owned(), place);
        let predicted = fit.predict(&settings, ConfidenceLevel::NINETY_FIVE).ok();
        curve
            .values
            .push(predicted.as_ref().and_then(|p| p.value.clone().ok()));
        let interval = predicted.and_then(|p| p.mean.ok());
        curve.lows.push(interval.map(|interval| interval.low));
        curve.highs.push(interval.map(|interval| interval.high));
    }
    Some(curve)
}

/// The runs as marks over two settings, with what takes them off the slice at `held`.
pub fn run_marks(
    project: &Project,
    held: &Settings,
    x: &str,
    y: &str,
    cannot_run: &dyn Fn(u32) -> bool,
) -> Vec<RunMark> {
    project
        .runs
        .iter()
        .filter_map(|run| {
            let settings = project.settings_of(run);
            let look = match (&run.outcome, run.role) {
                (super::project::Outcome::Faulty { .. }, _) => RunLook::Faulty,
                (super::project::Outcome::NotRun, _) if cannot_run(run.number) => RunLook::Faulty,
                (_, RunRole::Return) => RunLook::Return,
                _ => RunLook::Plain,
            };
            let off: Vec<String> = project
                .varied()
                .filter(|setting| setting.id != x && setting.id != y)
                .filter(|setting| settings.get(&setting.id) != held.get(&setting.id))
                .filter_map(|setting| {
                    let value = settings.get(&setting.id)?;
                    Some(
                        format!("{} {value} {}", in_sentence(&setting.label), setting.unit)
                            .trim_end()
                            .to_owned(),
                    )
                })
                .collect();
            Some(RunMark {
                run: run.number,
                x: settings.get(x)?.number()?,
                y: settings.get(y)?.number()?,
                look,
                off_slice: off.join(", "),
            })
        })
        .collect()
}

/// Effects in words, largest first.
pub fn effect_lines(project: &Project, fit: &QualityFit, held: &Settings) -> Vec<EffectLine> {
    fit.effects(held)
        .into_iter()
        .map(|effect| {
            let setting = project.setting(&effect.setting);
            let label =
                setting.map_or_else(|| effect.setting.clone(), |setting| setting.label.clone());
            let setting_unit = setting.map_or("", |setting| setting.unit.as_str());
            let shown = shown_change(fit, &effect);
            let unit = if fit.scale == QualityScale::Log {
                "%".to_owned()
            } else {
                fit.quality.unit.clone()
            };
            let sentence = effect_sentence(&effect, shown, &unit, setting_unit);
            EffectLine {
                effect,
                label,
                sentence,
                shown,
                unit,
            }
        })
        .collect()
}

/// Change with its interval as shown: per cent on a log scale, else on the fitted scale.
fn shown_change(fit: &QualityFit, effect: &SettingEffect) -> Option<(f64, f64, f64)> {
    let change = effect.change.as_ref().ok()?;
    let interval = effect.interval.as_ref().ok();
    let show = |value: f64| {
        if fit.scale == QualityScale::Log {
            100.0 * value.exp_m1()
        } else {
            value
        }
    };
    let low = interval.map_or(f64::NAN, |interval| show(interval.low));
    let high = interval.map_or(f64::NAN, |interval| show(interval.high));
    Some((show(*change), low, high))
}

fn effect_sentence(
    effect: &SettingEffect,
    shown: Option<(f64, f64, f64)>,
    unit: &str,
    setting_unit: &str,
) -> String {
    let range = format!("{} to {} {setting_unit}", effect.from, effect.to)
        .trim_end()
        .to_owned();
    if effect.certainty == Certainty::NotAsked {
        return "no term of the model has it".to_owned();
    }
    let Some((change, low, high)) = shown else {
        return match &effect.change {
            Err(why) => format!("cannot be told: {why}"),
            Ok(_) => "cannot be told".to_owned(),
        };
    };
    let unit = format!(" {unit}");
    let unit = unit.trim_end();
    if !low.is_finite() || !high.is_finite() {
        return format!(
            "changes by {}{unit} over {range}; no scatter to judge it by",
            plain(change)
        );
    }
    if effect.certainty == Certainty::CannotTell {
        return format!(
            "between {} and {}{unit} over {range}",
            plain(low),
            plain(high)
        )
        .trim_end()
        .to_owned();
    }
    // The end beyond zero of an effect that is only likely keeps its minus.
    let (word, least, most) = if change < 0.0 {
        ("lower", -high, -low)
    } else {
        ("higher", low, high)
    };
    format!(
        "{word} by {}{unit} ({} to {}) over {range}",
        plain(change.abs()),
        plain(least),
        plain(most)
    )
}

/// A number with three significant digits, a real minus sign and no exponent for ordinary sizes.
pub fn plain(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 {
            "0".to_owned()
        } else {
            "–".to_owned()
        };
    }
    // The decade of a finite number other than zero fits.
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the decade of a finite number is small"
    )]
    let decade = value.abs().log10().floor() as i32;
    let text = if (-5..7).contains(&decade) {
        let decimals = usize::try_from(2 - decade).unwrap_or(0);
        format!("{value:.decimals$}")
    } else {
        format!("{value:.2e}")
    };
    text.replace('-', "\u{2212}")
}

/// A goal in signs, for a narrow column: "≤ 40 Ω/sq".
pub fn goal_signs(goal: Goal, unit: &str) -> String {
    let with_unit = |text: String| format!("{text} {unit}").trim_end().to_owned();
    match goal {
        Goal::Watch => "watched".to_owned(),
        Goal::AtMost(bound) => with_unit(format!("≤ {bound}")),
        Goal::AtLeast(bound) => with_unit(format!("≥ {bound}")),
        Goal::Between { low, high } => with_unit(format!("{low} to {high}")),
        Goal::Target { value, tolerance } => with_unit(format!("{value} ± {tolerance}")),
        Goal::High => "high".to_owned(),
        Goal::Low => "low".to_owned(),
    }
}

/// A goal in words.
pub fn goal_words(goal: Goal, unit: &str) -> String {
    let with_unit = |text: String| format!("{text} {unit}").trim_end().to_owned();
    match goal {
        Goal::Watch => "watched only".to_owned(),
        Goal::AtMost(bound) => with_unit(format!("at most {bound}")),
        Goal::AtLeast(bound) => with_unit(format!("at least {bound}")),
        Goal::Between { low, high } => with_unit(format!("{low} to {high}")),
        Goal::Target { value, tolerance } => with_unit(format!("{value} ± {tolerance}")),
        Goal::High => "as high as possible".to_owned(),
        Goal::Low => "as low as possible".to_owned(),
    }
}

/// Every fitted quality at a point against its goal.
pub fn goal_lines(
    project: &Project,
    fits: &[(String, Result<QualityFit, String>)],
    at: &Settings,
) -> Vec<GoalLine> {
    project
        .qualities
        .iter()
        .map(|quality| {
            let mut line = GoalLine {
                quality: quality.id.clone(),
                label: quality.label.clone(),
                unit: quality.unit.clone(),
                value: None,
                single: None,
                wanted: goal_words(quality.goal, &quality.unit),
                meets: None,
                chance: None,
                why: None,
            };
            match fits
                .iter()
                .find(|(id, _)| *id == quality.id)
                .map(|(_, fit)| fit)
            {
                Some(Ok(fit)) => fill_goal_line(&mut line, fit, quality.goal, at),
                Some(Err(why)) => line.why = Some(why.clone()),
                None => line.why = Some("not fitted".to_owned()),
            }
            line
        })
        .collect()
}

fn fill_goal_line(line: &mut GoalLine, fit: &QualityFit, goal: Goal, at: &Settings) {
    let on_scale = match fit.predict_on_scale(at) {
        Ok(on_scale) => on_scale,
        Err(error) => {
            line.why = Some(error.to_string());
            return;
        }
    };
    let predicted = fit.in_own_unit(&on_scale, ConfidenceLevel::NINETY_FIVE);
    line.single = predicted
        .single
        .ok()
        .map(|interval| (interval.low, interval.high));
    match predicted.value {
        Ok(value) => {
            line.value = Some(value);
            line.meets = goal
                .interval()
                .map(|(low, high)| low <= value && value <= high);
        }
        Err(why) => line.why = Some(why.to_string()),
    }
    line.chance = goal.interval().and_then(|(low, high)| {
        let on = |bound: f64| {
            if bound.is_finite() {
                super::analysis_table::on_scale(bound, fit.scale)
            } else {
                Some(bound)
            }
        };
        on_scale.chance_of_single_between(on(low)?, on(high)?).ok()
    });
}

/// The words and the place of the limits that end the window on a map: one label for each curve.
pub fn limit_labels(window: &WindowMap) -> Vec<(LimitId, [f64; 2])> {
    window
        .curves
        .iter()
        .filter(|curve| curve.is_edge)
        .filter_map(|curve| {
            let longest = curve.pieces.iter().max_by_key(|piece| piece.len())?;
            longest
                .get(longest.len() / 2)
                .map(|middle| (curve.limit, *middle))
        })
        .collect()
}
