//! A line with every default filled in and every number checked, in SI, ready for many settings.

use std::f64::consts::PI;

use crate::assumed::{Assumptions, Doubt, Input, InputSet};
use crate::drying::VaporErrors;
use crate::elementary::cos;
use crate::head::{Head, HeadKind};
use crate::input_error::{
    InputError, angle, not_negative, part, positive, share, share_below_one, span, temperature,
};
use crate::limit::Station;
use crate::line::{Activity, FoilMaterial, Ink, Line, Rheology, Setting};
use crate::metering::ink_density;
use crate::quantity::{Energy, Length, MolarEnergy, SurfaceTension, Temperature, Volume};
use crate::rheology::{Carreau, FlowLaw, temperature_factor};
use crate::room_air::Ventilation;
use crate::solvent::Solvent;
use crate::surface_energy::{EnergyParts, contact_cosine_from_parts, contact_cosine_from_totals};
use crate::wetting::air_entrainment_m_per_s;

mod cold_gap_values;
mod dryer_values;
mod engraved_roll_values;
mod film_values;
mod flexo_values;
mod gravure_values;
mod head_knobs;
mod infrared_values;
mod knife_values;
mod knob_values;
mod lamination_values;
mod pump_values;
mod slot_die_values;
mod uv_values;
mod web_values;
mod wire_bar_values;

pub(crate) use cold_gap_values::ColdGapValues;
pub(crate) use dryer_values::{DryerValues, ResidualValues};
pub(crate) use engraved_roll_values::EngravedRollValues;
pub(crate) use film_values::FilmValues;
pub(crate) use flexo_values::FlexoValues;
pub(crate) use gravure_values::GravureValues;
pub(crate) use head_knobs::HeadKnobs;
pub(crate) use infrared_values::InfraredValues;
pub(crate) use knife_values::{KnifeValues, SpreadInk};
pub(crate) use lamination_values::LaminationValues;
pub(crate) use pump_values::PumpValues;
pub(crate) use slot_die_values::SlotDieValues;
pub(crate) use uv_values::{CoverValues, ResinValues, UvValues};
pub(crate) use web_values::{SingleRollValues, StretchValues, WebPathValues, WebValues};
pub(crate) use wire_bar_values::WireBarValues;

/// How far a density from the mixing rule (eq 2.8) may be off (common practice).
const MIXING_DOUBT: Doubt = Doubt::Times {
    low: 0.95,
    high: 1.05,
};
/// Cosine of the smallest contact angle that an estimate from surface energies is trusted to (10°, common practice).
const GREATEST_ESTIMATED_COSINE: f64 = 0.984_807_753_012_208;

/// Values that replace assumed ones, to see what rests on them.
pub(crate) type Overrides<'a> = &'a [(Input, f64)];

/// Fills in defaults and keeps account of them.
struct Filler<'a> {
    assumptions: &'a Assumptions,
    replaced: Overrides<'a>,
    assumed: InputSet,
}

impl Filler<'_> {
    /// The stated value, else the row of the table.
    fn fill(&mut self, input: Input, stated: Option<f64>) -> f64 {
        self.fill_with(input, stated, self.assumptions.value(input))
    }

    /// The stated value, else the given one in place of the row's.
    fn fill_with(&mut self, input: Input, stated: Option<f64>, assumed: f64) -> f64 {
        stated.unwrap_or_else(|| {
            self.assumed = self.assumed.with(input);
            self.replacement(input).unwrap_or(assumed)
        })
    }

    fn replacement(&self, input: Input) -> Option<f64> {
        let row = self
            .replaced
            .iter()
            .find(|(replaced, _)| *replaced == input);
        row.map(|(_, value)| *value)
    }
}

/// What is known of the flow law.
#[derive(Debug, Clone, Copy)]
struct FlowValues {
    rheology: Option<Rheology>,
    /// Measured shear rates [1/s].
    rates: Option<(f64, f64)>,
    /// Temperature at which the flow law was measured, with its activation energy.
    andrade: Option<(Temperature, MolarEnergy)>,
}

/// The ink in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct InkValues {
    flow: FlowValues,
    pub(crate) yield_stress: Option<f64>,
    pub(crate) sigma: f64,
    pub(crate) rho: f64,
    pub(crate) solids: Option<f64>,
    pub(crate) dry_density: Option<f64>,
    pub(crate) porosity: f64,
    pub(crate) largest_particle: Option<f64>,
    pub(crate) solvent: Option<Solvent>,
    pub(crate) activity: Activity,
    /// Least energy that ignites its vapour \[J\].
    pub(crate) ignition_energy: f64,
    /// Air-entrainment speed of a Newtonian ink, which no setting changes.
    pub(crate) entrainment: Option<f64>,
    dispersive: Option<f64>,
}

