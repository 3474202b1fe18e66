//! What holds for every input: continuity, reach of the margins, monotonicity, freedom from units.

use proptest::prelude::{ProptestConfig, Strategy, prop_assert, prop_assert_eq, proptest};
use wetlane_physics::slot_die::{BeadAngles, BeadGeometry, CoatingBead, thinnest_film};
use wetlane_physics::{
    Angle, Basis, Density, Dryer, Gas, Ink, Length, LimitId, LimitRecord, Line, Prepared, Pressure,
    Rheology, Setting, Solvent, Speed, SurfaceTension, Viscosity, VolumeFlow, assess_nominal,
    assess_without_drying, dry_speed,
};

use crate::sample_lines::{
    nanowire_line, setting, with_die, with_gas, with_vacuum_box, worked_example,
};

/// A slot-die setting over the ends of what a lab meets.
#[derive(Debug, Clone, Copy)]
struct Case {
    mu: f64,
    sigma: f64,
    rho: f64,
    speed: f64,
    wet: f64,
    gap: f64,
    lip_down: f64,
    lip_up: f64,
    on_lip: f64,
    on_foil: f64,
    vacuum: f64,
}

fn logarithmic(least: f64, greatest: f64) -> impl Strategy<Value = f64> {
    (least.ln()..greatest.ln()).prop_map(f64::exp)
}

fn cases() -> impl Strategy<Value = Case> {
    (
        logarithmic(5e-4, 10.0),
        0.02..0.08_f64,
        700.0..2000.0_f64,
        logarithmic(1e-3, 1.0),
        logarithmic(1e-6, 3e-4),
        logarithmic(2e-5, 8e-4),
        (logarithmic(2e-4, 3e-3), logarithmic(2e-4, 3e-3)),
        (1.0..80.0_f64, 1.0..80.0_f64),
        0.0..2000.0_f64,
    )
        .prop_map(
            |(mu, sigma, rho, speed, wet, gap, (lip_down, lip_up), (on_lip, on_foil), vacuum)| {
                Case {
                    mu,
                    sigma,
                    rho,
                    speed,
                    wet,
                    gap,
                    lip_down,
                    lip_up,
                    on_lip,
                    on_foil,
                    vacuum,
                }
            },
        )
}

impl Case {
    fn line(&self) -> Line {
        let line = with_die(&with_vacuum_box(&worked_example()), |die| {
            die.downstream_lip = Some(Length::from_m(self.lip_down));
            die.upstream_lip = Some(Length::from_m(self.lip_up));
        });
        Line {
            ink: Ink {
                rheology: Some(Rheology::Newtonian {
                    viscosity: Viscosity::from_pa_s(self.mu),
                }),
                surface_tension: Some(SurfaceTension::from_n_per_m(self.sigma)),
                density: Some(Density::from_kg_per_m3(self.rho)),
                angle_on_lip: Some(Angle::from_deg(self.on_lip)),
                angle_on_foil: Some(Angle::from_deg(self.on_foil)),
                ..line.ink
            },
            ..line
        }
    }

    fn setting(&self) -> Setting {
        Setting {
            speed: Some(Speed::from_m_per_s(self.speed)),
            flow: Some(VolumeFlow::from_m3_per_s(self.wet * self.speed * 0.1)),
            gap: Some(Length::from_m(self.gap)),
            vacuum: Some(Pressure::from_pa(self.vacuum)),
            ..Setting::default()
        }
    }

    fn margins(&self) -> Vec<(LimitId, f64)> {
        let assessment =
            assess_without_drying(&self.line(), &self.setting()).expect("valid inputs");
        assessment
            .limits
            .iter()
            .filter_map(|limit| limit.margin().map(|margin| (limit.id, margin)))
            .collect()
    }

    fn bead(&self) -> CoatingBead {
        CoatingBead::new(
            BeadGeometry {
                coating_gap: Length::from_m(self.gap),
                upstream_gap: Length::from_m(self.gap),
                downstream_lip: Length::from_m(self.lip_down),
                upstream_lip: Length::from_m(self.lip_up),
                lip_corner: Angle::from_deg(90.0),
            },
            BeadAngles {
                on_lip: Angle::from_deg(self.on_lip),
                on_foil: Angle::from_deg(self.on_foil),
            },
            Speed::from_m_per_s(self.speed),
            SurfaceTension::from_n_per_m(self.sigma),
            Viscosity::from_pa_s(self.mu),
            Viscosity::from_pa_s(self.mu),
        )
    }

