//! Cards to start from: generic inks, foils and a lab coater, and the settings and goals people usually begin with.
//!
//! Values are typical, not measured: every number says so, and the user is asked to replace it. Foil figures follow
//! the handbook table of `wetlane-physics`; the coater is invented and common in size.

use wetlane_physics::HeadKind;

use super::card::{Card, Entry, Field, HowKnown, NumberEntry};
use super::head_switch::own_settings;
use super::project::{
    Effort, EffortClass, Goal, Importance, LineCard, Project, Quality, QualityKind, QualityScale,
    Role, SettingEntry, SettingValue, StationCard, StationKind, Variation, WebMode,
};
use super::unit::Unit;

/// One number of a preset.
type Row = (Field, f64, &'static str);

/// A card with typical numbers and words; rows whose unit is unknown are left out, which a test rules out.
fn card(name: &str, note: &str, numbers: &[Row], words: &[(Field, &str)]) -> Card {
    let mut card = Card {
        name: name.to_owned(),
        note: note.to_owned(),
        ..Card::default()
    };
    for (field, value, unit) in numbers {
        if let Ok(unit) = Unit::parse(unit) {
            let entry = NumberEntry {
                value: *value,
                unit,
                known: HowKnown::Typical,
            };
            card.fields.insert(*field, Entry::Number(entry));
        }
    }
    for (field, word) in words {
        card.fields.insert(*field, Entry::Word((*word).to_owned()));
    }
    card
}

/// Inks to start from, all typical values of their kind.
pub fn inks() -> Vec<Card> {
    let note = "Typical of its kind, not measured. Put your own figures in.";
    vec![
        card(
            "Water-based dispersion",
            note,
            &[
                (Field::Viscosity, 8.0, "mPa·s"),
                (Field::SurfaceTension, 32.0, "mN/m"),
                (Field::Density, 0.99, "g/cm³"),
                (Field::Solids, 1.1, "%"),
                (Field::DryDensity, 1.1, "g/cm³"),
                (Field::AngleOnLip, 30.0, "°"),
                (Field::AngleOnFoil, 20.0, "°"),
            ],
            &[(Field::Solvent, "water"), (Field::Activity, "free")],
        ),
        card(
            "Nanowires in water and alcohol",
            note,
            &[
                (Field::Viscosity, 12.0, "mPa·s"),
                (Field::SurfaceTension, 28.0, "mN/m"),
                (Field::Density, 0.98, "g/cm³"),
                (Field::Solids, 0.3, "%"),
                (Field::LargestParticle, 13.0, "µm"),
                (Field::AngleOnLip, 30.0, "°"),
                (Field::AngleOnFoil, 20.0, "°"),
                (Field::PotLife, 8.0, "h"),
            ],
            &[(Field::Solvent, "water"), (Field::Activity, "free")],
        ),
        card(
            "Polymer in toluene",
            note,
            &[
                (Field::Viscosity, 15.0, "mPa·s"),
                (Field::SurfaceTension, 28.5, "mN/m"),
                (Field::Density, 0.87, "g/cm³"),
                (Field::Solids, 2.0, "%"),
                (Field::DryDensity, 1.1, "g/cm³"),
                (Field::AngleOnLip, 20.0, "°"),
                (Field::AngleOnFoil, 10.0, "°"),
            ],
            &[(Field::Solvent, "toluene"), (Field::Activity, "polymer")],
        ),
        card(
            "Thick slurry in water",
            note,
            &[
                (Field::Consistency, 6.0, "Pa·s"),
                (Field::FlowIndex, 0.65, "×"),
                (Field::SurfaceTension, 45.0, "mN/m"),
                (Field::Density, 1.7, "g/cm³"),
                (Field::Solids, 65.0, "%"),
                (Field::LargestParticle, 20.0, "µm"),
                (Field::AngleOnLip, 30.0, "°"),
                (Field::AngleOnFoil, 40.0, "°"),
            ],
            &[(Field::Solvent, "water"), (Field::Activity, "free")],
        ),
    ]
}

/// Foils to start from.
pub fn foils() -> Vec<Card> {
    let note = "Handbook values of its material; the energy is that of untreated foil.";
    vec![
        card(
            "Polyester 125 µm",
            note,
            &[
                (Field::Thickness, 125.0, "µm"),
                (Field::SurfaceEnergy, 41.0, "mN/m"),
                (Field::HighestTemperature, 120.0, "°C"),
                (Field::RollLength, 40.0, "m"),
            ],
            &[(Field::Material, "pet")],
        ),
        card(
            "Polyester 50 µm, heat-stabilised",
            note,
            &[
                (Field::Thickness, 50.0, "µm"),
                (Field::SurfaceEnergy, 41.0, "mN/m"),
                (Field::RollLength, 50.0, "m"),
            ],
            &[(Field::Material, "pet_heat_stabilised")],
        ),
        card(
            "Polyimide 50 µm",
            note,
            &[
                (Field::Thickness, 50.0, "µm"),
                (Field::SurfaceEnergy, 40.0, "mN/m"),
                (Field::RollLength, 20.0, "m"),
            ],
            &[(Field::Material, "polyimide")],
        ),
        card(
            "Aluminium 15 µm",
            note,
            &[
                (Field::Thickness, 15.0, "µm"),
                (Field::RollLength, 60.0, "m"),
            ],
            &[(Field::Material, "aluminium")],
        ),
    ]
}

/// A compact lab coater with a slot die, invented and common in size.
pub fn lab_coater() -> LineCard {
    lab_coater_with(HeadKind::SlotDie)
}

/// The lab coater with another head.
pub fn lab_coater_with(head: HeadKind) -> LineCard {
    let none: &[(Field, &str)] = &[];
    LineCard {
        web: WebMode::RollToRoll,
        card: card(
            "Lab coater",
            "Invented, common in size. Replace the figures with those of your machine.",
            &[
                (Field::SpeedLeast, 0.1, "m/min"),
                (Field::SpeedGreatest, 6.0, "m/min"),
                (Field::RoomTemperature, 22.0, "°C"),
                (Field::RelativeHumidity, 50.0, "%"),
                (Field::OpenPath, 0.4, "m"),
                (Field::OpenPathH, 8.0, "W/m²K"),
                (Field::Leader, 5.0, "m"),
            ],
            none,
        ),
        stations: vec![plasma(), head_station(head), dryer()],
    }
}

/// The plasma station of the lab coater.
pub fn plasma() -> StationCard {
    StationCard {
        kind: StationKind::Plasma,
        card: card(
            "Plasma",
            "",
            &[
                (Field::ElectrodeWidth, 120.0, "mm"),
                (Field::PowerLeast, 0.3, "W"),
                (Field::PowerGreatest, 60.0, "W"),
                (Field::SaturatedEnergy, 58.0, "mN/m"),
                (Field::CharacteristicDose, 15.0, "W·min/m²"),
            ],
            &[],
        ),
    }
}

/// The slot die of the lab coater with its pump.
pub fn slot_die() -> StationCard {
    StationCard {
        kind: StationKind::SlotDie,
        card: card(
            "Slot die",
            "",
            &[
                (Field::CoatedWidth, 100.0, "mm"),
                (Field::DownstreamLip, 0.5, "mm"),
                (Field::UpstreamLip, 0.5, "mm"),
                (Field::UpstreamGapRatio, 1.0, "×"),
                (Field::LipCorner, 90.0, "°"),
                (Field::GapLeast, 50.0, "µm"),
                (Field::GapGreatest, 500.0, "µm"),
                (Field::FlowLeast, 0.05, "mL/min"),
                (Field::FlowGreatest, 30.0, "mL/min"),
                (Field::DeadVolume, 4.0, "mL"),
            ],
            &[(Field::VacuumBox, "no")],
        ),
    }
}

/// A knife over a roll, with what feeds its bank.
pub fn knife() -> StationCard {
    StationCard {
        kind: StationKind::Knife,
        card: card(
            "Knife over roll",
            "",
            &[
                (Field::CoatedWidth, 100.0, "mm"),
                (Field::LandLength, 2.0, "mm"),
                (Field::BankHeight, 10.0, "mm"),
                (Field::RunOut, 5.0, "µm"),
                (Field::GapLeast, 10.0, "µm"),
                (Field::GapGreatest, 1000.0, "µm"),
                (Field::DeadVolume, 10.0, "mL"),
            ],
            &[(Field::KnifeShape, "flat_land")],
        ),
    }
}

/// A wire-wound bar, with what feeds it.
pub fn wire_bar() -> StationCard {
    StationCard {
        kind: StationKind::WireBar,
        card: card(
            "Wire-wound bar",
            "",
            &[
                (Field::CoatedWidth, 100.0, "mm"),
                (Field::WireDiameter, 0.2, "mm"),
                (Field::DeadVolume, 5.0, "mL"),
            ],
            &[],
        ),
    }
}

/// A gravure unit with a pressed web.
pub fn gravure() -> StationCard {
    StationCard {
        kind: StationKind::Gravure,
        card: card(
            "Gravure",
            "",
            &[
                (Field::CoatedWidth, 100.0, "mm"),
                (Field::CellVolume, 20.0, "cm³/m²"),
                (Field::CellLines, 60.0, "lines/cm"),
                (Field::Pickout, 45.0, "%"),
                (Field::DoctorToNip, 50.0, "mm"),
                (Field::EngravedDiameter, 100.0, "mm"),
                (Field::DeadVolume, 20.0, "mL"),
            ],
            &[(Field::GravureArrangement, "nip_pressed")],
        ),
    }
}

/// A flexo unit with a chambered anilox that prints a solid.
pub fn flexo() -> StationCard {
    StationCard {
        kind: StationKind::Flexo,
        card: card(
            "Flexo",
            "",
            &[
                (Field::CoatedWidth, 100.0, "mm"),
                (Field::CellVolume, 10.0, "cm³/m²"),
                (Field::CellLines, 120.0, "lines/cm"),
                (Field::DoctorToNip, 40.0, "mm"),
                (Field::EngravedDiameter, 80.0, "mm"),
                (Field::PrintedShare, 100.0, "%"),
                (Field::DeadVolume, 20.0, "mL"),
            ],
            &[(Field::AniloxMetering, "chambered")],
        ),
    }
}

/// The station of a head to start from.
pub fn head_station(head: HeadKind) -> StationCard {
    match head {
        HeadKind::SlotDie => slot_die(),
        HeadKind::Knife => knife(),
        HeadKind::WireBar => wire_bar(),
        HeadKind::Gravure => gravure(),
        HeadKind::Flexo => flexo(),
    }
}

/// The heated roller of the lab coater.
pub fn heated_roller() -> StationCard {
    StationCard {
        kind: StationKind::HeatedRoller,
        card: card(
            "Heated roller",
            "",
            &[
                (Field::RollerDiameter, 100.0, "mm"),
                (Field::RollerWrap, 180.0, "°"),
                (Field::RollerContact, 300.0, "W/m²K"),
                (Field::TemperatureLeast, 20.0, "°C"),
                (Field::TemperatureGreatest, 90.0, "°C"),
            ],
            &[],
        ),
    }
}

/// Infrared lamps before the dryer.
pub fn infrared() -> StationCard {
    StationCard {
        kind: StationKind::Infrared,
        card: card(
            "Infrared lamps",
            "",
            &[
                (Field::InfraredLength, 0.3, "m"),
                (Field::InfraredAbsorbed, 50.0, "%"),
                (Field::InfraredH, 10.0, "W/m²K"),
                (Field::IrradianceLeast, 0.0, "kW/m²"),
                (Field::IrradianceGreatest, 15.0, "kW/m²"),
            ],
            &[(Field::InfraredPlace, "before_dryer")],
        ),
    }
}

/// The hot-gas dryer of the lab coater.
pub fn dryer() -> StationCard {
    StationCard {
        kind: StationKind::HotGasDryer,
        card: card(
            "Hot-gas dryer",
            "",
            &[
                (Field::DryerLength, 1.2, "m"),
                (Field::HTop, 30.0, "W/m²K"),
                (Field::HBottom, 10.0, "W/m²K"),
                (Field::TemperatureLeast, 40.0, "°C"),
                (Field::TemperatureGreatest, 140.0, "°C"),
                (Field::ResidualSolvent, 5.0, "%"),
            ],
            &[(Field::Gas, "air")],
        ),
    }
}

/// A laminator that lays a polyester foil with a hot melt on the film.
pub fn laminator() -> StationCard {
    StationCard {
        kind: StationKind::Laminator,
        card: card(
            "Laminator",
            "",
            &[
                (Field::BondPressure, 100.0, "kPa"),
                (Field::BondDwell, 0.1, "s"),
                (Field::Softening, 85.0, "°C"),
                (Field::LaidThickness, 50.0, "µm"),
                (Field::LaidTension, 0.5, "N/cm"),
                (Field::HotNipRoller, 100.0, "mm"),
                (Field::CounterNipRoller, 100.0, "mm"),
                (Field::RubberModulus, 5.0, "MPa"),
                (Field::NipLoadLeast, 0.5, "N/mm"),
                (Field::NipLoadGreatest, 10.0, "N/mm"),
                (Field::TemperatureLeast, 20.0, "°C"),
                (Field::TemperatureGreatest, 150.0, "°C"),
            ],
            &[(Field::Adhesive, "hot_melt"), (Field::LaidMaterial, "pet")],
        ),
    }
}

/// An ultraviolet lamp after the dryer, in air.
pub fn ultraviolet() -> StationCard {
    StationCard {
        kind: StationKind::Ultraviolet,
        card: card(
            "UV lamp",
            "",
            &[
                (Field::UvIrradiance, 200.0, "mW/cm²"),
                (Field::UvPeak, 400.0, "mW/cm²"),
                (Field::UvWindow, 50.0, "mm"),
                (Field::UvWavelength, 365.0, "nm"),
                (Field::UvOxygen, 21.0, "%"),
                (Field::UvAbsorbed, 60.0, "%"),
                (Field::UvPowerLeast, 10.0, "%"),
                (Field::UvPowerGreatest, 100.0, "%"),
            ],
            &[],
        ),
    }
}

/// A setting, fixed, with its usual unit, range and effort.
pub fn setting(role: Role) -> SettingEntry {
    let (id, unit, now, minutes, class) = match role {
        Role::Speed => ("speed", "m/min", 1.2, 0.0, EffortClass::OnTheFly),
        Role::DryerTime => ("dryer_time", "s", 60.0, 0.0, EffortClass::OnTheFly),
        Role::Flow => ("flow", "mL/min", 2.0, 0.0, EffortClass::OnTheFly),
        Role::WetThickness => ("wet_thickness", "µm", 17.0, 0.0, EffortClass::OnTheFly),
        Role::DryThickness => ("dry_thickness", "nm", 100.0, 0.0, EffortClass::OnTheFly),
        Role::CoatWeight => ("coat_weight", "g/m²", 0.2, 0.0, EffortClass::OnTheFly),
        Role::Gap => ("gap", "µm", 150.0, 6.0, EffortClass::StopAndWait),
        Role::GapToWet => ("gap_to_wet", "×", 5.0, 6.0, EffortClass::StopAndWait),
        Role::WireDiameter => ("wire_diameter", "mm", 0.2, 8.0, EffortClass::StopAndWait),
        Role::CellVolume => ("cell_volume", "cm³/m²", 20.0, 30.0, EffortClass::StripDown),
        Role::Impression => ("impression", "µm", 50.0, 2.0, EffortClass::StopAndWait),
        Role::SpeedRatio => ("speed_ratio", "×", 1.0, 0.0, EffortClass::OnTheFly),
        Role::CapillaryNumber => ("capillary_number", "×", 0.01, 0.0, EffortClass::OnTheFly),
        Role::InkTemperature => (
            "ink_temperature",
            "°C",
            25.0,
            15.0,
            EffortClass::StopAndWait,
        ),
        Role::Vacuum => ("vacuum", "Pa", 0.0, 1.0, EffortClass::OnTheFly),
        Role::PlasmaPower => ("plasma_power", "W", 5.0, 0.0, EffortClass::OnTheFly),
        Role::PlasmaDose => ("plasma_dose", "W·min/m²", 20.0, 0.0, EffortClass::OnTheFly),
        Role::RollerTemperature => (
            "roller_temperature",
            "°C",
            40.0,
            15.0,
            EffortClass::StopAndWait,
        ),
        Role::UvPower => ("uv_power", "%", 50.0, 0.0, EffortClass::OnTheFly),
        Role::UvDose => ("uv_dose", "mJ/cm²", 300.0, 0.0, EffortClass::OnTheFly),
        Role::InfraredPower => ("infrared", "kW/m²", 5.0, 2.0, EffortClass::OnTheFly),
        Role::GasTemperature => (
            "air_temperature",
            "°C",
            90.0,
            12.0,
            EffortClass::StopAndWait,
        ),
        Role::Tension => ("tension", "N/cm", 1.0, 2.0, EffortClass::OnTheFly),
        Role::NipLoad => ("nip_load", "N/mm", 2.0, 1.0, EffortClass::OnTheFly),
        Role::LaminationTemperature => (
            "lamination_temperature",
            "°C",
            100.0,
            15.0,
            EffortClass::StopAndWait,
        ),
        Role::Solids => ("solids", "%", 1.0, 35.0, EffortClass::StripDown),
        Role::Viscosity => ("viscosity", "mPa·s", 10.0, 35.0, EffortClass::StripDown),
        Role::Free => ("setting", "", 0.0, 0.0, EffortClass::OnTheFly),
    };
    SettingEntry {
        id: id.to_owned(),
        label: role.label().to_owned(),
        role,
        unit: unit.to_owned(),
        now: SettingValue::Number(now),
        variation: Variation::Fixed,
        step: None,
        scatter: None,
        effort: Effort { class, minutes },
    }
}

/// A setting as [`setting`] has it, under an id and a name that the project does not have yet.
pub fn new_setting(project: &Project, role: Role) -> SettingEntry {
    let usual = setting(role);
    let mut entry = usual.clone();
    let mut number = 2;
    while project.setting(&entry.id).is_some() {
        entry.id = format!("{}_{number}", usual.id);
        entry.label = format!("{} {number}", usual.label);
        number += 1;
    }
    entry
}

/// The range over which a setting is varied unless the user says otherwise.
pub const fn usual_range(role: Role) -> Option<(f64, f64)> {
    match role {
        Role::Speed => Some((0.6, 2.4)),
        Role::DryerTime => Some((30.0, 120.0)),
        Role::Flow => Some((1.0, 4.0)),
        Role::WetThickness => Some((10.0, 24.0)),
        Role::DryThickness => Some((50.0, 150.0)),
        Role::CoatWeight => Some((0.1, 0.3)),
        Role::Gap => Some((100.0, 250.0)),
        Role::GapToWet => Some((2.0, 10.0)),
        Role::WireDiameter => Some((0.1, 0.4)),
        Role::CellVolume => Some((12.0, 30.0)),
        Role::Impression => Some((20.0, 80.0)),
        Role::SpeedRatio => Some((0.8, 1.2)),
        Role::CapillaryNumber => Some((0.005, 0.02)),
        Role::InkTemperature => Some((20.0, 40.0)),
        Role::Vacuum => Some((0.0, 200.0)),
        Role::PlasmaPower => Some((2.0, 20.0)),
        Role::PlasmaDose => Some((5.0, 40.0)),
        Role::RollerTemperature => Some((30.0, 70.0)),
        Role::UvPower => Some((20.0, 100.0)),
        Role::UvDose => Some((100.0, 500.0)),
        Role::InfraredPower => Some((0.0, 10.0)),
        Role::GasTemperature => Some((70.0, 110.0)),
        Role::Tension => Some((0.5, 2.0)),
        Role::NipLoad => Some((1.0, 5.0)),
        Role::LaminationTemperature => Some((90.0, 115.0)),
        Role::Solids => Some((0.5, 1.5)),
        Role::Viscosity => Some((5.0, 15.0)),
        Role::Free => None,
    }
}

/// A film quality with nothing wanted of it yet.
pub fn quality(id: &str, label: &str, unit: &str) -> Quality {
    Quality {
        id: id.to_owned(),
        label: label.to_owned(),
        unit: unit.to_owned(),
        kind: QualityKind::Continuous,
        goal: Goal::Watch,
        importance: Importance::Must,
        weight: 1.0,
        places: Vec::new(),
        classes: Vec::new(),
        scale: QualityScale::Plain,
    }
}

/// The knobs that a station beside the head has, in the unit that matters; those of a head are its own.
pub const fn station_settings(kind: StationKind) -> &'static [Role] {
    match kind {
        StationKind::Plasma => &[Role::PlasmaDose],
        StationKind::HeatedRoller => &[Role::RollerTemperature],
        StationKind::Infrared => &[Role::InfraredPower],
        StationKind::HotGasDryer => &[Role::GasTemperature],
        StationKind::Laminator => &[Role::NipLoad, Role::LaminationTemperature],
        StationKind::Ultraviolet => &[Role::UvDose],
        StationKind::SlotDie
        | StationKind::Knife
        | StationKind::WireBar
        | StationKind::Gravure
        | StationKind::Flexo => &[],
    }
}