/// The foil in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FoilValues {
    pub(crate) material: Option<FoilMaterial>,
    pub(crate) thickness: Option<f64>,
    /// Heat capacity per area, of stated or assumed foil.
    pub(crate) heat_capacity: f64,
    /// Surface energy untreated, stated or of a named foil.
    pub(crate) energy: Option<f64>,
    dispersive: Option<f64>,
    pub(crate) highest: Option<f64>,
    pub(crate) allowed_shrinkage: f64,
    pub(crate) roll_length: Option<f64>,
    pub(crate) leader: f64,
    /// Path from the head to where the film is looked at, if it is stated.
    pub(crate) inspection_path: Option<f64>,
}

/// A measured contact angle \[rad\] with its cosine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct MeasuredAngle {
    pub(crate) theta: f64,
    pub(crate) cosine: f64,
}

/// Where the contact angle of the ink on the foil comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum AngleSource {
    /// Measured on the foil as coated.
    Measured(MeasuredAngle),
    /// From the parts of both surface energies, for the untreated foil: cosine.
    Parts(f64),
    /// From the totals of both, as treated.
    Totals,
    /// Nothing is known of the foil.
    Unknown,
}

/// How the head meters, in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) enum MethodValues {
    SlotDie(SlotDieValues),
    Knife(KnifeValues),
    WireBar(WireBarValues),
    Gravure(GravureValues),
    Flexo(FlexoValues),
}

/// The head in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct HeadValues {
    pub(crate) width: Option<f64>,
    pub(crate) method: MethodValues,
    pub(crate) thickness_tolerance: f64,
    /// The line has a pump, which feeds the head.
    pub(crate) has_pump: bool,
    pub(crate) flow_span: Option<(f64, f64)>,
    pub(crate) syringe_volume: Option<f64>,
    pub(crate) dead_volume: f64,
    pub(crate) speed_span: Option<(f64, f64)>,
    pub(crate) angle_source: AngleSource,
    /// Cosine of the angle on the foil that stands in where nothing better is known, or that was put in its place.
    pub(crate) assumed_foil_cosine: f64,
    is_foil_angle_replaced: bool,
}

impl MethodValues {
    /// Inputs that stand in by default and change the wet thickness.
    pub(crate) fn film_inputs(&self) -> InputSet {
        match self {
            Self::SlotDie(_) => InputSet::EMPTY,
            Self::Knife(knife) => {
                let shape = InputSet::of(&[Input::FilmOverGap, Input::InletGapRatio]);
                if knife.is_set_by_gap() {
                    shape
                } else {
                    shape.with(Input::LandLength).with(Input::Density)
                }
            }
            Self::WireBar(_) => InputSet::of(&[Input::FilmOverWire]),
            Self::Flexo(_) => InputSet::of(&[Input::ToPlate, Input::ToFoil, Input::PrintedShare]),
            Self::Gravure(unit) => {
                let cells = InputSet::of(&[Input::Pickout, Input::SpeedRatio]);
                if unit.has_falling_pickout() {
                    cells
                        .with(Input::CellDepthRatio)
                        .with(Input::SurfaceTension)
                } else {
                    cells
                }
            }
        }
    }
}

impl HeadValues {
    const fn kind(&self) -> HeadKind {
        match &self.method {
            MethodValues::SlotDie(_) => HeadKind::SlotDie,
            MethodValues::Knife(_) => HeadKind::Knife,
            MethodValues::WireBar(_) => HeadKind::WireBar,
            MethodValues::Gravure(_) => HeadKind::Gravure,
            MethodValues::Flexo(_) => HeadKind::Flexo,
        }
    }

    /// Vacuum that stands in where none is stated \[Pa\]; `None` on a head without a vacuum box.
    const fn assumed_vacuum(&self) -> Option<f64> {
        match &self.method {
            MethodValues::SlotDie(die) => die.assumed_vacuum,
            MethodValues::Knife(_)
            | MethodValues::WireBar(_)
            | MethodValues::Gravure(_)
            | MethodValues::Flexo(_) => None,
        }
    }

    /// True if the pump sets the film; at any other head it only feeds.
    pub(crate) const fn is_pre_metered(&self) -> bool {
        matches!(self.method, MethodValues::SlotDie(_))
    }
}

/// The plasma station in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PlasmaValues {
    pub(crate) electrode_width: Option<f64>,
    pub(crate) power_span: Option<(f64, f64)>,
    pub(crate) saturated_energy: f64,
    pub(crate) is_saturation_stated: bool,
    pub(crate) characteristic_dose: f64,
    /// Time since the treatment \[s\].
    pub(crate) age: f64,
    pub(crate) ageing_time: f64,
    pub(crate) exhaust: Option<f64>,
}

/// The heated roller in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RollerValues {
    pub(crate) diameter: Option<f64>,
    pub(crate) wrap: Option<f64>,
    pub(crate) contact: f64,
    pub(crate) temperature_span: Option<(f64, f64)>,
}

/// Room and open path in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct RoomValues {
    pub(crate) temperature: f64,
    pub(crate) humidity: f64,
    pub(crate) open_path: f64,
    pub(crate) open_path_h: f64,
    pub(crate) volume: Option<f64>,
    pub(crate) ventilation: Option<Ventilation>,
    /// Most ink that one spill can lose \[m³\].
    pub(crate) spill: Option<f64>,
}

