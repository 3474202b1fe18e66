//! What can spoil the film while it dries: skin, dew, cells, cracks, gas and jets, an edge that retreats.

use super::drying_case::DryingInputs;
use super::drying_limits::Marched;
use super::{Sink, Walk, clip};
use crate::assumed::{Input, InputSet};
use crate::dimensionless::{drying_peclet_number, marangoni_number};
use crate::drying::March;
use crate::film_defects::{
    DISTANCE_TO_DEW, GREATEST_MARANGONI_NUMBER, GREATEST_PECLET_NUMBER, LIQUID_THERMAL_DIFFUSIVITY,
    critical_cracking_thickness, difference_across_film, stokes_einstein_diffusivity,
};
use crate::gas_on_film::{jet_pressure, mean_plate_shear};
use crate::limit::{LimitId, Sense};
use crate::physical_constants::REFERENCE_TEMPERATURE_K;
use crate::prepared::DryerValues;
use crate::quantity::{
    Density, Duration, Length, Pressure, Speed, SurfaceTension, Temperature, Viscosity,
};
use crate::solvent::Solvent;
use crate::wetting::DEWETTING_COEFFICIENT;

/// Differences of a temperature from a dew point are counted in this \[K\].
pub(super) const DEW_REFERENCE_K: f64 = 10.0;

