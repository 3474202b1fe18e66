//! The one door from a project to `wetlane-physics`: settings in the unit that matters become machine knobs.
//!
//! People think in wet thickness, gap-to-wet ratio, dose and seconds in the dryer; machines have mL/min, µm, W and
//! m/min. Of each family of linked quantities exactly one is set; [`resolve`] computes the others, or says which is
//! missing, set twice or out of its domain. Volume balance t = Q/(U·w): Weinstein & Ruschak (2004), Annu. Rev. Fluid
//! Mech. 36, 29–53; dose = power/(electrode width · speed): trade formula.

use wetlane_physics::{
    Activity, Angle, Density, Dryer, Duration, Foil, FoilMaterial, Fraction, Gas, Head,
    HeatTransferCoefficient, HeatedRoller, Ink, Length, Line, PlasmaDose, PlasmaStation, Power,
    Pressure, Pump, Rheology, Setting, SlotDie, Solvent, Span, Speed, SurfaceTension, Surroundings,
    Temperature, Viscosity, Volume, VolumeFlow,
};

use super::card::{Card, Field};
use super::project::{Project, Role, SettingValue, Settings, StationKind};
use super::unit::{Dimension, Quantity, Unit, UnitError};

/// The machine knobs of one run with the line they act on.
#[derive(Debug, Clone, PartialEq)]
pub struct Resolved {
    /// Ink, foil and stations, with what this run overrides.
    pub line: Line,
    /// The knobs.
    pub setting: Setting,
    /// Knobs and linked quantities that follow from what is set, for the run sheet and the screens.
    pub followed: Vec<Followed>,
}

/// A quantity that follows from the settings.
#[derive(Debug, Clone, PartialEq)]
pub struct Followed {
    /// What it is.
    pub role: Role,
    /// Its value in the usual unit.
    pub quantity: Quantity,
}

/// Why settings do not lead to machine knobs.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ResolveError {
    /// The project has no line.
    #[error("the project has no line yet; choose a line card first")]
    NoLine,
    /// The line has no head.
    #[error("the line has no coating head; add one")]
    NoHead,
    /// Two settings of one family.
    #[error("\"{one}\" and \"{other}\" set the same thing; keep one of them")]
    SetTwice {
        /// Label of one.
        one: String,
        /// Label of the other.
        other: String,
    },
    /// A quantity that another one needs.
    #[error("\"{setting}\" needs {needed}; state it")]
    Needs {
        /// Label of the setting.
        setting: String,
        /// What is missing.
        needed: String,
    },
    /// A value that cannot be.
    #[error("\"{setting}\" is {value}; it must be {expected}")]
    OutOfDomain {
        /// Label of the setting.
        setting: String,
        /// The value.
        value: String,
        /// What it must be.
        expected: &'static str,
    },
    /// A unit that does not fit.
    #[error("\"{setting}\": {problem}")]
    Unit {
        /// Label of the setting.
        setting: String,
        /// What is wrong.
        problem: UnitError,
    },
}

impl Role {
    /// What a role measures; `None` for a free setting.
    pub const fn dimension(self) -> Option<Dimension> {
        match self {
            Self::Speed => Some(Dimension::Speed),
            Self::DryerTime => Some(Dimension::Duration),
            Self::Flow => Some(Dimension::VolumeFlow),
            Self::WetThickness | Self::DryThickness | Self::Gap => Some(Dimension::Length),
            Self::CoatWeight => Some(Dimension::AreaMass),
            Self::GapToWet => Some(Dimension::Ratio),
            Self::Vacuum => Some(Dimension::Pressure),
            Self::PlasmaPower => Some(Dimension::Power),
            Self::PlasmaDose => Some(Dimension::PlasmaDose),
            Self::RollerTemperature | Self::GasTemperature => Some(Dimension::Temperature),
            Self::Solids => Some(Dimension::Fraction),
            Self::Viscosity => Some(Dimension::Viscosity),
            Self::Free => None,
        }
    }

    /// Unit in which a followed value of this role is shown.
    pub fn usual_unit(self) -> Unit {
        match self {
            Self::DryThickness => {
                Unit::parse("nm").unwrap_or_else(|_| Unit::usual(Dimension::Length))
            }
            _ => Unit::usual(self.dimension().unwrap_or(Dimension::Ratio)),
        }
    }