/// Everything that settings do not change, in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Values {
    pub(crate) assumed: InputSet,
    pub(crate) ink: InkValues,
    pub(crate) foil: FoilValues,
    pub(crate) head: HeadValues,
    pub(crate) pump: PumpValues,
    pub(crate) cold_gap: Option<ColdGapValues>,
    pub(crate) plasma: Option<PlasmaValues>,
    pub(crate) roller: Option<RollerValues>,
    pub(crate) infrared: Option<InfraredValues>,
    pub(crate) dryer: Option<DryerValues>,
    /// Residual solvents on a line with a dryer or infrared lamps.
    pub(crate) residual: Option<ResidualValues>,
    pub(crate) film: FilmValues,
    pub(crate) laminator: Option<LaminationValues>,
    pub(crate) uv: Option<UvValues>,
    pub(crate) resin: ResinValues,
    pub(crate) web: Option<WebValues>,
    /// The foil as a spring.
    pub(crate) stretch: StretchValues,
    pub(crate) foil_width: Option<f64>,
    pub(crate) room: RoomValues,
    /// How far the solvent is off its handbook row where an error is tried.
    pub(crate) vapor_errors: VaporErrors,
}

impl Values {
    /// Checks the line and fills it in.
    pub(crate) fn resolve(
        line: &Line,
        assumptions: &Assumptions,
        replaced: Overrides<'_>,
    ) -> Result<Self, InputError> {
        let mut filler = Filler {
            assumptions,
            replaced,
            assumed: InputSet::EMPTY,
        };
        let ink = resolve_ink(line, &mut filler)?;
        let foil = resolve_foil(line, &mut filler)?;
        let head = resolve_head(line, &ink, &foil, &mut filler)?;
        let pump = PumpValues::resolve(line, &mut filler)?;
        let cold_gap = ColdGapValues::resolve(line, &mut filler)?;
        let plasma = resolve_plasma(line, &mut filler)?;
        let roller = resolve_roller(line, &mut filler)?;
        let infrared = InfraredValues::resolve(line, &mut filler)?;
        let room = resolve_room(line, &mut filler)?;
        let dryer = DryerValues::resolve(line, room.temperature, &mut filler)?;
        let residual = ResidualValues::resolve(line, &mut filler)?;
        let film = FilmValues::resolve(line, &mut filler)?;
        let laminator = LaminationValues::resolve(line, room.temperature, &mut filler)?;
        let uv = UvValues::resolve(line, &mut filler)?;
        let resin = ResinValues::resolve(line, &mut filler)?;
        let web = WebValues::resolve(line, &mut filler)?;
        let stretch = StretchValues::resolve(line)?;
        positive(
            Input::PotLife,
            line.pot_life.map(super::quantity::Duration::s),
        )?;
        Ok(Self {
            assumed: filler.assumed,
            ink,
            foil,
            head,
            pump,
            cold_gap,
            plasma,
            roller,
            infrared,
            dryer,
            residual,
            film,
            laminator,
            uv,
            resin,
            web,
            stretch,
            foil_width: positive(Input::FoilWidth, line.foil.width.map(Length::m))?,
            room,
            vapor_errors: VaporErrors::NONE,
        })
    }

    /// The flow law at the temperature of the head, or the input that it lacks.
    pub(crate) fn flow_law(&self, knobs: &Knobs) -> Result<FlowLaw, Input> {
        self.flow_law_at(knobs.ink_k)
    }

    /// As [`Self::flow_law`], from the temperature of the ink at the head \[K\], if it is stated.
    pub(crate) fn flow_law_at(&self, ink_k: Option<f64>) -> Result<FlowLaw, Input> {
        let rheology = self.ink.flow.rheology.ok_or(Input::Viscosity)?;
        let shift = self.ink.flow.andrade.zip(ink_k);
        Ok(FlowLaw {
            rheology: match shift {
                Some(((reference, energy), ink_k)) => rheology.shifted_by(temperature_factor(
                    energy,
                    reference,
                    Temperature::from_k(ink_k),
                )),
                None => rheology,
            },
            rates: self.ink.flow.rates,
            is_shifted: shift.is_some(),
        })
    }

    /// Wet thickness \[m\], or the first input that it lacks.
    pub(crate) fn wet_thickness(&self, knobs: &Knobs) -> Result<f64, Input> {
        match &self.head.method {
            MethodValues::SlotDie(_) => {
                let v = knobs.speed.ok_or(Input::Speed)?;
                let w = self.head.width.ok_or(Input::CoatedWidth)?;
                let q = knobs.flow.ok_or(Input::Flow)?;
                Ok(q / (v * w))
            }
            MethodValues::Knife(knife) => {
                let gap = knobs.head.gap.ok_or(Input::Gap)?;
                if knife.is_set_by_gap() {
                    return Ok(knife.film_of_gap(gap));
                }
                Ok(knife.wet_thickness(gap, &self.spread_ink(knobs)?))
            }
            MethodValues::WireBar(bar) => Ok(bar.wet_thickness(bar.wire(knobs)?)),
            MethodValues::Gravure(unit) => {
                let volume = unit.roll.volume(knobs)?;
                Ok(unit.speed_ratio(knobs) * self.gravure_film(unit, knobs, volume)?)
            }
            MethodValues::Flexo(unit) => Ok(unit.wet_thickness(unit.anilox.volume(knobs)?)),
        }
    }

