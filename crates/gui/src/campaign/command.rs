//! Every change of a project is a named command, and every command knows its inverse.
//!
//! The commands are the undo stack and, as lines of JSON, the journal. A command that would break an invariant is
//! refused with a message and changes nothing.

use super::sentence_case::in_sentence;
use serde::{Deserialize, Serialize};

use super::card::{Card, Entry, EntryError, Field, check_entry};
use super::project::{
    AnalysisChoice, Budget, ChosenPoint, EarlierValue, HistoryStep, LimitChoices, LineCard,
    Outcome, PlanRecord, Project, Quality, Reading, ReadingValue, Run, SettingEntry, SettingValue,
    Settings,
};
use super::validity::{Problem, problems_of};

/// Which card.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CardRef {
    /// The ink.
    Ink,
    /// The foil.
    Foil,
    /// The line as a whole.
    Line,
    /// A station, by its 0-based place on the line.
    Station(usize),
}

/// A reading that is entered, replaced or (with `None`) taken back.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ReadingEdit {
    /// Run.
    pub run: u32,
    /// Quality.
    pub quality: String,
    /// Place; empty if places are not told apart.
    pub place: String,
    /// 1-based repeat.
    pub repeat: u32,
    /// The value; `None` takes the reading back.
    pub value: Option<ReadingValue>,
    /// Area on which defects were counted, in the project's area unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area: Option<f64>,
    /// When it was entered (UTC, RFC 3339).
    pub when: String,
    /// Who read it.
    #[serde(default)]
    pub who: String,
}

/// Which reading.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReadingRef {
    /// Run.
    pub run: u32,
    /// Quality.
    pub quality: String,
    /// Place.
    pub place: String,
    /// Repeat.
    pub repeat: u32,
}

/// One change.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Command {
    /// Another title.
    SetTitle(String),
    /// Another purpose.
    SetPurpose(String),
    /// Another seed.
    SetSeed(u64),
    /// A whole card of ink or foil.
    SetCard {
        /// Which.
        card: CardRef,
        /// The new card.
        with: Box<Card>,
    },
    /// One field of a card; `None` empties it.
    SetField {
        /// Which card.
        card: CardRef,
        /// Which field.
        field: Field,
        /// What stands there now.
        entry: Option<Entry>,
    },
    /// Another line.
    SetLine(Option<Box<LineCard>>),
    /// A setting, new or changed, at a place in the list.
    PutSetting {
        /// 0-based place.
        index: usize,
        /// The setting; one with the same id is replaced.
        setting: Box<SettingEntry>,
    },
    /// A setting less.
    RemoveSetting {
        /// Its id.
        id: String,
    },
    /// Present values of some settings: the cross moves.
    MoveCross(Settings),
    /// A film quality, new or changed, at a place in the list.
    PutQuality {
        /// 0-based place.
        index: usize,
        /// The quality; one with the same id is replaced.
        quality: Box<Quality>,
    },
    /// A film quality less.
    RemoveQuality {
        /// Its id.
        id: String,
    },
    /// What there is.
    SetBudget(Budget),
    /// How limits are judged.
    SetLimits(LimitChoices),
    /// A plan with all runs of the project, those with results among them.
    ReplacePlan {
        /// The plan.
        plan: Option<Box<PlanRecord>>,
        /// All runs in run order.
        runs: Vec<Run>,
    },
    /// A run at another place in the order.
    MoveRun {
        /// Which.
        run: u32,
        /// 0-based place.
        to: usize,
    },
    /// Settings to which a run is pulled; empty takes the pull back.
    PullRun {
        /// Which.
        run: u32,
        /// The settings that differ from the planned ones.
        pulled: Settings,
    },
    /// A run that is run although a limit is broken; `None` takes that back.
    KeepOnPurpose {
        /// Which.
        run: u32,
        /// Why.
        reason: Option<String>,
    },
    /// Settings that differed when it was run.
    SetAsRun {
        /// Which.
        run: u32,
        /// The settings that differed.
        as_run: Settings,
    },
    /// What became of a run.
    SetOutcome {
        /// Which.
        run: u32,
        /// What.
        outcome: Outcome,
    },
    /// A run's remark.
    SetNote {
        /// Which.
        run: u32,
        /// The remark.
        note: String,
    },
    /// A run's metre on the roll.
    SetMetre {
        /// Which.
        run: u32,
        /// The metre.
        metre: Option<f64>,
    },
    /// Readings entered in one go.
    EnterReadings(Vec<ReadingEdit>),
    /// A reading set aside with a reason, or taken in again.
    SetAside {
        /// Which.
        reading: ReadingRef,
        /// Why; `None` takes it in again.
        reason: Option<String>,
    },
    /// A run's readings as they were; only as an inverse.
    RestoreReadings {
        /// Which.
        run: u32,
        /// All its readings.
        readings: Vec<Reading>,
    },
    /// How a quality is fitted; `None` is the default.
    SetAnalysis {
        /// Id of the quality.
        quality: String,
        /// The choice.
        choice: Option<AnalysisChoice>,
    },
    /// The chosen point.
    SetChoice(Option<Box<ChosenPoint>>),
    /// A named step for the project's history; `None` takes the last one back.
    NoteStep(Option<HistoryStep>),
    /// Several changes as one step.
    Together {
        /// Name of the step.
        label: String,
        /// The changes in order.
        commands: Vec<Self>,
    },
}

