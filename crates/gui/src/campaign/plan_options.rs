//! The options of a plan in words and back, so that a plan can be made again from its record.
//!
//! Only what differs from doing nothing special is kept. Options that belong to one setting carry its id in brackets:
//! `levels[speed]`.

use std::collections::BTreeMap;

use wetlane_stats::design::{
    AxialDistance, CentrePlacement, CubePart, DesignKind, DesignRequest, OrderRule, SearchBudget,
    Seed,
};

use super::factors::space_of;
use super::planning::{PlanError, PlanRequest};
use super::project::{PlanRecord, Project, SettingEntry};

/// Words for the axial distances that are not a number.
const AXIAL_WORDS: [(&str, AxialDistance); 4] = [
    ("rotatable", AxialDistance::Rotatable),
    ("spherical", AxialDistance::Spherical),
    ("orthogonal-squares", AxialDistance::OrthogonalSquares),
    ("orthogonal-blocks", AxialDistance::OrthogonalBlocks),
];

/// Words for the ways to choose the run order.
const ORDER_WORDS: [(&str, OrderRule); 3] = [
    ("shuffled", OrderRule::Shuffled),
    ("trend-balanced", OrderRule::TrendBalanced),
    ("standard", OrderRule::Standard),
];

fn bad(option: &str, text: &str, expected: impl Into<String>) -> PlanError {
    PlanError::BadOption {
        option: option.to_owned(),
        text: text.to_owned(),
        expected: expected.into(),
    }
}

fn words_of<T>(words: &[(&str, T)]) -> String {
    words
        .iter()
        .map(|(word, _)| *word)
        .collect::<Vec<_>>()
        .join(", ")
}

/// The family of a plan by its word.
///
/// # Errors
/// [`PlanError::NoSuchKind`] with the words there are.
pub fn parse_kind(text: &str) -> Result<DesignKind, PlanError> {
    DesignKind::from_key(text.trim()).ok_or_else(|| PlanError::NoSuchKind {
        kind: text.to_owned(),
        known: DesignKind::ALL.map(DesignKind::key).join(", "),
    })
}

/// An axial distance as a word or a coded number.
///
/// # Errors
/// [`PlanError::BadOption`].
pub fn parse_axial_distance(text: &str) -> Result<AxialDistance, PlanError> {
    let text = text.trim();
    if let Some((_, distance)) = AXIAL_WORDS.iter().find(|(word, _)| *word == text) {
        return Ok(*distance);
    }
    text.parse::<f64>()
        .ok()
        .filter(|coded| coded.is_finite() && *coded > 0.0)
        .map(AxialDistance::Coded)
        .ok_or_else(|| {
            bad(
                "axial distance",
                text,
                format!("a number above zero, or one of {}", words_of(&AXIAL_WORDS)),
            )
        })
}

/// A way to choose the run order by its word.
///
/// # Errors
/// [`PlanError::BadOption`].
pub fn parse_order(text: &str) -> Result<OrderRule, PlanError> {
    ORDER_WORDS
        .iter()
        .find(|(word, _)| *word == text.trim())
        .map(|(_, order)| *order)
        .ok_or_else(|| bad("order", text, format!("one of {}", words_of(&ORDER_WORDS))))
}