    /// Wet thickness \[m\] of a gravure roll with cells of a volume [m³/m²] that turns as fast as the web.
    pub(crate) fn gravure_film(
        &self,
        unit: &GravureValues,
        knobs: &Knobs,
        volume: f64,
    ) -> Result<f64, Input> {
        if unit.has_falling_pickout() {
            let ink = self.spread_ink(knobs)?;
            Ok(unit.film_of_ink(volume, &ink, self.ink.sigma))
        } else {
            Ok(unit.film_of_cells(volume))
        }
    }

    /// The ink as the head spreads it, or the first input that it lacks.
    pub(crate) fn spread_ink(&self, knobs: &Knobs) -> Result<SpreadInk, Input> {
        Ok(SpreadInk {
            law: self.flow_law(knobs)?,
            rho: self.ink.rho,
            speed: knobs.speed.ok_or(Input::Speed)?,
        })
    }

    /// Ink that the web carries off [m³/s], or the first input that it lacks.
    pub(crate) fn ink_flow(&self, knobs: &Knobs) -> Result<f64, Input> {
        match &self.head.method {
            MethodValues::SlotDie(_) => knobs.flow.ok_or(Input::Flow),
            MethodValues::Knife(_)
            | MethodValues::WireBar(_)
            | MethodValues::Gravure(_)
            | MethodValues::Flexo(_) => {
                let v = knobs.speed.ok_or(Input::Speed)?;
                let w = self.head.width.ok_or(Input::CoatedWidth)?;
                Ok(self.wet_thickness(knobs)? * v * w)
            }
        }
    }

    /// Cosine of the equilibrium angle of the ink on a foil of an energy as treated; `None` if nothing is known.
    pub(crate) fn equilibrium_cosine(
        &self,
        foil_energy: Option<f64>,
        is_treated: bool,
    ) -> Option<f64> {
        let from_totals =
            || foil_energy.map(|gamma| contact_cosine_from_totals(gamma, self.ink.sigma));
        match self.head.angle_source {
            AngleSource::Measured(angle) => Some(angle.cosine),
            AngleSource::Parts(cosine) if !is_treated => Some(cosine),
            AngleSource::Parts(_) | AngleSource::Totals => from_totals(),
            AngleSource::Unknown => None,
        }
    }

    /// Cosine of the static angle that the bead is judged with.
    pub(crate) fn bead_foil_cosine(&self, foil_energy: Option<f64>, is_treated: bool) -> f64 {
        let is_estimate = match self.head.angle_source {
            AngleSource::Measured(_) => false,
            AngleSource::Parts(_) => is_treated,
            AngleSource::Totals | AngleSource::Unknown => true,
        };
        if is_estimate && self.head.is_foil_angle_replaced {
            return self.head.assumed_foil_cosine;
        }
        match self.equilibrium_cosine(foil_energy, is_treated) {
            Some(cosine) if is_estimate => cosine.min(GREATEST_ESTIMATED_COSINE),
            Some(cosine) => cosine,
            None => self.head.assumed_foil_cosine,
        }
    }
}

fn resolve_ink(line: &Line, filler: &mut Filler<'_>) -> Result<InkValues, InputError> {
    let ink = &line.ink;
    let whole = positive(
        Input::SurfaceTension,
        ink.surface_tension.map(SurfaceTension::n_per_m),
    )?;
    let dispersive = part(
        Input::DispersiveTension,
        ink.dispersive_tension.map(SurfaceTension::n_per_m),
        whole,
    )?;
    let solids = share(
        Input::Solids,
        ink.solids.map(super::quantity::Fraction::ratio),
    )?;
    let dry_density = positive(
        Input::DryDensity,
        ink.dry_density.map(super::quantity::Density::kg_per_m3),
    )?;
    let density = positive(
        Input::Density,
        ink.density.map(super::quantity::Density::kg_per_m3),
    )?;
    let porosity = share_below_one(
        Input::DryPorosity,
        ink.dry_porosity.map(super::quantity::Fraction::ratio),
    )?;
    let sigma = filler.fill_with(
        Input::SurfaceTension,
        whole,
        assumed_tension(line, filler.assumptions),
    );
    let assumed_density = mixed_density(line).unwrap_or(filler.assumptions.value(Input::Density));
    let rho = filler.fill_with(Input::Density, density, assumed_density);
    let ignition = positive(Input::IgnitionEnergy, ink.ignition_energy.map(Energy::j))?;
    Ok(InkValues {
        flow: resolve_flow(ink, filler)?,
        yield_stress: not_negative(
            Input::YieldStress,
            ink.yield_stress.map(super::quantity::Pressure::pa),
        )?,
        sigma,
        rho,
        solids,
        dry_density,
        porosity: filler.fill(Input::DryPorosity, porosity),
        largest_particle: positive(Input::LargestParticle, ink.largest_particle.map(Length::m))?,
        solvent: ink.solvent,
        ignition_energy: filler.fill(Input::IgnitionEnergy, ignition),
        activity: ink.activity.unwrap_or_else(|| {
            filler.assumed = filler.assumed.with(Input::Activity);
            Activity::Free
        }),
        entrainment: match ink.rheology {
            Some(Rheology::Newtonian { viscosity }) => {
                Some(air_entrainment_m_per_s(viscosity.pa_s(), rho, sigma))
            }
            Some(Rheology::PowerLaw { .. } | Rheology::Carreau(_)) | None => None,
        },
        dispersive: whole.and(dispersive),
    })
}

