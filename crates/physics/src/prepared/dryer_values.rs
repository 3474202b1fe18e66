//! The dryer of a line and the residual solvents wanted, checked and filled in.

use super::Filler;
use crate::assumed::Input;
use crate::input_error::{InputError, not_negative, positive, span, temperature};
use crate::line::{Gas, Line};
use crate::quantity::{
    Fraction, HeatTransferCoefficient, Length, Power, Speed, Temperature, Volume, VolumeFlow,
};

/// The dryer in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DryerValues {
    pub(crate) length: Option<f64>,
    pub(crate) gas: Gas,
    pub(crate) h_top: f64,
    pub(crate) h_bottom: f64,
    pub(crate) temperature_span: Option<(f64, f64)>,
    pub(crate) fresh_gas: Option<f64>,
    /// Speed of the gas along the film.
    pub(crate) gas_speed: Option<f64>,
    /// Exit speed of nozzles, and over which distance the pressure of a jet falls.
    pub(crate) jet_speed: Option<f64>,
    pub(crate) jet_reach: f64,
    pub(crate) heater_power: Option<f64>,
    /// Coolest wall of the exhaust; that of the room if not stated.
    pub(crate) coolest_wall_k: f64,
    pub(crate) gas_volume: Option<f64>,
}

impl DryerValues {
    pub(super) fn resolve(
        line: &Line,
        room_k: f64,
        filler: &mut Filler<'_>,
    ) -> Result<Option<Self>, InputError> {
        let Some(dryer) = line.dryer else {
            return Ok(None);
        };
        let coefficient = HeatTransferCoefficient::w_per_m2_k;
        let h_top = positive(Input::DryerHeatTransferAbove, dryer.h_top.map(coefficient))?;
        let h_bottom = not_negative(
            Input::DryerHeatTransferBelow,
            dryer.h_bottom.map(coefficient),
        )?;
        let jet_reach = positive(Input::JetReach, dryer.jet_reach.map(Length::m))?;
        let wall = temperature(Input::CoolestWall, dryer.coolest_wall.map(Temperature::k))?;
        Ok(Some(Self {
            length: positive(Input::DryerLength, dryer.length.map(Length::m))?,
            gas: dryer.gas,
            h_top: filler.fill(Input::DryerHeatTransferAbove, h_top),
            h_bottom: filler.fill(Input::DryerHeatTransferBelow, h_bottom),
            temperature_span: span(
                Input::GasTemperatureSpan,
                dryer
                    .temperature_span
                    .map(|s| (s.least.k(), s.greatest.k())),
                temperature,
            )?,
            fresh_gas: positive(Input::FreshGas, dryer.fresh_gas.map(VolumeFlow::m3_per_s))?,
            gas_speed: positive(Input::GasSpeed, dryer.gas_speed.map(Speed::m_per_s))?,
            jet_speed: positive(Input::JetSpeed, dryer.jet_speed.map(Speed::m_per_s))?,
            jet_reach: filler.fill(Input::JetReach, jet_reach),
            heater_power: positive(Input::HeaterPower, dryer.heater_power.map(Power::w))?,
            coolest_wall_k: filler.fill_with(Input::CoolestWall, wall, room_k),
            gas_volume: positive(Input::DryerGasVolume, dryer.gas_volume.map(Volume::m3))?,
        }))
    }
}

/// Residual solvents, per dry mass.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ResidualValues {
    /// At which the film counts as dry.
    pub(crate) dry: f64,
    /// That the product shall not exceed.
    pub(crate) target: f64,
}

impl ResidualValues {
    /// `None` on a line with neither dryer nor infrared lamps.
    pub(super) fn resolve(
        line: &Line,
        filler: &mut Filler<'_>,
    ) -> Result<Option<Self>, InputError> {
        if line.dryer.is_none() && line.infrared.is_none() {
            return Ok(None);
        }
        let dryer = line.dryer.unwrap_or_default();
        let dry = positive(
            Input::ResidualSolvent,
            dryer.residual_solvent.map(Fraction::ratio),
        )?;
        let target = positive(
            Input::ResidualTarget,
            dryer.residual_target.map(Fraction::ratio),
        )?;
        Ok(Some(Self {
            dry: filler.fill(Input::ResidualSolvent, dry),
            target: filler.fill(Input::ResidualTarget, target),
        }))
    }
}