    /// Name on screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Speed => "Speed",
            Self::DryerTime => "Time in the dryer",
            Self::Flow => "Pump flow",
            Self::WetThickness => "Wet thickness",
            Self::DryThickness => "Dry thickness",
            Self::CoatWeight => "Coat weight",
            Self::Gap => "Gap",
            Self::GapToWet => "Gap over wet thickness",
            Self::Vacuum => "Vacuum",
            Self::PlasmaPower => "Plasma power",
            Self::PlasmaDose => "Plasma dose",
            Self::RollerTemperature => "Roller temperature",
            Self::GasTemperature => "Air temperature",
            Self::Solids => "Solids",
            Self::Viscosity => "Viscosity",
            Self::Free => "Setting of your own",
        }
    }

    /// The station where it acts; `None` where it belongs to the web as a whole, the ink or nothing.
    pub const fn station(self) -> Option<StationKind> {
        match self {
            Self::Flow
            | Self::WetThickness
            | Self::DryThickness
            | Self::CoatWeight
            | Self::Gap
            | Self::GapToWet
            | Self::Vacuum
            | Self::Solids
            | Self::Viscosity => Some(StationKind::SlotDie),
            Self::PlasmaPower | Self::PlasmaDose => Some(StationKind::Plasma),
            Self::RollerTemperature => Some(StationKind::HeatedRoller),
            Self::GasTemperature | Self::DryerTime => Some(StationKind::HotGasDryer),
            Self::Speed | Self::Free => None,
        }
    }

    /// Roles that set the same thing; at most one of a family is set.
    pub const fn family(self) -> Option<Family> {
        match self {
            Self::Flow | Self::WetThickness | Self::DryThickness | Self::CoatWeight => {
                Some(Family::Metering)
            }
            Self::Gap | Self::GapToWet => Some(Family::Gap),
            Self::Speed | Self::DryerTime => Some(Family::Transport),
            Self::PlasmaPower | Self::PlasmaDose => Some(Family::Plasma),
            Self::Vacuum => Some(Family::Vacuum),
            Self::RollerTemperature => Some(Family::Roller),
            Self::GasTemperature => Some(Family::Gas),
            Self::Solids => Some(Family::Solids),
            Self::Viscosity => Some(Family::Viscosity),
            Self::Free => None,
        }
    }

    /// All roles.
    pub const ALL: [Self; 16] = [
        Self::Speed,
        Self::DryerTime,
        Self::WetThickness,
        Self::Flow,
        Self::DryThickness,
        Self::CoatWeight,
        Self::Gap,
        Self::GapToWet,
        Self::Vacuum,
        Self::PlasmaDose,
        Self::PlasmaPower,
        Self::RollerTemperature,
        Self::GasTemperature,
        Self::Solids,
        Self::Viscosity,
        Self::Free,
    ];
}

/// Linked quantities of which exactly one is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    /// Flow, wet thickness, dry thickness, coat weight.
    Metering,
    /// Gap, gap over wet thickness.
    Gap,
    /// Speed, time in the dryer.
    Transport,
    /// Plasma power, plasma dose.
    Plasma,
    /// Vacuum.
    Vacuum,
    /// Roller temperature.
    Roller,
    /// Gas temperature.
    Gas,
    /// Solids of the ink.
    Solids,
    /// Viscosity of the ink.
    Viscosity,
}

/// Which roles are set to what, in SI.
struct Knobs<'a> {
    project: &'a Project,
    settings: &'a Settings,
}

