//! Slow drying at the end, and the residual solvent of the product (eqs 6.12, 6.13, section 6.4).

use wetlane_physics::drying::{
    DryingCase, DryingFilm, DryingZone, FallingRate, FilmActivity, falling_rate_time,
};
use wetlane_physics::{
    Activity, Basis, Density, Diffusivity, DrySpeed, DrySpeedCache, Dryer, FoilMaterial, Fraction,
    Gas, HeatTransferCoefficient, Infrared, InfraredPlace, Input, Irradiance, Length, LimitId,
    LimitRecord, Line, Outcome, Prepared, Pressure, Setting, Severity, Solvent, Speed, Temperature,
    assess, assess_given_dry_speed,
};

use proptest::prelude::{ProptestConfig, Strategy, prop_assert, proptest};

use crate::assessed::judged;
use crate::sample_lines::{nanowire_line, setting, transport_layer_line, with_gas, with_roller};
use crate::support::assert_close;

/// The ethanol ink of F23: 20 µm on 100 µm polyester, half a metre at 80 °C, down to 1 % of the solids.
fn ethanol_case() -> DryingCase {
    let film = DryingFilm {
        solvent: Solvent::Ethanol,
        solvent_kg_per_m2: 20e-6 * 800.0 * 0.95,
        solids_kg_per_m2: 20e-6 * 800.0 * 0.05,
        foil_heat_capacity_j_per_m2_k: FoilMaterial::Pet
            .areal_heat_capacity_j_per_m2_k(Length::from_um(100.0)),
        start: Temperature::from_deg_c(22.0),
        activity: FilmActivity::Free,
    };
    let zone = DryingZone {
        length: Length::from_m(0.5),
        gas: Gas::Air,
        gas_temperature: Temperature::from_deg_c(80.0),
        h_top: HeatTransferCoefficient::from_w_per_m2_k(30.0),
        h_bottom: HeatTransferCoefficient::from_w_per_m2_k(10.0),
        contact: None,
        infrared: None,
        vapor_pressure: Pressure::from_pa(0.0),
        vapor_load_s_per_m: 0.0,
    };
    DryingCase::new(film, &[zone], 0.01)
}

fn glassy(um: f64) -> FallingRate {
    FallingRate {
        dry_thickness: Length::from_um(um),
        diffusivity: Diffusivity::from_m2_per_s(1e-13),
        at_start: 1.0,
    }
}

#[test]
fn slow_diffusion_adds_its_time_to_that_of_the_march() {
    // F23 and F26, computed by a second implementation: 0.5 m at 4.7001 m/min are 6.383 s at the constant rate; a glassy
    // micrometre needs 17.813 s for its last hundredth. By hand: 0.5 m over the sum of both.
    let speed = ethanol_case()
        .with_falling_rate(glassy(1.0))
        .dry_speed()
        .speed();
    assert_close(
        speed.m_per_s(),
        0.5 / (0.5 / (4.7001 / 60.0) + 17.813),
        1e-2,
        "F23 and F26, computed",
    );
    // Just there the film is dry at the end of the dryer.
    let case = ethanol_case().with_falling_rate(glassy(1.0));
    let time = case.march(speed).dry_after.expect("dry").s();
    assert_close(time * speed.m_per_s(), 0.5, 1e-2, "definition");
    let faster = Speed::from_m_per_s(1.02 * speed.m_per_s());
    assert!(case.march(faster).dry_after.is_none());
    assert!(case.is_dry_at(speed) && !case.is_dry_at(faster));
}

#[test]
fn no_lab_dryer_dries_a_thick_glassy_film() {
    // F26 and the square of the thickness: 100 µm need 49 h; at the slowest web half a metre lasts 1.4 h.
    let thick = ethanol_case().with_falling_rate(glassy(100.0)).dry_speed();
    assert_eq!(thick, DrySpeed::Never);
    let time = falling_rate_time(Length::from_um(100.0), 1e-13, 1.0, 0.01);
    assert_close(time.h(), 17.813 * 1e4 / 3600.0, 1e-3, "F26, computed");
}

