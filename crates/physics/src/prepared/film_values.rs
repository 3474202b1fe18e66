//! What the ink card says of the film while it dries, checked and filled in.

use super::Filler;
use crate::assumed::Input;
use crate::film_defects::ParticlePacking;
use crate::input_error::{InputError, positive};
use crate::line::{Ink, Line};
use crate::quantity::{Diffusivity, Fraction, Length, Pressure};

/// The drying film in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FilmValues {
    /// Diffusivity of the solvent in the solid film [m²/s].
    pub(crate) diffusivity: Option<f64>,
    pub(crate) critical_residual: f64,
    /// Diffusivity of the solid in the wet film [m²/s].
    pub(crate) wet_diffusivity: Option<f64>,
    pub(crate) particle_diameter: Option<f64>,
    /// The packing of the particles, or what it lacks; `None` if nothing is said of it.
    pub(crate) packing: Option<Result<ParticlePacking, Input>>,
    /// How far the wet film may be moved \[m\].
    pub(crate) allowed_shift: f64,
}

impl FilmValues {
    pub(super) fn resolve(line: &Line, filler: &mut Filler<'_>) -> Result<Self, InputError> {
        let ink = &line.ink;
        let critical = positive(
            Input::CriticalResidual,
            ink.critical_residual.map(Fraction::ratio),
        )?;
        let shift = positive(Input::AllowedShift, line.allowed_shift.map(Length::m))?;
        Ok(Self {
            diffusivity: positive(
                Input::FilmDiffusivity,
                ink.film_diffusivity.map(Diffusivity::m2_per_s),
            )?,
            critical_residual: filler.fill(Input::CriticalResidual, critical),
            wet_diffusivity: positive(
                Input::WetDiffusivity,
                ink.wet_diffusivity.map(Diffusivity::m2_per_s),
            )?,
            particle_diameter: positive(
                Input::ParticleDiameter,
                ink.particles.diameter.map(Length::m),
            )?,
            packing: packing(ink)?,
            allowed_shift: filler.fill(Input::AllowedShift, shift),
        })
    }
}

/// The packing of the particles. Their diameter alone says nothing of it.
fn packing(ink: &Ink) -> Result<Option<Result<ParticlePacking, Input>>, InputError> {
    let particles = &ink.particles;
    let modulus = positive(
        Input::ParticleModulus,
        particles.shear_modulus.map(Pressure::pa),
    )?;
    let contacts = positive(Input::ParticleContacts, particles.contacts)?;
    let suction = positive(Input::Suction, particles.suction.map(Pressure::pa))?;
    if modulus.is_none() && contacts.is_none() && suction.is_none() {
        return Ok(None);
    }
    let whole = || -> Result<ParticlePacking, Input> {
        Ok(ParticlePacking {
            diameter: particles.diameter.ok_or(Input::ParticleDiameter)?,
            shear_modulus: particles.shear_modulus.ok_or(Input::ParticleModulus)?,
            contacts: particles.contacts.ok_or(Input::ParticleContacts)?,
            suction: particles.suction.ok_or(Input::Suction)?,
        })
    };
    Ok(Some(whole()))
}