impl Knobs<'_> {
    /// The set role of a family with its SI value, or `None` if none is set.
    fn set_of(&self, family: Family) -> Result<Option<(Role, f64, &str)>, ResolveError> {
        let mut found: Option<(Role, f64, &str)> = None;
        for setting in self
            .project
            .settings
            .iter()
            .filter(|setting| setting.role.family() == Some(family))
        {
            let value = self.settings.get(&setting.id).unwrap_or(&setting.now);
            let SettingValue::Number(number) = value else {
                continue;
            };
            if let Some((_, _, one)) = found {
                return Err(ResolveError::SetTwice {
                    one: one.to_owned(),
                    other: setting.label.clone(),
                });
            }
            let dimension = setting.role.dimension().unwrap_or(Dimension::Ratio);
            let unit = Unit::parse_for(&setting.unit, dimension).map_err(|problem| {
                ResolveError::Unit {
                    setting: setting.label.clone(),
                    problem,
                }
            })?;
            let si = unit.to_si(*number);
            let positive = !matches!(
                setting.role,
                Role::Vacuum | Role::PlasmaPower | Role::PlasmaDose | Role::Solids
            );
            if !si.is_finite() || (positive && si <= 0.0) || si < 0.0 {
                return Err(ResolveError::OutOfDomain {
                    setting: setting.label.clone(),
                    value: format!("{number} {}", setting.unit),
                    expected: if positive {
                        "above zero"
                    } else {
                        "zero or more"
                    },
                });
            }
            found = Some((setting.role, si, &setting.label));
        }
        Ok(found)
    }
}

fn needs(setting: &str, needed: &str) -> ResolveError {
    ResolveError::Needs {
        setting: setting.to_owned(),
        needed: needed.to_owned(),
    }
}

/// Turns the settings of a run into the complete machine knobs and every quantity that follows.
///
/// `settings` overlays the present values of the project, by setting id. A knob that the project does not mention is
/// left out, so that the assessment can say what it lacks.
///
/// # Errors
/// [`ResolveError`] names the setting that is missing, set twice, in a wrong unit or out of its domain.
pub fn resolve(project: &Project, settings: &Settings) -> Result<Resolved, ResolveError> {
    let line_card = project.line.as_ref().ok_or(ResolveError::NoLine)?;
    let head = project
        .station(StationKind::SlotDie)
        .ok_or(ResolveError::NoHead)?;
    let knobs = Knobs { project, settings };
    let mut followed = Vec::new();
    let mut ink = ink_of(&project.ink);
    if let Some((_, solids, _)) = knobs.set_of(Family::Solids)? {
        ink.solids = Some(Fraction::from_ratio(solids));
    }
    if let Some((_, viscosity, _)) = knobs.set_of(Family::Viscosity)? {
        ink.rheology = Some(Rheology::Newtonian {
            viscosity: Viscosity::from_pa_s(viscosity),
        });
    }
    let mut line = Line {
        ink,
        foil: foil_of(&project.foil),
        head: Head::SlotDie(slot_die_of(head)),
        pump: pump_of(head),
        plasma: project.station(StationKind::Plasma).map(plasma_of),
        roller: project.station(StationKind::HeatedRoller).map(roller_of),
        dryer: project.station(StationKind::HotGasDryer).map(dryer_of),
        surroundings: surroundings_of(&line_card.card),
        speed_span: span(
            &line_card.card,
            Field::SpeedLeast,
            Field::SpeedGreatest,
            Speed::from_m_per_s,
        ),
        leader: line_card.card.si(Field::Leader).map(Length::from_m),
        pot_life: project.ink.si(Field::PotLife).map(Duration::from_s),
        ..Line::default()
    };
    let width = head.si(Field::CoatedWidth);
    let speed = transport(&knobs, project, &mut followed)?;
    let (flow, wet) = metering(&knobs, speed, width, &line.ink, &mut followed)?;
    let gap = gap(&knobs, wet, &mut followed)?;
    let plasma_power = plasma_power(&knobs, project, speed, &mut followed)?;
    let at = |family| knobs.set_of(family).map(|found| found.map(|(_, si, _)| si));
    let vacuum = at(Family::Vacuum)?;
    if vacuum.is_some_and(|pascals| pascals > 0.0)
        && let Head::SlotDie(die) = &mut line.head
    {
        die.has_vacuum_box = true;
    }
    let setting = Setting {
        speed: speed.map(Speed::from_m_per_s),
        flow: flow.map(VolumeFlow::from_m3_per_s),
        gap: gap.map(Length::from_m),
        vacuum: vacuum.map(Pressure::from_pa),
        plasma_power: plasma_power.map(Power::from_w),
        roller_temperature: at(Family::Roller)?.map(Temperature::from_k),
        gas_temperature: at(Family::Gas)?.map(Temperature::from_k),
        foil_needed: Some(Length::from_m(
            project.budget.settle_m + project.budget.sample_m,
        )),
        ..Setting::default()
    };
    Ok(Resolved {
        line,
        setting,
        followed,
    })
}