    fn capillary_number(&self) -> f64 {
        self.mu * self.speed / self.sigma
    }

    fn low_flow(&self) -> f64 {
        thinnest_film(Length::from_m(self.gap), self.capillary_number()).m()
    }

    fn held(&self) -> f64 {
        self.bead()
            .thinnest_held(Pressure::from_pa(self.vacuum))
            .m()
    }

    fn flooding(&self) -> f64 {
        self.bead()
            .thickest_not_flooding(Pressure::from_pa(self.vacuum))
            .m()
    }

    /// Every input changed by a hair, one at a time.
    fn neighbors(&self, by: f64) -> [Self; 11] {
        let f = 1.0 + by;
        [
            Self {
                mu: self.mu * f,
                ..*self
            },
            Self {
                sigma: self.sigma * f,
                ..*self
            },
            Self {
                rho: self.rho * f,
                ..*self
            },
            Self {
                speed: self.speed * f,
                ..*self
            },
            Self {
                wet: self.wet * f,
                ..*self
            },
            Self {
                gap: self.gap * f,
                ..*self
            },
            Self {
                lip_down: self.lip_down * f,
                ..*self
            },
            Self {
                lip_up: self.lip_up * f,
                ..*self
            },
            Self {
                on_lip: self.on_lip * f,
                ..*self
            },
            Self {
                on_foil: self.on_foil * f,
                ..*self
            },
            Self {
                vacuum: self.vacuum * f + by,
                ..*self
            },
        ]
    }
}

