//! What follows from a setting, in words: the knobs of the machine, the film, and how far one may go.

use super::answers::plain;
use super::feasibility::Judgement;
use super::limit_words::derived_quantities;
use super::line_answers::LineAnswers;
use super::sentence_case::in_sentence;

/// Derived quantities that answer how thin, how thick, how fast, how hot and how much vapor; those that a setting says
/// itself are left to the knobs.
const TELLING: [&str; 13] = [
    "thinnest_held",
    "thickest_not_flooding",
    "dry_after",
    "dry_speed",
    "hottest_foil",
    "nip_pressure",
    "nip_dwell",
    "bond_line",
    "lap_length",
    "lel_share",
    "foil_energy",
    "equilibrium_angle",
    "vacuum_needed",
];

/// A quantity with its words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Follows {
    /// What it is, as it stands inside a sentence.
    pub name: String,
    /// Number and unit.
    pub value: String,
}

/// The knobs and linked quantities that follow from what is set.
pub fn knobs(judgement: &Judgement) -> Vec<Follows> {
    let followed = judgement.resolved.followed.iter();
    followed
        .map(|followed| Follows {
            name: in_sentence(followed.role.label()),
            value: with_unit(followed.quantity.value, followed.quantity.unit.written()),
        })
        .collect()
}

/// How far one may go at this setting: bounds and times that the limits know, and what was searched.
pub fn bounds(judgement: &Judgement) -> Vec<Follows> {
    let all = derived_quantities(&judgement.assessment);
    let of_key = |key: &&str| {
        let (name, _, value, unit) = all.iter().find(|(_, known, ..)| known == key)?;
        Some(Follows {
            name: in_sentence(name),
            value: with_unit((*value)?, unit),
        })
    };
    let told = TELLING.iter().filter_map(of_key);
    let searched = judgement.answers.iter().flat_map(LineAnswers::words);
    told.chain(searched).collect()
}

fn with_unit(value: f64, unit: &str) -> String {
    format!("{} {unit}", plain(value)).trim_end().to_owned()
}
