//! The verdict on a setting in words: the sentence of the Line screen, and on what the answer rests.

use super::sentence_case::in_sentence;
use wetlane_physics::{AssumedInput, Input, LimitId, Severity, Verdict};

use super::answers::plain;
use super::feasibility::{JudgeError, Judgement};
use super::limit_words::{shortfall, shown_unit};
use super::sentence_case::capitalized;
use super::unit::Dimension;

/// Limits that were not checked and are named in the sentence; the list has all of them.
const NAMED_UNCHECKED: usize = 3;

/// A sentence and what stands below it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerdictWords {
    /// Where one stands.
    pub sentence: String,
    /// What helps, or what the answer rests on.
    pub below: String,
}

/// The verdict on a setting in words.
pub fn verdict_words(judged: &Result<Judgement, JudgeError>) -> VerdictWords {
    let judgement = match judged {
        Ok(judgement) => judgement,
        Err(error) => {
            return VerdictWords {
                sentence: "Not enough is known to judge this setting.".to_owned(),
                below: capitalized(&format!("{error}.")),
            };
        }
    };
    match judgement.verdict() {
        Verdict::Infeasible => infeasible(judgement),
        Verdict::Unknown => {
            let missing = judgement.assessment.missing_essential();
            let missing = missing.map_or("an input", Input::label).to_lowercase();
            VerdictWords {
                sentence: "Not enough is known to judge this setting.".to_owned(),
                below: format!("Missing: {missing}. State it on the left."),
            }
        }
        Verdict::Marginal => VerdictWords {
            sentence: "It can run, but the answer hangs on what was assumed.".to_owned(),
            below: rests_on(judgement),
        },
        Verdict::Feasible => feasible(judgement),
    }
}

fn infeasible(judgement: &Judgement) -> VerdictWords {
    let broken = judgement.broken();
    let Some(worst) = broken.first() else {
        return VerdictWords {
            sentence: "It cannot run.".to_owned(),
            below: String::new(),
        };
    };
    let what = in_sentence(worst.id.label());
    let by = shortfall(worst, &judgement.assessment);
    let others: Vec<String> = broken
        .iter()
        .skip(1)
        .map(|limit| in_sentence(limit.id.label()))
        .collect();
    let others = if others.is_empty() {
        String::new()
    } else {
        format!(" Also broken: {}.", others.join(", "))
    };
    let unless = if judgement.assessment.rests_on.is_empty() {
        String::new()
    } else {
        format!(" {}", rests_on(judgement))
    };
    VerdictWords {
        sentence: format!("It cannot run: {what}, {by}."),
        below: format!("{}{others}{unless}", worst.id.remedy()),
    }
}

fn feasible(judgement: &Judgement) -> VerdictWords {
    let below = rests_on_and_unchecked(judgement);
    match judgement.binding() {
        Some(limit) => {
            let margin = limit.margin().unwrap_or(0.0);
            VerdictWords {
                sentence: format!(
                    "It can run. Nearest limit: {}.",
                    in_sentence(limit.id.label())
                ),
                below: format!("Margin {margin:.2} of 1. {below}")
                    .trim_end()
                    .to_owned(),
            }
        }
        None => VerdictWords {
            sentence: "It can run.".to_owned(),
            below,
        },
    }
}

fn rests_on(judgement: &Judgement) -> String {
    let inputs: Vec<String> = judgement
        .assessment
        .rests_on
        .iter()
        .map(|input| in_sentence(input.label()))
        .collect();
    if inputs.is_empty() {
        String::new()
    } else {
        format!("It depends on {}: enter it.", inputs.join(", "))
    }
}

fn rests_on_and_unchecked(judgement: &Judgement) -> String {
    let unchecked = unchecked(judgement);
    if unchecked.is_empty() {
        return String::new();
    }
    let n_more = unchecked.len().saturating_sub(NAMED_UNCHECKED);
    let names: Vec<String> = unchecked
        .into_iter()
        .take(NAMED_UNCHECKED)
        .map(|(limit, missing)| {
            format!(
                "{} (name {})",
                in_sentence(limit.label()),
                in_sentence(missing.label())
            )
        })
        .collect();
    let more = if n_more == 0 {
        String::new()
    } else {
        format!(", and {n_more} more, listed under the limits")
    };
    format!("Not checked: {}{more}.", names.join(", "))
}

/// Hard limits that were not checked, with what is missing.
pub fn unchecked(judgement: &Judgement) -> Vec<(LimitId, Input)> {
    judgement.assessment.unchecked().collect()
}

/// An assumed input in words: "length of the downstream lip 1 mm (0.3 to 2)".
pub fn assumed_words(assumed: &AssumedInput) -> String {
    let name = assumed.input.label();
    let Some(value) = assumed.value else {
        return format!("{name}: by default");
    };
    let unit = assumed.input.dimension().map(shown_unit);
    let Some(unit) = unit else {
        return format!("{name} {}", plain(value));
    };
    let symbol = if unit.dimension() == Dimension::Ratio {
        ""
    } else {
        unit.symbol()
    };
    let shown = |si: f64| plain(unit.from_si(si));
    let range = assumed
        .range
        .map(|(low, high)| format!(" ({} to {})", shown(low), shown(high)))
        .unwrap_or_default();
    format!("{name} {} {symbol}{range}", shown(value))
        .replace("  ", " ")
        .trim_end()
        .to_owned()
}

/// Soft limits that are broken and validity doubts, as sentences.
pub fn worth_knowing(judgement: &Judgement) -> Vec<String> {
    judgement
        .assessment
        .limits
        .iter()
        .filter(|limit| matches!(limit.severity, Severity::Soft | Severity::Validity))
        .filter(|limit| limit.margin().is_some_and(|margin| margin < 0.0))
        .map(|limit| format!("{}: {}", limit.id.label(), limit.id.defect()))
        .collect()
}
