//! Plasma treatment and whether the ink wets the foil.

use super::{Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::elementary::acos;
use crate::limit::{LimitId, Sense};
use crate::plasma::{
    ACCEPTED_WARMING, HEATING_SHARE, OVER_TREATMENT_DOSES, aged, response_n_per_m,
};
use crate::prepared::{AngleSource, PlasmaValues};
use crate::quantity::{Duration, SurfaceTension};
use crate::surface_energy::{ENERGY_SURPLUS, GREATEST_ANGLE, SPREADING_ANGLE};

/// The foil as the ink meets it.
#[derive(Debug, Clone, Copy)]
pub(super) struct WettingState {
    /// Dose [J/m²]; zero with the plasma off, or the input that it lacks.
    dose: Result<f64, Input>,
    /// Energy as treated [N/m], or the input that it lacks.
    energy: Result<f64, Input>,
    /// Cosine of the static angle for the bead.
    pub(super) bead_cosine: f64,
    /// Inputs that the energy used.
    pub(super) energy_inputs: InputSet,
}

impl<S: Sink> Walk<'_, S> {
    /// Dose [J/m²], or what it lacks; zero without a plasma station or with the plasma off.
    fn dose(&self) -> Result<f64, Input> {
        let (Some(plasma), Some(power)) = (self.values.plasma, self.knobs.plasma_power) else {
            return Ok(0.0);
        };
        if power <= 0.0 {
            return Ok(0.0);
        }
        let width = plasma.electrode_width.ok_or(Input::ElectrodeWidth)?;
        let speed = self.knobs.speed.ok_or(Input::Speed)?;
        Ok(power / (width * speed))
    }

    pub(super) fn wetting_state(&mut self) -> WettingState {
        let dose = self.dose();
        let untreated = self.values.foil.energy.ok_or(Input::FoilMaterial);
        let mut energy_inputs = InputSet::of(&[Input::FoilEnergy, Input::SurfaceTension]);
        if self.values.plasma.is_some() {
            energy_inputs = energy_inputs.with(Input::PlasmaPower);
        }
        let is_treated = !matches!(dose, Ok(j) if j <= 0.0);
        let energy = match (untreated, dose, self.values.plasma) {
            (Ok(gamma), Ok(j), Some(plasma)) if j > 0.0 => {
                energy_inputs = energy_inputs
                    .with(Input::SaturatedEnergy)
                    .with(Input::CharacteristicDose)
                    .with(Input::PlasmaAge);
                if plasma.age > 0.0 {
                    energy_inputs = energy_inputs.with(Input::AgeingTime);
                }
                Ok(treated_energy(&plasma, gamma, j))
            }
            (Ok(_), Err(missing), _) => Err(missing),
            (untreated, ..) => untreated,
        };
        let known = energy.ok();
        let state = WettingState {
            dose,
            energy,
            bead_cosine: self.values.bead_foil_cosine(known, is_treated),
            energy_inputs,
        };
        self.derived.plasma_dose_j_per_m2 = self.values.plasma.and(dose.ok());
        self.derived.foil_energy_n_per_m = known;
        self.derived.equilibrium_angle_rad = match self.values.head.angle_source {
            AngleSource::Measured(angle) => Some(angle.theta),
            AngleSource::Parts(_) | AngleSource::Totals | AngleSource::Unknown => {
                self.values.equilibrium_cosine(known, is_treated).map(acos)
            }
        };
        state
    }

    pub(super) fn plasma_limits(&mut self, wetting: &WettingState) {
        if let Some(plasma) = self.values.plasma {
            self.plasma_span(&plasma);
        }
        self.surface_energy_limits(wetting);
        if let Some(plasma) = self.values.plasma {
            self.over_treatment(&plasma, wetting.dose);
            self.plasma_heat(wetting.dose);
        }
    }

    /// A plasma that is off is within every span.
    fn plasma_span(&mut self, plasma: &PlasmaValues) {
        match (self.knobs.plasma_power, plasma.power_span) {
            (Some(power), _) if power <= 0.0 => {}
            (power, span) => self.span_or_missing(
                LimitId::PlasmaSpan,
                (power, Input::PlasmaPower),
                (span, Input::PlasmaPowerSpan),
            ),
        }
    }

    fn surface_energy_limits(&mut self, wetting: &WettingState) {
        match self.derived.equilibrium_angle_rad {
            Some(theta) => {
                self.mark_energy(wetting);
                self.ratio(LimitId::SurfaceEnergyMin, theta, GREATEST_ANGLE.rad());
            }
            None => self.missing(
                LimitId::SurfaceEnergyMin,
                wetting.energy.err().unwrap_or(Input::FoilMaterial),
            ),
        }
        // The rule is for test-ink energies: an angle that was measured, or taken from the parts, knows better.
        match (self.values.head.angle_source, wetting.energy) {
            (AngleSource::Measured(_) | AngleSource::Parts(_), _) => {}
            (AngleSource::Totals | AngleSource::Unknown, Ok(gamma)) => {
                self.uses(wetting.energy_inputs);
                let factor = self.calibration.factor(LimitId::SurfaceEnergyRule);
                let wanted = factor * (self.values.ink.sigma + ENERGY_SURPLUS.n_per_m());
                let margin = super::clip((gamma - wanted) / ENERGY_SURPLUS.n_per_m());
                self.evaluated(
                    LimitId::SurfaceEnergyRule,
                    Sense::AtLeast,
                    (gamma, wanted, margin),
                    factor,
                );
            }
            (AngleSource::Totals | AngleSource::Unknown, Err(missing)) => {
                self.missing(LimitId::SurfaceEnergyRule, missing);
            }
        }
        match self.derived.equilibrium_angle_rad {
            Some(theta) => self.ratio(LimitId::WettingAngle, theta, SPREADING_ANGLE.rad()),
            None => self.missing(
                LimitId::WettingAngle,
                wetting.energy.err().unwrap_or(Input::FoilMaterial),
            ),
        }
    }

    fn mark_energy(&mut self, wetting: &WettingState) {
        match self.values.head.angle_source {
            AngleSource::Measured(_) => {}
            AngleSource::Parts(_) | AngleSource::Totals | AngleSource::Unknown => {
                self.uses(wetting.energy_inputs);
            }
        }
    }

    fn over_treatment(&mut self, plasma: &PlasmaValues, dose: Result<f64, Input>) {
        match dose {
            Ok(j) => {
                self.uses(InputSet::of(&[
                    Input::CharacteristicDose,
                    Input::PlasmaPower,
                ]));
                self.ratio(
                    LimitId::PlasmaOver,
                    j,
                    OVER_TREATMENT_DOSES * plasma.characteristic_dose,
                );
            }
            Err(missing) => self.missing(LimitId::PlasmaOver, missing),
        }
    }

    /// Judged on a stated foil only.
    fn plasma_heat(&mut self, dose: Result<f64, Input>) {
        let foil = &self.values.foil;
        let warming = || -> Result<f64, Input> {
            foil.material.ok_or(Input::FoilMaterial)?;
            foil.thickness.ok_or(Input::FoilThickness)?;
            Ok(HEATING_SHARE * dose? / foil.heat_capacity)
        };
        match warming() {
            Ok(kelvins) => self.ratio(LimitId::PlasmaHeat, kelvins, ACCEPTED_WARMING.k()),
            Err(missing) => self.missing(LimitId::PlasmaHeat, missing),
        }
    }
}

/// Response of eq 5.8, aged by eq 5.9. An assumed saturation is never taken below what the foil has untreated.
fn treated_energy(plasma: &PlasmaValues, untreated: f64, dose: f64) -> f64 {
    let saturated = if plasma.is_saturation_stated {
        plasma.saturated_energy
    } else {
        plasma.saturated_energy.max(untreated)
    };
    let treated = response_n_per_m(untreated, saturated, dose / plasma.characteristic_dose);
    if plasma.age <= 0.0 {
        return treated;
    }
    aged(
        SurfaceTension::from_n_per_m(untreated),
        SurfaceTension::from_n_per_m(treated),
        Duration::from_s(plasma.age),
        Duration::from_s(plasma.ageing_time),
    )
    .n_per_m()
}
