//! The one door from a project to `wetlane-physics`: settings in the unit that matters become machine knobs.
//!
//! People think in wet thickness, gap-to-wet ratio, dose and seconds in the dryer; machines have mL/min, µm, W and
//! m/min. Of each family of linked quantities exactly one is set; [`resolve`] computes the others, or says which is
//! missing, set twice or out of its domain. Volume balance t = Q/(U·w): Weinstein & Ruschak (2004), Annu. Rev. Fluid
//! Mech. 36, 29–53; dose = power/(electrode width · speed): trade formula.

use super::sentence_case::in_sentence;
use wetlane_physics::{
    Basis, CellVolume, Duration, Fraction, Head, HeadKind, Ink, Irradiance, Length, Line,
    MeteringError, MeteringKnob, Power, Prepared, Pressure, Rheology, Setting, Speed, Temperature,
    Viscosity, VolumeFlow, WebTension, dimensionless,
};

use wetlane_physics::curing::exposure_dose;

use super::card::Field;
use super::line_cards::{
    cold_gap_of, dryer_of, foil_of, head_of, infrared_of, ink_of, laminator_of, plasma_of, pump_of,
    roller_of, span, surroundings_of, ultraviolet_of, web_of,
};
use super::project::{LineCard, Project, Role, SettingEntry, Settings, StationCard, StationKind};
use super::role::Family;
use super::unit::{Dimension, Quantity, Unit, UnitError};

/// The machine knobs of one run with the line they act on.
#[derive(Debug, Clone, PartialEq)]
pub struct Resolved {
    /// Ink, foil and stations, with what this run overrides.
    pub line: Line,
    /// The knobs.
    pub setting: Setting,
    /// Wet film that the head lays down, if it is known.
    pub wet_thickness: Option<Length>,
    /// Ink that the web carries off, if it is known.
    pub ink_flow: Option<VolumeFlow>,
    /// Knobs and linked quantities that follow from what is set, for the run sheet and the screens.
    pub followed: Vec<Followed>,
}

impl Resolved {
    /// The first of some roles that follows from the settings.
    pub fn followed_of(&self, roles: &[Role]) -> Option<&Followed> {
        roles
            .iter()
            .find_map(|role| self.followed.iter().find(|known| known.role == *role))
    }
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
    /// A film that the head cannot lay down, wherever its knob stands.
    #[error("\"{setting}\": no {knob} gives this film; change the speed or the head")]
    OutOfReach {
        /// Label of the setting.
        setting: String,
        /// The knob.
        knob: String,
    },
    /// A level of a category that says no number.
    #[error(
        "\"{setting}\" is \"{level}\", which the limits cannot read; name its levels by their numbers, or make it a \
         setting of your own"
    )]
    NoNumber {
        /// Label of the setting.
        setting: String,
        /// The level.
        level: String,
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

/// Web speeds among which that of a capillary number is looked for [m/s].
const SPEEDS: (f64, f64) = (1e-12, 1e6);
/// Halvings of the logarithm of the speed: enough for the last bit.
const SPEED_HALVINGS: usize = 70;

/// Which roles are set to what, in SI.
struct Knobs<'a> {
    project: &'a Project,
    settings: &'a Settings,
    head: HeadKind,
}

/// The member of a family that is set.
#[derive(Debug, Clone, Copy)]
struct Set<'a> {
    role: Role,
    si: f64,
    label: &'a str,
}

impl<'a> Knobs<'a> {
    /// The set member of a family, or `None` if none is set.
    fn set_of(&self, family: Family) -> Result<Option<Set<'a>>, ResolveError> {
        let mut found: Option<Set<'a>> = None;
        let is_member =
            |setting: &&SettingEntry| setting.role.family_under(self.head) == Some(family);
        for setting in self.project.settings.iter().filter(is_member) {
            let value = self.settings.get(&setting.id).unwrap_or(&setting.now);
            let number = value.measure().ok_or_else(|| ResolveError::NoNumber {
                setting: setting.label.clone(),
                level: value.to_string(),
            })?;
            if let Some(one) = found {
                return Err(ResolveError::SetTwice {
                    one: one.label.to_owned(),
                    other: setting.label.clone(),
                });
            }
            found = Some(Set {
                role: setting.role,
                si: si_of(setting, number)?,
                label: &setting.label,
            });
        }
        Ok(found)
    }

    /// The SI value of a family with a single member.
    fn value_of(&self, family: Family) -> Result<Option<f64>, ResolveError> {
        Ok(self.set_of(family)?.map(|set| set.si))
    }
}