/// Why a command was refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// The entry does not fit its field.
    #[error(transparent)]
    Entry(#[from] EntryError),
    /// There is no such thing.
    #[error("there is no {what}")]
    Missing {
        /// What was looked for.
        what: String,
    },
    /// Readings would be lost.
    #[error("run {run} has results; it stays as it is")]
    HasResults {
        /// The run.
        run: u32,
    },
    /// The setting or quality is still used.
    #[error("\"{id}\" is used by {by}; it cannot be taken away")]
    InUse {
        /// Which.
        id: String,
        /// What uses it.
        by: String,
    },
    /// The project would no longer be valid.
    #[error("{0}")]
    Invalid(Problem),
}

fn missing(what: impl Into<String>) -> Refusal {
    Refusal::Missing { what: what.into() }
}

impl Command {
    /// Name of the step, for the undo button and the journal.
    pub fn label(&self) -> String {
        match self {
            Self::SetTitle(title) => format!("title \"{title}\""),
            Self::SetPurpose(_) => "purpose".to_owned(),
            Self::SetSeed(seed) => format!("seed {seed}"),
            Self::SetCard { with, .. } => format!("card \"{}\"", with.name),
            Self::SetField { field, entry, .. } => {
                let name = in_sentence(field.label());
                match entry {
                    Some(Entry::Number(number)) => format!("{name} {}", number.quantity()),
                    Some(Entry::Word(word)) => format!("{name} {word}"),
                    None => format!("{name} emptied"),
                }
            }
            Self::SetLine(line) => line.as_ref().map_or_else(
                || "no line".to_owned(),
                |line| format!("line \"{}\"", line.card.name),
            ),
            Self::PutSetting { setting, .. } => in_sentence(&setting.label),
            Self::RemoveSetting { id } | Self::RemoveQuality { id } => format!("without {id}"),
            Self::MoveCross(settings) => {
                let values: Vec<String> = settings
                    .iter()
                    .map(|(id, value)| format!("{id} {value}"))
                    .collect();
                format!("cross to {}", values.join(", "))
            }
            Self::PutQuality { quality, .. } => in_sentence(&quality.label),
            Self::SetBudget(_) => "what there is".to_owned(),
            Self::SetLimits(_) => "how limits are judged".to_owned(),
            Self::ReplacePlan {
                plan: Some(plan),
                runs,
            } => format!("{} plan of {} runs", plan.kind, runs.len()),
            Self::ReplacePlan { plan: None, .. } => "without plan".to_owned(),
            Self::MoveRun { run, .. } => format!("moved run {run}"),
            Self::PullRun { run, .. } => format!("pulled run {run}"),
            Self::KeepOnPurpose { run, .. } => format!("run {run} kept on purpose"),
            Self::SetAsRun { run, .. } => format!("run {run} as run"),
            Self::SetOutcome { run, outcome } => match outcome {
                Outcome::NotRun => format!("run {run} not run"),
                Outcome::Sound => format!("run {run} sound"),
                Outcome::Faulty { .. } => format!("run {run} faulty"),
            },
            Self::SetNote { run, .. } => format!("note of run {run}"),
            Self::SetMetre { run, .. } => format!("metre of run {run}"),
            Self::EnterReadings(edits) => match edits.as_slice() {
                [edit] => format!("{} of run {}", edit.quality, edit.run),
                _ => format!("{} readings", edits.len()),
            },
            Self::SetAside {
                reading,
                reason: Some(_),
            } => format!("set aside run {}, {}", reading.run, reading.quality),
            Self::SetAside {
                reading,
                reason: None,
            } => format!("took in run {}, {}", reading.run, reading.quality),
            Self::RestoreReadings { run, .. } => format!("readings of run {run}"),
            Self::SetAnalysis { quality, .. } => format!("terms of {quality}"),
            Self::SetChoice(_) => "chosen point".to_owned(),
            Self::NoteStep(_) => "history".to_owned(),
            Self::Together { label, .. } => label.clone(),
        }
    }

