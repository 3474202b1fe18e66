//! Where the margins of each limit come from, for settings that differ in a few knobs.

use arrayvec::ArrayVec;

use super::block::MAX_COLUMNS;
use super::die_window::DieWindow;
use super::{BatchError, Columns};
use crate::assess::Prepared;
use crate::assumed::Input;
use crate::dry_speed_table::DrySpeedTable;
use crate::evaluation::{Drying, Walk, knobs_of};
use crate::limit::{LimitId, LimitRecord, MAX_LIMITS, Outcome, Severity};
use crate::line::Setting;
use crate::prepared::{Knobs, MethodValues, Values};

/// Where the margins of a limit come from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Source {
    /// No varied knob moves it.
    Constant(f64),
    /// The window of the slot die.
    Window,
    /// The span of a knob that the lanes hold.
    Span(SpannedKnob, (f64, f64)),
    /// The narrowest passage of a slot die for a particle of a size \[m\].
    Particle(f64),
    /// Dry speeds of a table.
    DrySpeed,
    /// A walk along the line for every setting.
    Walk,
}

/// Knobs whose span is judged in lanes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SpannedKnob {
    Speed,
    Flow,
    Gap,
}

/// Every evaluated hard and soft limit with its source, in the order of evaluation.
#[derive(Debug, Clone)]
pub(super) struct Sources(ArrayVec<(LimitId, Source), MAX_LIMITS>);

impl Sources {
    /// Checks names and lengths of the columns and sorts the limits of the line; `Ok(None)` for no settings.
    pub(super) fn new(
        prepared: &Prepared,
        columns: &Columns<'_>,
        table: Option<&DrySpeedTable>,
        n: usize,
    ) -> Result<Option<Self>, BatchError> {
        check(columns, n)?;
        let Some(first) = columns.setting(0) else {
            return Ok(None);
        };
        let knobs = prepared
            .knobs(&first)
            .map_err(|error| BatchError::Setting { index: 0, error })?;
        let mut sources = ArrayVec::new();
        let mut take = |record: &LimitRecord| -> Result<(), BatchError> {
            match record.outcome {
                Outcome::NotEvaluated { missing } if record.id.is_core() => {
                    return Err(BatchError::Missing { input: missing });
                }
                Outcome::Evaluated { margin, .. } if has_margin(record.severity) => {
                    let source = source(prepared.values(), columns, record.id, margin);
                    let is_kept = sources.try_push((record.id, source)).is_ok();
                    debug_assert!(is_kept, "more records than limits");
                }
                Outcome::Evaluated { .. } | Outcome::NotEvaluated { .. } => {}
            }
            Ok(())
        };
        for record in &records(prepared, &knobs, Drying::LeaveOut) {
            take(record)?;
        }
        if table.is_some() {
            // Any dry speed tells whether the limit is evaluated at all.
            let given = records(prepared, &knobs, Drying::Given(1.0));
            given
                .iter()
                .filter(|record| record.id == LimitId::DryAtExit)
                .try_for_each(take)?;
        }
        sources.sort_by_key(|(id, _)| *id as usize);
        Ok(Some(Self(sources)))
    }

    /// Those of some limits.
    pub(super) fn only(mut self, is_wanted: impl Fn(LimitId) -> bool) -> Self {
        self.0.retain(|(id, _)| is_wanted(*id));
        self
    }

    pub(super) fn has(&self, id: LimitId) -> bool {
        self.0.iter().any(|(has, _)| *has == id)
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = (LimitId, Source)> + '_ {
        self.0.iter().copied()
    }
}

/// Whether limits of a severity are among those that are told.
const fn has_margin(severity: Severity) -> bool {
    match severity {
        Severity::Hard | Severity::Soft => true,
        Severity::Caution | Severity::Validity => false,
    }
}

fn records(
    prepared: &Prepared,
    knobs: &Knobs,
    drying: Drying,
) -> ArrayVec<LimitRecord, MAX_LIMITS> {
    let calibration = &prepared.basis().calibration;
    Walk::new(
        prepared.values(),
        calibration,
        knobs,
        drying,
        ArrayVec::new(),
    )
    .keep()
}

impl Columns<'_> {
    /// One setting, or `None` beyond the columns. Without columns there is one setting to all.
    pub(super) fn setting(&self, index: usize) -> Option<Setting> {
        let mut setting = self.base;
        for (knob, numbers) in self.varied {
            setting = setting.with_knob(*knob, *numbers.get(index)?)?;
        }
        Some(setting)
    }

    pub(super) fn is_varied(&self, knob: Input) -> bool {
        self.varied.iter().any(|(varied, _)| *varied == knob)
    }
}

/// Whether lanes can judge the window: of a slot die whose ink keeps its temperature.
pub(super) fn has_lanes(values: &Values, columns: &Columns<'_>) -> bool {
    matches!(values.head.method, MethodValues::SlotDie(_))
        && !columns.is_varied(Input::InkTemperature)
}

fn source(values: &Values, columns: &Columns<'_>, id: LimitId, margin: f64) -> Source {
    let MethodValues::SlotDie(die) = &values.head.method else {
        return Source::Walk;
    };
    let is_followed =
        |knobs: crate::assumed::InputSet| knobs.iter().any(|knob| columns.is_varied(knob));
    if knobs_of(values, id).is_some_and(|knobs| !is_followed(knobs)) {
        return Source::Constant(margin);
    }
    let head = &values.head;
    match id {
        LimitId::DryAtExit => Source::DrySpeed,
        _ if DieWindow::has(id) && has_lanes(values, columns) => Source::Window,
        LimitId::Particle => values
            .ink
            .largest_particle
            .map_or(Source::Walk, Source::Particle),
        LimitId::SpeedSpan => span(SpannedKnob::Speed, head.speed_span),
        LimitId::PumpRange => span(SpannedKnob::Flow, head.flow_span),
        LimitId::GapSpan => span(SpannedKnob::Gap, die.gap_span),
        _ => Source::Walk,
    }
}

fn span(knob: SpannedKnob, span: Option<(f64, f64)>) -> Source {
    span.map_or(Source::Walk, |span| Source::Span(knob, span))
}

/// Checks names and lengths of the columns.
fn check(columns: &Columns<'_>, n: usize) -> Result<(), BatchError> {
    let found = columns.varied.len();
    if found > MAX_COLUMNS {
        return Err(BatchError::Columns { found });
    }
    for (input, numbers) in columns.varied {
        let (input, found) = (*input, numbers.len());
        if columns.base.with_knob(input, 1.0).is_none() {
            return Err(BatchError::NotAKnob { input });
        }
        if found != n {
            return Err(BatchError::ColumnLength {
                input,
                found,
                wanted: n,
            });
        }
    }
    Ok(())
}
