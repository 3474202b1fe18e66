//! What the settings of a line mean: dimension, name, place, and which of them are linked.

use wetlane_physics::{HeadKind, MeteringKnob};

use super::project::{Role, StationKind};
use super::unit::{Dimension, Unit};

/// Where on the line a setting acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RolePlace {
    /// The coating head, whichever it is, with its ink.
    Head,
    /// A station of this kind.
    Station(StationKind),
    /// The web as a whole.
    Web,
    /// No station that the program knows.
    Nowhere,
}

impl Role {
    /// What a role measures; `None` for a free setting.
    pub const fn dimension(self) -> Option<Dimension> {
        match self {
            Self::Speed => Some(Dimension::Speed),
            Self::DryerTime => Some(Dimension::Duration),
            Self::Flow => Some(Dimension::VolumeFlow),
            Self::WetThickness
            | Self::DryThickness
            | Self::Gap
            | Self::WireDiameter
            | Self::Impression => Some(Dimension::Length),
            Self::CoatWeight => Some(Dimension::AreaMass),
            Self::GapToWet | Self::CapillaryNumber | Self::SpeedRatio => Some(Dimension::Ratio),
            Self::CellVolume => Some(Dimension::CellVolume),
            Self::Vacuum => Some(Dimension::Pressure),
            Self::InfraredPower => Some(Dimension::Irradiance),
            Self::UvDose => Some(Dimension::ExposureDose),
            Self::PlasmaPower => Some(Dimension::Power),
            Self::PlasmaDose => Some(Dimension::PlasmaDose),
            Self::RollerTemperature
            | Self::GasTemperature
            | Self::LaminationTemperature
            | Self::InkTemperature => Some(Dimension::Temperature),
            Self::Tension | Self::NipLoad => Some(Dimension::LineForce),
            Self::Solids | Self::UvPower => Some(Dimension::Fraction),
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
            Self::Tension => {
                Unit::parse("N/cm").unwrap_or_else(|_| Unit::usual(Dimension::LineForce))
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
            Self::WireDiameter => "Wire diameter",
            Self::CellVolume => "Cell volume",
            Self::SpeedRatio => "Roll over web speed",
            Self::Impression => "Impression",
            Self::CapillaryNumber => "Capillary number",
            Self::InkTemperature => "Ink temperature",
            Self::Vacuum => "Vacuum",
            Self::PlasmaPower => "Plasma power",
            Self::PlasmaDose => "Plasma dose",
            Self::RollerTemperature => "Roller temperature",
            Self::InfraredPower => "Infrared",
            Self::GasTemperature => "Air temperature",
            Self::Tension => "Web tension",
            Self::NipLoad => "Nip load",
            Self::LaminationTemperature => "Laminator temperature",
            Self::UvPower => "UV lamp power",
            Self::UvDose => "UV dose",
            Self::Solids => "Solids",
            Self::Viscosity => "Viscosity",
            Self::Free => "Setting of your own",
        }
    }

    /// Where it acts.
    pub const fn place(self) -> RolePlace {
        match self {
            Self::Flow
            | Self::WetThickness
            | Self::DryThickness
            | Self::CoatWeight
            | Self::Gap
            | Self::GapToWet
            | Self::Vacuum
            | Self::WireDiameter
            | Self::CellVolume
            | Self::SpeedRatio
            | Self::Impression
            | Self::InkTemperature
            | Self::Solids
            | Self::Viscosity => RolePlace::Head,
            Self::PlasmaPower | Self::PlasmaDose => RolePlace::Station(StationKind::Plasma),
            Self::RollerTemperature => RolePlace::Station(StationKind::HeatedRoller),
            Self::InfraredPower => RolePlace::Station(StationKind::Infrared),
            Self::UvPower | Self::UvDose => RolePlace::Station(StationKind::Ultraviolet),
            Self::GasTemperature | Self::DryerTime => RolePlace::Station(StationKind::HotGasDryer),
            Self::NipLoad | Self::LaminationTemperature => {
                RolePlace::Station(StationKind::Laminator)
            }
            Self::Speed | Self::CapillaryNumber | Self::Tension => RolePlace::Web,
            Self::Free => RolePlace::Nowhere,
        }
    }

    /// The family of linked quantities that it belongs to under a head; at most one of a family is set. `None` for a
    /// setting of the user's own and for what this head does not have.
    pub const fn family_under(self, head: HeadKind) -> Option<Family> {
        let is_slot_die = matches!(head, HeadKind::SlotDie);
        Some(match self {
            Self::WetThickness | Self::DryThickness | Self::CoatWeight => Family::Metering,
            Self::Flow if is_slot_die => Family::Metering,
            Self::Flow => Family::Feed,
            Self::Gap if matches!(head, HeadKind::Knife) => Family::Metering,
            Self::Gap | Self::GapToWet if is_slot_die => Family::Gap,
            Self::WireDiameter if matches!(head, HeadKind::WireBar) => Family::Metering,
            Self::CellVolume if matches!(head, HeadKind::Gravure | HeadKind::Flexo) => {
                Family::Cells
            }
            Self::Impression if matches!(head, HeadKind::Flexo) => Family::Impression,
            Self::SpeedRatio if matches!(head, HeadKind::Gravure) => Family::RollSpeed,
            Self::Vacuum if is_slot_die => Family::Vacuum,
            Self::Gap
            | Self::GapToWet
            | Self::WireDiameter
            | Self::CellVolume
            | Self::SpeedRatio
            | Self::Impression
            | Self::Vacuum
            | Self::Free => return None,
            Self::Speed | Self::DryerTime | Self::CapillaryNumber => Family::Transport,
            Self::PlasmaPower | Self::PlasmaDose => Family::Plasma,
            Self::RollerTemperature => Family::Roller,
            Self::InfraredPower => Family::Infrared,
            Self::GasTemperature => Family::Gas,
            Self::Tension => Family::Tension,
            Self::NipLoad => Family::NipLoad,
            Self::LaminationTemperature => Family::Lamination,
            Self::UvPower | Self::UvDose => Family::Uv,
            Self::InkTemperature => Family::InkTemperature,
            Self::Solids => Family::Solids,
            Self::Viscosity => Family::Viscosity,
        })
    }

    /// The knob that a head turns for a wet thickness; `None` if the role is no such knob.
    pub const fn metering_knob(self) -> Option<MeteringKnob> {
        match self {
            Self::Flow => Some(MeteringKnob::Flow),
            Self::Gap => Some(MeteringKnob::Gap),
            Self::WireDiameter => Some(MeteringKnob::WireDiameter),
            Self::CellVolume => Some(MeteringKnob::CellVolume),
            Self::SpeedRatio => Some(MeteringKnob::SpeedRatio),
            _ => None,
        }
    }

    /// The role that a metering knob has.
    pub const fn of_knob(knob: MeteringKnob) -> Self {
        match knob {
            MeteringKnob::Flow => Self::Flow,
            MeteringKnob::Gap => Self::Gap,
            MeteringKnob::WireDiameter => Self::WireDiameter,
            MeteringKnob::CellVolume => Self::CellVolume,
            MeteringKnob::SpeedRatio => Self::SpeedRatio,
        }
    }

    /// The knobs of which one follows from a setting that no machine has a knob for; none if it is a knob itself.
    pub fn knobs_under(self, head: HeadKind) -> Vec<Self> {
        match self {
            Self::WetThickness | Self::DryThickness | Self::CoatWeight => head
                .metering_knobs()
                .iter()
                .map(|knob| Self::of_knob(*knob))
                .collect(),
            Self::GapToWet => vec![Self::Gap],
            Self::DryerTime | Self::CapillaryNumber => vec![Self::Speed],
            Self::PlasmaDose => vec![Self::PlasmaPower],
            Self::UvDose => vec![Self::UvPower],
            _ => Vec::new(),
        }
    }

    /// True if zero is a value of it.
    pub const fn may_be_zero(self) -> bool {
        matches!(
            self,
            Self::Vacuum
                | Self::PlasmaPower
                | Self::PlasmaDose
                | Self::InfraredPower
                | Self::UvPower
                | Self::UvDose
                | Self::Solids
        )
    }

    /// All roles.
    pub const ALL: [Self; 28] = [
        Self::Speed,
        Self::DryerTime,
        Self::CapillaryNumber,
        Self::WetThickness,
        Self::Flow,
        Self::DryThickness,
        Self::CoatWeight,
        Self::Gap,
        Self::GapToWet,
        Self::WireDiameter,
        Self::CellVolume,
        Self::SpeedRatio,
        Self::Impression,
        Self::Vacuum,
        Self::InkTemperature,
        Self::PlasmaDose,
        Self::PlasmaPower,
        Self::RollerTemperature,
        Self::InfraredPower,
        Self::GasTemperature,
        Self::Tension,
        Self::NipLoad,
        Self::LaminationTemperature,
        Self::UvDose,
        Self::UvPower,
        Self::Solids,
        Self::Viscosity,
        Self::Free,
    ];
}

/// Linked quantities of which exactly one is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    /// Wet thickness, dry thickness, coat weight, and the knobs of the head that set them.
    Metering,
    /// Volume of the cells of an engraved roll.
    Cells,
    /// Speed of an engraved roll over that of the web.
    RollSpeed,
    /// How far plate and foil are pressed together.
    Impression,
    /// What feeds a head that sets the film by its own geometry.
    Feed,
    /// Gap of a slot die, gap over wet thickness.
    Gap,
    /// Speed, time in the dryer, capillary number.
    Transport,
    /// Plasma power, plasma dose.
    Plasma,
    /// Vacuum.
    Vacuum,
    /// Roller temperature.
    Roller,
    /// Irradiance of the infrared lamps.
    Infrared,
    /// Gas temperature.
    Gas,
    /// Tension of the web.
    Tension,
    /// Load of the laminator's nip.
    NipLoad,
    /// Temperature of the laminator.
    Lamination,
    /// Power of the ultraviolet lamp, its dose.
    Uv,
    /// Temperature of the ink in the head.
    InkTemperature,
    /// Solids of the ink.
    Solids,
    /// Viscosity of the ink.
    Viscosity,
}
