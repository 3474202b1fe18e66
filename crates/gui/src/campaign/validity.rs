//! The invariants of a project, each breach named with its place and what to do.

use std::fmt;

use super::card::{Card, Entry, Field, check_entry};
use super::chance::{cause_of, spread_of};
use super::project::{
    Goal, LineCard, Project, ReadingValue, Run, SettingEntry, SettingValue, Variation,
};

/// Where in a project something is.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Place {
    /// Run number.
    pub run: Option<u32>,
    /// Id or label of the setting, quality or field.
    pub field: Option<String>,
}

/// A breach of an invariant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// What is wrong.
    pub what: String,
    /// Where.
    pub place: Place,
    /// What to do.
    pub remedy: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(run) = self.place.run {
            write!(f, "run {run}: ")?;
        }
        if let Some(field) = &self.place.field {
            write!(f, "\"{field}\": ")?;
        }
        write!(f, "{}; {}", self.what, self.remedy)
    }
}

fn problem(
    run: Option<u32>,
    field: Option<&str>,
    what: impl Into<String>,
    remedy: impl Into<String>,
) -> Problem {
    Problem {
        what: what.into(),
        place: Place {
            run,
            field: field.map(ToOwned::to_owned),
        },
        remedy: remedy.into(),
    }
}

/// Every breach of an invariant, in the order of the file.
pub fn problems_of(project: &Project) -> Vec<Problem> {
    let mut found = Vec::new();
    check_cards(project, &mut found);
    check_settings(project, &mut found);
    check_qualities(project, &mut found);
    check_budget(project, &mut found);
    check_limits(project, &mut found);
    check_runs(project, &mut found);
    found
}

fn check_cards(project: &Project, found: &mut Vec<Problem>) {
    found.extend(card_problems(&project.ink));
    found.extend(card_problems(&project.foil));
    found.extend(project.line.iter().flat_map(line_problems));
}

/// Every entry of a card that does not fit its field.
pub fn card_problems(card: &Card) -> Vec<Problem> {
    let problem_of = |(field, entry): (&Field, &Entry)| {
        let error = check_entry(*field, entry).err()?;
        Some(problem(
            None,
            Some(field.key()),
            error.to_string(),
            "correct the card",
        ))
    };
    card.fields.iter().filter_map(problem_of).collect()
}

/// Every entry of a line and its stations that does not fit its field.
pub fn line_problems(line: &LineCard) -> Vec<Problem> {
    let stations = line.stations.iter().map(|station| &station.card);
    std::iter::once(&line.card)
        .chain(stations)
        .flat_map(card_problems)
        .collect()
}

fn check_limits(project: &Project, found: &mut Vec<Problem>) {
    for (key, known_to) in &project.limits.uncertainties {
        let refused = match cause_of(key) {
            None => Some("nothing that scatters has this name".to_owned()),
            Some(cause) => spread_of(cause, *known_to)
                .err()
                .map(|error| error.to_string()),
        };
        if let Some(what) = refused {
            let remedy = "correct how well it is known";
            found.push(problem(None, Some(key), what, remedy));
        }
    }
    if let Some(chance) = project.limits.least_chance
        && !(chance > 0.0 && chance < 1.0)
    {
        let what = format!("{chance} is no chance");
        found.push(problem(
            None,
            Some("least_chance"),
            what,
            "take one between 0 and 1",
        ));
    }
}

fn is_id(text: &str) -> bool {
    !text.is_empty() && !text.chars().any(char::is_control)
}

fn check_settings(project: &Project, found: &mut Vec<Problem>) {
    for (index, setting) in project.settings.iter().enumerate() {
        let id = setting.id.as_str();
        if !is_id(id) {
            found.push(problem(
                None,
                Some(id),
                "a setting needs a name",
                "give it one",
            ));
        }
        if project
            .settings
            .iter()
            .take(index)
            .any(|earlier| earlier.id == id)
        {
            found.push(problem(
                None,
                Some(id),
                "two settings have this name",
                "rename one",
            ));
        }
        check_variation(setting, found);
        if !value_fits(setting, &setting.now) {
            let what = format!("{} is no value of this setting", setting.now);
            found.push(problem(
                None,
                Some(id),
                what,
                "give it a number, or one of its levels",
            ));
        }
        let positive = |number: Option<f64>| number.is_none_or(|n| n.is_finite() && n > 0.0);
        if !positive(setting.step) || !positive(setting.scatter) {
            found.push(problem(
                None,
                Some(id),
                "step and scatter must be above zero",
                "correct or empty them",
            ));
        }
        if !(setting.effort.minutes.is_finite() && setting.effort.minutes >= 0.0) {
            found.push(problem(
                None,
                Some(id),
                "the minutes of a change cannot be negative",
                "correct them",
            ));
        }
    }
}