fn si_of(setting: &SettingEntry, number: f64) -> Result<f64, ResolveError> {
    let dimension = setting.role.dimension().unwrap_or(Dimension::Ratio);
    let unit = Unit::parse_for(&setting.unit, dimension).map_err(|problem| ResolveError::Unit {
        setting: setting.label.clone(),
        problem,
    })?;
    let si = unit.to_si(number);
    let may_be_zero = setting.role.may_be_zero();
    if si.is_finite() && (si > 0.0 || may_be_zero && si >= 0.0) {
        return Ok(si);
    }
    Err(ResolveError::OutOfDomain {
        setting: setting.label.clone(),
        value: format!("{number} {}", setting.unit),
        expected: if may_be_zero {
            "zero or more"
        } else {
            "above zero"
        },
    })
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
    let (station, head) = project
        .head()
        .and_then(|station| Some((station, head_of(station)?)))
        .ok_or(ResolveError::NoHead)?;
    let knobs = Knobs {
        project,
        settings,
        head: head.kind(),
    };
    let line = line_of(&knobs, line_card, station, head)?;
    let mut followed = Vec::new();
    let setting = Setting {
        vacuum: knobs.value_of(Family::Vacuum)?.map(Pressure::from_pa),
        roller_temperature: knobs.value_of(Family::Roller)?.map(Temperature::from_k),
        infrared_power: knobs
            .value_of(Family::Infrared)?
            .map(Irradiance::from_w_per_m2),
        gas_temperature: knobs.value_of(Family::Gas)?.map(Temperature::from_k),
        tension: knobs
            .value_of(Family::Tension)?
            .map(WebTension::from_n_per_m),
        nip_load: knobs
            .value_of(Family::NipLoad)?
            .map(WebTension::from_n_per_m),
        lamination_temperature: knobs.value_of(Family::Lamination)?.map(Temperature::from_k),
        ink_temperature: knobs
            .value_of(Family::InkTemperature)?
            .map(Temperature::from_k),
        foil_needed: Some(Length::from_m(
            project.budget.settle_m + project.budget.sample_m,
        )),
        settling_granted: Some(project.budget.settle_m)
            .filter(|metres| *metres > 0.0)
            .map(Length::from_m),
        ..Setting::default()
    };
    let metering = Metering {
        knobs: &knobs,
        line: &line,
    };
    let speed = transport(&metering, &mut followed)?;
    let setting = Setting {
        speed: speed.map(Speed::from_m_per_s),
        plasma_power: plasma_power(&knobs, speed, &mut followed)?.map(Power::from_w),
        uv_power: uv_power(&knobs, speed, &mut followed)?.map(Fraction::from_ratio),
        ..setting
    };
    let (setting, wet) = metering.set(setting, &mut followed)?;
    let setting = Setting {
        gap: gap(&knobs, wet, &mut followed)?
            .map(Length::from_m)
            .or(setting.gap),
        ..setting
    };
    let width = line.head.coated_width().map(Length::m);
    let carried = |wet: f64| Some(wet * speed? * width?);
    Ok(Resolved {
        setting,
        wet_thickness: wet.map(Length::from_m),
        ink_flow: wet.and_then(carried).map(VolumeFlow::from_m3_per_s),
        line,
        followed,
    })
}