fn follow(followed: &mut Vec<Followed>, role: Role, si: f64) {
    let unit = role.usual_unit();
    followed.push(Followed {
        role,
        quantity: Quantity::new(unit.from_si(si), unit),
    });
}

/// Web speed [m/s] from the speed or the time in the dryer.
fn transport(
    knobs: &Knobs<'_>,
    project: &Project,
    followed: &mut Vec<Followed>,
) -> Result<Option<f64>, ResolveError> {
    let length = project
        .station(StationKind::HotGasDryer)
        .and_then(|dryer| dryer.si(Field::DryerLength));
    let Some((role, value, label)) = knobs.set_of(Family::Transport)? else {
        return Ok(None);
    };
    if role == Role::DryerTime {
        let length = length.ok_or_else(|| needs(label, "the length of the dryer"))?;
        let speed = length / value;
        follow(followed, Role::Speed, speed);
        return Ok(Some(speed));
    }
    if let Some(length) = length {
        follow(followed, Role::DryerTime, length / value);
    }
    Ok(Some(value))
}

/// Pump flow [m³/s] and wet thickness [m] from whichever member of the metering family is set.
fn metering(
    knobs: &Knobs<'_>,
    speed: Option<f64>,
    width: Option<f64>,
    ink: &Ink,
    followed: &mut Vec<Followed>,
) -> Result<(Option<f64>, Option<f64>), ResolveError> {
    let Some((role, value, label)) = knobs.set_of(Family::Metering)? else {
        return Ok((None, None));
    };
    let dry_mass_per_wet_volume = match (ink.density, ink.solids) {
        (Some(density), Some(solids)) => {
            Some(density.kg_per_m3() * solids.ratio()).filter(|mass| *mass > 0.0)
        }
        _ => None,
    };
    let dry_share = |mass: f64| {
        let porosity = ink.dry_porosity.map_or(0.0, Fraction::ratio);
        ink.dry_density
            .map(|dry| mass / (dry.kg_per_m3() * (1.0 - porosity)))
    };
    let wet = match role {
        Role::Flow => match (speed, width) {
            (Some(speed), Some(width)) => Some(value / (speed * width)),
            _ => None,
        },
        Role::WetThickness => Some(value),
        Role::CoatWeight => {
            let mass = dry_mass_per_wet_volume
                .ok_or_else(|| needs(label, "density and solids of the ink"))?;
            Some(value / mass)
        }
        _ => {
            let share = dry_mass_per_wet_volume.and_then(dry_share);
            let share =
                share.ok_or_else(|| needs(label, "density, solids and dry density of the ink"))?;
            Some(value / share)
        }
    };
    let flow = match (role, wet, speed, width) {
        (Role::Flow, ..) => Some(value),
        (_, Some(wet), Some(speed), Some(width)) => Some(wet * speed * width),
        _ => return Err(needs(label, "web speed and coated width")),
    };
    for (other, si) in [
        (Role::Flow, flow),
        (Role::WetThickness, wet),
        (
            Role::DryThickness,
            wet.zip(dry_mass_per_wet_volume.and_then(dry_share))
                .map(|(wet, share)| wet * share),
        ),
        (
            Role::CoatWeight,
            wet.zip(dry_mass_per_wet_volume)
                .map(|(wet, mass)| wet * mass),
        ),
    ] {
        if let Some(si) = si.filter(|_| other != role) {
            follow(followed, other, si);
        }
    }
    Ok((flow, wet))
}

/// Coating gap [m] from the gap or its ratio to the wet thickness.
fn gap(
    knobs: &Knobs<'_>,
    wet: Option<f64>,
    followed: &mut Vec<Followed>,
) -> Result<Option<f64>, ResolveError> {
    let Some((role, value, label)) = knobs.set_of(Family::Gap)? else {
        return Ok(None);
    };
    if role == Role::GapToWet {
        let gap = value * wet.ok_or_else(|| needs(label, "a wet thickness"))?;
        follow(followed, Role::Gap, gap);
        return Ok(Some(gap));
    }
    if let Some(wet) = wet {
        follow(followed, Role::GapToWet, value / wet);
    }
    Ok(Some(value))
}