fn check_variation(setting: &SettingEntry, found: &mut Vec<Problem>) {
    let id = Some(setting.id.as_str());
    match &setting.variation {
        Variation::Fixed => {}
        Variation::Range { low, high, log } => {
            if !(low.is_finite() && high.is_finite() && low < high) {
                let what = format!("{low} to {high} is no range");
                found.push(problem(
                    None,
                    id,
                    what,
                    "the first number must be below the second",
                ));
            } else if *log && *low <= 0.0 {
                found.push(problem(
                    None,
                    id,
                    "a range by ratios must stay above zero",
                    "raise its lower end",
                ));
            }
        }
        Variation::Levels { levels } => {
            let ascend = levels
                .windows(2)
                .all(|pair| matches!(pair, [a, b] if a < b));
            if levels.len() < 2 || !ascend || levels.iter().any(|level| !level.is_finite()) {
                found.push(problem(
                    None,
                    id,
                    "the levels must be two or more ascending numbers",
                    "correct them",
                ));
            }
        }
        Variation::Categories { levels } => {
            let repeated = levels
                .iter()
                .enumerate()
                .any(|(at, level)| levels.iter().take(at).any(|l| l == level));
            if levels.len() < 2 || repeated || levels.iter().any(|level| !is_id(level)) {
                found.push(problem(
                    None,
                    id,
                    "a category needs two or more different levels",
                    "name them",
                ));
            }
        }
    }
}

/// True if a setting can take this value at all (the range it is varied over does not bind).
pub fn value_fits(setting: &SettingEntry, value: &SettingValue) -> bool {
    match (value, &setting.variation) {
        (SettingValue::Level(level), Variation::Categories { levels }) => levels.contains(level),
        (SettingValue::Level(level), Variation::Fixed) => is_id(level),
        (
            SettingValue::Number(number),
            Variation::Fixed | Variation::Range { .. } | Variation::Levels { .. },
        ) => number.is_finite(),
        (SettingValue::Level(_), Variation::Range { .. } | Variation::Levels { .. })
        | (SettingValue::Number(_), Variation::Categories { .. }) => false,
    }
}

fn check_qualities(project: &Project, found: &mut Vec<Problem>) {
    for (index, quality) in project.qualities.iter().enumerate() {
        let id = Some(quality.id.as_str());
        if !is_id(&quality.id) {
            found.push(problem(
                None,
                id,
                "a film quality needs a name",
                "give it one",
            ));
        }
        if project
            .qualities
            .iter()
            .take(index)
            .any(|earlier| earlier.id == quality.id)
        {
            found.push(problem(
                None,
                id,
                "two film qualities have this name",
                "rename one",
            ));
        }
        let goal_fits = match quality.goal {
            Goal::Watch | Goal::High | Goal::Low => true,
            Goal::AtMost(bound) | Goal::AtLeast(bound) => bound.is_finite(),
            Goal::Between { low, high } => low.is_finite() && high.is_finite() && low < high,
            Goal::Target { value, tolerance } => {
                value.is_finite() && tolerance.is_finite() && tolerance > 0.0
            }
        };
        if !goal_fits {
            found.push(problem(
                None,
                id,
                "the goal is no range",
                "give ordinary numbers, the lower one first",
            ));
        }
        if !(quality.weight.is_finite() && quality.weight > 0.0) {
            found.push(problem(
                None,
                id,
                "the weight must be above zero",
                "correct it",
            ));
        }
    }
}

