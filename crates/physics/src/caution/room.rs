//! The air that people breathe, in words: sparks, vapour when the exhaust stops, spills, breathing, oxygen.

use super::{not_computed, two_digits_down, two_digits_up};
use crate::assess::Prepared;
use crate::assumed::Input;
use crate::evaluation::{air_to_breathe, spilled_vapor};
use crate::limit::{Assessment, LimitId, Outcome};
use crate::prepared::Knobs;
use crate::quantity::{Energy, Volume, VolumeFlow};
use crate::room_air::{spill_share, time_to_least_oxygen};
use crate::solvent::Solvent;
use crate::static_electricity::{CHARGED_PERSON, PERSON, spark_energy};

impl Prepared {
    /// What a flammable solvent can do beyond what is in the exhaust.
    pub(super) fn fire_texts(&self, assessment: &Assessment, texts: &mut Vec<String>) {
        let spark = spark_energy(PERSON, CHARGED_PERSON);
        let ignites = Energy::from_j(self.values().ink.ignition_energy);
        let enough = if spark >= ignites {
            "enough to ignite this vapour"
        } else {
            "and foil and machine can release more"
        };
        texts.push(format!(
            "A charged, ungrounded person or roller can release {} mJ, {enough}. Bond and ground everything; discharge the \
             foil before the solvent station.",
            two_digits_up(spark.mj()),
        ));
        loss_text(assessment, texts);
        texts.push(not_computed(
            "Ignition by hot surfaces",
            "autoignition temperature of the solvent; surfaces above 80 % of it in °C, or unrated electrics near wet ink, can \
             ignite vapour",
        ));
    }

    /// A spill, against the explosive limit and the exposure limit.
    pub(super) fn spill_text(
        &self,
        solvent: Solvent,
        assessment: &Assessment,
        texts: &mut Vec<String>,
    ) {
        const WHAT: &str = "Vapour of a spill in this room";
        let vapor = match spilled_vapor(self.values(), solvent) {
            Ok(vapor) => vapor,
            Err(missing) => return texts.push(not_computed(WHAT, missing.label())),
        };
        let Some(room) = self.values().room.volume.map(Volume::from_m3) else {
            return texts.push(not_computed(WHAT, Input::RoomVolume.label()));
        };
        let of_explosive = match assessment.limit(LimitId::Spill).map(|limit| limit.outcome) {
            Some(Outcome::Evaluated { value, .. }) => Some(format!(
                "{} % of the explosive limit",
                two_digits_up(100.0 * value)
            )),
            Some(Outcome::NotEvaluated { .. }) | None => None,
        };
        let of_exposure = solvent.properties().exposure_limit.map(|limit| {
            let ppm = 1e6 * spill_share(vapor, room).ratio();
            format!(
                "{} times the breathing limit",
                two_digits_up(ppm / limit.ppm)
            )
        });
        let parts: Vec<String> = of_explosive.into_iter().chain(of_exposure).collect();
        if !parts.is_empty() {
            texts.push(format!(
                "A spilled filling, evaporated, would give {} in this room.",
                parts.join(" and ")
            ));
        }
    }

    pub(super) fn breathing_text(&self, solvent: Solvent, knobs: &Knobs, texts: &mut Vec<String>) {
        const WHAT: &str = "Air to dilute this solvent for breathing";
        let Some(limit) = solvent.properties().exposure_limit else {
            if solvent != Solvent::Water {
                texts.push(not_computed(WHAT, "exposure limit"));
            }
            return;
        };
        match air_to_breathe(self.values(), knobs, solvent) {
            Ok(Some(air)) => texts.push(format!(
                "Diluting this solvent to its exposure limit needs {} m³/h of clean air. Enclose and exhaust instead. ({} \
                 ppm, {}; check your safety data sheet and local law.)",
                two_digits_up(air.m3_per_h()),
                limit.ppm,
                limit.origin,
            )),
            Ok(None) => {}
            Err(missing) => texts.push(not_computed(WHAT, missing.label())),
        }
    }

    /// What an inert dryer does to the air of the room.
    pub(super) fn oxygen_text(&self, assessment: &Assessment, texts: &mut Vec<String>) {
        let values = self.values();
        let Some(dryer) = values.dryer.filter(|dryer| dryer.gas.is_inert()) else {
            return;
        };
        let unventilated = dryer
            .fresh_gas
            .filter(|flow| *flow > 0.0)
            .zip(values.room.volume)
            .map(|(flow, room)| {
                let time =
                    time_to_least_oxygen(VolumeFlow::from_m3_per_s(flow), Volume::from_m3(room));
                format!(
                    " Without ventilation it reaches 19.5 % in {} min.",
                    two_digits_down(time.s() / 60.0)
                )
            });
        let level = match assessment
            .limit(LimitId::OxygenRoom)
            .map(|limit| limit.outcome)
        {
            Some(Outcome::Evaluated { value, .. }) => format!(
                "The inert gas can lower the room to {} % oxygen; below 19.5 % air counts as deficient.",
                two_digits_down(100.0 * value)
            ),
            Some(Outcome::NotEvaluated { missing }) => {
                not_computed("Oxygen of the room beside the inert gas", missing.label())
            }
            None => not_computed(
                "Oxygen of the room beside the inert gas",
                "volume and ventilation of the room",
            ),
        };
        texts.push(format!(
            "{level}{} Oxygen alarm, outside exhaust, no head inside the enclosure.",
            unventilated.unwrap_or_default()
        ));
        if values.ink.solvent.is_some_and(Solvent::is_flammable) {
            texts.push(
                "Inert drying lowers the fire risk only while measured oxygen stays below the limiting oxygen concentration of \
                 the vapour, margin included, everywhere in the enclosure; check after every opening. Vapour leaving the slots \
                 can still burn."
                    .to_owned(),
            );
        }
    }
}

/// Vapour in the dryer once its exhaust has stopped.
fn loss_text(assessment: &Assessment, texts: &mut Vec<String>) {
    const WHAT: &str = "Vapour after a loss of exhaust";
    texts.push(
        match assessment.limit(LimitId::LelLoss).map(|limit| limit.outcome) {
            Some(Outcome::Evaluated { value, .. }) if value <= 0.0 => {
                "If the exhaust stops, the ink that is already on the web can reach 25 % of the explosive limit. The ink pump \
                 and heaters must stop with the fan."
                    .to_owned()
            }
            Some(Outcome::Evaluated { value, .. }) => format!(
                "If the exhaust stops, 25 % of the explosive limit is reached in {} s. The ink pump and heaters must stop with \
                 the fan.",
                two_digits_down(value)
            ),
            Some(Outcome::NotEvaluated { missing }) => not_computed(WHAT, missing.label()),
            None => not_computed(WHAT, Input::DryerGasVolume.label()),
        },
    );
}