/// Plasma power [W] from the power or the dose [J/m²].
fn plasma_power(
    knobs: &Knobs<'_>,
    project: &Project,
    speed: Option<f64>,
    followed: &mut Vec<Followed>,
) -> Result<Option<f64>, ResolveError> {
    let Some((role, value, label)) = knobs.set_of(Family::Plasma)? else {
        return Ok(None);
    };
    let width = project
        .station(StationKind::Plasma)
        .and_then(|plasma| plasma.si(Field::ElectrodeWidth));
    let area_rate = speed.zip(width).map(|(speed, width)| speed * width);
    if role == Role::PlasmaDose {
        let power = value
            * area_rate
                .ok_or_else(|| needs(label, "web speed and the plasma's electrode width"))?;
        follow(followed, Role::PlasmaPower, power);
        return Ok(Some(power));
    }
    if let Some(area_rate) = area_rate {
        follow(followed, Role::PlasmaDose, value / area_rate);
    }
    Ok(Some(value))
}

fn word_of<T: Copy>(
    card: &Card,
    field: Field,
    all: &[T],
    key: impl Fn(T) -> &'static str,
) -> Option<T> {
    let word = card.word(field)?;
    all.iter().copied().find(|item| key(*item) == word)
}

fn span<Q>(card: &Card, least: Field, greatest: Field, make: impl Fn(f64) -> Q) -> Option<Span<Q>> {
    card.si(least)
        .zip(card.si(greatest))
        .map(|(low, high)| Span {
            least: make(low),
            greatest: make(high),
        })
}

fn ink_of(card: &Card) -> Ink {
    let rheology = match (
        card.si(Field::Viscosity),
        card.si(Field::Consistency),
        card.si(Field::FlowIndex),
    ) {
        (_, Some(consistency), Some(index)) => Some(Rheology::PowerLaw {
            consistency: Viscosity::from_pa_s(consistency),
            index,
        }),
        (Some(viscosity), ..) => Some(Rheology::Newtonian {
            viscosity: Viscosity::from_pa_s(viscosity),
        }),
        _ => None,
    };
    Ink {
        rheology,
        surface_tension: card
            .si(Field::SurfaceTension)
            .map(SurfaceTension::from_n_per_m),
        dispersive_tension: card
            .si(Field::DispersiveTension)
            .map(SurfaceTension::from_n_per_m),
        density: card.si(Field::Density).map(Density::from_kg_per_m3),
        solids: card.si(Field::Solids).map(Fraction::from_ratio),
        dry_density: card.si(Field::DryDensity).map(Density::from_kg_per_m3),
        dry_porosity: card.si(Field::DryPorosity).map(Fraction::from_ratio),
        largest_particle: card.si(Field::LargestParticle).map(Length::from_m),
        solvent: word_of(card, Field::Solvent, &Solvent::ALL, Solvent::key),
        activity: word_of(
            card,
            Field::Activity,
            &[Activity::Free, Activity::Polymer],
            |activity| match activity {
                Activity::Free => "free",
                Activity::Polymer => "polymer",
            },
        ),
        angle_on_lip: card.si(Field::AngleOnLip).map(Angle::from_rad),
        angle_on_foil: card.si(Field::AngleOnFoil).map(Angle::from_rad),
        ..Ink::default()
    }
}

fn foil_of(card: &Card) -> Foil {
    Foil {
        material: word_of(card, Field::Material, &FoilMaterial::ALL, FoilMaterial::key),
        thickness: card.si(Field::Thickness).map(Length::from_m),
        surface_energy: card
            .si(Field::SurfaceEnergy)
            .map(SurfaceTension::from_n_per_m),
        dispersive_energy: card
            .si(Field::DispersiveEnergy)
            .map(SurfaceTension::from_n_per_m),
        highest_temperature: card.si(Field::HighestTemperature).map(Temperature::from_k),
        allowed_shrinkage: card.si(Field::AllowedShrinkage).map(Fraction::from_ratio),
        roll_length: card.si(Field::RollLength).map(Length::from_m),
    }
}

