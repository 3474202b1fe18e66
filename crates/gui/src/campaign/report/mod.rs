//! The report: one file that tells a colleague without this program what was wanted, done, measured and found.
//!
//! [`ReportInput`] holds everything that is shown, computed beforehand, so that a preview can be drawn from the same
//! numbers; [`ReportInput::gather`] computes it from a project, [`ReportInput::to_html`] writes it.

mod check_runs;
mod evidence;
mod front;
mod limits_part;
mod plan_part;
mod quality_part;
mod residual_plots;
mod verdict;

use std::collections::BTreeSet;

use super::analysis::{QualityFit, fit_all};
use super::answer_figures::Slice;
use super::answers::{
    EffectLine, GoalLine, QualityCurve, QualityMap, RunMark, axis_of, effect_lines, goal_lines,
    quality_curve, quality_map, run_marks,
};
use super::feasibility::{Depth, Judge, Judgement, RunJudgement, judge_runs};
use super::html::{Html, document};
use super::project::{Project, Role, SettingEntry, Settings, Variation};
use super::roll::{Roll, lay_out};
use super::window_map::{MapAxis, WindowMap, window_map};

pub use check_runs::{CheckRun, CheckState, check_runs};
pub use verdict::verdict_sentences;

const STYLE: &str = include_str!("style.css");
/// Width of the text in figure units: 182 mm, what A4 upright has inside its margins.
const TEXT_WIDTH: f64 = 832.0;

/// A part of the report that can be ticked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ReportPart {
    /// Sentence, map and goals on the first page.
    Summary,
    /// The chosen settings with what they are held to.
    Recipe,
    /// Ink, foil and line with how each value is known.
    Cards,
    /// Settings with their ranges, film qualities with their goals.
    Settings,
    /// The plan as made and as run.
    Plan,
    /// Limits of every run and the window.
    Limits,
    /// The roll and what was used.
    Roll,
    /// Every reading.
    Readings,
    /// What each quality does over the settings.
    Answers,
    /// Terms, analysis of variance, diagnostics.
    Evidence,
    /// Cautions.
    Cautions,
    /// Values that stood in for missing ones.
    Assumed,
    /// Steps of the project.
    History,
}

impl ReportPart {
    /// All parts in the order of the report.
    pub const ALL: [Self; 13] = [
        Self::Summary,
        Self::Recipe,
        Self::Cards,
        Self::Settings,
        Self::Plan,
        Self::Limits,
        Self::Roll,
        Self::Readings,
        Self::Answers,
        Self::Evidence,
        Self::Cautions,
        Self::Assumed,
        Self::History,
    ];

    /// Words beside its tick.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Summary => "Summary and map",
            Self::Recipe => "Recipe card",
            Self::Cards => "Ink, foil and line",
            Self::Settings => "Settings and goals",
            Self::Plan => "Plan as made and as run",
            Self::Limits => "Limits of every run",
            Self::Roll => "Roll and amounts",
            Self::Readings => "All readings",
            Self::Answers => "Maps, curves and effects",
            Self::Evidence => "Terms for statisticians",
            Self::Cautions => "Cautions",
            Self::Assumed => "What was assumed",
            Self::History => "History of changes",
        }
    }

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Summary => "summary",
            Self::Recipe => "recipe",
            Self::Cards => "cards",
            Self::Settings => "settings",
            Self::Plan => "plan",
            Self::Limits => "limits",
            Self::Roll => "roll",
            Self::Readings => "readings",
            Self::Answers => "answers",
            Self::Evidence => "evidence",
            Self::Cautions => "cautions",
            Self::Assumed => "assumed",
            Self::History => "history",
        }
    }
}

/// Which parts are wanted; the title always stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReportParts(BTreeSet<ReportPart>);

impl Default for ReportParts {
    fn default() -> Self {
        Self::all()
    }
}

impl ReportParts {
    /// Every part.
    pub fn all() -> Self {
        Self(ReportPart::ALL.into_iter().collect())
    }

    /// No part.
    pub const fn none() -> Self {
        Self(BTreeSet::new())
    }

    /// Whether a part is wanted.
    pub fn has(&self, part: ReportPart) -> bool {
        self.0.contains(&part)
    }

    /// Ticks a part or takes the tick away.
    pub fn toggle(&mut self, part: ReportPart) {
        if !self.0.remove(&part) {
            self.0.insert(part);
        }
    }
}

impl FromIterator<ReportPart> for ReportParts {
    fn from_iter<T: IntoIterator<Item = ReportPart>>(parts: T) -> Self {
        Self(parts.into_iter().collect())
    }
}