    /// Applies the change and returns the command that undoes it.
    ///
    /// # Errors
    /// [`Refusal`]; the project is then as it was.
    pub fn apply(&self, project: &mut Project) -> Result<Self, Refusal> {
        let inverse = self.apply_unchecked(project)?;
        if let Some(problem) = problems_of(project).into_iter().next() {
            // The inverse of a command that was just applied always applies.
            inverse.apply_unchecked(project)?;
            return Err(Refusal::Invalid(problem));
        }
        Ok(inverse)
    }

    #[expect(
        clippy::too_many_lines,
        reason = "one arm a command: that every command is handled shows at one glance"
    )]
    fn apply_unchecked(&self, project: &mut Project) -> Result<Self, Refusal> {
        match self {
            Self::SetTitle(title) => Ok(Self::SetTitle(std::mem::replace(
                &mut project.title,
                title.clone(),
            ))),
            Self::SetPurpose(purpose) => Ok(Self::SetPurpose(std::mem::replace(
                &mut project.purpose,
                purpose.clone(),
            ))),
            Self::SetSeed(seed) => Ok(Self::SetSeed(std::mem::replace(&mut project.seed, *seed))),
            Self::SetCard { card, with } => {
                for (field, entry) in &with.fields {
                    check_entry(*field, entry)?;
                }
                let place = card_mut(project, *card)?;
                Ok(Self::SetCard {
                    card: *card,
                    with: Box::new(std::mem::replace(place, (**with).clone())),
                })
            }
            Self::SetField { card, field, entry } => {
                set_field(project, *card, *field, entry.as_ref())
            }
            Self::SetLine(line) => {
                let old = std::mem::replace(
                    &mut project.line,
                    line.as_ref().map(|line| (**line).clone()),
                );
                Ok(Self::SetLine(old.map(Box::new)))
            }
            Self::PutSetting { index, setting } => {
                let old = put(&mut project.settings, *index, (**setting).clone(), |s| {
                    s.id == setting.id
                });
                Ok(match old {
                    Some((at, old)) => Self::PutSetting {
                        index: at,
                        setting: Box::new(old),
                    },
                    None => Self::RemoveSetting {
                        id: setting.id.clone(),
                    },
                })
            }
            Self::RemoveSetting { id } => remove_setting(project, id),
            Self::MoveCross(settings) => move_cross(project, settings),
            Self::PutQuality { index, quality } => {
                let old = put(&mut project.qualities, *index, (**quality).clone(), |q| {
                    q.id == quality.id
                });
                Ok(match old {
                    Some((at, old)) => Self::PutQuality {
                        index: at,
                        quality: Box::new(old),
                    },
                    None => Self::RemoveQuality {
                        id: quality.id.clone(),
                    },
                })
            }
            Self::RemoveQuality { id } => remove_quality(project, id),
            Self::SetBudget(budget) => Ok(Self::SetBudget(std::mem::replace(
                &mut project.budget,
                budget.clone(),
            ))),
            Self::SetLimits(limits) => Ok(Self::SetLimits(std::mem::replace(
                &mut project.limits,
                limits.clone(),
            ))),
            Self::ReplacePlan { plan, runs } => replace_plan(project, plan.as_deref(), runs),
            Self::MoveRun { run, to } => move_run(project, *run, *to),
            Self::PullRun { run, pulled } => {
                let place = run_mut(project, *run)?;
                Ok(Self::PullRun {
                    run: *run,
                    pulled: std::mem::replace(&mut place.pulled, pulled.clone()),
                })
            }
            Self::KeepOnPurpose { run, reason } => {
                let place = run_mut(project, *run)?;
                Ok(Self::KeepOnPurpose {
                    run: *run,
                    reason: std::mem::replace(&mut place.on_purpose, reason.clone()),
                })
            }
            Self::SetAsRun { run, as_run } => {
                let place = run_mut(project, *run)?;
                Ok(Self::SetAsRun {
                    run: *run,
                    as_run: std::mem::replace(&mut place.as_run, as_run.clone()),
                })
            }
            Self::SetOutcome { run, outcome } => {
                let place = run_mut(project, *run)?;
                Ok(Self::SetOutcome {
                    run: *run,
                    outcome: std::mem::replace(&mut place.outcome, outcome.clone()),
                })
            }
            Self::SetNote { run, note } => {
                let place = run_mut(project, *run)?;
                Ok(Self::SetNote {
                    run: *run,
                    note: std::mem::replace(&mut place.note, note.clone()),
                })
            }
            Self::SetMetre { run, metre } => {
                let place = run_mut(project, *run)?;
                Ok(Self::SetMetre {
                    run: *run,
                    metre: std::mem::replace(&mut place.metre, *metre),
                })
            }
            Self::EnterReadings(edits) => enter_readings(project, edits),
            Self::SetAside { reading, reason } => set_aside(project, reading, reason.as_ref()),
            Self::RestoreReadings { run, readings } => {
                let place = run_mut(project, *run)?;
                Ok(Self::RestoreReadings {
                    run: *run,
                    readings: std::mem::replace(&mut place.readings, readings.clone()),
                })
            }
            Self::SetAnalysis { quality, choice } => {
                let old = match choice {
                    Some(choice) => project.analyses.insert(quality.clone(), choice.clone()),
                    None => project.analyses.remove(quality),
                };
                Ok(Self::SetAnalysis {
                    quality: quality.clone(),
                    choice: old,
                })
            }
            Self::SetChoice(choice) => {
                let old = std::mem::replace(
                    &mut project.choice,
                    choice.as_ref().map(|choice| (**choice).clone()),
                );
                Ok(Self::SetChoice(old.map(Box::new)))
            }
            Self::NoteStep(Some(step)) => {
                project.history.push(step.clone());
                Ok(Self::NoteStep(None))
            }
            Self::NoteStep(None) => {
                let step = project
                    .history
                    .pop()
                    .ok_or_else(|| missing("step in the history"))?;
                Ok(Self::NoteStep(Some(step)))
            }
            Self::Together { label, commands } => together(project, label, commands),
        }
    }
}