/// The options that differ from doing nothing special; `ids` are those of the varied settings in their order.
pub fn options_of(request: &DesignRequest, ids: &[String]) -> BTreeMap<String, String> {
    let mut options = BTreeMap::new();
    let mut note = |name: &str, value: Option<String>| {
        if let Some(value) = value {
            options.insert(name.to_owned(), value);
        }
    };
    for (id, n_levels) in ids.iter().zip(&request.n_levels) {
        note(
            &format!("levels[{id}]"),
            n_levels.as_ref().map(ToString::to_string),
        );
    }
    for (id, limits) in ids.iter().zip(&request.hard_limits) {
        let text = limits.map(|(low, high)| format!("{low}..{high}"));
        note(&format!("hard_limits[{id}]"), text);
    }
    note("generators", request.generators.clone());
    note("runs", request.n_runs.map(|n| n.to_string()));
    note("axial_distance", request.axial_distance.map(axial_words));
    let is_full = request.cube_part == CubePart::Full;
    note("factorial_part", is_full.then(|| "full".to_owned()));
    let search = request.search_budget;
    note(
        "search",
        search.map(|budget| format!("{}x{}", budget.n_starts, budget.n_trials)),
    );
    note("centre", request.n_centre.map(|n| n.to_string()));
    let is_first = request.centre_placement == CentrePlacement::FirstLevels;
    note("centre_at", is_first.then(|| "first levels".to_owned()));
    let above_one = |n: usize| (n > 1).then(|| n.to_string());
    note("replicates", above_one(request.n_replicates));
    note("blocks", above_one(request.n_blocks));
    note("return_runs", request.n_return.map(|n| n.to_string()));
    let order = ORDER_WORDS
        .iter()
        .find(|(_, order)| *order == request.order && *order != OrderRule::Shuffled);
    note("order", order.map(|(word, _)| (*word).to_owned()));
    options
}

/// True if the project's plan was made for this request and the varied settings are still those of the plan.
///
/// Hard limits are left out: a plan takes them from the machine where none are asked for.
pub fn is_plan_of(project: &Project, request: &PlanRequest) -> bool {
    let Some(plan) = &project.plan else {
        return false;
    };
    let varied: Vec<&SettingEntry> = project.varied().collect();
    let is_same_setting = |(now, then): (&&SettingEntry, &SettingEntry)| {
        now.id == then.id
            && now.variation == then.variation
            && now.effort.class == then.effort.class
    };
    let ids: Vec<String> = varied.iter().map(|setting| setting.id.clone()).collect();
    let is_asked = |name: &&String| !name.starts_with("hard_limits[");
    let asked = options_of(&request.design, &ids);
    varied.len() == plan.factors.len()
        && varied.iter().zip(&plan.factors).all(is_same_setting)
        && plan.question == request.question
        && plan.kind == request.design.kind.key()
        && plan.seed == request.design.seed.0
        && plan
            .options
            .iter()
            .filter(|(name, _)| is_asked(name))
            .eq(asked.iter().filter(|(name, _)| is_asked(name)))
}

/// An axial distance as [`parse_axial_distance`] reads it.
pub fn axial_words(distance: AxialDistance) -> String {
    AXIAL_WORDS
        .iter()
        .find(|(_, known)| *known == distance)
        .map_or_else(
            || match distance {
                AxialDistance::Coded(coded) => coded.to_string(),
                AxialDistance::Rotatable
                | AxialDistance::Spherical
                | AxialDistance::OrthogonalSquares
                | AxialDistance::OrthogonalBlocks => String::new(),
            },
            |(word, _)| (*word).to_owned(),
        )
}

/// The request from which a recorded plan was made, with its own settings as they were then.
///
/// # Errors
/// [`PlanError`] if the record speaks of a kind or option that this program does not know.
pub fn request_of(record: &PlanRecord) -> Result<PlanRequest, PlanError> {
    let space = space_of(record.factors.iter())?;
    let ids: Vec<&str> = space
        .factors()
        .iter()
        .map(wetlane_stats::Factor::name)
        .collect();
    let mut design = DesignRequest::new(parse_kind(&record.kind)?, Seed(record.seed));
    for (name, value) in &record.options {
        match of_setting(name) {
            Some((option, id)) => {
                let index = ids.iter().position(|known| *known == id);
                let index = index.ok_or_else(|| bad(name, value, "a varied setting"))?;
                read_setting_option(&mut design, option, index, ids.len(), value)?;
            }
            None => read_option(&mut design, name, value)?,
        }
    }
    Ok(PlanRequest {
        question: record.question,
        model: record.model.clone(),
        design,
    })
}

/// Splits `levels[speed]` into `levels` and `speed`.
fn of_setting(name: &str) -> Option<(&str, &str)> {
    let (option, rest) = name.split_once('[')?;
    Some((option, rest.strip_suffix(']')?))
}

fn number(name: &str, text: &str) -> Result<usize, PlanError> {
    text.trim()
        .parse()
        .ok()
        .ok_or_else(|| bad(name, text, "a whole number"))
}