/// Everything that the report shows.
#[derive(Debug)]
pub struct ReportInput<'a> {
    /// The project.
    pub project: &'a Project,
    /// When the report is made (UTC, RFC 3339).
    pub made_at: String,
    /// Which parts are wanted.
    pub parts: ReportParts,
    /// What physics says of each run.
    pub judgements: Vec<RunJudgement>,
    /// The runs on the roll.
    pub roll: Roll,
    /// The settings at which maps and curves are cut, and which the goals are asked at: the chosen point, else the cross.
    pub held: Settings,
    /// What physics says of these settings; `None` if they could not be judged.
    pub at_held: Option<Judgement>,
    /// Inputs that stood in by default at these settings.
    pub assumed: Vec<AssumedValue>,
    /// The window over two settings.
    pub window: Option<WindowMap>,
    /// The runs as marks over the same two settings.
    pub marks: Vec<RunMark>,
    /// Every film quality that is a number.
    pub qualities: Vec<QualityAnswer>,
    /// Every quality at the held settings against its goal.
    pub goals: Vec<GoalLine>,
}

/// A value that stood in for one that nobody stated.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AssumedValue {
    /// What it is.
    pub label: String,
    /// The value with its unit; empty where it follows from others.
    pub value: String,
    /// The range in which it may lie; empty if it is not varied.
    pub range: String,
    /// Whether the verdict hangs on it.
    pub decides: bool,
}

/// What was found of one film quality.
#[derive(Debug)]
pub struct QualityAnswer {
    /// Id of the quality.
    pub quality: String,
    /// The fit, or why there is none.
    pub fit: Result<QualityFit, String>,
    /// The quality over the two settings of the window.
    pub map: Option<QualityMap>,
    /// The quality along each varied setting.
    pub curves: Vec<QualityCurve>,
    /// What matters, largest first.
    pub effects: Vec<EffectLine>,
}

/// Grid points of maps across and up: enough for smooth lines at 120 mm.
const MAP_POINTS: (usize, usize) = (49, 37);
/// Points of a curve.
const CURVE_POINTS: usize = 41;

impl<'a> ReportInput<'a> {
    /// Computes everything that the report shows of a project; maps only if a part needs them.
    ///
    /// `stop` is told the share done and ends the work, with `None`, once it says so.
    pub fn gather(
        project: &'a Project,
        made_at: impl Into<String>,
        parts: ReportParts,
        stop: &dyn Fn(f64) -> bool,
    ) -> Option<Self> {
        let judgements = judge_runs(project, Depth::WithDoubts);
        let held = held_settings(project);
        let (at_held, assumed) = judged_at(project, &held);
        let has_maps = [ReportPart::Summary, ReportPart::Limits, ReportPart::Answers];
        let axes = map_axes(project).filter(|_| has_maps.iter().any(|part| parts.has(*part)));
        let window = match &axes {
            Some((x, y)) if project.line.is_some() => {
                Some(window_map(project, &held, x, y, &|share| {
                    stop(0.1 + 0.5 * share)
                })?)
            }
            _ => None,
        };
        let fits = fit_all(project);
        let mut qualities = Vec::with_capacity(fits.len());
        for (index, (quality, fit)) in fits.into_iter().enumerate() {
            let share = index as f64 / project.qualities.len().max(1) as f64;
            if stop(0.6 + 0.4 * share) {
                return None;
            }
            let fit = fit.map_err(|error| error.to_string());
            qualities.push(answer(project, quality, fit, &held, axes.as_ref()));
        }
        let cannot_run = |run: u32| {
            let judged = judgements.iter().find(|judged| judged.run == run);
            judged.and_then(RunJudgement::feasible) == Some(false)
        };
        let marks = axes
            .as_ref()
            .map(|(x, y)| run_marks(project, &held, &x.id, &y.id, &cannot_run))
            .unwrap_or_default();
        Some(Self {
            goals: goals_at(project, &qualities, &held),
            project,
            made_at: made_at.into(),
            parts,
            roll: lay_out(project),
            judgements,
            held,
            at_held,
            assumed,
            window,
            marks,
            qualities,
        })
    }

    /// The report as one HTML document that prints on A4 or Letter, upright.
    pub fn to_html(&self) -> String {
        document(&format!("Report: {}", self.project.title), STYLE, |page| {
            front::title(page, self);
            for part in ReportPart::ALL {
                if self.parts.has(part) {
                    self.write_part(page, part);
                }
            }
        })
    }

