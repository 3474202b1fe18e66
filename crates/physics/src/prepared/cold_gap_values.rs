//! A gap that was set cold: what heat takes from it (eq 3.12).

use super::{Filler, Knobs, Values};
use crate::assumed::Input;
use crate::input_error::{InputError, positive, temperature};
use crate::line::{ColdGap, Line};
use crate::quantity::{Expansion, Length, Temperature, TemperatureDifference};
use crate::slot_die::GrowingBody;

/// Least gap that a head is judged at \[m\]; a gap that heat has closed is judged by its own limit.
const LEAST_GAP_M: f64 = 1e-9;

/// A gap that was set cold, in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ColdGapValues {
    set_at: Option<f64>,
    roller_diameter: Option<f64>,
    roller_expansion: f64,
    roller_k: Option<f64>,
    die_length: Option<f64>,
    die_expansion: f64,
    die_k: Option<f64>,
}

impl ColdGapValues {
    pub(super) fn resolve(
        line: &Line,
        filler: &mut Filler<'_>,
    ) -> Result<Option<Self>, InputError> {
        let Some(gap) = line.cold_gap else {
            return Ok(None);
        };
        let expansion =
            |input, stated: Option<Expansion>| positive(input, stated.map(Expansion::per_k));
        let kelvins =
            |input, stated: Option<Temperature>| temperature(input, stated.map(Temperature::k));
        let of_roller = expansion(Input::BackingRollerExpansion, gap.roller_expansion)?;
        let of_die = expansion(Input::DieExpansion, gap.die_expansion)?;
        Ok(Some(Self {
            set_at: kelvins(Input::GapSetTemperature, gap.set_at)?,
            roller_diameter: backing_diameter(line, &gap)?,
            roller_expansion: filler.fill(Input::BackingRollerExpansion, of_roller),
            roller_k: kelvins(Input::BackingRollerTemperature, gap.roller_temperature)?,
            die_length: positive(Input::DieLength, gap.die_length.map(Length::m))?,
            die_expansion: filler.fill(Input::DieExpansion, of_die),
            die_k: kelvins(Input::DieTemperature, gap.die_temperature)?,
        }))
    }

    /// True if the gap counts as set at room temperature.
    pub(crate) const fn is_set_at_room(&self) -> bool {
        self.set_at.is_none()
    }

    /// By how much roller and head grow towards each other \[m\], or the input that is missing.
    pub(crate) fn growth(&self, room_k: f64, heated_roller_k: Option<f64>) -> Result<f64, Input> {
        let set_at = self.set_at.unwrap_or(room_k);
        let body = |length: f64, expansion_per_k: f64, hot: f64| GrowingBody {
            length: Length::from_m(length),
            expansion_per_k,
            rise: TemperatureDifference::from_k(hot - set_at),
        };
        let roller_k = self
            .roller_k
            .or(heated_roller_k)
            .ok_or(Input::BackingRollerTemperature)?;
        let diameter = self.roller_diameter.ok_or(Input::BackingRollerDiameter)?;
        let roller = body(0.5 * diameter, self.roller_expansion, roller_k);
        let of_die = match self.die_k {
            Some(hot) => {
                let length = self.die_length.ok_or(Input::DieLength)?;
                body(length, self.die_expansion, hot).growth().m()
            }
            None => 0.0,
        };
        Ok(roller.growth().m() + of_die)
    }
}

/// The heated roller stands in for a backing roller of which nothing is stated.
fn backing_diameter(line: &Line, gap: &ColdGap) -> Result<Option<f64>, InputError> {
    let stated = positive(
        Input::BackingRollerDiameter,
        gap.roller_diameter.map(Length::m),
    )?;
    let heated = positive(
        Input::RollerDiameter,
        line.roller
            .and_then(|roller| roller.diameter)
            .map(Length::m),
    )?;
    Ok(stated.or(heated))
}

impl Knobs {
    /// With the gap as it is while coating, where it was set cold and everything that changes it is known.
    pub(crate) fn with_hot_gap(self, values: &Values) -> Self {
        let growth = values
            .cold_gap
            .and_then(|cold| cold.growth(values.room.temperature, self.roller_k).ok());
        let Some(growth) = growth else {
            return self;
        };
        let mut knobs = self;
        knobs.head.gap_growth = growth;
        knobs.head.gap = self
            .head
            .set_gap
            .map(|gap| (gap + self.gap_error - growth).max(LEAST_GAP_M));
        knobs
    }
}
