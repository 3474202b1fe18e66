//! Which fields a card has, in the order in which people think of them.

use super::card::Field;
use super::command::CardRef;
use super::project::{Project, StationKind, WebMode};

const INK: &[Field] = &[
    Field::Viscosity,
    Field::Consistency,
    Field::FlowIndex,
    Field::RestViscosity,
    Field::HighRateViscosity,
    Field::TimeConstant,
    Field::YieldStress,
    Field::ShearRateLeast,
    Field::ShearRateGreatest,
    Field::ViscosityTemperature,
    Field::ActivationEnergy,
    Field::SurfaceTension,
    Field::Density,
    Field::Solids,
    Field::DryDensity,
    Field::DryPorosity,
    Field::LargestParticle,
    Field::Solvent,
    Field::Activity,
    Field::FilmDiffusivity,
    Field::CriticalResidual,
    Field::WetDiffusivity,
    Field::ParticleDiameter,
    Field::ParticleModulus,
    Field::CureDose,
    Field::CureIrradiance,
    Field::CureAbsorbance,
    Field::Cure,
    Field::AngleOnLip,
    Field::AngleOnFoil,
    Field::DispersiveTension,
    Field::PotLife,
    Field::IgnitionEnergy,
];
const FOIL: &[Field] = &[
    Field::Material,
    Field::Thickness,
    Field::SurfaceEnergy,
    Field::DispersiveEnergy,
    Field::HighestTemperature,
    Field::AllowedShrinkage,
    Field::RollLength,
    Field::FoilWidth,
    Field::FoilModulus,
    Field::FoilYieldStress,
    Field::FoilExpansion,
];
/// Fields of every line, then those of its web, then those of its room.
const LINE: &[Field] = &[
    Field::SpeedLeast,
    Field::SpeedGreatest,
    Field::OpenPath,
    Field::OpenPathH,
    Field::Leader,
    Field::InspectionPath,
    Field::AllowedShift,
    Field::TensionControl,
    Field::Draw,
    Field::TensionLeast,
    Field::TensionGreatest,
    Field::TrackingTension,
    Field::LongestSpan,
    Field::Misalignment,
    Field::IdlerDiameter,
    Field::WebRoughness,
    Field::ThreadingSpeed,
    Field::RoomTemperature,
    Field::RelativeHumidity,
    Field::RoomVolume,
    Field::FreshAir,
    Field::RoomExtract,
    Field::SpillVolume,
];
/// The line whose foil is clamped on one roll: no leader and no tension.
const SINGLE_ROLL_LINE: &[Field] = &[
    Field::SpeedLeast,
    Field::SpeedGreatest,
    Field::OpenPath,
    Field::OpenPathH,
    Field::InspectionPath,
    Field::AllowedShift,
    Field::SingleRollDiameter,
    Field::Clamp,
    Field::ThreadingSpeed,
    Field::RoomTemperature,
    Field::RelativeHumidity,
    Field::RoomVolume,
    Field::FreshAir,
    Field::RoomExtract,
    Field::SpillVolume,
];
const PLASMA: &[Field] = &[
    Field::ElectrodeWidth,
    Field::PowerLeast,
    Field::PowerGreatest,
    Field::SaturatedEnergy,
    Field::CharacteristicDose,
    Field::TreatmentAge,
    Field::AgeingTime,
    Field::Exhaust,
];
const SLOT_DIE: &[Field] = &[
    Field::CoatedWidth,
    Field::DownstreamLip,
    Field::UpstreamLip,
    Field::UpstreamGapRatio,
    Field::LipCorner,
    Field::FeedSlotHeight,
    Field::FeedSlotLength,
    Field::SlotHeightError,
    Field::ManifoldRadius,
    Field::VacuumBox,
    Field::GapLeast,
    Field::GapGreatest,
    Field::GapTolerance,
    Field::FlowLeast,
    Field::FlowGreatest,
    Field::SyringeVolume,
    Field::DeadVolume,
    Field::SyringeBore,
    Field::GreatestForce,
    Field::PlungerFriction,
    Field::TubeBore,
    Field::TubeLength,
    Field::FilterDrop,
    Field::TrappedAir,
    Field::StepVolume,
    Field::AllowedLag,
    Field::LevelAboveLips,
    Field::PressureRating,
    Field::GapSetAt,
    Field::BackingDiameter,
    Field::BackingTemperature,
    Field::HeadLength,
    Field::HeadTemperature,
];
const KNIFE: &[Field] = &[
    Field::CoatedWidth,
    Field::KnifeShape,
    Field::FilmOverGap,
    Field::InletGapRatio,
    Field::LandLength,
    Field::BankHeight,
    Field::KnifeDiameter,
    Field::RunOut,
    Field::GapLeast,
    Field::GapGreatest,
    Field::GapTolerance,
    Field::ThicknessTolerance,
    Field::FlowLeast,
    Field::FlowGreatest,
    Field::SyringeVolume,
    Field::DeadVolume,
    Field::GapSetAt,
    Field::BackingDiameter,
    Field::BackingTemperature,
    Field::HeadLength,
    Field::HeadTemperature,
];
const WIRE_BAR: &[Field] = &[
    Field::CoatedWidth,
    Field::WireDiameter,
    Field::FilmOverWire,
    Field::ThicknessTolerance,
    Field::FlowLeast,
    Field::FlowGreatest,
    Field::SyringeVolume,
    Field::DeadVolume,
];
const GRAVURE: &[Field] = &[
    Field::CoatedWidth,
    Field::GravureArrangement,
    Field::CellVolume,
    Field::CellDepthRatio,
    Field::CellLines,
    Field::DoctorToNip,
    Field::EngravedDiameter,
    Field::EngravedGap,
    Field::Pickout,
    Field::PickoutExponent,
    Field::PickoutReference,
    Field::FillingCapillaryNumber,
    Field::ThicknessTolerance,
    Field::FlowLeast,
    Field::FlowGreatest,
    Field::SyringeVolume,
    Field::DeadVolume,
];
const FLEXO: &[Field] = &[
    Field::CoatedWidth,
    Field::AniloxMetering,
    Field::CellVolume,
    Field::CellDepthRatio,
    Field::CellLines,
    Field::DoctorToNip,
    Field::EngravedDiameter,
    Field::EngravedGap,
    Field::ToPlate,
    Field::ToFoil,
    Field::PrintedShare,
    Field::PlateLines,
    Field::ThicknessTolerance,
    Field::FlowLeast,
    Field::FlowGreatest,
    Field::SyringeVolume,
    Field::DeadVolume,
];
const ROLLER: &[Field] = &[
    Field::RollerDiameter,
    Field::RollerWrap,
    Field::RollerContact,
    Field::TemperatureLeast,
    Field::TemperatureGreatest,
];
const INFRARED: &[Field] = &[
    Field::InfraredPlace,
    Field::InfraredLength,
    Field::InfraredAbsorbed,
    Field::InfraredH,
    Field::IrradianceLeast,
    Field::IrradianceGreatest,
];
const DRYER: &[Field] = &[
    Field::DryerLength,
    Field::Gas,
    Field::HTop,
    Field::HBottom,
    Field::TemperatureLeast,
    Field::TemperatureGreatest,
    Field::FreshGas,
    Field::ResidualSolvent,
    Field::ResidualTarget,
    Field::GasSpeed,
    Field::JetSpeed,
    Field::JetReach,
    Field::HeaterPower,
    Field::CoolestWall,
    Field::GasVolume,
];
const LAMINATOR: &[Field] = &[
    Field::Adhesive,
    Field::BondPressure,
    Field::BondDwell,
    Field::Softening,
    Field::AdhesiveHighest,
    Field::AdhesiveActivation,
    Field::AdhesiveModulus,
    Field::LaidMaterial,
    Field::LaidThickness,
    Field::LaidTension,
    Field::HotNipRoller,
    Field::CounterNipRoller,
    Field::RubberModulus,
    Field::LaminatorInlet,
    Field::NipLoadLeast,
    Field::NipLoadGreatest,
    Field::TemperatureLeast,
    Field::TemperatureGreatest,
];
const ULTRAVIOLET: &[Field] = &[
    Field::UvIrradiance,
    Field::UvPeak,
    Field::UvWindow,
    Field::UvWavelength,
    Field::UvOxygen,
    Field::UvCover,
    Field::UvTransmittance,
    Field::UvAbsorbed,
    Field::UvPowerLeast,
    Field::UvPowerGreatest,
];

