//! Every number of the pump line, the feed slot and a cold gap is refused by its own name where it is none.

use wetlane_physics::{
    ColdGap, Compliance, Duration, Expansion, Force, Input, InputError, Length, Line, Pressure,
    Pump, Setting, Temperature, Volume, assess_nominal,
};

use crate::sample_lines::{setting, with_die, worked_example};

/// Changes the line in one place.
type Change = fn(&mut Line);

const LENGTH: Option<Length> = Some(Length::from_m(f64::NAN));
const KELVINS: Option<Temperature> = Some(Temperature::from_k(f64::NAN));
const EXPANSION: Option<Expansion> = Some(Expansion::from_per_k(f64::NAN));
const FORCE: Option<Force> = Some(Force::from_n(f64::NAN));
const PRESSURE: Option<Pressure> = Some(Pressure::from_pa(f64::NAN));
const VOLUME: Option<Volume> = Some(Volume::from_m3(f64::NAN));

macro_rules! pump {
    ($field:ident: $value:expr) => {
        |line| {
            line.pump = Some(Pump {
                $field: $value,
                ..Pump::default()
            });
        }
    };
}

macro_rules! cold_gap {
    ($field:ident: $value:expr) => {
        |line| {
            line.cold_gap = Some(ColdGap {
                $field: $value,
                ..ColdGap::default()
            });
        }
    };
}

const CHANGES: [(Input, Change); 22] = [
    (Input::SyringeBore, pump!(syringe_bore: LENGTH)),
    (Input::GreatestForce, pump!(greatest_force: FORCE)),
    (Input::PlungerFriction, pump!(plunger_friction: FORCE)),
    (Input::TubeBore, pump!(tube_bore: LENGTH)),
    (Input::TubeLength, pump!(tube_length: LENGTH)),
    (Input::FilterDrop, pump!(filter_drop: PRESSURE)),
    (Input::TrappedAir, pump!(trapped_air: VOLUME)),
    (
        Input::LineCompliance,
        pump!(line_compliance: Some(Compliance::from_m3_per_pa(f64::NAN))),
    ),
    (Input::StepVolume, pump!(step_volume: VOLUME)),
    (
        Input::AllowedLag,
        pump!(allowed_lag: Some(Duration::from_s(f64::NAN))),
    ),
    (Input::LevelAboveLips, pump!(level_above_lips: LENGTH)),
    (Input::PressureRating, pump!(pressure_rating: PRESSURE)),
    (Input::SlotHeightError, |line| {
        *line = with_die(line, |die| die.slot_height_error = LENGTH);
    }),
    (Input::ManifoldRadius, |line| {
        *line = with_die(line, |die| die.manifold_radius = LENGTH);
    }),
    (Input::InspectionPath, |line| line.inspection_path = LENGTH),
    (Input::GapSetTemperature, cold_gap!(set_at: KELVINS)),
    (
        Input::BackingRollerDiameter,
        cold_gap!(roller_diameter: LENGTH),
    ),
    (
        Input::BackingRollerExpansion,
        cold_gap!(roller_expansion: EXPANSION),
    ),
    (
        Input::BackingRollerTemperature,
        cold_gap!(roller_temperature: KELVINS),
    ),
    (Input::DieLength, cold_gap!(die_length: LENGTH)),
    (Input::DieExpansion, cold_gap!(die_expansion: EXPANSION)),
    (Input::DieTemperature, cold_gap!(die_temperature: KELVINS)),
];

fn refuse(line: &Line) -> InputError {
    assess_nominal(line, &setting(1.0, 20.0, 100.0)).expect_err("refused")
}

#[test]
fn number_that_is_none_is_refused_by_its_own_name() {
    for (input, change) in CHANGES {
        let mut line = worked_example();
        change(&mut line);
        assert_eq!(refuse(&line), InputError::NotANumber { input });
    }
}

#[test]
fn negative_foil_for_settling_is_refused() {
    let run = Setting {
        settling_granted: Some(Length::from_m(-1.0)),
        ..setting(1.0, 20.0, 100.0)
    };
    assert_eq!(
        assess_nominal(&worked_example(), &run).expect_err("refused"),
        InputError::Negative {
            input: Input::SettlingGranted,
            value: -1.0
        }
    );
}

#[test]
fn tube_without_length_and_line_without_air_are_legal() {
    let mut line = worked_example();
    line.pump = Some(Pump {
        tube_length: Some(Length::from_m(0.0)),
        trapped_air: Some(Volume::from_ml(0.0)),
        level_above_lips: Some(Length::from_m(0.0)),
        ..Pump::default()
    });
    assert!(assess_nominal(&line, &setting(1.0, 20.0, 100.0)).is_ok());
}
