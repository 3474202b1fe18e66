//! Limits of a gravure unit.

use super::{Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::gravure::{GREATEST_KISS_CAPILLARY_NUMBER, NIP_CAPILLARY_NUMBERS};
use crate::head::GravureArrangement;
use crate::limit::LimitId;
use crate::prepared::GravureValues;

impl<S: Sink> Walk<'_, S> {
    pub(super) fn gravure_limits(&mut self, unit: &GravureValues) {
        self.entrainment_at_cells(&unit.roll);
        if S::WANTS_ALL {
            self.target(LimitId::GravureTarget);
        }
        self.feed_of_roll();
        if S::WANTS_ALL {
            self.emptying(unit);
            self.filling(unit);
            let speed_ratio = unit.speed_ratio(self.knobs);
            self.dry_in(LimitId::CellDryIn, &unit.roll, speed_ratio);
            self.ribs_of_nip(&unit.roll);
            self.screen(&unit.roll);
        }
    }

    /// Capillary number at which the cells empty, or the first input that it lacks.
    fn cell_capillary_number(&self, unit: &GravureValues) -> Result<f64, Input> {
        let (ink, volume) = self.spread_by_cells(&unit.roll)?;
        Ok(unit.capillary_number(&ink, self.values.ink.sigma, volume))
    }

    /// Of a reverse roll no bound is known, and nothing is said.
    fn emptying(&mut self, unit: &GravureValues) {
        let id = LimitId::GravureCa;
        let Some(arrangement) = unit.arrangement else {
            return self.missing(id, Input::GravureArrangement);
        };
        match (arrangement, self.cell_capillary_number(unit)) {
            (GravureArrangement::ReverseKiss, _) => {}
            (GravureArrangement::Kiss, Ok(number)) => {
                self.uses(InputSet::of(&[Input::SurfaceTension]));
                self.ratio(id, number, GREATEST_KISS_CAPILLARY_NUMBER);
            }
            (GravureArrangement::NipPressed, Ok(number)) => {
                self.uses(InputSet::of(&[Input::SurfaceTension]));
                self.two_sided(id, number, NIP_CAPILLARY_NUMBERS);
            }
            (GravureArrangement::Kiss | GravureArrangement::NipPressed, Err(missing)) => {
                self.missing(id, missing);
            }
        }
    }

    fn filling(&mut self, unit: &GravureValues) {
        match (
            unit.filling_capillary_number,
            self.cell_capillary_number(unit),
        ) {
            (Some(critical), Ok(number)) => self.ratio(LimitId::CellFilled, number, critical),
            (None, _) => self.missing(LimitId::CellFilled, Input::FillingCapillaryNumber),
            (Some(_), Err(missing)) => self.missing(LimitId::CellFilled, missing),
        }
    }
}