#[test]
fn search_from_a_guess_finds_the_same_speed() {
    let case = ethanol_case();
    let found = case.dry_speed();
    for guess in [1e-6, 1e-4, 0.01, 0.078, 0.5, 2.0, 50.0] {
        assert_eq!(
            case.dry_speed_near(Speed::from_m_per_s(guess)),
            found,
            "{guess}"
        );
    }
}

fn run() -> Setting {
    with_gas(setting(1.0, 20.0, 100.0), 90.0)
}

fn record(line: &Line, setting: &Setting) -> LimitRecord {
    *judged(line, setting)
        .limit(LimitId::ResidualSolvent)
        .expect("recorded")
}

fn margin(line: &Line) -> f64 {
    record(line, &run()).margin().expect("evaluated")
}

fn with_dryer(line: &Line, change: impl FnOnce(&mut Dryer)) -> Line {
    let mut dryer = line.dryer.expect("a dryer");
    change(&mut dryer);
    Line {
        dryer: Some(dryer),
        ..*line
    }
}

#[test]
fn target_of_the_product_has_a_dry_speed_of_its_own() {
    let line = nanowire_line();
    let prepared = Prepared::new(&line, &Basis::default()).expect("valid line");
    let derived = judged(&line, &run()).derived;
    let (dry, target) = (
        derived.dry_speed_m_per_s.expect("marched"),
        derived.residual_speed_m_per_s.expect("marched"),
    );
    assert!(target < dry, "1 % takes longer than 5 %: {target} {dry}");
    assert_close(margin(&line), 1.0 - 1.0 / 60.0 / target, 1e-9, "definition");
    // The dry speed of a line that counts as dry at 1 % is the same number.
    let strict = with_dryer(&line, |dryer| {
        dryer.residual_solvent = Some(Fraction::from_percent(1.0));
    });
    let of_strict = Prepared::new(&strict, prepared.basis())
        .expect("valid line")
        .dry_speed(&run())
        .expect("valid")
        .expect("known")
        .speed();
    assert_close(target, of_strict.m_per_s(), 1e-12, "the same march");
    assert_eq!(LimitId::ResidualSolvent.severity(), Severity::Soft);
    let assumed = judged(&line, &run()).assumed;
    assert!(assumed.contains(&Input::ResidualTarget), "{assumed:?}");
}

#[test]
fn residual_at_the_exit_falls_with_time_and_heat() {
    let line = nanowire_line();
    let left = |speed: f64, deg_c: f64, length_m: f64| {
        let line = with_dryer(&line, |dryer| dryer.length = Some(Length::from_m(length_m)));
        judged(&line, &with_gas(setting(speed, 24.0, 100.0), deg_c))
            .derived
            .residual_at_exit
            .expect("marched")
    };
    let faster = [1.0, 2.0, 4.0, 8.0].map(|speed| left(speed, 80.0, 1.2));
    let hotter = [40.0, 60.0, 80.0, 120.0].map(|deg_c| left(3.0, deg_c, 1.2));
    let longer = [0.3, 0.6, 1.2, 2.4].map(|length| left(3.0, 80.0, length));
    assert!(
        faster.windows(2).all(|pair| pair[1] >= pair[0]),
        "{faster:?}"
    );
    assert!(
        hotter.windows(2).all(|pair| pair[1] <= pair[0]),
        "{hotter:?}"
    );
    assert!(
        longer.windows(2).all(|pair| pair[1] <= pair[0]),
        "{longer:?}"
    );
}

#[test]
fn tighter_target_takes_a_slower_web() {
    let margins = [5.0, 2.0, 1.0, 0.1].map(|percent| {
        margin(&with_dryer(&nanowire_line(), |dryer| {
            dryer.residual_target = Some(Fraction::from_percent(percent));
        }))
    });
    assert!(
        margins.windows(2).all(|pair| pair[1] <= pair[0]),
        "{margins:?}"
    );
}