/// Ink, foil and stations, with what this run overrides.
fn line_of(
    knobs: &Knobs<'_>,
    line_card: &LineCard,
    station: &StationCard,
    mut head: Head,
) -> Result<Line, ResolveError> {
    let project = knobs.project;
    let mut ink = ink_of(&project.ink);
    if let Some(solids) = knobs.value_of(Family::Solids)? {
        ink.solids = Some(Fraction::from_ratio(solids));
    }
    if let Some(viscosity) = knobs.value_of(Family::Viscosity)? {
        ink.rheology = Some(Rheology::Newtonian {
            viscosity: Viscosity::from_pa_s(viscosity),
        });
    }
    if knobs
        .value_of(Family::Vacuum)?
        .is_some_and(|pascals| pascals > 0.0)
        && let Head::SlotDie(die) = &mut head
    {
        die.has_vacuum_box = true;
    }
    Ok(Line {
        ink,
        foil: foil_of(&project.foil),
        head,
        pump: pump_of(&station.card),
        cold_gap: cold_gap_of(&station.card),
        plasma: project.station(StationKind::Plasma).map(plasma_of),
        roller: project.station(StationKind::HeatedRoller).map(roller_of),
        infrared: project.station(StationKind::Infrared).map(infrared_of),
        uv: project
            .station(StationKind::Ultraviolet)
            .map(ultraviolet_of),
        dryer: project.station(StationKind::HotGasDryer).map(dryer_of),
        laminator: project.station(StationKind::Laminator).map(laminator_of),
        web: web_of(line_card, knobs.value_of(Family::Tension)?.is_some()),
        surroundings: surroundings_of(&line_card.card),
        speed_span: span(
            &line_card.card,
            Field::SpeedLeast,
            Field::SpeedGreatest,
            Speed::from_m_per_s,
        ),
        leader: line_card.card.si(Field::Leader).map(Length::from_m),
        pot_life: project.ink.si(Field::PotLife).map(Duration::from_s),
        inspection_path: line_card.card.si(Field::InspectionPath).map(Length::from_m),
        allowed_shift: line_card.card.si(Field::AllowedShift).map(Length::from_m),
        thickness_tolerance: station
            .card
            .si(Field::ThicknessTolerance)
            .map(Fraction::from_ratio),
    })
}

fn follow(followed: &mut Vec<Followed>, role: Role, si: f64) {
    let unit = role.usual_unit();
    followed.push(Followed {
        role,
        quantity: Quantity::new(unit.from_si(si), unit),
    });
}

/// Web speed [m/s] from the speed, the time in the dryer or the capillary number.
fn transport(
    metering: &Metering<'_>,
    followed: &mut Vec<Followed>,
) -> Result<Option<f64>, ResolveError> {
    let knobs = metering.knobs;
    let dryer = knobs.project.station(StationKind::HotGasDryer);
    let length = dryer.and_then(|dryer| dryer.si(Field::DryerLength));
    let Some(set) = knobs.set_of(Family::Transport)? else {
        return Ok(None);
    };
    let speed = match set.role {
        Role::DryerTime => {
            length.ok_or_else(|| needs(set.label, "the length of the dryer"))? / set.si
        }
        Role::CapillaryNumber => metering.speed_for_capillary_number(&set)?,
        _ => set.si,
    };
    if set.role != Role::Speed {
        follow(followed, Role::Speed, speed);
    }
    if let Some(length) = length.filter(|_| set.role != Role::DryerTime) {
        follow(followed, Role::DryerTime, length / speed);
    }
    if set.role != Role::CapillaryNumber
        && let Some(capillary_number) = metering.capillary_number(speed)?
    {
        follow(followed, Role::CapillaryNumber, capillary_number);
    }
    Ok(Some(speed))
}

/// How a film gets its thickness, on the line with its head.
struct Metering<'a> {
    knobs: &'a Knobs<'a>,
    line: &'a Line,
}

