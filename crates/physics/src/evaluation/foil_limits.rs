//! How hot foil and surfaces get.

use super::drying_case::{INFRARED_INPUTS, Lamps, roller_zone};
use super::{Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::dimensionless::{GREATEST_BIOT_NUMBER, biot_number};
use crate::drying::March;
use crate::infrared::WebUnderLamps;
use crate::limit::LimitId;
use crate::quantity::{Duration, HeatTransferCoefficient, Irradiance, Length, Temperature};

impl<S: Sink> Walk<'_, S> {
    /// Hottest temperature that roller or dryer is set to, at least that of the room \[K\], or the temperature that is
    /// missing.
    pub(super) fn hottest_setting(&self) -> Result<f64, Input> {
        let hottest = match (self.knobs.roller_k, self.knobs.gas_k) {
            (Some(roller), Some(gas)) => roller.max(gas),
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) if self.values.dryer.is_some() => return Err(Input::GasTemperature),
            (None, None) if self.values.roller.is_some() => return Err(Input::RollerTemperature),
            (None, None) => self.values.room.temperature,
        };
        Ok(hottest.max(self.values.room.temperature))
    }

    /// Hottest that the web can get at the settings of the stations, whatever its film does \[K\]: the hottest setting, and
    /// what infrared lamps add to a dry web in the time that it spends below them.
    pub(super) fn hottest_web(&mut self) -> Result<f64, Input> {
        let hottest = self.hottest_setting()?;
        let Some(lamps) = Lamps::new(self.values, self.knobs)? else {
            return Ok(hottest);
        };
        let speed = self.knobs.speed.ok_or(Input::Speed)?;
        self.uses(
            INFRARED_INPUTS.union(InputSet::of(&[Input::FoilMaterial, Input::FoilThickness])),
        );
        let room = self.values.room.temperature;
        let gas = self
            .knobs
            .gas_k
            .filter(|_| lamps.is_in_dryer())
            .unwrap_or(room);
        let web = self.web_under(&lamps, gas);
        let time = Duration::from_s(lamps.length / speed);
        Ok(web
            .after(time, Temperature::from_k(hottest))
            .k()
            .max(hottest))
    }

    /// The dry web under the lamps in gas of a temperature \[K\].
    pub(super) fn web_under(&self, lamps: &Lamps, gas_k: f64) -> WebUnderLamps {
        WebUnderLamps {
            absorbed: Irradiance::from_w_per_m2(lamps.absorbed()),
            gas: Temperature::from_k(gas_k),
            both_sides_w_per_m2_k: lamps.both_sides(self.values.dryer.as_ref()),
            areal_heat_capacity_j_per_m2_k: self.values.foil.heat_capacity,
        }
    }

    /// A roller that is hot but whose zone is not in the march, because its size is not stated.
    pub(super) fn unmarched_roller_k(&self) -> Option<f64> {
        if roller_zone(self.values, self.knobs).is_some() {
            None
        } else {
            self.knobs.roller_k
        }
    }

    /// Highest temperature that user or handbook allows the foil \[K\].
    pub(super) fn foil_limit_k(&self) -> Option<f64> {
        let foil = &self.values.foil;
        let of_material = foil.material.map(|m| m.highest_temperature().k());
        foil.highest.or(of_material)
    }

    fn foil_temperatures_lack(&mut self, missing: Input) {
        for id in [LimitId::FoilMax, LimitId::FoilTg, LimitId::FoilShrink] {
            self.missing(id, missing);
        }
    }

    /// The hottest of roller, lamps and dryer, and what the ultraviolet lamp adds to it.
    pub(super) fn foil_temperature_limits(&mut self, march: Option<&March>) {
        let hottest = match (self.hottest_web(), march) {
            (Err(missing), _) => return self.foil_temperatures_lack(missing),
            (Ok(_), Some(march)) => {
                let web = march.hottest.k();
                self.unmarched_roller_k()
                    .map_or(web, |roller| web.max(roller))
            }
            (Ok(setting), None) => setting,
        };
        let hottest = match self.uv_warming() {
            Ok(warming) => hottest + warming,
            Err(missing) => return self.foil_temperatures_lack(missing),
        };
        self.derived.hottest_foil_k = Some(hottest);
        match self.foil_limit_k() {
            Some(bound) => self.temperature(LimitId::FoilMax, hottest, bound),
            None => self.missing(LimitId::FoilMax, Input::FoilMaterial),
        }
        self.softening_limits(hottest);
    }

    /// Whether one temperature may stand for foil and film; of a stated foil only.
    pub(super) fn biot_range(&mut self) {
        let foil = self.values.foil;
        let (Some(material), Some(thickness)) = (foil.material, foil.thickness) else {
            return;
        };
        let roller = self.values.roller.map(|roller| roller.contact);
        let dryer = self
            .values
            .dryer
            .map(|dryer| dryer.h_top.max(dryer.h_bottom));
        let Some(h) = roller.into_iter().chain(dryer).reduce(f64::max) else {
            return;
        };
        let number = biot_number(
            HeatTransferCoefficient::from_w_per_m2_k(h),
            Length::from_m(thickness),
            material.properties().conductivity_w_per_m_k,
        );
        self.ratio(LimitId::Biot, number, GREATEST_BIOT_NUMBER);
    }

    /// Glass transition and shrinkage of a named foil.
    fn softening_limits(&mut self, hottest: f64) {
        let foil = &self.values.foil;
        let Some(material) = foil.material else {
            self.missing(LimitId::FoilTg, Input::FoilMaterial);
            self.missing(LimitId::FoilShrink, Input::FoilMaterial);
            return;
        };
        if let Some(transition) = material.glass_transition() {
            self.temperature(LimitId::FoilTg, hottest, transition.k());
        }
        if let Some(shrinkage) = material.shrinkage(Temperature::from_k(hottest)) {
            self.uses(InputSet::of(&[Input::AllowedShrinkage]));
            self.ratio(
                LimitId::FoilShrink,
                shrinkage.ratio(),
                foil.allowed_shrinkage,
            );
        }
    }
}