fn read_setting_option(
    design: &mut DesignRequest,
    option: &str,
    index: usize,
    n_settings: usize,
    value: &str,
) -> Result<(), PlanError> {
    match option {
        "levels" => {
            design.n_levels.resize(n_settings, None);
            if let Some(place) = design.n_levels.get_mut(index) {
                *place = Some(number(option, value)?);
            }
        }
        "hard_limits" => {
            let ends = value
                .split_once("..")
                .and_then(|(low, high)| Some((low.trim().parse().ok()?, high.trim().parse().ok()?)))
                .ok_or_else(|| bad(option, value, "two numbers such as 0.2..3"))?;
            design.hard_limits.resize(n_settings, None);
            if let Some(place) = design.hard_limits.get_mut(index) {
                *place = Some(ends);
            }
        }
        _ => return Err(bad(option, value, "an option that this program knows")),
    }
    Ok(())
}

fn read_option(design: &mut DesignRequest, name: &str, value: &str) -> Result<(), PlanError> {
    match name {
        "generators" => design.generators = Some(value.to_owned()),
        "runs" => design.n_runs = Some(number(name, value)?),
        "axial_distance" => design.axial_distance = Some(parse_axial_distance(value)?),
        "factorial_part" if value == "full" => design.cube_part = CubePart::Full,
        "search" => {
            let (starts, trials) = value
                .split_once('x')
                .ok_or_else(|| bad(name, value, "starts and trials such as 6x100000"))?;
            design.search_budget = Some(SearchBudget {
                n_starts: number(name, starts)?,
                n_trials: number(name, trials)?,
            });
        }
        "centre" => design.n_centre = Some(number(name, value)?),
        "centre_at" if value == "first levels" => {
            design.centre_placement = CentrePlacement::FirstLevels;
        }
        "replicates" => design.n_replicates = number(name, value)?,
        "blocks" => design.n_blocks = number(name, value)?,
        "return_runs" => design.n_return = Some(number(name, value)?),
        "order" => design.order = parse_order(value)?,
        _ => return Err(bad(name, value, "an option that this program knows")),
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::campaign::project::Question;

    #[test]
    fn every_option_survives_the_record() {
        let mut request = DesignRequest::new(DesignKind::CentralComposite, Seed(11));
        request.n_levels = vec![None, Some(3)];
        request.hard_limits = vec![Some((0.2, 3.0)), None];
        request.generators = Some("E=ABCD".to_owned());
        request.n_runs = Some(16);
        request.cube_part = CubePart::Full;
        request.search_budget = Some(SearchBudget {
            n_starts: 3,
            n_trials: 1000,
        });
        request.n_centre = Some(0);
        request.centre_placement = CentrePlacement::FirstLevels;
        request.n_replicates = 2;
        request.n_blocks = 4;
        request.n_return = Some(3);
        request.order = OrderRule::TrendBalanced;
        let ids = ["speed".to_owned(), "gap".to_owned()];
        let distances = AXIAL_WORDS
            .map(|(_, distance)| distance)
            .into_iter()
            .chain([AxialDistance::Coded(1.414)]);
        for distance in distances {
            request.axial_distance = Some(distance);
            let record = PlanRecord {
                question: Question::FindTheBest,
                kind: request.kind.key().to_owned(),
                model: "quadratic".to_owned(),
                options: options_of(&request, &ids),
                seed: 11,
                algorithm_version: 1,
                frozen_at: String::new(),
                factors: ids.iter().map(|id| varied(id)).collect(),
                notes: Vec::new(),
            };
            let again = request_of(&record).unwrap();
            assert_eq!(again.design, request);
            assert_eq!(again.question, record.question);
        }
    }

    fn varied(id: &str) -> SettingEntry {
        use crate::campaign::project::{Effort, Role, SettingValue, Variation};
        SettingEntry {
            id: id.to_owned(),
            label: id.to_owned(),
            role: Role::Free,
            unit: String::new(),
            now: SettingValue::Number(0.0),
            variation: Variation::Range {
                low: -1.0,
                high: 1.0,
                log: false,
            },
            step: None,
            scatter: None,
            effort: Effort::default(),
        }
    }
}