    /// What the figures share.
    fn slice(&self) -> Slice<'_> {
        Slice {
            project: self.project,
            held: &self.held,
            window: self.window.as_ref(),
            marks: &self.marks,
        }
    }

    fn write_part(&self, page: &mut Html, part: ReportPart) {
        match part {
            ReportPart::Summary => front::summary(page, self),
            ReportPart::Recipe => front::recipe(page, self),
            ReportPart::Cards => plan_part::cards(page, self),
            ReportPart::Settings => plan_part::settings(page, self),
            ReportPart::Plan => plan_part::plan(page, self),
            ReportPart::Limits => limits_part::limits(page, self),
            ReportPart::Roll => limits_part::roll(page, self),
            ReportPart::Readings => plan_part::readings(page, self),
            ReportPart::Answers => quality_part::answers(page, self),
            ReportPart::Evidence => evidence::evidence(page, self),
            ReportPart::Cautions => limits_part::cautions(page, self),
            ReportPart::Assumed => limits_part::assumed(page, self),
            ReportPart::History => plan_part::history(page, self),
        }
    }

    /// A part with its heading, short enough to stay on one page.
    fn kept_section(page: &mut Html, heading: &str, fill: impl FnOnce(&mut Html)) {
        page.element("section", "kept", |page| {
            page.leaf("h2", "", heading);
            fill(page);
        });
        page.new_line();
    }

    /// A part with its heading, on a page of its own.
    fn page_section(page: &mut Html, heading: &str, fill: impl FnOnce(&mut Html)) {
        page.element("section", "new-page", |page| {
            page.leaf("h2", "", heading);
            fill(page);
        });
        page.new_line();
    }

    /// A part with its heading.
    fn section(page: &mut Html, heading: &str, fill: impl FnOnce(&mut Html)) {
        page.element("section", "", |page| {
            page.leaf("h2", "", heading);
            fill(page);
        });
        page.new_line();
    }
}

/// The chosen point over the present values, or the cross.
fn held_settings(project: &Project) -> Settings {
    let mut held = project.cross();
    if let Some(choice) = &project.choice {
        held.extend(
            choice
                .settings
                .iter()
                .map(|(id, value)| (id.clone(), value.clone())),
        );
    }
    held
}

fn judged_at(project: &Project, held: &Settings) -> (Option<Judgement>, Vec<AssumedValue>) {
    let mut judge = Judge::new(project);
    let Ok(judgement) = judge.judge(held, Depth::WithDoubts) else {
        return (None, Vec::new());
    };
    let assumed = judge
        .prepared(held)
        .map(|prepared| limits_part::assumed_values(&prepared, &judgement.assessment))
        .unwrap_or_default();
    (Some(judgement), assumed)
}

/// The two settings of all maps: speed and wet thickness if both are varied, else the first two varied numbers.
fn map_axes(project: &Project) -> Option<(MapAxis, MapAxis)> {
    let is_number = |setting: &&SettingEntry| {
        matches!(
            setting.variation,
            Variation::Range { .. } | Variation::Levels { .. }
        )
    };
    let numbers: Vec<&SettingEntry> = project.varied().filter(is_number).collect();
    let of = |role: Role| numbers.iter().find(|setting| setting.role == role).copied();
    let (x, y) = match (of(Role::Speed), of(Role::WetThickness)) {
        (Some(speed), Some(wet)) => (speed, wet),
        _ => (*numbers.first()?, *numbers.get(1)?),
    };
    Some((
        axis_of(project, &x.id, MAP_POINTS.0)?,
        axis_of(project, &y.id, MAP_POINTS.1)?,
    ))
}

fn answer(
    project: &Project,
    quality: String,
    fit: Result<QualityFit, String>,
    held: &Settings,
    axes: Option<&(MapAxis, MapAxis)>,
) -> QualityAnswer {
    let never = |_: f64| false;
    let (map, curves, effects) = match &fit {
        Ok(fit) => {
            let map = axes.and_then(|(x, y)| quality_map(fit, held, x, y, &never));
            let curves = project
                .varied()
                .filter_map(|setting| quality_curve(fit, held, &setting.id, CURVE_POINTS));
            (map, curves.collect(), effect_lines(project, fit, held))
        }
        Err(_) => (None, Vec::new(), Vec::new()),
    };
    QualityAnswer {
        quality,
        fit,
        map,
        curves,
        effects,
    }
}

fn goals_at(project: &Project, qualities: &[QualityAnswer], held: &Settings) -> Vec<GoalLine> {
    // The lines ask for owned fits; a fit is small beside a map.
    let fits: Vec<(String, Result<QualityFit, String>)> = qualities
        .iter()
        .map(|answer| (answer.quality.clone(), answer.fit.clone()))
        .collect();
    goal_lines(project, &fits, held)
}