fn resolve_flow(ink: &Ink, filler: &mut Filler<'_>) -> Result<FlowValues, InputError> {
    check_rheology(ink.rheology)?;
    let measured_k = temperature(
        Input::ViscosityTemperature,
        ink.viscosity_temperature.map(Temperature::k),
    )?;
    let energy = not_negative(
        Input::ActivationEnergy,
        ink.activation_energy.map(MolarEnergy::j_per_mol),
    )?;
    if measured_k.is_none() || energy.is_none() {
        filler.assumed = filler.assumed.with(Input::ActivationEnergy);
    }
    Ok(FlowValues {
        rheology: ink.rheology,
        rates: span(
            Input::ShearRateSpan,
            ink.shear_rate_span
                .map(|s| (s.least.per_s(), s.greatest.per_s())),
            positive,
        )?,
        andrade: measured_k
            .map(Temperature::from_k)
            .zip(energy.map(MolarEnergy::from_j_per_mol)),
    })
}

/// Surface tension of the solvent at room temperature, else the row of the table.
fn assumed_tension(line: &Line, assumptions: &Assumptions) -> f64 {
    let room = line
        .surroundings
        .room_temperature
        .filter(|room| room.is_finite())
        .unwrap_or(Temperature::from_k(
            assumptions.value(Input::RoomTemperature),
        ));
    line.ink
        .solvent
        .and_then(|solvent| solvent.surface_tension(room))
        .map_or(
            assumptions.value(Input::SurfaceTension),
            SurfaceTension::n_per_m,
        )
}

fn check_rheology(rheology: Option<Rheology>) -> Result<(), InputError> {
    let (viscosity, index) = match rheology {
        None => return Ok(()),
        Some(Rheology::Newtonian { viscosity }) => (viscosity, 1.0),
        Some(Rheology::PowerLaw { consistency, index }) => (consistency, index),
        Some(Rheology::Carreau(Carreau {
            at_rest,
            at_high_rate,
            time_constant_s,
            index,
        })) => {
            not_negative(Input::Viscosity, Some(at_high_rate.pa_s()))?;
            not_negative(Input::Viscosity, Some(time_constant_s))?;
            (at_rest, index)
        }
    };
    positive(Input::Viscosity, Some(viscosity.pa_s()))?;
    positive(Input::Viscosity, Some(index))?;
    Ok(())
}

/// Density by the mixing rule (eq 2.8), where everything it needs was stated.
fn mixed_density(line: &Line) -> Option<f64> {
    let (solids, dry, solvent) = (line.ink.solids?, line.ink.dry_density?, line.ink.solvent?);
    Some(ink_density(solids, dry, solvent.density()).kg_per_m3())
}

fn resolve_foil(line: &Line, filler: &mut Filler<'_>) -> Result<FoilValues, InputError> {
    let foil = &line.foil;
    let stated_energy = positive(
        Input::FoilEnergy,
        foil.surface_energy.map(SurfaceTension::n_per_m),
    )?;
    let dispersive = part(
        Input::DispersiveEnergy,
        foil.dispersive_energy.map(SurfaceTension::n_per_m),
        stated_energy,
    )?;
    let thickness = positive(Input::FoilThickness, foil.thickness.map(Length::m))?;
    let energy = match foil.material {
        Some(material) => Some(filler.fill_with(
            Input::FoilEnergy,
            stated_energy,
            material.surface_energy().n_per_m(),
        )),
        None => stated_energy,
    };
    let for_heat = foil.material.unwrap_or_else(|| {
        filler.assumed = filler.assumed.with(Input::FoilMaterial);
        FoilMaterial::Pet
    });
    let filled_thickness = filler.fill(Input::FoilThickness, thickness);
    Ok(FoilValues {
        material: foil.material,
        thickness,
        heat_capacity: for_heat.areal_heat_capacity_j_per_m2_k(Length::from_m(filled_thickness)),
        energy,
        dispersive: stated_energy.and(dispersive),
        highest: temperature(
            Input::FoilHighestTemperature,
            foil.highest_temperature.map(Temperature::k),
        )?,
        allowed_shrinkage: {
            let allowed = positive(
                Input::AllowedShrinkage,
                foil.allowed_shrinkage.map(super::quantity::Fraction::ratio),
            )?;
            filler.fill(Input::AllowedShrinkage, allowed)
        },
        roll_length: positive(Input::RollLength, foil.roll_length.map(Length::m))?,
        leader: {
            let leader = not_negative(Input::Leader, line.leader.map(Length::m))?;
            filler.fill(Input::Leader, leader)
        },
        inspection_path: not_negative(Input::InspectionPath, line.inspection_path.map(Length::m))?,
    })
}