fn together(project: &mut Project, label: &str, commands: &[Command]) -> Result<Command, Refusal> {
    let mut inverses: Vec<Command> = Vec::with_capacity(commands.len());
    for command in commands {
        match command.apply_unchecked(project) {
            Ok(inverse) => inverses.push(inverse),
            Err(refusal) => {
                for inverse in inverses.iter().rev() {
                    inverse.apply_unchecked(project)?;
                }
                return Err(refusal);
            }
        }
    }
    inverses.reverse();
    Ok(Command::Together {
        label: label.to_owned(),
        commands: inverses,
    })
}

fn card_mut(project: &mut Project, card: CardRef) -> Result<&mut Card, Refusal> {
    match card {
        CardRef::Ink => Ok(&mut project.ink),
        CardRef::Foil => Ok(&mut project.foil),
        CardRef::Line => project
            .line
            .as_mut()
            .map(|line| &mut line.card)
            .ok_or_else(|| missing("line")),
        CardRef::Station(index) => project
            .line
            .as_mut()
            .and_then(|line| line.stations.get_mut(index))
            .map(|station| &mut station.card)
            .ok_or_else(|| missing(format!("station {}", index + 1))),
    }
}

fn set_field(
    project: &mut Project,
    card: CardRef,
    field: Field,
    entry: Option<&Entry>,
) -> Result<Command, Refusal> {
    if let Some(entry) = entry {
        check_entry(field, entry)?;
    }
    let fields = &mut card_mut(project, card)?.fields;
    let old = match entry {
        Some(entry) => fields.insert(field, entry.clone()),
        None => fields.remove(&field),
    };
    Ok(Command::SetField {
        card,
        field,
        entry: old,
    })
}

