//! Every number of a card is refused by its own name where it is none.

use wetlane_physics::{
    Angle, ColdGap, Compliance, Duration, Expansion, Force, Fraction, Input, InputError, Length,
    Line, Pressure, Pump, Setting, SingleRoll, Span, Speed, Station, Temperature, Volume, Web,
    WebPath, WebTension, assess_nominal,
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

macro_rules! web_path {
    ($field:ident: $value:expr) => {
        |line| {
            line.web = Some(Web::RollToRoll(WebPath {
                $field: $value,
                ..WebPath::default()
            }));
        }
    };
}

const PUMP_AND_GAP: [(Input, Change); 22] = [
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

const SHARE: Option<Fraction> = Some(Fraction::from_ratio(f64::NAN));
const ANGLE: Option<Angle> = Some(Angle::from_rad(f64::NAN));
const SPEED: Option<Speed> = Some(Speed::from_m_per_s(f64::NAN));

const WEB: [(Input, Change); 19] = [
    (Input::FoilWidth, |line| line.foil.width = LENGTH),
    (Input::FoilModulus, |line| {
        line.foil.elastic_modulus = PRESSURE;
    }),
    (Input::FoilYieldStress, |line| {
        line.foil.yield_stress = PRESSURE;
    }),
    (Input::FoilExpansion, |line| {
        line.foil.thermal_expansion = EXPANSION;
    }),
    (Input::Draw, web_path!(draw: Some(f64::NAN))),
    (
        Input::TensionSpan,
        web_path!(tension_span: Some(Span {
            least: WebTension::from_n_per_m(1.0),
            greatest: WebTension::from_n_per_m(f64::NAN),
        })),
    ),
    (
        Input::LeastTension,
        web_path!(least_tension: Some(WebTension::from_n_per_m(f64::NAN))),
    ),
    (Input::StressShare, web_path!(stress_share: SHARE)),
    (Input::ShrinkageShare, web_path!(shrinkage_share: SHARE)),
    (Input::LongestSpan, web_path!(longest_span: LENGTH)),
    (Input::Misalignment, web_path!(misalignment: ANGLE)),
    (
        Input::RestrainedWidening,
        web_path!(restrained_widening: SHARE),
    ),
    (Input::IdlerDiameter, web_path!(roller_diameter: LENGTH)),
    (Input::Roughness, web_path!(roughness: LENGTH)),
    (Input::DriveWrap, web_path!(wrap: ANGLE)),
    (Input::DriveFriction, web_path!(friction: Some(f64::NAN))),
    (Input::ThreadingSpeed, web_path!(threading_speed: SPEED)),
    (Input::SingleRollDiameter, |line| {
        line.web = Some(Web::SingleRoll(SingleRoll {
            diameter: LENGTH,
            ..SingleRoll::default()
        }));
    }),
    (Input::Clamp, |line| {
        line.web = Some(Web::SingleRoll(SingleRoll {
            clamp: LENGTH,
            ..SingleRoll::default()
        }));
    }),
];

fn refuse(line: &Line) -> InputError {
    assess_nominal(line, &setting(1.0, 20.0, 100.0)).expect_err("refused")
}

#[test]
fn number_that_is_none_is_refused_by_its_own_name() {
    for (input, change) in PUMP_AND_GAP.into_iter().chain(WEB) {
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
fn tension_is_a_knob_of_a_web_alone() {
    let run = Setting {
        tension: Some(WebTension::from_n_per_m(100.0)),
        ..setting(1.0, 20.0, 100.0)
    };
    let expected = InputError::NoStation {
        input: Input::Tension,
        station: Station::Rewind,
    };
    let mut line = worked_example();
    assert_eq!(assess_nominal(&line, &run).expect_err("refused"), expected);
    line.web = Some(Web::SingleRoll(SingleRoll::default()));
    assert_eq!(assess_nominal(&line, &run).expect_err("refused"), expected);
    line.web = Some(Web::RollToRoll(WebPath::default()));
    assert!(assess_nominal(&line, &run).is_ok());
    let slack = Setting {
        tension: Some(WebTension::from_n_per_m(0.0)),
        ..run
    };
    assert_eq!(
        assess_nominal(&line, &slack).expect_err("refused"),
        InputError::NotPositive {
            input: Input::Tension,
            value: 0.0
        }
    );
}

#[test]
fn negative_draw_is_legal() {
    let mut line = worked_example();
    line.web = Some(Web::RollToRoll(WebPath {
        draw: Some(-0.001),
        ..WebPath::default()
    }));
    assert!(assess_nominal(&line, &setting(1.0, 20.0, 100.0)).is_ok());
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