/// The nanowire line with a dissolved polymer of ordinary density.
fn polymer_line() -> Line {
    let mut line = nanowire_line();
    line.ink.solvent = Some(Solvent::Toluene);
    line.ink.activity = Some(Activity::Polymer);
    line.ink.dry_density = Some(Density::from_kg_per_m3(1200.0));
    line.ink.solids = Some(Fraction::from_ratio(0.05));
    line
}

#[test]
fn dissolved_polymer_is_not_judged_without_its_diffusivity() {
    let mut line = polymer_line();
    assert_eq!(
        record(&line, &run()).outcome,
        Outcome::NotEvaluated {
            missing: Input::FilmDiffusivity
        }
    );
    line.ink.film_diffusivity = Some(Diffusivity::from_m2_per_s(1e-12));
    let slow = margin(&line);
    line.ink.film_diffusivity = Some(Diffusivity::from_m2_per_s(1e-10));
    assert!(slow < margin(&line), "{slow}");
    let assumed = judged(&line, &run()).assumed;
    assert!(assumed.contains(&Input::CriticalResidual), "{assumed:?}");
}

#[test]
fn slow_diffusion_counts_for_the_exit_as_well_and_rests_on_where_it_begins() {
    let mut line = polymer_line();
    let exit = |line: &Line| {
        judged(line, &run())
            .limit(LimitId::DryAtExit)
            .and_then(LimitRecord::margin)
            .expect("evaluated")
    };
    let quick = exit(&line);
    line.ink.film_diffusivity = Some(Diffusivity::from_m2_per_s(1e-14));
    let slow = exit(&line);
    assert!(slow < quick, "{slow} {quick}");
    // A diffusivity at which the film is just dry enough rests on the assumed 20 % at which drying turns slow.
    let (mut low, mut high) = (1e-16_f64, 1e-9_f64);
    for _ in 0..60 {
        let middle = (low * high).sqrt();
        line.ink.film_diffusivity = Some(Diffusivity::from_m2_per_s(middle));
        if exit(&line) < 0.01 {
            low = middle;
        } else {
            high = middle;
        }
    }
    line.ink.film_diffusivity = Some(Diffusivity::from_m2_per_s(high));
    let assessment = assess(&line, &run()).expect("valid");
    assert!(
        assessment.rests_on.contains(&Input::CriticalResidual),
        "{:?} {:?}",
        assessment.rests_on,
        assessment.binding()
    );
}

#[test]
fn diffusivity_needs_a_dry_density() {
    let mut line = nanowire_line();
    line.ink.film_diffusivity = Some(Diffusivity::from_m2_per_s(1e-12));
    assert_eq!(
        record(&line, &run()).outcome,
        Outcome::NotEvaluated {
            missing: Input::DryDensity
        }
    );
}

#[test]
fn handed_in_dry_speed_says_nothing_of_the_target() {
    let given = assess_given_dry_speed(&nanowire_line(), &run(), Speed::from_m_per_min(3.0))
        .expect("valid");
    assert!(given.limit(LimitId::ResidualSolvent).is_none());
    // Nor is there a target on a line with a heated roller alone.
    let mut line = transport_layer_line();
    line.dryer = None;
    let roller = judged(&line, &with_roller(setting(1.0, 10.0, 100.0), 60.0));
    assert!(roller.limit(LimitId::ResidualSolvent).is_none());
    assert!(roller.limit(LimitId::DryAtExit).is_none());
}

#[test]
fn cache_keeps_both_dry_speeds() {
    let prepared = Prepared::new(&nanowire_line(), &Basis::default()).expect("valid line");
    let mut cache = DrySpeedCache::new();
    for _ in 0..2 {
        let cached = prepared.assess_with(&run(), &mut cache).expect("valid");
        assert_eq!(cached, prepared.assess_nominal(&run()).expect("valid"));
    }
}

