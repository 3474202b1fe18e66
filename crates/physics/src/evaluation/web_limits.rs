//! The web: span of its tension, stretch, slack, troughs, traction; what one turn of a single roll can coat.

use super::{Sink, Walk, clip};
use crate::assumed::{Input, InputSet};
use crate::limit::{LimitId, Sense};
use crate::line::TensionControl;
use crate::prepared::{SingleRollValues, WebPathValues, WebValues};
use crate::quantity::{
    Angle, Fraction, Length, Pressure, Speed, Temperature, TemperatureDifference, WebTension,
};
use crate::web::{
    FreeSpan, ROUGHNESSES_TO_FLOAT, air_film, hot_tension, lap_length, rotation,
    slip_tension_ratio, thermal_strain,
};

/// Poisson's ratio of a foil of which only the modulus is stated (common practice).
const USUAL_POISSON_RATIO: f64 = 0.35;
const SLACK_INPUTS: InputSet =
    InputSet::of(&[Input::Draw, Input::ShrinkageShare, Input::RoomTemperature]);

/// A web under tension, all in SI.
#[derive(Debug, Clone, Copy)]
struct TautWeb {
    tension: f64,
    thickness: f64,
}

impl TautWeb {
    fn stress(&self) -> f64 {
        self.tension / self.thickness
    }
}