/// Root of a falling function by bisection of the logarithm.
fn falling_root(f: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (1e-12, 1.0);
    for _ in 0..200 {
        let middle = f64::sqrt(low * high);
        if f(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::sqrt(low * high)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn margins_are_finite_and_within_reach(case in cases()) {
        for (id, margin) in case.margins() {
            prop_assert!(margin.is_finite() && (-10.0..=1.0).contains(&margin), "{} {margin}", id.key());
        }
    }

    #[test]
    fn margins_are_continuous_in_every_input(case in cases()) {
        // A change of 1e-9 may move a margin by its slope; no slope of an unclipped margin exceeds some 1e4 per unit of
        // relative change, and a jump would show as a change of order one.
        let here = case.margins();
        for neighbor in case.neighbors(1e-9) {
            for ((id, a), (_, b)) in here.iter().zip(neighbor.margins()) {
                prop_assert!((a - b).abs() < 1e-4, "{}: {a} and {b} at {case:?}", id.key());
            }
        }
    }

    #[test]
    fn closed_forms_equal_bisection(case in cases()) {
        let bead = case.bead();
        let held = falling_root(|t| bead.least_vacuum(Length::from_m(t)).pa() - case.vacuum);
        let flooding = falling_root(|t| bead.flooding_vacuum(Length::from_m(t)).pa() - case.vacuum);
        prop_assert!((case.held() / held - 1.0).abs() < 1e-9, "{} {held}", case.held());
        prop_assert!((case.flooding() / flooding - 1.0).abs() < 1e-9, "{} {flooding}", case.flooding());
    }

    #[test]
    fn pressures_fall_with_thickness(case in cases(), by in 1.001..3.0_f64) {
        let bead = case.bead();
        let (thin, thick) = (Length::from_m(case.wet), Length::from_m(case.wet * by));
        prop_assert!(bead.least_vacuum(thick) < bead.least_vacuum(thin));
        prop_assert!(bead.shoulder_wetting_vacuum(thick) < bead.shoulder_wetting_vacuum(thin));
        prop_assert!(bead.flooding_vacuum(thick) < bead.flooding_vacuum(thin));
        prop_assert!(bead.least_vacuum(thin) <= bead.shoulder_wetting_vacuum(thin) || case.on_lip > 89.0);
        prop_assert!(bead.shoulder_wetting_vacuum(thin) <= bead.flooding_vacuum(thin));
    }

    #[test]
    fn limits_move_the_way_the_cheat_sheet_says(case in cases(), by in 1.01..1.5_f64) {
        let slack = 1.0 + 1e-12;
        let up = |change: fn(&mut Case, f64)| { let mut moved = case; change(&mut moved, by); moved };
        for moved in [up(|c, f| c.gap *= f), up(|c, f| c.mu *= f), up(|c, f| c.speed *= f)] {
            prop_assert!(moved.low_flow() * slack >= case.low_flow());
        }
        prop_assert!(up(|c, f| c.sigma *= f).low_flow() <= case.low_flow() * slack);
        let longer = up(|c, f| c.lip_down *= f);
        let is_thin = case.held() < 0.5 * case.gap;
        let moves_as_told =
            if is_thin { longer.held() * slack >= case.held() } else { longer.held() <= case.held() * slack };
        prop_assert!(moves_as_told);
        let wide = up(|c, f| c.lip_up *= f);
        prop_assert!(wide.flooding() * slack >= case.flooding());
        prop_assert!((wide.held() / case.held() - 1.0).abs() < 1e-12);
        let sucked = Case { vacuum: case.vacuum + 50.0 * by, ..case };
        prop_assert!(sucked.held() <= case.held() * slack && sucked.flooding() <= case.flooding() * slack);
        let unwetted = Case { on_foil: (case.on_foil * by).min(120.0), ..case };
        prop_assert!(unwetted.held() * slack >= case.held() && unwetted.flooding() * slack >= case.flooding());
        prop_assert!((unwetted.low_flow() - case.low_flow()).abs() < 1e-18);
    }

    #[test]
    fn margins_do_not_depend_on_the_base_units(
        case in cases(),
        length in logarithmic(0.1, 10.0),
        mass in logarithmic(0.1, 10.0),
        time in logarithmic(0.1, 10.0),
    ) {
        // The four limits of the bead, without gravity and machine constants: rescale metre, kilogram and second.
        let pressure = mass / (length * time * time);
        let scaled = Case {
            mu: case.mu * mass / (length * time),
            sigma: case.sigma * mass / (time * time),
            rho: case.rho * mass / (length * length * length),
            speed: case.speed * length / time,
            wet: case.wet * length,
            gap: case.gap * length,
            lip_down: case.lip_down * length,
            lip_up: case.lip_up * length,
            vacuum: case.vacuum * pressure,
            ..case
        };
        for (a, b) in [
            (case.low_flow() / case.wet, scaled.low_flow() / scaled.wet),
            (case.held() / case.wet, scaled.held() / scaled.wet),
            (case.flooding() / case.wet, scaled.flooding() / scaled.wet),
        ] {
            prop_assert!((a / b - 1.0).abs() < 1e-9, "{a} {b}");
        }
    }

    #[test]
    fn shop_units_change_no_margin(case in cases()) {
        let direct = case.margins();
        let typed = Case {
            mu: Viscosity::from_mpa_s(Viscosity::from_pa_s(case.mu).mpa_s()).pa_s(),
            sigma: SurfaceTension::from_mn_per_m(SurfaceTension::from_n_per_m(case.sigma).mn_per_m()).n_per_m(),
            speed: Speed::from_m_per_min(Speed::from_m_per_s(case.speed).m_per_min()).m_per_s(),
            wet: Length::from_um(Length::from_m(case.wet).um()).m(),
            gap: Length::from_um(Length::from_m(case.gap).um()).m(),
            lip_down: Length::from_mm(Length::from_m(case.lip_down).mm()).m(),
            ..case
        };
        for ((id, a), (_, b)) in direct.iter().zip(typed.margins()) {
            prop_assert!((a - b).abs() <= 1e-12 * a.abs().max(1.0), "{}: {a} {b}", id.key());
        }
    }

    #[test]
    fn raising_a_calibration_factor_never_lowers_an_upper_limit(case in cases(), factor in 1.0..3.0_f64) {
        let margin = |basis: &Basis, id| {
            let prepared = Prepared::new(&case.line(), basis).expect("valid line");
            let assessment = prepared.assess_without_drying(&case.setting()).expect("valid inputs");
            assessment.limit(id).and_then(LimitRecord::margin).expect("evaluated")
        };
        let mut basis = Basis::default();
        for id in [LimitId::Flood, LimitId::LipWetting, LimitId::AirEntrainment, LimitId::WettingFailure] {
            basis.calibration.set(id, factor).expect("positive");
            prop_assert!(margin(&basis, id) >= margin(&Basis::default(), id) - 1e-12, "{}", id.key());
        }
        for id in [LimitId::LowFlow, LimitId::BeadHold] {
            basis.calibration.set(id, factor).expect("positive");
            prop_assert!(margin(&basis, id) <= margin(&Basis::default(), id) + 1e-12, "{}", id.key());
        }
    }

    #[test]
    fn lean_search_path_finds_the_same_binding_limit(case in cases()) {
        let prepared = Prepared::new(&case.line(), &Basis::default()).expect("valid line");
        let full = prepared.assess_without_drying(&case.setting()).expect("valid inputs");
        let lean = prepared.binding_without_drying(&case.setting()).expect("valid inputs").expect("no input is missing");
        let binding = full.binding().expect("hard limits");
        prop_assert_eq!(Some(lean.1), binding.margin());
        prop_assert_eq!(lean.0, binding.id);
    }
}

#[test]
fn margins_stay_within_reach_at_absurd_corners() {
    // K16, identity: 64 corners of viscosity, tension, speed, gap, thickness and vacuum.
    let mut n_corners = 0;
    for mu in [1e-4, 1e3] {
        for sigma in [5e-3, 0.5] {
            for speed in [1e-5, 50.0] {
                for gap in [5e-6, 5e-3] {
                    for wet in [1e-9, 1e-2] {
                        for vacuum in [0.0, 1e4] {
                            let case = Case {
                                mu,
                                sigma,
                                rho: 1000.0,
                                speed,
                                wet,
                                gap,
                                lip_down: 1e-3,
                                lip_up: 1e-3,
                                on_lip: 30.0,
                                on_foil: 30.0,
                                vacuum,
                            };
                            for (id, margin) in case.margins() {
                                assert!(
                                    (-10.0..=1.0).contains(&margin),
                                    "{}: {margin} at {case:?}",
                                    id.key()
                                );
                            }
                            n_corners += 1;
                        }
                    }
                }
            }
        }
    }
    assert_eq!(n_corners, 64);
}

/// The case with one input at a value.
type Sweep = fn(&Case, f64) -> Case;

#[test]
fn margins_are_continuous_where_regimes_meet() {
    // Sweep through each switch: cap of the low-flow limit (Ca 4.6), plateau of entrained air, sign change of the root's
    // B, convex meniscus at the edge, clipping of the dynamic angle.
    let base = Case {
        mu: 1.0,
        sigma: 0.03,
        rho: 1000.0,
        speed: 0.02,
        wet: 5e-5,
        gap: 1e-4,
        lip_down: 1e-3,
        lip_up: 1e-3,
        on_lip: 30.0,
        on_foil: 30.0,
        vacuum: 0.0,
    };
    let sweeps: [(Sweep, f64, f64); 4] = [
        (|c, x| Case { mu: x, ..*c }, 0.05, 20.0),
        (|c, x| Case { speed: x, ..*c }, 1e-3, 1.0),
        (|c, x| Case { vacuum: x, ..*c }, 1.0, 1e5),
        (|c, x| Case { on_lip: x, ..*c }, 1.0, 170.0),
    ];
    for (at, least, greatest) in sweeps {
        let n = 4000;
        let mut before: Option<Vec<(LimitId, f64)>> = None;
        for i in 0..=n {
            let x = least * f64::powf(greatest / least, f64::from(i) / f64::from(n));
            let here = at(&base, x).margins();
            if let Some(before) = &before {
                for ((id, a), (_, b)) in before.iter().zip(&here) {
                    // A step of 0.13 % in the input moves a margin of at most 11 by its slope; a jump is larger.
                    assert!(
                        (a - b).abs() < 0.05 * a.abs().max(1.0),
                        "{} at {x}: {a} to {b}",
                        id.key()
                    );
                }
            }
            before = Some(here);
        }
    }
}

fn dry(line: &Line, setting: &Setting) -> f64 {
    dry_speed(line, setting)
        .expect("valid inputs")
        .expect("all inputs are there")
        .speed()
        .m_per_s()
}

#[test]
fn films_dry_faster_with_more_heat_hotter_gas_and_less_ink() {
    let line = nanowire_line();
    let base = dry(&line, &with_gas(setting(1.0, 20.0, 150.0), 80.0));
    let mut blown = line;
    blown.dryer = line.dryer.map(|dryer| Dryer {
        h_top: Some(wetlane_physics::HeatTransferCoefficient::from_w_per_m2_k(
            40.0,
        )),
        ..dryer
    });
    assert!(dry(&blown, &with_gas(setting(1.0, 20.0, 150.0), 80.0)) > 1.1 * base);
    assert!(dry(&line, &with_gas(setting(1.0, 20.0, 150.0), 90.0)) > 1.05 * base);
    assert!(dry(&line, &with_gas(setting(1.0, 16.0, 150.0), 80.0)) > 1.1 * base);
}

#[test]
fn dry_speed_does_not_depend_on_the_web_speed() {
    let line = nanowire_line();
    let slow = dry(&line, &with_gas(setting(0.6, 20.0, 150.0), 80.0));
    let fast = dry(&line, &with_gas(setting(2.4, 20.0, 150.0), 80.0));
    assert!((slow / fast - 1.0).abs() < 2e-4, "{slow} {fast}");
}

#[test]
fn nitrogen_dries_like_air() {
    // Published trade experience and eq 6.11: less than 2 % apart at the same heat transfer; a solvent, so that the humidity
    // of room air plays no part.
    let mut line = nanowire_line();
    line.ink.solvent = Some(Solvent::Ethanol);
    let run = with_gas(setting(1.0, 20.0, 150.0), 80.0);
    let air = dry(&line, &run);
    line.dryer = line.dryer.map(|dryer| Dryer {
        gas: Gas::Nitrogen,
        ..dryer
    });
    assert!((dry(&line, &run) / air - 1.0).abs() < 0.02);
}

#[test]
fn equal_inputs_give_equal_bits() {
    let run = with_gas(setting(1.3, 18.0, 140.0), 95.0);
    let (first, second) = (
        assess_nominal(&nanowire_line(), &run).expect("valid"),
        assess_nominal(&nanowire_line(), &run).expect("valid"),
    );
    assert_eq!(first, second);
}

#[test]
fn march_is_finite_and_dry_speed_monotone_over_solvents_gases_and_films() {
    for solvent in Solvent::ALL {
        for gas in [25.0, 80.0, 140.0, 200.0] {
            let mut before = f64::INFINITY;
            for wet in [1.0, 10.0, 60.0, 500.0] {
                let mut line = nanowire_line();
                line.ink.solvent = Some(solvent);
                line.ink.solids = Some(wetlane_physics::Fraction::from_ratio(0.1));
                let speed = dry(&line, &with_gas(setting(1.0, wet, 1000.0), gas));
                assert!(
                    speed.is_finite() && speed <= before,
                    "{} {gas} {wet}: {speed}",
                    solvent.key()
                );
                before = speed;
            }
        }
    }
}

#[test]
fn residual_falls_with_the_time_in_the_dryer() {
    let line = nanowire_line();
    for gas in [60.0, 110.0] {
        let known = dry(&line, &with_gas(setting(1.0, 20.0, 150.0), gas));
        for (factor, is_dry) in [(0.5, true), (0.999, true), (1.001, false), (2.0, false)] {
            let speed = Speed::from_m_per_s(known * factor).m_per_min();
            let assessment =
                assess_nominal(&line, &with_gas(setting(speed, 20.0, 150.0), gas)).expect("valid");
            let record = assessment.limit(LimitId::DryAtExit).expect("recorded");
            assert_eq!(record.holds(), is_dry, "{gas} °C at {factor}");
        }
    }
}