fn check_budget(project: &Project, found: &mut Vec<Problem>) {
    let budget = &project.budget;
    let amounts = [
        ("ink", budget.ink_ml),
        ("foil", budget.foil_m),
        ("hours", budget.hours),
    ];
    for (name, amount) in amounts {
        if amount.is_some_and(|amount| !(amount.is_finite() && amount >= 0.0)) {
            found.push(problem(
                None,
                Some(name),
                "an amount cannot be negative",
                "correct it",
            ));
        }
    }
    let lengths = [
        ("sample length", budget.sample_m, budget.sample_m > 0.0),
        ("settling length", budget.settle_m, budget.settle_m >= 0.0),
        (
            "minutes to start",
            budget.start_minutes,
            budget.start_minutes >= 0.0,
        ),
    ];
    for (name, value, fits) in lengths {
        if !(value.is_finite() && fits) {
            found.push(problem(
                None,
                Some(name),
                format!("{value} cannot be"),
                "correct it",
            ));
        }
    }
}

fn check_runs(project: &Project, found: &mut Vec<Problem>) {
    let mut numbers: Vec<u32> = project.runs.iter().map(|run| run.number).collect();
    numbers.sort_unstable();
    for pair in numbers.windows(2) {
        if let [one, other] = pair
            && one == other
        {
            found.push(problem(
                Some(*one),
                None,
                "two runs have this number",
                "renumber one",
            ));
        }
    }
    for run in &project.runs {
        check_run_settings(project, run, found);
        check_readings(project, run, found);
    }
}

fn check_run_settings(project: &Project, run: &Run, found: &mut Vec<Problem>) {
    for settings in [&run.planned, &run.pulled, &run.as_run] {
        for (id, value) in settings {
            let number = Some(run.number);
            match project.setting(id) {
                // A run keeps its settings when a setting is taken away before it has results.
                None if !run.has_results() => {}
                None => found.push(problem(
                    number,
                    Some(id),
                    "there is no such setting",
                    "add it again",
                )),
                Some(setting) => {
                    let fits = match value {
                        SettingValue::Number(number) => number.is_finite(),
                        SettingValue::Level(_) => value_fits(setting, value) || run.has_results(),
                    };
                    if !fits {
                        found.push(problem(
                            number,
                            Some(id),
                            format!("{value} does not fit"),
                            "correct it",
                        ));
                    }
                }
            }
        }
    }
    if run.metre.is_some_and(|metre| !metre.is_finite()) {
        found.push(problem(
            Some(run.number),
            Some("metre"),
            "the metre must be a number",
            "correct it",
        ));
    }
    for (name, position) in &run.positions {
        if !project.positions.iter().any(|scale| scale.name == *name) {
            found.push(problem(
                Some(run.number),
                Some(name),
                "there is no such position scale",
                "add it again",
            ));
        }
        if !position.is_finite() {
            found.push(problem(
                Some(run.number),
                Some(name),
                "a position must be a number",
                "correct it",
            ));
        }
    }
}

fn check_readings(project: &Project, run: &Run, found: &mut Vec<Problem>) {
    for (index, reading) in run.readings.iter().enumerate() {
        let number = Some(run.number);
        let id = Some(reading.quality.as_str());
        if project.quality(&reading.quality).is_none() {
            found.push(problem(
                number,
                id,
                "there is no such film quality",
                "add it again",
            ));
        }
        let repeated = run.readings.iter().take(index).any(|earlier| {
            earlier.quality == reading.quality
                && earlier.place == reading.place
                && earlier.repeat == reading.repeat
        });
        if repeated {
            found.push(problem(
                number,
                id,
                "two readings have one place and repeat",
                "number the repeats",
            ));
        }
        let finite = match &reading.value {
            ReadingValue::Exact(value)
            | ReadingValue::Below(value)
            | ReadingValue::Above(value) => value.is_finite(),
            ReadingValue::Class(_) => true,
        };
        if !finite {
            found.push(problem(
                number,
                id,
                "a reading must be an ordinary number",
                "correct it",
            ));
        }
        if reading
            .area
            .is_some_and(|area| !(area.is_finite() && area > 0.0))
        {
            found.push(problem(
                number,
                id,
                "the area of a count must be above zero",
                "correct it",
            ));
        }
    }
}