#[test]
fn impossible_film_data_are_refused_by_name() {
    for (change, input) in [
        (
            (|line: &mut Line| line.ink.film_diffusivity = Some(Diffusivity::from_m2_per_s(0.0)))
                as fn(&mut Line),
            Input::FilmDiffusivity,
        ),
        (
            |line| line.ink.critical_residual = Some(Fraction::from_ratio(-0.1)),
            Input::CriticalResidual,
        ),
        (
            |line| {
                line.dryer = line.dryer.map(|dryer| Dryer {
                    residual_target: Some(Fraction::from_ratio(f64::NAN)),
                    ..dryer
                });
            },
            Input::ResidualTarget,
        ),
    ] {
        let mut line = nanowire_line();
        change(&mut line);
        assert_eq!(assess(&line, &run()).expect_err("refused").input(), input);
    }
}

/// A film with its dryer, over the ends of what a lab meets.
#[derive(Debug, Clone, Copy)]
struct Drawn {
    solvent: Solvent,
    is_polymer: bool,
    speed: f64,
    wet: f64,
    deg_c: f64,
    length: f64,
    lamps: f64,
    is_lit_in_dryer: bool,
}

fn drawn() -> impl Strategy<Value = Drawn> {
    let solvents = [
        Solvent::Water,
        Solvent::Acetone,
        Solvent::Ethanol,
        Solvent::Toluene,
        Solvent::Methylpyrrolidone,
    ];
    (
        0..5_usize,
        proptest::bool::ANY,
        0.1..20.0_f64,
        2.0..200.0_f64,
        25.0..160.0_f64,
        0.1..3.0_f64,
        (0.0..20.0_f64, proptest::bool::ANY),
    )
        .prop_map(
            move |(i, is_polymer, speed, wet, deg_c, length, (lamps, in_dryer))| Drawn {
                solvent: solvents[i],
                is_polymer,
                speed,
                wet,
                deg_c,
                length,
                lamps,
                is_lit_in_dryer: in_dryer,
            },
        )
}

impl Drawn {
    fn line(&self) -> Line {
        let mut line = with_dryer(&nanowire_line(), |dryer| {
            dryer.length = Some(Length::from_m(self.length));
        });
        line.ink.solvent = Some(self.solvent);
        line.ink.solids = Some(Fraction::from_ratio(0.05));
        line.ink.dry_density = Some(Density::from_kg_per_m3(1200.0));
        line.ink.activity = Some(if self.is_polymer {
            Activity::Polymer
        } else {
            Activity::Free
        });
        line.infrared = Some(Infrared {
            place: if self.is_lit_in_dryer {
                InfraredPlace::InDryer
            } else {
                InfraredPlace::BeforeDryer
            },
            length: Some(Length::from_m(0.3)),
            ..Infrared::default()
        });
        line
    }

    fn residual(&self) -> f64 {
        let run = Setting {
            infrared_power: Some(Irradiance::from_kw_per_m2(self.lamps)),
            ..with_gas(setting(self.speed, self.wet, 400.0), self.deg_c)
        };
        judged(&self.line(), &run)
            .derived
            .residual_at_exit
            .expect("marched")
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn heat_length_light_and_time_never_leave_more_solvent(case in drawn(), by in 1.05..2.0_f64) {
        // Steps of finite length miss the true residual by some 0.5 %, of the film before at the most.
        let slack = 0.01 * case.residual() + 1e-3;
        for helped in [
            Drawn { deg_c: case.deg_c + 20.0 * (by - 1.0), ..case },
            Drawn { length: case.length * by, ..case },
            Drawn { lamps: case.lamps * by, ..case },
            Drawn { speed: case.speed / by, ..case },
            Drawn { wet: case.wet / by, ..case },
        ] {
            prop_assert!(
                helped.residual() <= case.residual() + slack,
                "{helped:?}: {} against {}", helped.residual(), case.residual()
            );
        }
    }
}
