//! The laminator, its adhesive and the foil that it lays on the web, checked and filled in.

use super::{Filler, Knobs, of_station};
use crate::assumed::Input;
use crate::input_error::{InputError, not_negative, positive, share_below_one, span, temperature};
use crate::lamination::Nip;
use crate::limit::Station;
use crate::line::{Adhesive, AdhesiveKind, FoilMaterial, LaidFoil, Line, Setting};
use crate::quantity::{Duration, Length, MolarEnergy, Pressure, Temperature, WebTension};

/// The laminator in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LaminationValues {
    pub(crate) adhesive: AdhesiveValues,
    pub(crate) laid: LaidFoilValues,
    pub(crate) hot_roller: Option<f64>,
    pub(crate) counter_roller: Option<f64>,
    pub(crate) rubber_modulus: f64,
    pub(crate) rubber_poisson_ratio: f64,
    /// Temperature of both foils before the nip.
    pub(crate) arriving_k: f64,
    pub(crate) load_span: Option<(f64, f64)>,
    pub(crate) temperature_span: Option<(f64, f64)>,
}

/// What the adhesive needs and stands, in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct AdhesiveValues {
    pub(crate) kind: AdhesiveKind,
    pub(crate) needed_pressure: f64,
    /// Time that it needs in the nip; none is known of resins that light cures.
    pub(crate) needed_dwell: Option<f64>,
    pub(crate) softening_k: Option<f64>,
    pub(crate) highest_k: Option<f64>,
    pub(crate) activation: Option<f64>,
    pub(crate) modulus_at_1_hz: Option<f64>,
}

/// The foil that is laid on the web, in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LaidFoilValues {
    pub(crate) material: Option<FoilMaterial>,
    pub(crate) thickness: Option<f64>,
    pub(crate) tension: Option<f64>,
}

impl LaminationValues {
    pub(super) fn resolve(
        line: &Line,
        room_k: f64,
        filler: &mut Filler<'_>,
    ) -> Result<Option<Self>, InputError> {
        let Some(laminator) = &line.laminator else {
            return Ok(None);
        };
        let modulus = positive(
            Input::RubberModulus,
            laminator.rubber_modulus.map(Pressure::pa),
        )?;
        let poisson = share_below_one(Input::RubberPoisson, laminator.rubber_poisson_ratio)?;
        let arriving = temperature(
            Input::LaminatorInlet,
            laminator.arriving.map(Temperature::k),
        )?;
        let diameter = |input, stated: Option<Length>| positive(input, stated.map(Length::m));
        Ok(Some(Self {
            adhesive: AdhesiveValues::resolve(&laminator.adhesive, filler)?,
            laid: LaidFoilValues::resolve(&laminator.laid)?,
            hot_roller: diameter(Input::HotNipRoller, laminator.hot_roller)?,
            counter_roller: diameter(Input::CounterNipRoller, laminator.counter_roller)?,
            rubber_modulus: filler.fill(Input::RubberModulus, modulus),
            rubber_poisson_ratio: filler.fill(Input::RubberPoisson, poisson),
            arriving_k: filler.fill_with(Input::LaminatorInlet, arriving, room_k),
            load_span: span(
                Input::NipLoadSpan,
                laminator
                    .load_span
                    .map(|s| (s.least.n_per_m(), s.greatest.n_per_m())),
                not_negative,
            )?,
            temperature_span: span(
                Input::LaminationTemperatureSpan,
                laminator
                    .temperature_span
                    .map(|s| (s.least.k(), s.greatest.k())),
                temperature,
            )?,
        }))
    }

    /// Load [N/m] and temperature \[K\] of a setting, refused on a line without a laminator.
    pub(super) fn knobs_of(
        laminator: Option<&Self>,
        setting: &Setting,
    ) -> Result<(Option<f64>, Option<f64>), InputError> {
        let here = (laminator.is_some(), Station::Laminator);
        let load = positive(Input::NipLoad, setting.nip_load.map(WebTension::n_per_m))?;
        let hot = temperature(
            Input::LaminationTemperature,
            setting.lamination_temperature.map(Temperature::k),
        )?;
        Ok((
            of_station(here, Input::NipLoad, load)?,
            of_station(here, Input::LaminationTemperature, hot)?,
        ))
    }

    /// The nip at a load, or the first input that it lacks.
    pub(crate) fn nip(&self, knobs: &Knobs) -> Result<Nip, Input> {
        let hot = self.hot_roller.ok_or(Input::HotNipRoller)?;
        let counter = self.counter_roller.ok_or(Input::CounterNipRoller)?;
        let load = knobs.nip_load.ok_or(Input::NipLoad)?;
        Ok(Nip {
            load: WebTension::from_n_per_m(load),
            diameters: (Length::from_m(hot), Length::from_m(counter)),
            rubber_modulus: Pressure::from_pa(self.rubber_modulus),
            rubber_poisson_ratio: self.rubber_poisson_ratio,
        })
    }
}

impl AdhesiveValues {
    fn resolve(adhesive: &Adhesive, filler: &mut Filler<'_>) -> Result<Self, InputError> {
        let kind = adhesive.kind;
        let pressure = positive(
            Input::BondPressure,
            adhesive.needed_pressure.map(Pressure::pa),
        )?;
        let dwell = positive(Input::BondDwell, adhesive.needed_dwell.map(Duration::s))?;
        let usual = kind.usual_pressure().pa();
        Ok(Self {
            kind,
            needed_pressure: filler.fill_with(Input::BondPressure, pressure, usual),
            needed_dwell: match kind.usual_dwell() {
                Some(usual) => Some(filler.fill_with(Input::BondDwell, dwell, usual.s())),
                None => dwell,
            },
            softening_k: temperature(Input::Softening, adhesive.softening.map(Temperature::k))?,
            highest_k: temperature(
                Input::AdhesiveHighest,
                adhesive.highest_temperature.map(Temperature::k),
            )?,
            activation: not_negative(
                Input::AdhesiveActivation,
                adhesive.activation_energy.map(MolarEnergy::j_per_mol),
            )?,
            modulus_at_1_hz: positive(
                Input::AdhesiveModulus,
                adhesive.modulus_at_1_hz.map(Pressure::pa),
            )?,
        })
    }
}

impl LaidFoilValues {
    fn resolve(laid: &LaidFoil) -> Result<Self, InputError> {
        Ok(Self {
            material: laid.material,
            thickness: positive(Input::LaidThickness, laid.thickness.map(Length::m))?,
            tension: not_negative(Input::LaidTension, laid.tension.map(WebTension::n_per_m))?,
        })
    }
}
