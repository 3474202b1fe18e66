//! The web of a line, checked and filled in.

use std::f64::consts::PI;

use super::{Filler, of_station};
use crate::assumed::Input;
use crate::input_error::{InputError, angle, finite_number, not_negative, positive, share, span};
use crate::limit::Station;
use crate::line::{FoilMaterial, Line, Setting, SingleRoll, TensionControl, Web, WebPath};
use crate::quantity::{Angle, Expansion, Fraction, Length, Pressure, Speed, WebTension};

/// How the foil comes to the head, in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) enum WebValues {
    RollToRoll(WebPathValues),
    SingleRoll(SingleRollValues),
}

/// The way from unwinder to rewinder in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct WebPathValues {
    pub(crate) control: TensionControl,
    pub(crate) draw: f64,
    pub(crate) tension_span: Option<(f64, f64)>,
    pub(crate) least_tension: f64,
    pub(crate) stress_share: f64,
    pub(crate) shrinkage_share: f64,
    pub(crate) longest_span: Option<f64>,
    pub(crate) misalignment: f64,
    pub(crate) restrained_widening: f64,
    pub(crate) roller_diameter: Option<f64>,
    pub(crate) roughness: f64,
    pub(crate) wrap: f64,
    pub(crate) friction: f64,
    pub(crate) threading_speed: Option<f64>,
}

/// A single roll in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SingleRollValues {
    pub(crate) diameter: Option<f64>,
    pub(crate) clamp: f64,
    pub(crate) threading_speed: Option<f64>,
}

/// What the foil is as a spring: stated, or of a named foil.
#[derive(Debug, Clone, Copy)]
pub(crate) struct StretchValues {
    pub(crate) modulus: Option<f64>,
    pub(crate) yield_stress: Option<f64>,
    pub(crate) expansion: Option<f64>,
}

impl WebValues {
    pub(super) fn resolve(
        line: &Line,
        filler: &mut Filler<'_>,
    ) -> Result<Option<Self>, InputError> {
        Ok(match &line.web {
            Some(Web::RollToRoll(path)) => {
                Some(Self::RollToRoll(WebPathValues::resolve(path, filler)?))
            }
            Some(Web::SingleRoll(roll)) => {
                Some(Self::SingleRoll(SingleRollValues::resolve(roll, filler)?))
            }
            None => None,
        })
    }

    /// Tension of a setting [N/m], refused where no web runs under tension.
    pub(super) fn tension_of(
        web: Option<&Self>,
        setting: &Setting,
    ) -> Result<Option<f64>, InputError> {
        let tension = setting.tension.map(WebTension::n_per_m);
        of_station(
            (matches!(web, Some(Self::RollToRoll(_))), Station::Rewind),
            Input::Tension,
            positive(Input::Tension, tension)?,
        )
    }

    /// Speed at which the foil is threaded or clamped by hand [m/s].
    pub(crate) const fn threading_speed(&self) -> Option<f64> {
        match self {
            Self::RollToRoll(path) => path.threading_speed,
            Self::SingleRoll(roll) => roll.threading_speed,
        }
    }
}

impl WebPathValues {
    fn resolve(path: &WebPath, filler: &mut Filler<'_>) -> Result<Self, InputError> {
        let ratio = Fraction::ratio;
        let draw = finite_number(Input::Draw, path.draw)?;
        let least = not_negative(
            Input::LeastTension,
            path.least_tension.map(WebTension::n_per_m),
        )?;
        let stress = positive(Input::StressShare, path.stress_share.map(ratio))?;
        let shrinkage = share(Input::ShrinkageShare, path.shrinkage_share.map(ratio))?;
        let misalignment = angle(Input::Misalignment, path.misalignment.map(Angle::rad), PI)?;
        let widening = share(
            Input::RestrainedWidening,
            path.restrained_widening.map(ratio),
        )?;
        let roughness = positive(Input::Roughness, path.roughness.map(Length::m))?;
        let wrap = angle(Input::DriveWrap, path.wrap.map(Angle::rad), 2.0 * PI)?;
        let friction = not_negative(Input::DriveFriction, path.friction)?;
        Ok(Self {
            control: path.control,
            draw: filler.fill(Input::Draw, draw),
            tension_span: span(
                Input::TensionSpan,
                path.tension_span
                    .map(|s| (s.least.n_per_m(), s.greatest.n_per_m())),
                not_negative,
            )?,
            least_tension: filler.fill(Input::LeastTension, least),
            stress_share: filler.fill(Input::StressShare, stress),
            shrinkage_share: filler.fill(Input::ShrinkageShare, shrinkage),
            longest_span: positive(Input::LongestSpan, path.longest_span.map(Length::m))?,
            misalignment: filler.fill(Input::Misalignment, misalignment),
            restrained_widening: filler.fill(Input::RestrainedWidening, widening),
            roller_diameter: positive(Input::IdlerDiameter, path.roller_diameter.map(Length::m))?,
            roughness: filler.fill(Input::Roughness, roughness),
            wrap: filler.fill(Input::DriveWrap, wrap),
            friction: filler.fill(Input::DriveFriction, friction),
            threading_speed: positive(
                Input::ThreadingSpeed,
                path.threading_speed.map(Speed::m_per_s),
            )?,
        })
    }
}

impl SingleRollValues {
    fn resolve(roll: &SingleRoll, filler: &mut Filler<'_>) -> Result<Self, InputError> {
        let clamp = not_negative(Input::Clamp, roll.clamp.map(Length::m))?;
        Ok(Self {
            diameter: positive(Input::SingleRollDiameter, roll.diameter.map(Length::m))?,
            clamp: filler.fill(Input::Clamp, clamp),
            threading_speed: positive(
                Input::ThreadingSpeed,
                roll.threading_speed.map(Speed::m_per_s),
            )?,
        })
    }
}

impl StretchValues {
    pub(super) fn resolve(line: &Line) -> Result<Self, InputError> {
        let foil = &line.foil;
        let handbook = foil.material.map(FoilMaterial::properties);
        let modulus = positive(Input::FoilModulus, foil.elastic_modulus.map(Pressure::pa))?;
        let yields = positive(Input::FoilYieldStress, foil.yield_stress.map(Pressure::pa))?;
        let expansion = positive(
            Input::FoilExpansion,
            foil.thermal_expansion.map(Expansion::per_k),
        )?;
        Ok(Self {
            modulus: modulus.or(handbook.map(|foil| foil.elastic_modulus_pa)),
            yield_stress: yields.or(handbook.map(|foil| foil.yield_stress_pa)),
            expansion: expansion.or(handbook.map(|foil| foil.thermal_expansion_per_k)),
        })
    }
}