impl Metering<'_> {
    /// Dry mass per wet volume [kg/m³], and its dry volume per wet volume, as far as the ink is described.
    fn dry_shares(&self) -> (Option<f64>, Option<f64>) {
        let ink: &Ink = &self.line.ink;
        let mass = ink
            .density
            .zip(ink.solids)
            .map(|(density, solids)| density.kg_per_m3() * solids.ratio())
            .filter(|mass| *mass > 0.0);
        let porosity = ink.dry_porosity.map_or(0.0, Fraction::ratio);
        let volume = mass
            .zip(ink.dry_density)
            .map(|(mass, dry)| mass / (dry.kg_per_m3() * (1.0 - porosity)));
        (mass, volume)
    }

    /// The wet thickness [m] that is asked for as such or through the dry film; `None` if a knob is set instead.
    fn wanted(&self) -> Result<Option<(f64, Set<'_>)>, ResolveError> {
        let Some(set) = self.knobs.set_of(Family::Metering)? else {
            return Ok(None);
        };
        let (mass, volume) = self.dry_shares();
        let wet = match set.role {
            Role::WetThickness => set.si,
            Role::CoatWeight => {
                set.si / mass.ok_or_else(|| needs(set.label, "density and solids of the ink"))?
            }
            Role::DryThickness => {
                let needed = "density, solids and dry density of the ink";
                set.si / volume.ok_or_else(|| needs(set.label, needed))?
            }
            _ => return Ok(None),
        };
        Ok(Some((wet, set)))
    }

    /// The setting with the head's knob in place, and the wet thickness [m] that follows.
    fn set(
        &self,
        setting: Setting,
        followed: &mut Vec<Followed>,
    ) -> Result<(Setting, Option<f64>), ResolveError> {
        let feed = self.knobs.value_of(Family::Feed)?;
        let setting = Setting {
            flow: feed.map(VolumeFlow::from_m3_per_s),
            cell_volume: self
                .knobs
                .value_of(Family::Cells)?
                .map(CellVolume::from_m3_per_m2),
            speed_ratio: self.knobs.value_of(Family::RollSpeed)?,
            impression: self.knobs.value_of(Family::Impression)?.map(Length::from_m),
            ..setting
        };
        let Some(set) = self.knobs.set_of(Family::Metering)? else {
            let wet = self.laid_down(&setting);
            self.follow_film(wet, None, followed);
            return Ok((setting, wet));
        };
        if let Some((wet, set)) = self.wanted()? {
            let knob = self.free_knob(&setting, &set)?;
            let setting = self.with_wet_thickness(setting, wet, &set, knob)?;
            if let Some(si) = knob_value(&setting, knob) {
                follow(followed, Role::of_knob(knob), si);
            }
            self.follow_film(Some(wet), Some(set.role), followed);
            return Ok((setting, Some(wet)));
        }
        let setting = with_knob(setting, set.role.metering_knob(), set.si);
        let wet = self.laid_down(&setting);
        self.follow_film(wet, Some(set.role), followed);
        Ok((setting, wet))
    }

    /// The knob that is left to follow from a wet thickness: the first that neither a setting nor the card fixes, else
    /// the first that no setting fixes.
    fn free_knob(&self, setting: &Setting, wanted: &Set<'_>) -> Result<MeteringKnob, ResolveError> {
        let knobs = self.line.head.kind().metering_knobs();
        let unset = || {
            knobs
                .iter()
                .filter(|knob| knob_value(setting, **knob).is_none())
        };
        let is_mounted = |knob: &&MeteringKnob| match (&self.line.head, knob) {
            (Head::Gravure(unit), MeteringKnob::CellVolume) => unit.roll.cell_volume.is_some(),
            (Head::Flexo(unit), MeteringKnob::CellVolume) => unit.anilox.cell_volume.is_some(),
            _ => false,
        };
        unset()
            .find(|knob| !is_mounted(knob))
            .or_else(|| unset().next())
            .copied()
            .ok_or_else(|| ResolveError::SetTwice {
                one: wanted.label.to_owned(),
                other: knobs
                    .iter()
                    .map(|knob| knob.label())
                    .collect::<Vec<_>>()
                    .join("\" with \""),
            })
    }

    /// Wet thickness [m] that the head lays down with its knobs as they are.
    fn laid_down(&self, setting: &Setting) -> Option<f64> {
        let prepared = Prepared::new(self.line, &Basis::default()).ok()?;
        Some(prepared.wet_thickness(setting).ok()??.m())
    }

    fn with_wet_thickness(
        &self,
        setting: Setting,
        wet: f64,
        set: &Set<'_>,
        knob: MeteringKnob,
    ) -> Result<Setting, ResolveError> {
        // What is wrong with a number on a card is said by the assessment of this line.
        let Ok(prepared) = Prepared::new(self.line, &Basis::default()) else {
            return Ok(setting);
        };
        match prepared.with_wet_thickness(&setting, Length::from_m(wet), knob) {
            Ok(setting) => Ok(setting),
            Err(MeteringError::Missing { missing }) => {
                Err(needs(set.label, &in_sentence(missing.label())))
            }
            Err(MeteringError::OutOfReach { knob }) => Err(ResolveError::OutOfReach {
                setting: set.label.to_owned(),
                knob: in_sentence(knob.label()),
            }),
            Err(MeteringError::Input(_) | MeteringError::NotOfHead { .. }) => Ok(setting),
        }
    }

    /// What follows from the wet thickness, but for the member that is set.
    fn follow_film(&self, wet: Option<f64>, set: Option<Role>, followed: &mut Vec<Followed>) {
        let (mass, volume) = self.dry_shares();
        let Some(wet) = wet else { return };
        for (role, si) in [
            (Role::WetThickness, Some(wet)),
            (Role::DryThickness, volume.map(|share| wet * share)),
            (Role::CoatWeight, mass.map(|mass| wet * mass)),
        ] {
            if let Some(si) = si.filter(|_| set != Some(role)) {
                follow(followed, role, si);
            }
        }
    }

    /// Capillary number of the film at a web speed [m/s]; `None` if the ink or the film is not known.
    fn capillary_number(&self, speed: f64) -> Result<Option<f64>, ResolveError> {
        let wanted = self.wanted()?.map(|(wet, _)| wet);
        Ok(capillary_number(&self.line.ink, wanted, speed))
    }

    /// Web speed [m/s] at which the film has a capillary number, which grows with the speed.
    fn speed_for_capillary_number(&self, set: &Set<'_>) -> Result<f64, ResolveError> {
        let wanted = self.wanted()?.map(|(wet, _)| wet);
        let at = |speed: f64| capillary_number(&self.line.ink, wanted, speed);
        let (mut low, mut high) = SPEEDS;
        let needed = if matches!(self.line.ink.rheology, Some(Rheology::Newtonian { .. })) {
            "viscosity and surface tension of the ink"
        } else {
            "surface tension and flow law of the ink, and a wet thickness"
        };
        for _ in 0..SPEED_HALVINGS {
            let middle = (low * high).sqrt();
            if at(middle).ok_or_else(|| needs(set.label, needed))? < set.si {
                low = middle;
            } else {
                high = middle;
            }
        }
        Ok((low * high).sqrt())
    }
}

