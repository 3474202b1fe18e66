//! A gravure unit with its defaults filled in.

use super::{EngravedRollValues, Filler, Knobs, SpreadInk};
use crate::assumed::{Assumption, Doubt, Input};
use crate::gravure::{PickoutFall, pickout, wet_thickness};
use crate::head::{Gravure, GravureArrangement};
use crate::input_error::{InputError, not_negative, positive, share};
use crate::quantity::{CellVolume, Fraction};

/// Doublings of the cell volume beyond the film before the search is given up: a pickout of 1e-6.
const VOLUME_DOUBLINGS: u32 = 20;
/// Halvings of the cell volume for a film: below 1e-15.
const VOLUME_HALVINGS: u32 = 50;

/// A gravure unit in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct GravureValues {
    pub(crate) arrangement: Option<GravureArrangement>,
    pub(crate) roll: EngravedRollValues,
    /// Share that is picked out, at the reference capillary number if it falls.
    pickout: f64,
    fall: Option<PickoutFall>,
    pub(crate) filling_capillary_number: Option<f64>,
    assumed_speed_ratio: f64,
}

impl GravureValues {
    pub(super) fn resolve(unit: &Gravure, filler: &mut Filler<'_>) -> Result<Self, InputError> {
        let stated = share(Input::Pickout, unit.pickout.map(Fraction::ratio))?;
        let stated = positive(Input::Pickout, stated)?;
        let exponent = not_negative(Input::PickoutExponent, unit.pickout_exponent)?;
        let reference = positive(Input::PickoutReference, unit.pickout_reference)?;
        let assumed = pickout_of(unit.arrangement)
            .map_or(filler.assumptions.value(Input::Pickout), |row| row.value);
        Ok(Self {
            arrangement: unit.arrangement,
            roll: EngravedRollValues::resolve(&unit.roll, filler)?,
            pickout: filler.fill_with(Input::Pickout, stated, assumed),
            fall: exponent
                .zip(reference)
                .map(|(exponent, reference_capillary_number)| PickoutFall {
                    exponent,
                    reference_capillary_number,
                }),
            filling_capillary_number: positive(
                Input::FillingCapillaryNumber,
                unit.filling_capillary_number,
            )?,
            assumed_speed_ratio: filler.assumptions.value(Input::SpeedRatio),
        })
    }

    /// Value and doubt of an assumed input that differ from its row in the table.
    pub(super) fn doubt_of(&self, input: Input) -> Option<Assumption> {
        match input {
            Input::Pickout => pickout_of(self.arrangement),
            _ => None,
        }
    }

    /// Speed of the roll over that of the web.
    pub(crate) fn speed_ratio(&self, knobs: &Knobs) -> f64 {
        knobs.head.speed_ratio.unwrap_or(self.assumed_speed_ratio)
    }

    /// True if the share that is picked out falls with the capillary number, so that the film depends on speed and ink.
    pub(crate) const fn has_falling_pickout(&self) -> bool {
        self.fall.is_some()
    }

    /// Capillary number at which cells of a volume empty.
    pub(crate) fn capillary_number(&self, ink: &SpreadInk, sigma: f64, volume: f64) -> f64 {
        let rate = self.roll.shear_rate(ink.speed, volume);
        ink.law.viscosity(rate) * ink.speed / sigma
    }

    /// Wet thickness \[m\] of cells of a volume, for a roll as fast as the web, where the ink does not change it.
    pub(crate) fn film_of_cells(&self, volume: f64) -> f64 {
        wet_thickness(CellVolume::from_m3_per_m2(volume), self.pickout, 1.0).m()
    }

    /// Wet thickness \[m\] of cells of a volume, for a roll as fast as the web.
    pub(crate) fn film_of_ink(&self, volume: f64, ink: &SpreadInk, sigma: f64) -> f64 {
        let number = self.capillary_number(ink, sigma, volume);
        let share = pickout(self.pickout, self.fall, number);
        wet_thickness(CellVolume::from_m3_per_m2(volume), share, 1.0).m()
    }

    /// Cell volume [m³/m²] whose film on a roll as fast as the web is the given one \[m\]; `None` if none is.
    ///
    /// A film never holds more than the cells, which bounds the volume from below; from there it is doubled until the film
    /// suffices.
    pub(crate) fn volume_for_film(wet: f64, film: impl Fn(f64) -> f64) -> Option<f64> {
        let mut little = wet;
        for _ in 0..VOLUME_DOUBLINGS {
            let much = 2.0 * little;
            if film(much) >= wet {
                return Some(bisect(little, much, |volume| film(volume) < wet));
            }
            little = much;
        }
        None
    }
}

/// Where a condition that holds at the low end and not at the high one turns.
fn bisect(mut low: f64, mut high: f64, holds: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..VOLUME_HALVINGS {
        let middle = 0.5 * (low + high);
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Share that an arrangement picks out, with how far it may be off.
fn pickout_of(arrangement: Option<GravureArrangement>) -> Option<Assumption> {
    let (value, low, high) = match arrangement? {
        // Benkreira & Cohu (1998), Chem. Eng. Sci., abstract.
        GravureArrangement::Kiss => (0.175, 0.15, 0.20),
        // Pulkrabek & Munter (1983): 0.59, quoted from memory, unverified.
        GravureArrangement::NipPressed => (0.55, 0.5, 0.6),
        // Quoted from memory, unverified.
        GravureArrangement::ReverseKiss => (0.3, 0.2, 0.4),
    };
    Some(Assumption {
        value,
        doubt: Doubt::Between { low, high },
    })
}
