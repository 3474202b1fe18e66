//! Which settings can run at all, by which physical limit not, and by how much.
//!
//! Everything goes through [`resolve`]: settings → knobs → `wetlane-physics`. The verdict says whether the hard limits
//! hold; it never says that something is safe or permitted.

use super::sentence_case::in_sentence;
use std::collections::BTreeMap;

use wetlane_physics::{
    Assessment, Basis, DrySpeedCache, LimitId, LimitRecord, Prepared, Severity, Verdict,
};

use super::line_answers::LineAnswers;
use super::project::{Project, Settings};
use super::resolve::{ResolveError, Resolved, resolve};

/// Why a setting could not be judged at all.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum JudgeError {
    /// It does not lead to machine knobs.
    #[error(transparent)]
    Resolve(#[from] ResolveError),
    /// A value that physics refuses.
    #[error("{0}")]
    Input(#[from] wetlane_physics::InputError),
}

/// What is known of one setting.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// Knobs, line and followed quantities.
    pub resolved: Resolved,
    /// Every limit.
    pub assessment: Assessment,
    /// How far one may go, searched; only of a judgement with its doubts.
    pub answers: Option<LineAnswers>,
    /// Margin that the project asks for.
    pub safety_margin: f64,
    /// Keys of limits that are switched off with the reason; they take no part in the verdict.
    pub switched_off: BTreeMap<String, String>,
}

impl Judgement {
    /// Limits that count: hard, evaluated, not switched off.
    fn counted(&self) -> impl Iterator<Item = &LimitRecord> {
        self.assessment.limits.iter().filter(|limit| {
            limit.severity == Severity::Hard && !self.switched_off.contains_key(limit.id.key())
        })
    }

    /// The hard limit with the least margin.
    pub fn binding(&self) -> Option<&LimitRecord> {
        self.counted()
            .filter_map(|limit| limit.margin().map(|margin| (margin, limit)))
            .min_by(|(a, _), (b, _)| a.total_cmp(b))
            .map(|(_, limit)| limit)
    }

    /// Margin of the binding limit.
    pub fn margin(&self) -> Option<f64> {
        self.binding().and_then(LimitRecord::margin)
    }

    /// Whether it can run: every hard limit keeps the margin asked for; `None` if a core input is missing.
    pub fn feasible(&self) -> Option<bool> {
        if self
            .margin()
            .is_some_and(|margin| margin < self.safety_margin)
        {
            return Some(false);
        }
        if self.assessment.verdict == Verdict::Unknown {
            None
        } else {
            Some(true)
        }
    }

    /// The verdict with switched-off limits and the safety margin taken into account.
    pub fn verdict(&self) -> Verdict {
        match self.feasible() {
            Some(false) => Verdict::Infeasible,
            None => Verdict::Unknown,
            Some(true) if self.assessment.rests_on.is_empty() => Verdict::Feasible,
            Some(true) => Verdict::Marginal,
        }
    }

    /// Hard limits that are broken, worst first.
    pub fn broken(&self) -> Vec<&LimitRecord> {
        let mut broken: Vec<(f64, &LimitRecord)> = self
            .counted()
            .filter_map(|limit| limit.margin().map(|margin| (margin, limit)))
            .filter(|(margin, _)| *margin < self.safety_margin)
            .collect();
        broken.sort_by(|(a, _), (b, _)| a.total_cmp(b));
        broken.into_iter().map(|(_, limit)| limit).collect()
    }
}

/// How much of the answer is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Depth {
    /// Margins without the march through roller and dryer: nothing is said of drying.
    ClosedForm,
    /// Margins and verdict at the nominal inputs.
    Nominal,
    /// Also which assumed inputs the verdict rests on.
    WithDoubts,
}

/// One line with its checked values and the dry speeds already computed for it.
#[derive(Debug)]
struct Known {
    line: wetlane_physics::Line,
    prepared: Prepared,
    dry_speeds: DrySpeedCache,
}

/// Judges settings of one project; keeps what is costly between them.
#[derive(Debug)]
pub struct Judge<'a> {
    project: &'a Project,
    basis: Basis,
    known: Vec<Known>,
}

/// Lines that differ between runs (other bottles) are few; beyond this many the oldest is forgotten.
const KNOWN_LINES: usize = 16;