fn resolve_head(
    line: &Line,
    ink: &InkValues,
    foil: &FoilValues,
    filler: &mut Filler<'_>,
) -> Result<HeadValues, InputError> {
    let pump = line.pump.unwrap_or_default();
    let angle_source = angle_source(line, ink, foil)?;
    let is_known = matches!(
        angle_source,
        AngleSource::Measured(_) | AngleSource::Parts(_)
    );
    let foil_angle = filler.fill(Input::AngleOnFoil, is_known.then_some(0.0));
    let dead_volume = not_negative(Input::DeadVolume, pump.dead_volume.map(Volume::m3))?;
    Ok(HeadValues {
        width: positive(Input::CoatedWidth, line.head.coated_width().map(Length::m))?,
        method: match &line.head {
            Head::SlotDie(die) => {
                MethodValues::SlotDie(SlotDieValues::resolve(die, &line.ink, filler)?)
            }
            Head::Knife(knife) => MethodValues::Knife(KnifeValues::resolve(knife, filler)?),
            Head::WireBar(bar) => MethodValues::WireBar(WireBarValues::resolve(bar, filler)?),
            Head::Gravure(unit) => MethodValues::Gravure(GravureValues::resolve(unit, filler)?),
            Head::Flexo(unit) => MethodValues::Flexo(FlexoValues::resolve(unit, filler)?),
        },
        thickness_tolerance: {
            let tolerance = positive(
                Input::ThicknessTolerance,
                line.thickness_tolerance
                    .map(super::quantity::Fraction::ratio),
            )?;
            filler.fill(Input::ThicknessTolerance, tolerance)
        },
        has_pump: line.pump.is_some(),
        flow_span: span(
            Input::FlowSpan,
            pump.flow_span
                .map(|s| (s.least.m3_per_s(), s.greatest.m3_per_s())),
            not_negative,
        )?,
        syringe_volume: positive(Input::SyringeVolume, pump.syringe_volume.map(Volume::m3))?,
        dead_volume: filler.fill(Input::DeadVolume, dead_volume),
        speed_span: span(
            Input::SpeedSpan,
            line.speed_span
                .map(|s| (s.least.m_per_s(), s.greatest.m_per_s())),
            not_negative,
        )?,
        angle_source,
        assumed_foil_cosine: cos(foil_angle),
        is_foil_angle_replaced: filler.replacement(Input::AngleOnFoil).is_some(),
    })
}

/// The best source at hand: measured, else from parts, else from totals.
fn angle_source(
    line: &Line,
    ink: &InkValues,
    foil: &FoilValues,
) -> Result<AngleSource, InputError> {
    if let Some(theta) = angle(
        Input::AngleOnFoil,
        line.ink.angle_on_foil.map(super::quantity::Angle::rad),
        PI,
    )? {
        return Ok(AngleSource::Measured(MeasuredAngle {
            theta,
            cosine: cos(theta),
        }));
    }
    if let (Some(ld), Some(sd), Some(gamma)) = (ink.dispersive, foil.dispersive, foil.energy) {
        let ink = parts(ld, ink.sigma);
        return Ok(AngleSource::Parts(
            contact_cosine_from_parts(parts(sd, gamma), ink).clamp(-1.0, 1.0),
        ));
    }
    Ok(if foil.energy.is_some() {
        AngleSource::Totals
    } else {
        AngleSource::Unknown
    })
}

fn parts(dispersive: f64, whole: f64) -> EnergyParts {
    EnergyParts {
        dispersive: SurfaceTension::from_n_per_m(dispersive),
        polar: SurfaceTension::from_n_per_m(whole - dispersive),
    }
}

fn resolve_plasma(
    line: &Line,
    filler: &mut Filler<'_>,
) -> Result<Option<PlasmaValues>, InputError> {
    let Some(plasma) = line.plasma else {
        return Ok(None);
    };
    let saturated = positive(
        Input::SaturatedEnergy,
        plasma.saturated_energy.map(SurfaceTension::n_per_m),
    )?;
    let dose = positive(
        Input::CharacteristicDose,
        plasma
            .characteristic_dose
            .map(super::quantity::PlasmaDose::j_per_m2),
    )?;
    let seconds = super::quantity::Duration::s;
    let age = not_negative(Input::PlasmaAge, plasma.age.map(seconds))?;
    let ageing_time = positive(Input::AgeingTime, plasma.ageing_time.map(seconds))?;
    Ok(Some(PlasmaValues {
        electrode_width: positive(Input::ElectrodeWidth, plasma.electrode_width.map(Length::m))?,
        power_span: span(
            Input::PlasmaPowerSpan,
            plasma.power_span.map(|s| (s.least.w(), s.greatest.w())),
            not_negative,
        )?,
        is_saturation_stated: saturated.is_some(),
        saturated_energy: filler.fill(Input::SaturatedEnergy, saturated),
        characteristic_dose: filler.fill(Input::CharacteristicDose, dose),
        age: filler.fill(Input::PlasmaAge, age),
        ageing_time: filler.fill(Input::AgeingTime, ageing_time),
        exhaust: positive(
            Input::PlasmaExhaust,
            plasma.exhaust.map(super::quantity::VolumeFlow::m3_per_s),
        )?,
    }))
}