/// Settings that a new project on a line starts with, all fixed.
pub fn starting_settings(line: &LineCard) -> Vec<SettingEntry> {
    let mut roles = vec![Role::Speed];
    let head = line.stations.iter().find_map(|station| station.kind.head());
    roles.extend_from_slice(head.map_or(&[], own_settings));
    for station in &line.stations {
        roles.extend_from_slice(station_settings(station.kind));
    }
    roles.into_iter().map(setting).collect()
}

/// A new project on a line with these cards.
pub fn new_project(
    title: &str,
    seed: u64,
    created: String,
    ink: Card,
    foil: Card,
    line: LineCard,
) -> Project {
    let mut project = Project::new(title, uuid::Uuid::new_v4().to_string(), created, seed);
    project.settings = starting_settings(&line);
    project.ink = ink;
    project.foil = foil;
    project.line = Some(line);
    project
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::campaign::validity::problems_of;

    #[test]
    fn every_preset_makes_a_valid_project_with_all_its_numbers() {
        for ink in inks() {
            for foil in foils() {
                let project =
                    new_project("test", 1, String::new(), ink.clone(), foil, lab_coater());
                assert_eq!(problems_of(&project), Vec::new(), "{}", ink.name);
            }
        }
        let mut stations = lab_coater().stations;
        stations.push(heated_roller());
        let n_numbers: usize = stations
            .iter()
            .map(|station| station.card.fields.len())
            .sum();
        assert_eq!(
            n_numbers,
            5 + 11 + 7 + 5,
            "a row was dropped: its unit is unknown"
        );
    }
}
