//! What an assessment of a line at a setting says, for tests that look at one figure of it.

use wetlane_physics::{
    Assessment, Length, LimitId, LimitRecord, Line, Outcome, Setting, assess_nominal,
};

pub(crate) fn judged(line: &Line, setting: &Setting) -> Assessment {
    assess_nominal(line, setting).expect("valid inputs")
}

pub(crate) fn record(line: &Line, setting: &Setting, id: LimitId) -> LimitRecord {
    *judged(line, setting)
        .limit(id)
        .unwrap_or_else(|| panic!("{} is recorded", id.key()))
}

pub(crate) fn margin(line: &Line, setting: &Setting, id: LimitId) -> f64 {
    record(line, setting, id)
        .margin()
        .unwrap_or_else(|| panic!("{} is evaluated", id.key()))
}

/// Value, bound and margin.
pub(crate) fn numbers(line: &Line, setting: &Setting, id: LimitId) -> (f64, f64, f64) {
    match record(line, setting, id).outcome {
        Outcome::Evaluated {
            value,
            bound,
            margin,
        } => (value, bound, margin),
        Outcome::NotEvaluated { missing } => panic!("{} lacks {}", id.key(), missing.label()),
    }
}

/// Wet thickness \[µm\].
pub(crate) fn wet_um(line: &Line, setting: &Setting) -> f64 {
    let wet = judged(line, setting).derived.wet_thickness_m;
    Length::from_m(wet.expect("known")).um()
}