impl<'a> Judge<'a> {
    /// A judge for a project. Calibration factors that physics refuses are left at 1 and logged.
    pub fn new(project: &'a Project) -> Self {
        let mut basis = Basis::default();
        for (key, factor) in &project.limits.calibration {
            if let Some(limit) = LimitId::ALL.iter().find(|limit| limit.key() == key)
                && let Err(error) = basis.calibration.set(*limit, *factor)
            {
                log::warn!("{error}");
            }
        }
        Self {
            project,
            basis,
            known: Vec::new(),
        }
    }

    /// Judges settings, which overlay the project's present values.
    ///
    /// # Errors
    /// [`JudgeError`] says which setting does not lead to knobs or is refused by physics.
    pub fn judge(&mut self, settings: &Settings, depth: Depth) -> Result<Judgement, JudgeError> {
        let resolved = resolve(self.project, settings)?;
        let known = self.known_line(&resolved)?;
        let assessment = match depth {
            Depth::Nominal => known
                .prepared
                .assess_with(&resolved.setting, &mut known.dry_speeds)?,
            Depth::ClosedForm => known.prepared.assess_without_drying(&resolved.setting)?,
            Depth::WithDoubts => known.prepared.assess(&resolved.setting)?,
        };
        let answers = match depth {
            Depth::WithDoubts => Some(LineAnswers::of(&known.prepared, &resolved.setting)?),
            Depth::Nominal | Depth::ClosedForm => None,
        };
        Ok(Judgement {
            resolved,
            assessment,
            answers,
            safety_margin: self.project.limits.safety_margin,
            switched_off: self.project.limits.switched_off.clone(),
        })
    }

    /// The checked line of a setting, for cautions and assumed values.
    ///
    /// # Errors
    /// As [`Judge::judge`].
    pub fn prepared(&mut self, settings: &Settings) -> Result<Prepared, JudgeError> {
        let resolved = resolve(self.project, settings)?;
        Ok(self.known_line(&resolved)?.prepared.clone())
    }

    fn known_line(&mut self, resolved: &Resolved) -> Result<&mut Known, JudgeError> {
        let at = self
            .known
            .iter()
            .position(|known| known.line == resolved.line);
        let at = if let Some(at) = at {
            at
        } else {
            let prepared = Prepared::new(&resolved.line, &self.basis)?;
            if self.known.len() == KNOWN_LINES {
                self.known.remove(0);
            }
            self.known.push(Known {
                line: resolved.line,
                prepared,
                dry_speeds: DrySpeedCache::new(),
            });
            self.known.len() - 1
        };
        Ok(&mut self.known[at])
    }
}

/// What is known of one run.
#[derive(Debug, Clone, PartialEq)]
pub struct RunJudgement {
    /// Run number.
    pub run: u32,
    /// The judgement, or why there is none.
    pub judgement: Result<Judgement, JudgeError>,
}

impl RunJudgement {
    /// Whether it can run; `None` if that is not known.
    pub fn feasible(&self) -> Option<bool> {
        self.judgement.as_ref().ok().and_then(Judgement::feasible)
    }

    /// Why nothing is known, if so.
    pub fn why_unknown(&self) -> Option<String> {
        match &self.judgement {
            Err(error) => Some(error.to_string()),
            Ok(judgement) if judgement.feasible().is_some() => None,
            Ok(judgement) => {
                let missing = judgement.assessment.missing_essential();
                Some(missing.map_or_else(
                    || "an input is missing".to_owned(),
                    |input| format!("missing: {}", in_sentence(input.label())),
                ))
            }
        }
    }
}

/// Judges every run as it was or will be run, in run order.
pub fn judge_runs(project: &Project, depth: Depth) -> Vec<RunJudgement> {
    judge_runs_until(project, depth, |_| false)
}

/// As [`judge_runs`], ending early (with the runs judged so far) once `stop`, which is told the share done, says so.
pub fn judge_runs_until(
    project: &Project,
    depth: Depth,
    stop: impl Fn(f64) -> bool,
) -> Vec<RunJudgement> {
    let mut judge = Judge::new(project);
    let mut judged = Vec::with_capacity(project.runs.len());
    for (index, run) in project.runs.iter().enumerate() {
        if stop(index as f64 / project.runs.len() as f64) {
            break;
        }
        let judgement = judge.judge(&project.settings_of(run), depth);
        judged.push(RunJudgement {
            run: run.number,
            judgement,
        });
    }
    judged
}

/// How many of these runs cannot run, and of how many that is not known.
pub fn count(judged: &[RunJudgement]) -> (usize, usize) {
    let infeasible = judged
        .iter()
        .filter(|run| run.feasible() == Some(false))
        .count();
    let unknown = judged.iter().filter(|run| run.feasible().is_none()).count();
    (infeasible, unknown)
}
