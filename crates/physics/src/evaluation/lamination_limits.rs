//! Lamination: spans, temperature of the bond line, pressure and time in the nip, tack, equal stretch of both foils.

use super::{Sink, Walk, clip};
use crate::assumed::{Input, InputSet};
use crate::lamination::{
    ACCEPTED_STRAIN_DIFFERENCE, GREATEST_TACKY_MODULUS, bond_line_temperature,
    lamination_dose_pa_s, unwarmed_share,
};
use crate::limit::{LimitId, Sense};
use crate::line::AdhesiveKind;
use crate::prepared::LaminationValues;
use crate::quantity::{
    Diffusivity, Duration, Length, MolarEnergy, Pressure, Speed, Temperature, WebTension,
};
use crate::web::elastic_strain;

/// Distance from its bounds at which the temperature of a bond line has a margin of one \[K\] (common practice).
const BOND_REFERENCE_K: f64 = 10.0;
const NIP_INPUTS: InputSet = InputSet::of(&[Input::RubberModulus, Input::RubberPoisson]);

impl<S: Sink> Walk<'_, S> {
    pub(super) fn lamination_limits(&mut self) {
        let values = self.values;
        let Some(laminator) = &values.laminator else {
            return;
        };
        self.span_or_missing(
            LimitId::NipLoadSpan,
            (self.knobs.nip_load, Input::NipLoad),
            (laminator.load_span, Input::NipLoadSpan),
        );
        self.lamination_temperature_span(laminator);
        let dwell = self.nip_dwell(laminator);
        let bond = self.bond_temperature(laminator, dwell);
        if laminator.adhesive.kind == AdhesiveKind::HotMelt {
            self.bond_line(laminator, bond);
        }
        if S::WANTS_ALL {
            self.derive_lamination(laminator, dwell, bond);
            self.bond_pressure(laminator);
            self.bond_dwell(laminator, dwell);
            self.tack(laminator);
            self.laminate_curl(laminator);
        }
    }

    /// A laminator that need not be hot says nothing of a heater of which nothing is known.
    fn lamination_temperature_span(&mut self, laminator: &LaminationValues) {
        let (hot, span) = (self.knobs.lamination_k, laminator.temperature_span);
        let needs_heat = laminator.adhesive.kind == AdhesiveKind::HotMelt;
        if needs_heat || hot.is_some() || span.is_some() {
            self.temperature_span_or_missing(
                LimitId::LaminationSpan,
                (hot, Input::LaminationTemperature),
                (span, Input::LaminationTemperatureSpan),
            );
        }
    }

    fn nip_dwell(&self, laminator: &LaminationValues) -> Result<Duration, Input> {
        let speed = self.knobs.speed.ok_or(Input::Speed)?;
        let nip = laminator.nip(self.knobs)?;
        Ok(nip.dwell(Speed::from_m_per_s(speed)))
    }

    /// Temperature of the bond line as it leaves the nip, warmed through the foil that is laid on.
    fn bond_temperature(
        &self,
        laminator: &LaminationValues,
        dwell: Result<Duration, Input>,
    ) -> Result<Temperature, Input> {
        let hot = self
            .knobs
            .lamination_k
            .ok_or(Input::LaminationTemperature)?;
        let material = laminator.laid.material.ok_or(Input::LaidMaterial)?;
        let thickness = laminator.laid.thickness.ok_or(Input::LaidThickness)?;
        let foil = material.properties();
        let diffusivity =
            foil.conductivity_w_per_m_k / (foil.density_kg_per_m3 * foil.heat_capacity_j_per_kg_k);
        let unwarmed = unwarmed_share(
            Length::from_m(thickness),
            Diffusivity::from_m2_per_s(diffusivity),
            dwell?,
        );
        Ok(bond_line_temperature(
            Temperature::from_k(hot),
            Temperature::from_k(laminator.arriving_k),
            unwarmed,
        ))
    }

    /// Hottest that the bond line may get: of both foils and the adhesive the one that stands least.
    fn hottest_bond_k(&self, laminator: &LaminationValues) -> Result<f64, Input> {
        let of_web = self.foil_limit_k().ok_or(Input::FoilMaterial)?;
        let laid = laminator.laid.material.ok_or(Input::LaidMaterial)?;
        let of_foils = of_web.min(laid.highest_temperature().k());
        Ok(of_foils.min(laminator.adhesive.highest_k.unwrap_or(f64::INFINITY)))
    }

    /// Hot enough to flow, and no hotter than everything in the nip stands; the nearer bound is recorded.
    fn bond_line(&mut self, laminator: &LaminationValues, bond: Result<Temperature, Input>) {
        let numbers = || -> Result<(f64, f64, f64), Input> {
            let softening = laminator.adhesive.softening_k.ok_or(Input::Softening)?;
            Ok((bond?.k(), softening, self.hottest_bond_k(laminator)?))
        };
        let (bond, softening, hottest) = match numbers() {
            Ok(numbers) => numbers,
            Err(missing) => return self.missing(LimitId::LamTemp, missing),
        };
        self.uses(NIP_INPUTS.union(InputSet::of(&[Input::LaminatorInlet])));
        let above = (bond - softening) / BOND_REFERENCE_K;
        let below = (hottest - bond) / BOND_REFERENCE_K;
        if above < below {
            let numbers = (bond, softening, clip(above));
            self.evaluated(LimitId::LamTemp, Sense::AtLeast, numbers, 1.0);
        } else {
            let numbers = (bond, hottest, clip(below));
            self.evaluated(LimitId::LamTemp, Sense::AtMost, numbers, 1.0);
        }
    }

    fn derive_lamination(
        &mut self,
        laminator: &LaminationValues,
        dwell: Result<Duration, Input>,
        bond: Result<Temperature, Input>,
    ) {
        let Ok(nip) = laminator.nip(self.knobs) else {
            return;
        };
        self.derived.nip_contact_m = Some(nip.contact_length().m());
        self.derived.nip_pressure_pa = Some(nip.mean_pressure().pa());
        self.derived.nip_dwell_s = dwell.ok().map(Duration::s);
        self.derived.bond_line_k = bond.ok().map(Temperature::k);
        let adhesive = &laminator.adhesive;
        self.derived.lamination_dose_pa_s = match (dwell, bond, adhesive.activation) {
            (Ok(dwell), Ok(bond), Some(activation)) if adhesive.kind == AdhesiveKind::HotMelt => {
                adhesive.softening_k.map(|softening| {
                    lamination_dose_pa_s(
                        nip.mean_pressure(),
                        dwell,
                        MolarEnergy::from_j_per_mol(activation),
                        bond,
                        Temperature::from_k(softening),
                    )
                })
            }
            (Ok(dwell), ..) if adhesive.kind != AdhesiveKind::HotMelt => {
                Some(nip.mean_pressure().pa() * dwell.s())
            }
            _ => None,
        };
    }

    fn bond_pressure(&mut self, laminator: &LaminationValues) {
        match laminator.nip(self.knobs) {
            Ok(nip) => {
                self.uses(NIP_INPUTS.union(InputSet::of(&[Input::BondPressure])));
                let pressure = nip.mean_pressure().pa();
                self.ratio(
                    LimitId::LamPressure,
                    pressure,
                    laminator.adhesive.needed_pressure,
                );
            }
            Err(missing) => self.missing(LimitId::LamPressure, missing),
        }
    }

    /// Light and not the nip cures some resins: they need no time in it unless one is stated.
    fn bond_dwell(&mut self, laminator: &LaminationValues, dwell: Result<Duration, Input>) {
        let Some(needed) = laminator.adhesive.needed_dwell else {
            return;
        };
        match dwell {
            Ok(dwell) => {
                self.uses(NIP_INPUTS.union(InputSet::of(&[Input::BondDwell])));
                self.ratio(LimitId::LamDwell, dwell.s(), needed);
            }
            Err(missing) => self.missing(LimitId::LamDwell, missing),
        }
    }

    /// Of pressure-sensitive adhesives only.
    fn tack(&mut self, laminator: &LaminationValues) {
        if laminator.adhesive.kind != AdhesiveKind::PressureSensitive {
            return;
        }
        match laminator.adhesive.modulus_at_1_hz {
            Some(modulus) => {
                self.ratio(LimitId::LamTack, modulus, GREATEST_TACKY_MODULUS.pa());
            }
            None => self.missing(LimitId::LamTack, Input::AdhesiveModulus),
        }
    }

    /// Whether both foils are stretched alike where they are joined.
    fn laminate_curl(&mut self, laminator: &LaminationValues) {
        let strains = || -> Result<f64, Input> {
            let tension = self.knobs.tension.ok_or(Input::Tension)?;
            let thickness = self.values.foil.thickness.ok_or(Input::FoilThickness)?;
            let modulus = self.values.stretch.modulus.ok_or(Input::FoilMaterial)?;
            let laid = &laminator.laid;
            let material = laid.material.ok_or(Input::LaidMaterial)?;
            let of_web = stretch(tension, thickness, modulus);
            let of_laid = stretch(
                laid.tension.ok_or(Input::LaidTension)?,
                laid.thickness.ok_or(Input::LaidThickness)?,
                material.properties().elastic_modulus_pa,
            );
            Ok((of_web - of_laid).abs())
        };
        match strains() {
            Ok(difference) => {
                self.ratio(LimitId::LamCurl, difference, ACCEPTED_STRAIN_DIFFERENCE);
            }
            Err(missing) => self.missing(LimitId::LamCurl, missing),
        }
    }
}

/// Elastic strain from tension [N/m], thickness \[m\] and modulus \[Pa\].
fn stretch(tension: f64, thickness: f64, modulus: f64) -> f64 {
    elastic_strain(
        WebTension::from_n_per_m(tension),
        Length::from_m(thickness),
        Pressure::from_pa(modulus),
    )
}