/// Replaces the item that `same` finds, or inserts at `index`; returns what was replaced with its place.
fn put<T>(
    items: &mut Vec<T>,
    index: usize,
    item: T,
    same: impl Fn(&T) -> bool,
) -> Option<(usize, T)> {
    if let Some(at) = items.iter().position(same) {
        let old = items.remove(at);
        items.insert(index.min(items.len()), item);
        Some((at, old))
    } else {
        items.insert(index.min(items.len()), item);
        None
    }
}

fn remove_setting(project: &mut Project, id: &str) -> Result<Command, Refusal> {
    let index = project
        .settings
        .iter()
        .position(|s| s.id == id)
        .ok_or_else(|| missing(format!("setting \"{id}\"")))?;
    if let Some(run) = project
        .runs
        .iter()
        .find(|run| run.has_results() && run.planned.contains_key(id))
    {
        return Err(Refusal::InUse {
            id: id.to_owned(),
            by: format!("run {}", run.number),
        });
    }
    let setting = project.settings.remove(index);
    Ok(Command::PutSetting {
        index,
        setting: Box::new(setting),
    })
}

fn remove_quality(project: &mut Project, id: &str) -> Result<Command, Refusal> {
    let index = project
        .qualities
        .iter()
        .position(|q| q.id == id)
        .ok_or_else(|| missing(format!("film quality \"{id}\"")))?;
    if let Some(run) = project
        .runs
        .iter()
        .find(|run| run.readings.iter().any(|reading| reading.quality == id))
    {
        return Err(Refusal::InUse {
            id: id.to_owned(),
            by: format!("readings of run {}", run.number),
        });
    }
    let quality = project.qualities.remove(index);
    Ok(Command::PutQuality {
        index,
        quality: Box::new(quality),
    })
}

fn move_cross(project: &mut Project, settings: &Settings) -> Result<Command, Refusal> {
    if let Some(id) = settings.keys().find(|id| project.setting(id).is_none()) {
        return Err(missing(format!("setting \"{id}\"")));
    }
    let mut old = Settings::new();
    for setting in &mut project.settings {
        if let Some(value) = settings.get(&setting.id) {
            let before: SettingValue = std::mem::replace(&mut setting.now, value.clone());
            old.insert(setting.id.clone(), before);
        }
    }
    Ok(Command::MoveCross(old))
}

