//! Limits of a flexo unit.

use super::{Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::flexo::{ANILOX_LINES_TO_PLATE, GREATEST_IMPRESSION};
use crate::head::AniloxMetering;
use crate::limit::LimitId;
use crate::prepared::FlexoValues;

impl<S: Sink> Walk<'_, S> {
    pub(super) fn flexo_limits(&mut self, unit: &FlexoValues) {
        self.entrainment_at_cells(&unit.anilox);
        if S::WANTS_ALL {
            self.target(LimitId::FlexoTarget);
        }
        self.feed_of_roll();
        if S::WANTS_ALL {
            // The anilox turns as fast as the web.
            self.dry_in(LimitId::AniloxDryIn, &unit.anilox, 1.0);
            self.plate_screen(unit);
            self.squeeze();
            self.uses(InputSet::of(&[Input::AniloxMetering]));
            match unit.metering {
                // Only a second roll opens gradually enough to rib.
                AniloxMetering::RubberRoll => self.ribs_of_nip(&unit.anilox),
                AniloxMetering::Chambered => {}
            }
            self.screen(&unit.anilox);
        }
    }

    fn plate_screen(&mut self, unit: &FlexoValues) {
        match (unit.anilox.pitch, unit.plate_lines) {
            (Some(pitch), Some(plate)) => self.ratio(
                LimitId::PlateScreen,
                1.0 / (pitch * plate),
                ANILOX_LINES_TO_PLATE,
            ),
            (None, _) => self.missing(LimitId::PlateScreen, Input::CellLines),
            (Some(_), None) => self.missing(LimitId::PlateScreen, Input::PlateLines),
        }
    }

    fn squeeze(&mut self) {
        match self.knobs.head.impression {
            Some(impression) => {
                self.ratio(LimitId::Squeeze, impression, GREATEST_IMPRESSION.m());
            }
            None => self.missing(LimitId::Squeeze, Input::Impression),
        }
    }
}
