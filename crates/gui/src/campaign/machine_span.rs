//! What the machine can be set to, in the unit of a setting.

use super::card::{Card, Field};
use super::project::{Project, Role, SettingEntry, StationKind};
use super::unit::Unit;

/// The machine's span of a setting that is a knob of its own, in the setting's unit; `None` for what only follows from
/// knobs, for spans that are not stated and for settings of the user's own.
pub fn machine_span(project: &Project, setting: &SettingEntry) -> Option<(f64, f64)> {
    let (card, least, greatest): (&Card, Field, Field) = match setting.role {
        Role::Speed => (
            &project.line.as_ref()?.card,
            Field::SpeedLeast,
            Field::SpeedGreatest,
        ),
        Role::Gap => (&project.head()?.card, Field::GapLeast, Field::GapGreatest),
        Role::Flow => (&project.head()?.card, Field::FlowLeast, Field::FlowGreatest),
        Role::PlasmaPower => (
            project.station(StationKind::Plasma)?,
            Field::PowerLeast,
            Field::PowerGreatest,
        ),
        Role::RollerTemperature => (
            project.station(StationKind::HeatedRoller)?,
            Field::TemperatureLeast,
            Field::TemperatureGreatest,
        ),
        Role::InfraredPower => (
            project.station(StationKind::Infrared)?,
            Field::IrradianceLeast,
            Field::IrradianceGreatest,
        ),
        Role::UvPower => (
            project.station(StationKind::Ultraviolet)?,
            Field::UvPowerLeast,
            Field::UvPowerGreatest,
        ),
        Role::GasTemperature => (
            project.station(StationKind::HotGasDryer)?,
            Field::TemperatureLeast,
            Field::TemperatureGreatest,
        ),
        Role::Tension => (
            &project.line.as_ref()?.card,
            Field::TensionLeast,
            Field::TensionGreatest,
        ),
        Role::NipLoad => (
            project.station(StationKind::Laminator)?,
            Field::NipLoadLeast,
            Field::NipLoadGreatest,
        ),
        Role::LaminationTemperature => (
            project.station(StationKind::Laminator)?,
            Field::TemperatureLeast,
            Field::TemperatureGreatest,
        ),
        Role::DryerTime
        | Role::WetThickness
        | Role::DryThickness
        | Role::CoatWeight
        | Role::GapToWet
        | Role::WireDiameter
        | Role::CellVolume
        | Role::SpeedRatio
        | Role::Impression
        | Role::CapillaryNumber
        | Role::InkTemperature
        | Role::Vacuum
        | Role::PlasmaDose
        | Role::UvDose
        | Role::Solids
        | Role::Viscosity
        | Role::Free => return None,
    };
    let unit = Unit::parse_for(&setting.unit, setting.role.dimension()?).ok()?;
    Some((
        unit.from_si(card.si(least)?),
        unit.from_si(card.si(greatest)?),
    ))
}