fn replace_plan(
    project: &mut Project,
    plan: Option<&PlanRecord>,
    runs: &[Run],
) -> Result<Command, Refusal> {
    for old in project.runs.iter().filter(|run| run.has_results()) {
        if !runs.iter().any(|new| new == old) {
            return Err(Refusal::HasResults { run: old.number });
        }
    }
    let old_plan = std::mem::replace(&mut project.plan, plan.cloned());
    let old_runs = std::mem::replace(&mut project.runs, runs.to_vec());
    Ok(Command::ReplacePlan {
        plan: old_plan.map(Box::new),
        runs: old_runs,
    })
}

fn move_run(project: &mut Project, run: u32, to: usize) -> Result<Command, Refusal> {
    let from = project
        .runs
        .iter()
        .position(|r| r.number == run)
        .ok_or_else(|| missing(format!("run {run}")))?;
    let moved = project.runs.remove(from);
    project.runs.insert(to.min(project.runs.len()), moved);
    Ok(Command::MoveRun { run, to: from })
}

fn run_mut(project: &mut Project, number: u32) -> Result<&mut Run, Refusal> {
    project
        .runs
        .iter_mut()
        .find(|run| run.number == number)
        .ok_or_else(|| missing(format!("run {number}")))
}

fn enter_readings(project: &mut Project, edits: &[ReadingEdit]) -> Result<Command, Refusal> {
    let mut touched: Vec<u32> = edits.iter().map(|edit| edit.run).collect();
    touched.sort_unstable();
    touched.dedup();
    for edit in edits {
        run_mut(project, edit.run)?;
        if project.quality(&edit.quality).is_none() {
            return Err(missing(format!("film quality \"{}\"", edit.quality)));
        }
    }
    let mut inverses = Vec::with_capacity(touched.len());
    for number in touched {
        let run = run_mut(project, number)?;
        inverses.push(Command::RestoreReadings {
            run: number,
            readings: run.readings.clone(),
        });
        for edit in edits.iter().filter(|edit| edit.run == number) {
            enter_reading(run, edit);
        }
    }
    Ok(Command::Together {
        label: Command::EnterReadings(edits.to_vec()).label(),
        commands: inverses,
    })
}

/// Writes one reading into a run; a value that stood there goes into its history.
fn enter_reading(run: &mut Run, edit: &ReadingEdit) {
    let at = run.readings.iter().position(|r| {
        r.quality == edit.quality && r.place == edit.place && r.repeat == edit.repeat
    });
    match (at.and_then(|at| run.readings.get_mut(at)), &edit.value) {
        (Some(reading), Some(value)) => {
            reading.area = edit.area.or(reading.area);
            if reading.value != *value {
                let before = std::mem::replace(&mut reading.value, value.clone());
                let when = std::mem::replace(&mut reading.when, edit.when.clone());
                reading.earlier.push(EarlierValue {
                    value: before,
                    when,
                });
                reading.who.clone_from(&edit.who);
            }
        }
        (None, Some(value)) => run.readings.push(Reading {
            quality: edit.quality.clone(),
            place: edit.place.clone(),
            repeat: edit.repeat,
            value: value.clone(),
            area: edit.area,
            when: edit.when.clone(),
            who: edit.who.clone(),
            set_aside: None,
            earlier: Vec::new(),
        }),
        (Some(_), None) => {
            if let Some(at) = at {
                run.readings.remove(at);
            }
        }
        (None, None) => {}
    }
}

fn set_aside(
    project: &mut Project,
    which: &ReadingRef,
    reason: Option<&String>,
) -> Result<Command, Refusal> {
    let run = run_mut(project, which.run)?;
    let reading = run
        .readings
        .iter_mut()
        .find(|r| r.quality == which.quality && r.place == which.place && r.repeat == which.repeat)
        .ok_or_else(|| missing(format!("reading of {} in run {}", which.quality, which.run)))?;
    let old = std::mem::replace(&mut reading.set_aside, reason.cloned());
    Ok(Command::SetAside {
        reading: which.clone(),
        reason: old,
    })
}
