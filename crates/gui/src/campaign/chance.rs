//! The chance that a setting works, given how well its inputs are known: the project's own figures where it states some,
//! the usual ones of the trade else.

use wetlane_physics::probability::{Chance, ChanceError, Chances, InputErrors, Likelihood};
use wetlane_physics::{Cause, LimitId, Spread, Uncertainties, UncertaintyError};

use super::feasibility::{Judge, JudgeError};
use super::project::{KnownTo, Project, Settings};
use super::resolve::resolve;
use super::unit::{Dimension, Unit};

pub use wetlane_physics::probability::{CHART_DRAWS, REPORT_DRAWS, SCREEN_DRAWS};

/// Chance that a pulled run is asked to have unless the project says otherwise: at the limit itself it is a coin toss.
pub const USUAL_LEAST_CHANCE: f64 = 0.9;

/// Why there is no chance.
#[derive(Debug, thiserror::Error)]
pub enum NoChance {
    /// The setting cannot be judged.
    #[error(transparent)]
    Judge(#[from] JudgeError),
    /// The draws failed, or were stopped.
    #[error(transparent)]
    Draws(#[from] ChanceError),
}

/// The unit in which an absolute uncertainty of a cause is given; `None` for one that is only relative.
pub fn absolute_unit(cause: Cause) -> Option<&'static str> {
    match cause.default_spread() {
        Spread::Relative(_) => None,
        Spread::Absolute(_) => Some(match cause {
            Cause::GasTemperature | Cause::InkTemperature | Cause::LaminationTemperature => "K",
            Cause::AngleOnFoil | Cause::AngleOnLip => "°",
            Cause::FoilEnergy => "mN/m",
            _ => "µm",
        }),
    }
}

/// The usual uncertainty of a cause as people state it: a number of per cent, or of [`absolute_unit`].
pub fn usual(cause: Cause) -> KnownTo {
    match cause.default_spread() {
        Spread::Relative(share) => KnownTo::Percent(100.0 * share),
        Spread::Absolute(si) => KnownTo::Absolute(si / scale_of(cause)),
    }
}

/// SI value of one of the unit of an absolute uncertainty, which is a difference: offsets of scales do not count.
fn scale_of(cause: Cause) -> f64 {
    let unit = absolute_unit(cause).and_then(|symbol| Unit::parse(symbol).ok());
    unit.filter(|unit| unit.dimension() != Dimension::Temperature)
        .map_or(1.0, |unit| unit.to_si(1.0))
}

/// An uncertainty as physics takes it.
///
/// # Errors
/// [`UncertaintyError`] if the number is negative, not finite or beyond any use, or of a kind that the cause cannot have.
pub fn spread_of(cause: Cause, known_to: KnownTo) -> Result<Spread, UncertaintyError> {
    let spread = match known_to {
        KnownTo::Percent(percent) => Spread::Relative(percent / 100.0),
        KnownTo::Absolute(value) => Spread::Absolute(value * scale_of(cause)),
    };
    Uncertainties::default().set(cause, spread)?;
    Ok(spread)
}

/// The cause of a name in files.
pub fn cause_of(key: &str) -> Option<Cause> {
    Cause::ALL.into_iter().find(|cause| cause.key() == key)
}

/// How well the inputs of a project are known. Rows that physics refuses are left at their usual value and logged; a
/// valid project has none.
pub fn uncertainties(project: &Project) -> Uncertainties {
    let mut all = Uncertainties::default();
    for (key, known_to) in &project.limits.uncertainties {
        let Some(cause) = cause_of(key) else { continue };
        let spread = spread_of(cause, *known_to);
        if let Err(error) = spread.and_then(|spread| all.set(cause, spread)) {
            log::warn!("{error}");
        }
    }
    all
}

/// Draws of the line at some settings, to be asked for the chance of these or of others that leave the line as it is.
///
/// # Errors
/// [`NoChance`] if the settings do not lead to a line, or for a number of draws that is none.
pub fn chances_at(
    project: &Project,
    settings: &Settings,
    n_draws: u32,
) -> Result<Chances, NoChance> {
    let prepared = Judge::new(project).prepared(settings)?;
    let errors = InputErrors::new(&prepared, &uncertainties(project));
    let switched_off: Vec<LimitId> = LimitId::ALL
        .into_iter()
        .filter(|limit| project.limits.switched_off.contains_key(limit.key()))
        .collect();
    Ok(Chances::new(&errors, n_draws, project.seed)?.ignoring(&switched_off))
}

/// The chance that a setting works, with that of each limit; `Ok(None)` if an essential input is missing. `stop` is
/// asked every few milliseconds.
///
/// # Errors
/// [`NoChance`].
pub fn chance_of(
    project: &Project,
    settings: &Settings,
    n_draws: u32,
    stop: impl FnMut() -> bool,
) -> Result<Option<Chance>, NoChance> {
    let setting = resolve(project, settings)
        .map_err(JudgeError::from)?
        .setting;
    Ok(chances_at(project, settings, n_draws)?.of_until(&setting, stop)?)
}

/// A chance in words: "97 %", "> 99 %", "< 1 %"; never 0 or 100 %, which no data can give.
pub fn chance_words(chance: f64) -> String {
    if chance > 0.99 {
        "> 99 %".to_owned()
    } else if chance < 0.01 {
        "< 1 %".to_owned()
    } else {
        format!("{:.0} %", 100.0 * chance)
    }
}

/// How a whole chance reads: "It works with a chance of 97 %: likely."
pub fn chance_sentence(chance: &Chance) -> String {
    let reads = match chance.likelihood() {
        Likelihood::Likely => "likely",
        Likelihood::Risky => "risky",
        Likelihood::Unlikely => "unlikely",
    };
    format!(
        "It works with a chance of {}, as well as the inputs are known: {reads}.",
        chance_words(chance.all_hold)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_never_claim_certainty() {
        assert_eq!(chance_words(1.0), "> 99 %");
        assert_eq!(chance_words(0.0), "< 1 %");
        assert_eq!(chance_words(0.973), "97 %");
        assert_eq!(chance_words(0.05), "5 %");
    }
}