fn resolve_roller(
    line: &Line,
    filler: &mut Filler<'_>,
) -> Result<Option<RollerValues>, InputError> {
    let Some(roller) = line.roller else {
        return Ok(None);
    };
    let contact = positive(
        Input::RollerContact,
        roller
            .contact
            .map(super::quantity::HeatTransferCoefficient::w_per_m2_k),
    )?;
    Ok(Some(RollerValues {
        diameter: positive(Input::RollerDiameter, roller.diameter.map(Length::m))?,
        wrap: angle(
            Input::RollerWrap,
            roller.wrap.map(super::quantity::Angle::rad),
            2.0 * PI,
        )?,
        contact: filler.fill(Input::RollerContact, contact),
        temperature_span: span(
            Input::RollerTemperatureSpan,
            roller
                .temperature_span
                .map(|s| (s.least.k(), s.greatest.k())),
            temperature,
        )?,
    }))
}

fn resolve_room(line: &Line, filler: &mut Filler<'_>) -> Result<RoomValues, InputError> {
    let room = &line.surroundings;
    let room_temperature = temperature(
        Input::RoomTemperature,
        room.room_temperature.map(Temperature::k),
    )?;
    let humidity = share(
        Input::RelativeHumidity,
        room.relative_humidity.map(super::quantity::Fraction::ratio),
    )?;
    let open_path = not_negative(Input::OpenPath, room.open_path.map(Length::m))?;
    let open_path_h = not_negative(
        Input::OpenPathHeatTransfer,
        room.open_path_h
            .map(super::quantity::HeatTransferCoefficient::w_per_m2_k),
    )?;
    Ok(RoomValues {
        temperature: filler.fill(Input::RoomTemperature, room_temperature),
        humidity: filler.fill(Input::RelativeHumidity, humidity),
        open_path: filler.fill(Input::OpenPath, open_path),
        open_path_h: filler.fill(Input::OpenPathHeatTransfer, open_path_h),
        volume: positive(Input::RoomVolume, room.room_volume.map(Volume::m3))?,
        ventilation: checked_ventilation(room.ventilation)?,
        spill: positive(Input::SpillVolume, room.spill.map(Volume::m3))?,
    })
}

/// A ventilation whose flow is a number from zero up.
fn checked_ventilation(stated: Option<Ventilation>) -> Result<Option<Ventilation>, InputError> {
    if let Some(ventilation) = stated {
        not_negative(Input::Ventilation, Some(ventilation.flow().m3_per_s()))?;
    }
    Ok(stated)
}

/// The knob of a station, refused where it is set on a line without that station. A power of zero is off, and off is
/// allowed anywhere.
fn of_station(
    (is_there, station): (bool, Station),
    input: Input,
    value: Option<f64>,
) -> Result<Option<f64>, InputError> {
    if !is_there && value.is_some_and(|value| value > 0.0) {
        return Err(InputError::NoStation { input, station });
    }
    Ok(value)
}

/// The knobs of a run, checked, in SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Knobs {
    pub(crate) speed: Option<f64>,
    /// Tension of the web [N/m].
    pub(crate) tension: Option<f64>,
    pub(crate) flow: Option<f64>,
    pub(crate) head: HeadKnobs,
    /// How far the gap as set is off where an error is tried; it is counted in the gap already.
    pub(crate) gap_error: f64,
    pub(crate) vacuum: f64,
    /// The vacuum was not stated on a head with a vacuum box.
    pub(crate) is_vacuum_assumed: bool,
    pub(crate) plasma_power: Option<f64>,
    pub(crate) roller_k: Option<f64>,
    /// Infrared irradiance at the web [W/m²].
    pub(crate) infrared: Option<f64>,
    pub(crate) gas_k: Option<f64>,
    /// Load of the laminator's nip [N/m].
    pub(crate) nip_load: Option<f64>,
    /// Temperature of the laminator's hot roller.
    pub(crate) lamination_k: Option<f64>,
    /// Power of the ultraviolet lamp, share of full power.
    pub(crate) uv_power: Option<f64>,
    /// Temperature of the ink at the head.
    pub(crate) ink_k: Option<f64>,
    pub(crate) foil_needed: Option<f64>,
    pub(crate) settling_granted: Option<f64>,
}