fn slot_die_of(card: &Card) -> SlotDie {
    SlotDie {
        coated_width: card.si(Field::CoatedWidth).map(Length::from_m),
        downstream_lip: card.si(Field::DownstreamLip).map(Length::from_m),
        upstream_lip: card.si(Field::UpstreamLip).map(Length::from_m),
        upstream_gap_ratio: card.si(Field::UpstreamGapRatio),
        lip_corner: card.si(Field::LipCorner).map(Angle::from_rad),
        feed_slot_height: card.si(Field::FeedSlotHeight).map(Length::from_m),
        feed_slot_length: card.si(Field::FeedSlotLength).map(Length::from_m),
        has_vacuum_box: card.word(Field::VacuumBox) == Some("yes"),
        gap_span: span(card, Field::GapLeast, Field::GapGreatest, Length::from_m),
        gap_tolerance: card.si(Field::GapTolerance).map(Length::from_m),
    }
}

fn pump_of(card: &Card) -> Option<Pump> {
    let pump = Pump {
        flow_span: span(
            card,
            Field::FlowLeast,
            Field::FlowGreatest,
            VolumeFlow::from_m3_per_s,
        ),
        syringe_volume: card.si(Field::SyringeVolume).map(Volume::from_m3),
        dead_volume: card.si(Field::DeadVolume).map(Volume::from_m3),
    };
    (pump.flow_span.is_some() || pump.syringe_volume.is_some() || pump.dead_volume.is_some())
        .then_some(pump)
}

fn plasma_of(card: &Card) -> PlasmaStation {
    PlasmaStation {
        electrode_width: card.si(Field::ElectrodeWidth).map(Length::from_m),
        power_span: span(card, Field::PowerLeast, Field::PowerGreatest, Power::from_w),
        exhaust: card.si(Field::Exhaust).map(VolumeFlow::from_m3_per_s),
        saturated_energy: card
            .si(Field::SaturatedEnergy)
            .map(SurfaceTension::from_n_per_m),
        characteristic_dose: card
            .si(Field::CharacteristicDose)
            .map(PlasmaDose::from_j_per_m2),
    }
}

fn roller_of(card: &Card) -> HeatedRoller {
    HeatedRoller {
        diameter: card.si(Field::RollerDiameter).map(Length::from_m),
        wrap: card.si(Field::RollerWrap).map(Angle::from_rad),
        contact: card
            .si(Field::RollerContact)
            .map(HeatTransferCoefficient::from_w_per_m2_k),
        temperature_span: span(
            card,
            Field::TemperatureLeast,
            Field::TemperatureGreatest,
            Temperature::from_k,
        ),
    }
}

fn dryer_of(card: &Card) -> Dryer {
    Dryer {
        length: card.si(Field::DryerLength).map(Length::from_m),
        gas: word_of(card, Field::Gas, &Gas::ALL, Gas::key).unwrap_or(Gas::Air),
        h_top: card
            .si(Field::HTop)
            .map(HeatTransferCoefficient::from_w_per_m2_k),
        h_bottom: card
            .si(Field::HBottom)
            .map(HeatTransferCoefficient::from_w_per_m2_k),
        temperature_span: span(
            card,
            Field::TemperatureLeast,
            Field::TemperatureGreatest,
            Temperature::from_k,
        ),
        fresh_gas: card.si(Field::FreshGas).map(VolumeFlow::from_m3_per_s),
        residual_solvent: card.si(Field::ResidualSolvent).map(Fraction::from_ratio),
    }
}

fn surroundings_of(card: &Card) -> Surroundings {
    Surroundings {
        room_temperature: card.si(Field::RoomTemperature).map(Temperature::from_k),
        relative_humidity: card.si(Field::RelativeHumidity).map(Fraction::from_ratio),
        open_path: card.si(Field::OpenPath).map(Length::from_m),
        open_path_h: card
            .si(Field::OpenPathH)
            .map(HeatTransferCoefficient::from_w_per_m2_k),
    }
}