/// Capillary number of a film with the viscosity at its own shear rate, speed over thickness (eq 1.16).
fn capillary_number(ink: &Ink, wet: Option<f64>, speed: f64) -> Option<f64> {
    let rheology = ink.rheology?;
    let rate = match (rheology, wet) {
        (Rheology::Newtonian { .. }, _) => 0.0,
        (_, wet) => speed / wet?,
    };
    Some(dimensionless::capillary_number(
        rheology.viscosity_at(rate),
        Speed::from_m_per_s(speed),
        ink.surface_tension?,
    ))
}

fn with_knob(setting: Setting, knob: Option<MeteringKnob>, si: f64) -> Setting {
    match knob {
        Some(MeteringKnob::Flow) => Setting {
            flow: Some(VolumeFlow::from_m3_per_s(si)),
            ..setting
        },
        Some(MeteringKnob::Gap) => Setting {
            gap: Some(Length::from_m(si)),
            ..setting
        },
        Some(MeteringKnob::WireDiameter) => Setting {
            wire_diameter: Some(Length::from_m(si)),
            ..setting
        },
        Some(MeteringKnob::CellVolume) => Setting {
            cell_volume: Some(CellVolume::from_m3_per_m2(si)),
            ..setting
        },
        Some(MeteringKnob::SpeedRatio) => Setting {
            speed_ratio: Some(si),
            ..setting
        },
        None => setting,
    }
}