/// Fields of a card; none for a station that is not there.
pub fn fields_of(project: &Project, card: CardRef) -> &'static [Field] {
    match card {
        CardRef::Ink => INK,
        CardRef::Foil => FOIL,
        CardRef::Line => {
            let web = project.line.as_ref().map(|line| line.web);
            match web.unwrap_or_default() {
                WebMode::RollToRoll => LINE,
                WebMode::SingleRoll => SINGLE_ROLL_LINE,
            }
        }
        CardRef::Station(index) => {
            let station = project
                .line
                .as_ref()
                .and_then(|line| line.stations.get(index));
            station.map_or(&[], |station| fields_of_station(station.kind))
        }
    }
}

/// Fields of a kind of station.
pub const fn fields_of_station(kind: StationKind) -> &'static [Field] {
    match kind {
        StationKind::Plasma => PLASMA,
        StationKind::SlotDie => SLOT_DIE,
        StationKind::Knife => KNIFE,
        StationKind::WireBar => WIRE_BAR,
        StationKind::Gravure => GRAVURE,
        StationKind::Flexo => FLEXO,
        StationKind::HeatedRoller => ROLLER,
        StationKind::Infrared => INFRARED,
        StationKind::HotGasDryer => DRYER,
        StationKind::Laminator => LAMINATOR,
        StationKind::Ultraviolet => ULTRAVIOLET,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_field_stands_on_some_card() {
        let all = [
            INK,
            FOIL,
            LINE,
            SINGLE_ROLL_LINE,
            PLASMA,
            SLOT_DIE,
            KNIFE,
            WIRE_BAR,
            GRAVURE,
            FLEXO,
            ROLLER,
            INFRARED,
            DRYER,
            LAMINATOR,
            ULTRAVIOLET,
        ]
        .concat();
        for field in Field::ALL {
            assert!(all.contains(field), "{} stands on no card", field.key());
        }
    }
}
