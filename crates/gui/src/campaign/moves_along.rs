//! Quantities that nobody sets and that move all the same when others are varied: with the power of the plasma held,
//! its dose falls as the speed rises, and so does the time in the dryer.

use super::answers::plain;
use super::feasibility::RunJudgement;
use super::project::{Project, Role};
use super::sentence_case::in_sentence;

/// Ends that differ by less than this share do not count as a move.
const SAME: f64 = 1e-6;

/// A quantity that moves along, from its least to its greatest value over the runs.
#[derive(Debug, Clone, PartialEq)]
pub struct MovesAlong {
    /// What it is.
    pub role: Role,
    /// Least value over the runs.
    pub low: f64,
    /// Greatest value.
    pub high: f64,
    /// Unit of both as it stands behind a number.
    pub unit: &'static str,
}

impl MovesAlong {
    /// "time in the dryer 30.0 to 120 s".
    pub fn words(&self) -> String {
        let unit = self.unit;
        let name = in_sentence(self.role.label());
        format!("{name} {} to {} {unit}", plain(self.low), plain(self.high))
            .trim_end()
            .to_owned()
    }
}

/// What moves along over the judged runs of a project; knobs that follow from what is set are left out, since turning
/// them is how the setting is reached.
pub fn moves_along(project: &Project, runs: &[RunJudgement]) -> Vec<MovesAlong> {
    let head = project.head_kind();
    let knobs: Vec<Role> = project
        .settings
        .iter()
        .flat_map(|setting| setting.role.knobs_under(head))
        .collect();
    let mut found: Vec<MovesAlong> = Vec::new();
    let judged = runs.iter().filter_map(|run| run.judgement.as_ref().ok());
    for followed in judged.flat_map(|judgement| &judgement.resolved.followed) {
        if knobs.contains(&followed.role) {
            continue;
        }
        let value = followed.quantity.value;
        match found.iter_mut().find(|known| known.role == followed.role) {
            Some(known) => {
                known.low = known.low.min(value);
                known.high = known.high.max(value);
            }
            None => found.push(MovesAlong {
                role: followed.role,
                low: value,
                high: value,
                unit: followed.quantity.unit.written(),
            }),
        }
    }
    found.retain(|known| known.high - known.low > SAME * known.high.abs());
    found
}

/// "With these settings move: time in the dryer 30.0 to 120 s, capillary number 0.005 to 0.02."; `None` if nothing does.
pub fn moves_in_words(project: &Project, runs: &[RunJudgement]) -> Option<String> {
    let all = moves_along(project, runs);
    let words: Vec<String> = all.iter().map(MovesAlong::words).collect();
    (!words.is_empty()).then(|| format!("With these settings move: {}.", words.join(", ")))
}