fn knob_value(setting: &Setting, knob: MeteringKnob) -> Option<f64> {
    match knob {
        MeteringKnob::Flow => setting.flow.map(VolumeFlow::m3_per_s),
        MeteringKnob::Gap => setting.gap.map(Length::m),
        MeteringKnob::WireDiameter => setting.wire_diameter.map(Length::m),
        MeteringKnob::CellVolume => setting.cell_volume.map(CellVolume::m3_per_m2),
        MeteringKnob::SpeedRatio => setting.speed_ratio,
    }
}

/// Coating gap [m] from the gap or its ratio to the wet thickness.
fn gap(
    knobs: &Knobs<'_>,
    wet: Option<f64>,
    followed: &mut Vec<Followed>,
) -> Result<Option<f64>, ResolveError> {
    let Some(set) = knobs.set_of(Family::Gap)? else {
        return Ok(None);
    };
    if set.role == Role::GapToWet {
        let gap = set.si * wet.ok_or_else(|| needs(set.label, "a wet thickness"))?;
        follow(followed, Role::Gap, gap);
        return Ok(Some(gap));
    }
    if let Some(wet) = wet {
        follow(followed, Role::GapToWet, set.si / wet);
    }
    Ok(Some(set.si))
}

/// Lamp power as a share of full power from the share or the dose [J/m²] (eq 7.1).
fn uv_power(
    knobs: &Knobs<'_>,
    speed: Option<f64>,
    followed: &mut Vec<Followed>,
) -> Result<Option<f64>, ResolveError> {
    let Some(set) = knobs.set_of(Family::Uv)? else {
        return Ok(None);
    };
    let lamp = knobs.project.station(StationKind::Ultraviolet);
    let full = lamp.and_then(|card| {
        let irradiance = Irradiance::from_w_per_m2(card.si(Field::UvIrradiance)?);
        let window = Length::from_m(card.si(Field::UvWindow)?);
        Some(exposure_dose(irradiance, window, Speed::from_m_per_s(speed?)).j_per_m2())
    });
    if set.role == Role::UvDose {
        let needed = "web speed, irradiance and window of the lamp";
        let power = set.si / full.ok_or_else(|| needs(set.label, needed))?;
        follow(followed, Role::UvPower, power);
        return Ok(Some(power));
    }
    if let Some(full) = full {
        follow(followed, Role::UvDose, set.si * full);
    }
    Ok(Some(set.si))
}

/// Plasma power [W] from the power or the dose [J/m²].
fn plasma_power(
    knobs: &Knobs<'_>,
    speed: Option<f64>,
    followed: &mut Vec<Followed>,
) -> Result<Option<f64>, ResolveError> {
    let Some(set) = knobs.set_of(Family::Plasma)? else {
        return Ok(None);
    };
    let width = knobs
        .project
        .station(StationKind::Plasma)
        .and_then(|plasma| plasma.si(Field::ElectrodeWidth));
    let area_rate = speed.zip(width).map(|(speed, width)| speed * width);
    if set.role == Role::PlasmaDose {
        let needed = "web speed and the plasma's electrode width";
        let power = set.si * area_rate.ok_or_else(|| needs(set.label, needed))?;
        follow(followed, Role::PlasmaPower, power);
        return Ok(Some(power));
    }
    if let Some(area_rate) = area_rate {
        follow(followed, Role::PlasmaDose, set.si / area_rate);
    }
    Ok(Some(set.si))
}