impl Knobs {
    /// Checks a setting against the line.
    pub(crate) fn resolve(values: &Values, setting: &Setting) -> Result<Self, InputError> {
        let (vacuum, is_vacuum_assumed) = vacuum_of(values, setting)?;
        let plasma_power = of_station(
            (values.plasma.is_some(), Station::Plasma),
            Input::PlasmaPower,
            not_negative(
                Input::PlasmaPower,
                setting.plasma_power.map(super::quantity::Power::w),
            )?,
        )?;
        let roller_k = of_station(
            (values.roller.is_some(), Station::Roller),
            Input::RollerTemperature,
            temperature(
                Input::RollerTemperature,
                setting.roller_temperature.map(Temperature::k),
            )?,
        )?;
        let infrared = of_station(
            (values.infrared.is_some(), Station::Infrared),
            Input::InfraredPower,
            not_negative(
                Input::InfraredPower,
                setting
                    .infrared_power
                    .map(super::quantity::Irradiance::w_per_m2),
            )?,
        )?;
        let gas_k = of_station(
            (values.dryer.is_some(), Station::Dryer),
            Input::GasTemperature,
            temperature(
                Input::GasTemperature,
                setting.gas_temperature.map(Temperature::k),
            )?,
        )?;
        let (nip_load, lamination_k) =
            LaminationValues::knobs_of(values.laminator.as_ref(), setting)?;
        let knobs = Self {
            speed: positive(
                Input::Speed,
                setting.speed.map(super::quantity::Speed::m_per_s),
            )?,
            tension: WebValues::tension_of(values.web.as_ref(), setting)?,
            flow: positive(
                Input::Flow,
                setting.flow.map(super::quantity::VolumeFlow::m3_per_s),
            )?,
            head: HeadKnobs::resolve(&values.head, setting)?,
            gap_error: 0.0,
            vacuum,
            is_vacuum_assumed,
            plasma_power,
            roller_k,
            infrared,
            gas_k,
            nip_load,
            lamination_k,
            uv_power: of_station(
                (values.uv.is_some(), Station::Uv),
                Input::UvPower,
                share(
                    Input::UvPower,
                    setting.uv_power.map(super::quantity::Fraction::ratio),
                )?,
            )?,
            ink_k: temperature(
                Input::InkTemperature,
                setting.ink_temperature.map(Temperature::k),
            )?,
            foil_needed: not_negative(Input::FoilNeeded, setting.foil_needed.map(Length::m))?,
            settling_granted: not_negative(
                Input::SettlingGranted,
                setting.settling_granted.map(Length::m),
            )?,
        };
        Ok(knobs.with_hot_gap(values))
    }
}

/// Vacuum \[Pa\] of a setting, and whether it was assumed; refused on a head without a vacuum box.
fn vacuum_of(values: &Values, setting: &Setting) -> Result<(f64, bool), InputError> {
    let stated = not_negative(
        Input::Vacuum,
        setting.vacuum.map(super::quantity::Pressure::pa),
    )?;
    let assumed = values.head.assumed_vacuum();
    if assumed.is_none() && stated.is_some_and(|pa| pa > 0.0) {
        return Err(InputError::NoVacuumBox);
    }
    Ok((
        stated.or(assumed).unwrap_or(0.0),
        assumed.is_some() && stated.is_none(),
    ))
}

/// Range over which an assumed value of a line is doubted, with the value itself; `None` if it is not varied.
pub(crate) fn doubt_of(
    line: &Line,
    values: &Values,
    assumptions: &Assumptions,
    input: Input,
) -> Option<(f64, Doubt)> {
    let row = match &values.head.method {
        MethodValues::Knife(knife) => knife.doubt_of(input),
        MethodValues::Gravure(unit) => unit.doubt_of(input),
        MethodValues::Flexo(unit) => unit.doubt_of(input),
        MethodValues::SlotDie(_) | MethodValues::WireBar(_) => None,
    };
    let row = row.or_else(|| assumptions.get(input))?;
    Some(match input {
        Input::SurfaceTension => (values.ink.sigma, row.doubt),
        Input::CoolestWall => (values.dryer?.coolest_wall_k, row.doubt),
        Input::LaminatorInlet => (values.laminator?.arriving_k, row.doubt),
        Input::BondPressure => (values.laminator?.adhesive.needed_pressure, row.doubt),
        Input::BondDwell => (values.laminator?.adhesive.needed_dwell?, row.doubt),
        Input::InfraredAbsorbed => infrared_values::absorbed_doubt(line, row),
        Input::Density if mixed_density(line).is_some() => (values.ink.rho, MIXING_DOUBT),
        Input::FoilEnergy => match line.foil.material {
            Some(material) => {
                let (low, high) = material.properties().surface_energy_range_mn_per_m;
                let value = material.surface_energy().n_per_m();
                (
                    value,
                    Doubt::Between {
                        low: low * 1e-3,
                        high: high * 1e-3,
                    },
                )
            }
            None => (row.value, row.doubt),
        },
        _ => (row.value, row.doubt),
    })
}
