//! What engraved rolls have in common: ink that dries in the cells, a screen that stays, a nip that ribs.

use super::drying_case::room_evaporation_kg_per_m2_s;
use super::entrainment_limits::entrainment_m_per_s;
use super::levelling_limits::OpeningNip;
use super::{Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::gravure::{GREATEST_LOSS_IN_CELLS, loss_in_cells};
use crate::limit::LimitId;
use crate::prepared::{EngravedRollValues, SpreadInk};
use crate::quantity::CellVolume;
use crate::solvent::Solvent;

impl<S: Sink> Walk<'_, S> {
    /// The ink and the cells that carry it [m³/m²], or the first essential input that is missing.
    pub(super) fn spread_by_cells(
        &self,
        roll: &EngravedRollValues,
    ) -> Result<(SpreadInk, f64), Input> {
        let ink = self.values.spread_ink(self.knobs)?;
        Ok((ink, roll.volume(self.knobs)?))
    }

    /// A feed that is stated must give what the web carries off; a pan or a chamber needs none.
    pub(super) fn feed_of_roll(&mut self) {
        if self.knobs.flow.is_some() {
            self.feed(LimitId::FeedStarved, 1.0);
        }
    }

    /// Share of the ink that evaporates between doctor blade and nip, at the temperature of the room, on a roll that turns at
    /// a multiple of the web's speed.
    pub(super) fn dry_in(&mut self, id: LimitId, roll: &EngravedRollValues, speed_ratio: f64) {
        let loss = || -> Result<(Solvent, f64), Input> {
            let solvent = self.values.ink.solvent.ok_or(Input::Solvent)?;
            let path = roll.doctor_to_nip.ok_or(Input::DoctorToNip)?;
            let (ink, volume) = self.spread_by_cells(roll)?;
            let flux = room_evaporation_kg_per_m2_s(self.values, solvent);
            let time = path / (ink.speed * speed_ratio);
            let cells = CellVolume::from_m3_per_m2(volume);
            Ok((solvent, loss_in_cells(flux, time, ink.rho, cells)))
        };
        match loss() {
            Ok((solvent, share)) => {
                self.uses(InputSet::of(&[
                    Input::Density,
                    Input::RoomTemperature,
                    Input::OpenPathHeatTransfer,
                ]));
                if solvent == Solvent::Water {
                    self.uses(InputSet::of(&[Input::RelativeHumidity]));
                }
                self.ratio(id, share, GREATEST_LOSS_IN_CELLS);
            }
            Err(missing) => self.missing(id, missing),
        }
    }

    /// Ribs of the nip of the roll with the web or the next roll.
    pub(super) fn ribs_of_nip(&mut self, roll: &EngravedRollValues) {
        match self.spread_by_cells(roll) {
            Ok((ink, _)) => {
                let rate = roll.gap.map_or(0.0, |gap| ink.speed / gap);
                self.ribbing(
                    &ink.law,
                    OpeningNip {
                        gap: roll.gap.ok_or(Input::RollGap),
                        radius: roll.radius.ok_or(Input::HeadRollDiameter),
                        mu: ink.law.viscosity(rate),
                    },
                );
            }
            Err(missing) => {
                self.missing(LimitId::Ribbing, missing);
                self.missing(LimitId::RibLevelling, missing);
            }
        }
    }

    /// Whether the screen of the cells levels.
    pub(super) fn screen(&mut self, roll: &EngravedRollValues) {
        match self.spread_by_cells(roll) {
            Ok((ink, _)) => {
                let pitch = roll.pitch.ok_or(Input::CellLines);
                self.marks(LimitId::PatternLevelling, &ink.law, pitch);
            }
            Err(missing) => self.missing(LimitId::PatternLevelling, missing),
        }
    }

    /// Entrained air, with the viscosity at the shear rate of the cells.
    pub(super) fn entrainment_at_cells(&mut self, roll: &EngravedRollValues) {
        match self.spread_by_cells(roll) {
            Ok((ink, volume)) => {
                if !ink.law.is_newtonian() {
                    self.uses(InputSet::of(&[Input::CellDepthRatio]));
                }
                if S::WANTS_ALL {
                    self.derive_film_capillary_number(&ink);
                }
                let mu = ink.law.viscosity(roll.shear_rate(ink.speed, volume));
                let entrainment = entrainment_m_per_s(self.values, &ink.law, mu);
                self.entrainment(ink.speed, entrainment);
            }
            Err(missing) => self.entrainment_missing(missing),
        }
    }
}