impl<S: Sink> Walk<'_, S> {
    pub(super) fn web_limits(&mut self) {
        match &self.values.web {
            Some(WebValues::RollToRoll(path)) => self.web_path_limits(path),
            Some(WebValues::SingleRoll(roll)) if S::WANTS_ALL => self.derive_rotation(roll),
            Some(WebValues::SingleRoll(_)) | None => {}
        }
    }

    fn web_path_limits(&mut self, path: &WebPathValues) {
        self.span_or_missing(
            LimitId::TensionSpan,
            (self.knobs.tension, Input::Tension),
            (path.tension_span, Input::TensionSpan),
        );
        let web = self.taut_web();
        self.tension_max(path, web);
        let hot = self.hot_tension(path, web);
        if S::WANTS_ALL {
            self.derive_web(path, web);
            self.tension_min(path, hot);
        }
        if path.control == TensionControl::FixedDraw {
            self.slack(hot);
        }
        if S::WANTS_ALL {
            self.wrinkle(path, web);
            self.traction(path);
        }
    }

    fn taut_web(&self) -> Result<TautWeb, Input> {
        Ok(TautWeb {
            tension: self.knobs.tension.ok_or(Input::Tension)?,
            thickness: self.values.foil.thickness.ok_or(Input::FoilThickness)?,
        })
    }

    /// Hottest that the web gets \[K\]: as the foil's own limits have it, else by the stations; that of the room on a line
    /// that heats nothing.
    fn hottest_foil(&mut self) -> Result<f64, Input> {
        match self.derived.hottest_foil_k {
            Some(hottest) => Ok(hottest),
            None => self.hottest_web(),
        }
    }

    /// Share of stiffness and strength that the foil keeps at a temperature; all of it for a foil that is not named.
    fn softening(&self, kelvins: f64) -> f64 {
        self.values.foil.material.map_or(1.0, |material| {
            material.softening(Temperature::from_k(kelvins)).ratio()
        })
    }

    fn tension_max(&mut self, path: &WebPathValues, web: Result<TautWeb, Input>) {
        let yields = self.values.stretch.yield_stress.ok_or(Input::FoilMaterial);
        let numbers = match (web, yields, self.hottest_foil()) {
            (Ok(web), Ok(yields), Ok(hottest)) => Ok((
                web.stress(),
                path.stress_share * yields * self.softening(hottest),
            )),
            (Err(missing), ..) | (_, Err(missing), _) | (.., Err(missing)) => Err(missing),
        };
        match numbers {
            Ok((stress, bound)) => {
                self.uses(InputSet::of(&[Input::StressShare]));
                self.ratio(LimitId::TensionMax, stress, bound);
            }
            Err(missing) => self.missing(LimitId::TensionMax, missing),
        }
    }

    /// Rise from the room to the hottest place \[K\] and the strains it makes there: by heat, by shrinkage.
    fn hot_strains(&mut self, path: &WebPathValues) -> Result<(f64, f64), Input> {
        let hottest = self.hottest_foil()?;
        let expansion = self.values.stretch.expansion.ok_or(Input::FoilMaterial)?;
        let rise = TemperatureDifference::from_k(hottest - self.values.room.temperature);
        let free = self
            .values
            .foil
            .material
            .and_then(|material| material.shrinkage(Temperature::from_k(hottest)));
        let shrinkage = path.shrinkage_share * free.map_or(0.0, Fraction::ratio);
        Ok((thermal_strain(expansion, rise), shrinkage))
    }

    /// Tension in the hot zone of a fixed draw and tension set [N/m]; both the same where the tension is held.
    fn hot_tension(
        &mut self,
        path: &WebPathValues,
        web: Result<TautWeb, Input>,
    ) -> Result<(f64, f64), Input> {
        if path.control == TensionControl::Held {
            let tension = self.knobs.tension.ok_or(Input::Tension)?;
            return Ok((tension, tension));
        }
        let web = web?;
        let (heat, shrinkage) = self.hot_strains(path)?;
        let modulus = self.values.stretch.modulus.ok_or(Input::FoilMaterial)?;
        let hottest = self.hottest_foil()?;
        let stiffness = self.softening(hottest) * modulus * web.thickness;
        let hot = hot_tension(
            WebTension::from_n_per_m(web.tension),
            stiffness,
            path.draw,
            heat,
            shrinkage,
        );
        self.uses(SLACK_INPUTS);
        Ok((hot.n_per_m(), web.tension))
    }

    fn derive_web(&mut self, path: &WebPathValues, web: Result<TautWeb, Input>) {
        let strains = self.hot_strains(path);
        let modulus = self.values.stretch.modulus;
        self.derived.web_stress_pa = web.ok().map(|web| web.stress());
        self.derived.web_strain = self
            .derived
            .web_stress_pa
            .zip(modulus)
            .map(|(stress, modulus)| stress / modulus);
        self.derived.web_length_change = self
            .derived
            .web_strain
            .zip(strains.ok())
            .map(|(elastic, (heat, shrinkage))| elastic + heat - shrinkage);
        let wrap = Angle::from_rad(path.wrap);
        self.derived.slip_tension_ratio = Some(slip_tension_ratio(path.friction, wrap));
    }

    fn tension_min(&mut self, path: &WebPathValues, hot: Result<(f64, f64), Input>) {
        match hot {
            Ok((hot, set)) => {
                self.uses(InputSet::of(&[Input::LeastTension]));
                self.ratio(LimitId::TensionMin, hot.min(set), path.least_tension);
            }
            Err(missing) => self.missing(LimitId::TensionMin, missing),
        }
    }

    /// The margin is the tension that is left over the tension set.
    fn slack(&mut self, hot: Result<(f64, f64), Input>) {
        match hot {
            Ok((hot, set)) => {
                self.derived.hot_tension_n_per_m = Some(hot);
                let margin = clip(hot / set);
                self.evaluated(LimitId::Slack, Sense::AtLeast, (hot, 0.0, margin), 1.0);
            }
            Err(missing) => self.missing(LimitId::Slack, missing),
        }
    }

    fn wrinkle(&mut self, path: &WebPathValues, web: Result<TautWeb, Input>) {
        let span = || -> Result<FreeSpan, Input> {
            let web = web?;
            let material = self.values.foil.material;
            Ok(FreeSpan {
                length: Length::from_m(path.longest_span.ok_or(Input::LongestSpan)?),
                width: Length::from_m(self.values.foil_width.ok_or(Input::FoilWidth)?),
                thickness: Length::from_m(web.thickness),
                modulus: Pressure::from_pa(self.values.stretch.modulus.ok_or(Input::FoilMaterial)?),
                poisson_ratio: material
                    .map_or(USUAL_POISSON_RATIO, |m| m.properties().poisson_ratio),
                stress: Pressure::from_pa(web.stress()),
            })
        };
        let span = span();
        match (span, self.widening_pa(path)) {
            (Ok(span), Ok(widening)) => {
                let angle = Angle::from_rad(path.misalignment);
                let pressed = span.compression_of_misalignment(angle).pa() + widening;
                self.uses(InputSet::of(&[
                    Input::Misalignment,
                    Input::RestrainedWidening,
                ]));
                self.ratio(LimitId::Wrinkle, pressed, span.buckling_stress().pa());
            }
            (Err(missing), _) | (Ok(_), Err(missing)) => self.missing(LimitId::Wrinkle, missing),
        }
    }

    /// Compression across the web by the widening that is held back \[Pa\]; needs a temperature only if some is.
    fn widening_pa(&mut self, path: &WebPathValues) -> Result<f64, Input> {
        if path.restrained_widening <= 0.0 {
            return Ok(0.0);
        }
        let (heat, _) = self.hot_strains(path)?;
        let modulus = self.values.stretch.modulus.ok_or(Input::FoilMaterial)?;
        let hottest = self.hottest_foil()?;
        Ok(path.restrained_widening * heat.max(0.0) * modulus * self.softening(hottest))
    }

    fn traction(&mut self, path: &WebPathValues) {
        let film = || -> Result<f64, Input> {
            let diameter = path.roller_diameter.ok_or(Input::IdlerDiameter)?;
            let tension = self.knobs.tension.ok_or(Input::Tension)?;
            let speed = Speed::from_m_per_s(self.knobs.speed.ok_or(Input::Speed)?);
            let film = air_film(
                Length::from_m(0.5 * diameter),
                speed,
                speed,
                WebTension::from_n_per_m(tension),
            );
            Ok(film.m())
        };
        match film() {
            Ok(film) => {
                self.derived.air_film_m = Some(film);
                self.uses(InputSet::of(&[Input::Roughness]));
                self.ratio(
                    LimitId::Traction,
                    film,
                    ROUGHNESSES_TO_FLOAT * path.roughness,
                );
            }
            Err(missing) => self.missing(LimitId::Traction, missing),
        }
    }

    fn derive_rotation(&mut self, roll: &SingleRollValues) {
        let Some(diameter) = roll.diameter.map(Length::from_m) else {
            return;
        };
        self.derived.lap_length_m = Some(lap_length(diameter, Length::from_m(roll.clamp)).m());
        self.derived.roll_rotation_per_s = self
            .knobs
            .speed
            .map(|v| rotation(Speed::from_m_per_s(v), diameter).per_s());
    }
}