impl<S: Sink> Walk<'_, S> {
    /// Not judged where no march was wanted.
    pub(super) fn film_defects(&mut self, marched: &Marched) {
        match marched {
            Marched::Known(march) => self.defects_of_march(march),
            Marched::Lacks(missing) => self.defects_without_march(*missing),
            Marched::LeftOut => {}
        }
    }

    fn defects_of_march(&mut self, march: &March) {
        let Ok(inputs) = DryingInputs::new(self.values, self.knobs) else {
            return;
        };
        self.skin(march);
        self.blushing(march);
        self.marangoni(march);
        self.crack();
        if let Some(dryer) = self.values.dryer {
            let to_dryer = inputs.path_to_dryer(self.values, self.knobs) / inputs.speed;
            let in_dryer = dryer.length.unwrap_or(0.0) / inputs.speed;
            let wet = march
                .dry_after
                .map_or(in_dryer, |time| (time.s() - to_dryer).clamp(0.0, in_dryer));
            self.gas_shear(&dryer, wet);
            self.jet_blow(&dryer, wet);
        }
        let whole = inputs.path(self.values, self.knobs) / inputs.speed;
        let flowing = march.stiff_after.map_or(whole, Duration::s);
        self.derived.flowing_time_s = Some(flowing);
        self.edge_retreat(flowing);
    }

    fn defects_without_march(&mut self, missing: Input) {
        self.missing(LimitId::Skin, missing);
        if self.values.ink.solvent.is_some_and(condenses_water) {
            self.missing(LimitId::Blushing, missing);
        }
        self.missing(LimitId::Marangoni, missing);
        self.crack();
        if self.values.dryer.is_some() {
            self.missing(LimitId::GasShear, missing);
            self.missing(LimitId::JetBlow, missing);
        }
        self.missing(LimitId::EdgeRetreat, missing);
    }

    fn record_or_missing(&mut self, id: LimitId, numbers: Result<(f64, f64), Input>) {
        match numbers {
            Ok((value, bound)) => self.ratio(id, value, bound),
            Err(missing) => self.missing(id, missing),
        }
    }

    fn skin(&mut self, march: &March) {
        let film = self.values.film;
        let number = || -> Result<(f64, f64), Input> {
            let solvent = self.values.ink.solvent.ok_or(Input::Solvent)?;
            let of_particles = film.particle_diameter.map(|diameter| {
                stokes_einstein_diffusivity(
                    Length::from_m(diameter),
                    solvent.viscosity(),
                    Temperature::from_k(REFERENCE_TEMPERATURE_K),
                )
                .m2_per_s()
            });
            let diffusivity = film
                .wet_diffusivity
                .or(of_particles)
                .ok_or(Input::WetDiffusivity)?;
            let recession = march.greatest_flux_kg_per_m2_s / solvent.density().kg_per_m3();
            let number = drying_peclet_number(
                Speed::from_m_per_s(recession),
                Length::from_m(self.wet_thickness()?),
                diffusivity,
            );
            Ok((number, GREATEST_PECLET_NUMBER))
        };
        let number = number();
        self.record_or_missing(LimitId::Skin, number);
    }

    /// Water-borne films hold what would condense on them.
    fn blushing(&mut self, march: &March) {
        let room = self.values.room;
        if !self.values.ink.solvent.is_some_and(condenses_water) {
            return;
        }
        let coldest = march.coldest_in_air.k();
        self.derived.coldest_film_k = Some(coldest);
        let saturated = Solvent::Water.vapor_pressure(Temperature::from_k(room.temperature));
        let Some(dew) = Solvent::Water
            .saturation_temperature(Pressure::from_pa(room.humidity * saturated.pa()))
        else {
            return;
        };
        self.uses(InputSet::of(&[
            Input::RoomTemperature,
            Input::RelativeHumidity,
        ]));
        let bound = (dew + DISTANCE_TO_DEW).k();
        self.evaluated(
            LimitId::Blushing,
            Sense::AtLeast,
            (coldest, bound, clip((coldest - bound) / DEW_REFERENCE_K)),
            1.0,
        );
    }

    /// Not judged where the solvent's table does not say how its surface tension falls with temperature.
    fn marangoni(&mut self, march: &March) {
        let number = || -> Result<Option<f64>, Input> {
            let solvent = self.values.ink.solvent.ok_or(Input::Solvent)?;
            let Some(slope) = solvent.properties().surface_tension_slope_mn_per_m_k else {
                return Ok(None);
            };
            let slope = 1e-3 * slope;
            let thickness = Length::from_m(self.wet_thickness()?);
            let difference = difference_across_film(
                march.greatest_heat_from_below_w_per_m2,
                thickness,
                Density::from_kg_per_m3(self.values.ink.rho),
            );
            let stress = slope * difference.k() / thickness.m();
            let law = self.values.flow_law(self.knobs)?;
            Ok(Some(marangoni_number(
                slope,
                difference.k(),
                thickness,
                Viscosity::from_pa_s(law.viscosity_under(stress)),
                LIQUID_THERMAL_DIFFUSIVITY,
            )))
        };
        match number() {
            Ok(Some(number)) => self.ratio(LimitId::Marangoni, number, GREATEST_MARANGONI_NUMBER),
            Ok(None) => {}
            Err(missing) => self.missing(LimitId::Marangoni, missing),
        }
    }

    /// Only of a layer of which something is stated beyond the size of its particles.
    fn crack(&mut self) {
        let Some(packing) = self.values.film.packing else {
            return;
        };
        let numbers = || -> Result<(f64, f64), Input> {
            let packing = packing?;
            self.wet_thickness()?;
            self.values.ink.solids.ok_or(Input::Solids)?;
            let dry = self.derived.dry_thickness_m.ok_or(Input::DryDensity)?;
            let sigma = SurfaceTension::from_n_per_m(self.values.ink.sigma);
            Ok((dry, critical_cracking_thickness(&packing, sigma).m()))
        };
        let numbers = numbers();
        if numbers.is_ok() {
            self.uses(InputSet::of(&[Input::SurfaceTension, Input::DryPorosity]));
        }
        self.record_or_missing(LimitId::Crack, numbers);
    }

    /// How far a stress \[Pa\] on the film moves its surface in a time \[s\]: not at all below the yield stress.
    fn shift(&self, stress: f64, time: f64) -> Result<f64, Input> {
        let law = self.values.flow_law(self.knobs)?;
        let holds = self.values.ink.yield_stress.is_some_and(|y| stress <= y);
        let rate = if holds || stress <= 0.0 {
            0.0
        } else {
            stress / law.viscosity_under(stress)
        };
        Ok(rate * self.wet_thickness()? * time)
    }

    fn gas_shear(&mut self, dryer: &DryerValues, wet_s: f64) {
        let shift = || -> Result<(f64, f64), Input> {
            let speed = dryer.gas_speed.ok_or(Input::GasSpeed)?;
            let length = dryer.length.ok_or(Input::DryerLength)?;
            let gas_k = self.knobs.gas_k.ok_or(Input::GasTemperature)?;
            let stress = mean_plate_shear(
                Speed::from_m_per_s(speed),
                Length::from_m(length),
                dryer.gas.properties(Temperature::from_k(gas_k)),
            );
            Ok((
                self.shift(stress.pa(), wet_s)?,
                self.values.film.allowed_shift,
            ))
        };
        let shift = shift();
        self.record_shift(LimitId::GasShear, shift);
    }

    /// The pressure of a jet falls over its reach and drives the film with a third of `t·Δp/S`.
    fn jet_blow(&mut self, dryer: &DryerValues, wet_s: f64) {
        let shift = || -> Result<(f64, f64), Input> {
            let speed = dryer.jet_speed.ok_or(Input::JetSpeed)?;
            let gas_k = self.knobs.gas_k.ok_or(Input::GasTemperature)?;
            let pressure = jet_pressure(
                Speed::from_m_per_s(speed),
                dryer.gas.properties(Temperature::from_k(gas_k)),
            );
            let stress = self.wet_thickness()? * pressure.pa() / (3.0 * dryer.jet_reach);
            Ok((self.shift(stress, wet_s)?, self.values.film.allowed_shift))
        };
        let shift = shift();
        if shift.is_ok() {
            self.uses(InputSet::of(&[Input::JetReach]));
        }
        self.record_shift(LimitId::JetBlow, shift);
    }

    /// Eq 5.13 as the stress `kσθ³/t`, so that a shear-thinning ink is asked at the rate it retreats with.
    fn edge_retreat(&mut self, flowing_s: f64) {
        let shift = || -> Result<(f64, f64), Input> {
            let theta = self
                .derived
                .equilibrium_angle_rad
                .ok_or(Input::FoilMaterial)?;
            let driving = DEWETTING_COEFFICIENT * self.values.ink.sigma * theta * theta * theta;
            let stress = driving / self.wet_thickness()?;
            Ok((
                self.shift(stress, flowing_s)?,
                self.values.film.allowed_shift,
            ))
        };
        let shift = shift();
        self.record_shift(LimitId::EdgeRetreat, shift);
    }

    /// On a line whose film is not dried but cured.
    pub(super) fn edge_until_lamp(&mut self) {
        match self.knobs.speed {
            Some(speed) => {
                let flowing = self.values.room.open_path / speed;
                self.derived.flowing_time_s = Some(flowing);
                self.uses(InputSet::of(&[Input::OpenPath]));
                self.edge_retreat(flowing);
            }
            None => self.missing(LimitId::EdgeRetreat, Input::Speed),
        }
    }

    fn record_shift(&mut self, id: LimitId, shift: Result<(f64, f64), Input>) {
        if shift.is_ok() {
            self.uses(InputSet::of(&[Input::AllowedShift]));
        }
        self.record_or_missing(id, shift);
    }
}

/// True if dew spoils a film of the solvent.
fn condenses_water(solvent: Solvent) -> bool {
    solvent != Solvent::Water
}
