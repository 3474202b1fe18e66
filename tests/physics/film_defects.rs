//! Skin, dew, cells, cracks, gas and jets on the film, edges that retreat, and the Biot number (sections 5.4, 6.1, 6.7).

use wetlane_physics::drying::{DryingFilm, DryingZone, FilmActivity};
use wetlane_physics::film_defects::{
    ParticlePacking, critical_cracking_thickness, stiff_film_solvent_kg_per_m2,
    stokes_einstein_diffusivity,
};
use wetlane_physics::rheology::{
    INTRINSIC_VISCOSITY_OF_SPHERES, SPHERE_PACKING, relative_viscosity_of_suspension,
};
use wetlane_physics::{
    Activity, Angle, Density, Diffusivity, Dryer, Foil, FoilMaterial, Fraction, Gas,
    HeatTransferCoefficient, HeatedRoller, Ink, Input, Length, LimitId, Line, Outcome, Particles,
    Pressure, Rheology, Sense, Setting, Severity, Solvent, Speed, SurfaceTension, Surroundings,
    Temperature, Viscosity, assess, assess_without_drying,
};

use crate::assert_within;
use crate::assessed::{judged, numbers, record};
use crate::sample_lines::{nanowire_line, setting, with_gas, with_roller, worked_example};
use crate::support::assert_close;

const DEFECTS: [LimitId; 7] = [
    LimitId::Skin,
    LimitId::Blushing,
    LimitId::Marangoni,
    LimitId::Crack,
    LimitId::GasShear,
    LimitId::JetBlow,
    LimitId::EdgeRetreat,
];

/// A thin liquid of 1 mPa·s that stays wet: 20 µm of water through a short dryer of 60 °C.
fn wet_line() -> Line {
    let line = worked_example();
    Line {
        ink: Ink {
            rheology: Some(Rheology::Newtonian {
                viscosity: Viscosity::from_mpa_s(1.0),
            }),
            solvent: Some(Solvent::Water),
            solids: Some(Fraction::from_ratio(0.05)),
            dry_density: Some(Density::from_kg_per_m3(1200.0)),
            angle_on_foil: Some(Angle::from_deg(20.0)),
            ..line.ink
        },
        foil: Foil {
            material: Some(FoilMaterial::Pet),
            thickness: Some(Length::from_um(100.0)),
            ..Foil::default()
        },
        dryer: Some(Dryer {
            length: Some(Length::from_m(0.1)),
            gas_speed: Some(Speed::from_m_per_s(2.0)),
            jet_speed: Some(Speed::from_m_per_s(10.0)),
            jet_reach: Some(Length::from_mm(5.0)),
            ..Dryer::default()
        }),
        ..line
    }
}

/// 1 m/min through 0.1 m of gas of 60 °C.
fn wet_run() -> Setting {
    with_gas(setting(1.0, 20.0, 100.0), 60.0)
}

#[test]
fn gas_drags_the_film_while_it_is_wet() {
    let (value, bound, margin) = numbers(&wet_line(), &wet_run(), LimitId::GasShear);
    // F36, computed by a second implementation: 0.54815 mm/s; by hand: for the 6 s in the dryer, against 1 mm.
    assert_close(value, 0.54815e-3 * 6.0, 1e-3, "F36, computed");
    assert_close(bound, 1e-3, 1e-12, "common practice");
    assert_close(margin, 1.0 - value / bound, 1e-12, "definition");
}

#[test]
fn jets_push_the_film_while_it_is_wet() {
    let (value, _, _) = numbers(&wet_line(), &wet_run(), LimitId::JetBlow);
    // F37, computed by a second implementation: 1.4128 mm/s for 6 s.
    assert_close(value, 1.4128e-3 * 6.0, 1e-3, "F37, computed");
}

#[test]
fn edge_retreats_until_the_film_stiffens() {
    let mut line = wet_line();
    line.ink.rheology = Some(Rheology::Newtonian {
        viscosity: Viscosity::from_mpa_s(10.0),
    });
    let (value, _, margin) = numbers(&line, &wet_run(), LimitId::EdgeRetreat);
    // E15, computed by a second implementation: 0.76559 mm/s at 20°, 30 mN/m and 10 mPa·s; by hand: over the 0.4 m of open
    // path and the 0.1 m of dryer, 30 s, all of which the film flows.
    assert_close(value, 0.76559e-3 * 30.0, 1e-3, "E15, computed");
    assert_close(margin, -10.0, 1e-12, "clipped");
    // A film that dries on the way stops sooner.
    let long = Line {
        dryer: line.dryer.map(|dryer| Dryer {
            length: Some(Length::from_m(6.0)),
            ..dryer
        }),
        ..line
    };
    let derived = judged(&long, &with_gas(setting(1.0, 20.0, 100.0), 100.0)).derived;
    let (flowing, whole) = (derived.flowing_time_s.expect("marched"), 6.4 * 60.0);
    assert!(flowing < 0.5 * whole, "{flowing}");
    assert!(
        flowing < derived.dry_after_s.expect("marched") + derived.open_time_s.expect("known"),
        "stiff before dry"
    );
}

#[test]
fn wetting_film_keeps_its_edge() {
    let mut line = wet_line();
    line.ink.angle_on_foil = Some(Angle::from_deg(0.0));
    let (value, _, margin) = numbers(&line, &wet_run(), LimitId::EdgeRetreat);
    assert!(value.abs() < 1e-15 && (margin - 1.0).abs() < 1e-12);
    // Nothing is known of the angle of an unnamed foil.
    line.ink.angle_on_foil = None;
    line.foil = Foil::default();
    assert_eq!(
        record(&line, &wet_run(), LimitId::EdgeRetreat).outcome,
        Outcome::NotEvaluated {
            missing: Input::FoilMaterial
        }
    );
}

#[test]
fn yield_stress_holds_a_film_that_gas_would_drag() {
    let mut line = wet_line();
    // F36 by its parts: 0.54815 mm/s of 1 mPa·s over 20 µm is a stress of 0.0274 Pa.
    line.ink.yield_stress = Some(Pressure::from_pa(0.028));
    assert!(numbers(&line, &wet_run(), LimitId::GasShear).0.abs() < 1e-15);
    line.ink.yield_stress = Some(Pressure::from_pa(0.027));
    assert!(numbers(&line, &wet_run(), LimitId::GasShear).0 > 1e-3);
}

#[test]
fn power_law_ink_is_asked_at_the_rate_it_moves_with() {
    let mut line = wet_line();
    line.ink.rheology = Some(Rheology::PowerLaw {
        consistency: Viscosity::from_mpa_s(20.0),
        index: 0.7,
    });
    let (value, _, _) = numbers(&line, &wet_run(), LimitId::GasShear);
    // By hand: rate (τ/K)^(1/n) under the stress of F36.
    let stress: f64 = 0.54815e-3 * 1e-3 / 20e-6;
    let rate = (stress / 0.02).powf(1.0 / 0.7);
    assert_close(value, rate * 20e-6 * 6.0, 2e-3, "by hand, F36");
}

#[test]
fn dryer_without_its_gas_speeds_is_told_so() {
    let line = nanowire_line();
    let run = with_gas(setting(1.0, 20.0, 100.0), 80.0);
    for (id, missing) in [
        (LimitId::GasShear, Input::GasSpeed),
        (LimitId::JetBlow, Input::JetSpeed),
        (LimitId::Skin, Input::WetDiffusivity),
    ] {
        assert_eq!(
            record(&line, &run, id).outcome,
            Outcome::NotEvaluated { missing },
            "{}",
            id.key()
        );
        assert_eq!(id.severity(), Severity::Soft);
    }
}

#[test]
fn spheres_of_100_nanometres_diffuse_as_stokes_and_einstein_say() {
    // By hand: 1.380649e-23 · 298.15/(3π · 0.89e-3 · 1e-7) = 4.907e-12 m²/s.
    let d = stokes_einstein_diffusivity(
        Length::from_nm(100.0),
        Viscosity::from_mpa_s(0.89),
        Temperature::from_deg_c(25.0),
    );
    assert_close(d.m2_per_s(), 4.907e-12, 1e-3, "by hand");
}

#[test]
fn skin_follows_the_greatest_evaporation_rate() {
    let mut line = nanowire_line();
    line.ink.wet_diffusivity = Some(Diffusivity::from_m2_per_s(1e-10));
    let run = with_gas(setting(1.0, 24.0, 100.0), 90.0);
    // The film keeps the constant-rate temperature of the dryer, whose zone is asked by itself.
    let humid = 0.5
        * Solvent::Water
            .vapor_pressure(Temperature::from_deg_c(22.0))
            .pa();
    let zone = DryingZone {
        length: Length::from_m(1.2),
        gas: Gas::Air,
        gas_temperature: Temperature::from_deg_c(90.0),
        h_top: HeatTransferCoefficient::from_w_per_m2_k(30.0),
        h_bottom: HeatTransferCoefficient::from_w_per_m2_k(10.0),
        contact: None,
        infrared: None,
        vapor_pressure: Pressure::from_pa(humid),
        vapor_load_s_per_m: 0.0,
    };
    let film = zone.constant_rate_temperature(Solvent::Water);
    let flux = zone.evaporation_flux_kg_per_m2_s(Solvent::Water, film);
    let (value, bound, _) = numbers(&line, &run, LimitId::Skin);
    assert_close(value, flux / 997.0 * 24e-6 / 1e-10, 1e-2, "eq 1.6");
    assert_close(bound, 1.0, 1e-12, "Routh & Russel");
    // Particles of a stated size diffuse as spheres in the solvent: 4.907e-12 m²/s at 100 nm.
    line.ink.wet_diffusivity = None;
    line.ink.particles.diameter = Some(Length::from_nm(100.0));
    let (of_particles, _, _) = numbers(&line, &run, LimitId::Skin);
    assert_close(of_particles / value, 1e-10 / 4.907e-12, 1e-3, "by hand");
}

#[test]
fn acetone_film_falls_below_the_dew_point_of_the_room() {
    let mut line = nanowire_line();
    line.ink.solvent = Some(Solvent::Acetone);
    line.surroundings = Surroundings {
        room_temperature: Some(Temperature::from_deg_c(25.0)),
        relative_humidity: Some(Fraction::from_percent(50.0)),
        open_path: Some(Length::from_m(1.0)),
        open_path_h: Some(HeatTransferCoefficient::from_w_per_m2_k(10.0)),
        ..Surroundings::default()
    };
    let run = with_gas(setting(1.0, 100.0, 200.0), 40.0);
    let dew = record(&line, &run, LimitId::Blushing);
    assert_eq!(dew.sense, Sense::AtLeast);
    let (value, bound, margin) = numbers(&line, &run, LimitId::Blushing);
    // F31, published: ASHRAE RP-1485: dew point 13.9 °C, and 2 K more.
    assert_within(bound - 273.15, 15.9, 0.2, "F31, ASHRAE RP-1485");
    // F30, computed: −10.7 °C with air on the wet side alone; warmer with air on both.
    assert!((-10.7..8.0).contains(&(value - 273.15)), "{value}");
    assert_close(margin, (value - bound) / 10.0, 1e-9, "definition");
    // Dry air forgives.
    line.surroundings.relative_humidity = Some(Fraction::from_percent(5.0));
    assert!(numbers(&line, &run, LimitId::Blushing).2 > margin);
    line.surroundings.relative_humidity = Some(Fraction::from_percent(0.0));
    assert!(judged(&line, &run).limit(LimitId::Blushing).is_none());
}

#[test]
fn water_film_has_no_dew_to_fear() {
    assert!(
        judged(&wet_line(), &wet_run())
            .limit(LimitId::Blushing)
            .is_none()
    );
}

#[test]
fn hot_roller_below_a_thin_film_drives_cells() {
    let mut line = nanowire_line();
    line.ink.solvent = Some(Solvent::Toluene);
    line.ink.density = Some(Density::from_kg_per_m3(1000.0));
    line.ink.rheology = Some(Rheology::Newtonian {
        viscosity: Viscosity::from_mpa_s(1.0),
    });
    line.roller = Some(HeatedRoller {
        diameter: Some(Length::from_mm(100.0)),
        wrap: Some(Angle::from_deg(180.0)),
        contact: Some(HeatTransferCoefficient::from_w_per_m2_k(300.0)),
        temperature_span: None,
    });
    let run = with_roller(with_gas(setting(4.0, 50.0, 200.0), 60.0), 72.0);
    let (value, bound, _) = numbers(&line, &run, LimitId::Marangoni);
    // By hand: the foil meets the roller near 22 °C, 300 · 50 W/m²; across 50 µm of conductivity 1e-7 · 1000 · 2000 W/(m·K)
    // that is 3.75 K; toluene loses 0.119 mN/m per kelvin: Ma = 0.119e-3 · 3.75 · 50e-6/(1e-3 · 1e-7).
    assert_close(value, 223.1, 0.1, "by hand, foil at its coldest");
    assert_close(bound, 80.0, 1e-12, "Pearson");
    // Heat from above alone drives none.
    line.roller = None;
    line.dryer = line.dryer.map(|dryer| Dryer {
        h_bottom: Some(HeatTransferCoefficient::from_w_per_m2_k(0.0)),
        ..dryer
    });
    let run = with_gas(setting(4.0, 50.0, 200.0), 60.0);
    let from_above = numbers(&line, &run, LimitId::Marangoni).0;
    assert!(from_above < 0.1 * value, "{from_above}");
}

fn packing(diameter_nm: f64, suction_mpa: f64) -> ParticlePacking {
    ParticlePacking {
        diameter: Length::from_nm(diameter_nm),
        shear_modulus: Pressure::from_pa(1.6e9),
        contacts: 6.0,
        suction: Pressure::from_pa(suction_mpa * 1e6),
    }
}

#[test]
fn thickest_layer_without_cracks_follows_its_formula() {
    let water = SurfaceTension::from_mn_per_m(72.0);
    // By hand: R 100 nm, suction 5.3 · 2σ/R = 7.632 MPa: √(1.6e9 · 6 · 0.64 · 1e-21/0.144) = 6.532e-6 m, times 5.3^(−3/2)
    // and 0.64: 343 nm.
    let t = critical_cracking_thickness(&packing(200.0, 7.632), water);
    assert_close(t.nm(), 342.6, 2e-3, "by hand");
    // Identity: with a suction that falls as 1/R the thickness grows as R^(3/2).
    let larger = critical_cracking_thickness(&packing(800.0, 7.632 / 4.0), water);
    assert_close(larger.nm() / t.nm(), 8.0, 1e-9, "identity");
}

#[test]
fn crack_is_judged_only_where_the_particles_are_described() {
    let mut line = wet_line();
    assert!(judged(&line, &wet_run()).limit(LimitId::Crack).is_none());
    line.ink.particles = Particles {
        diameter: None,
        shear_modulus: Some(Pressure::from_pa(1.6e9)),
        contacts: Some(6.0),
        suction: Some(Pressure::from_pa(7.632e6)),
    };
    assert_eq!(
        record(&line, &wet_run(), LimitId::Crack).outcome,
        Outcome::NotEvaluated {
            missing: Input::ParticleDiameter
        }
    );
    line.ink.particles.diameter = Some(Length::from_nm(200.0));
    let (value, bound, margin) = numbers(&line, &wet_run(), LimitId::Crack);
    // By hand: 20 µm · 1000 · 0.05/1200 = 833 nm (B2).
    assert_close(value, 833.33e-9, 1e-4, "B2, computed");
    assert_close(margin, 1.0 - value / bound, 1e-12, "definition");
    line.ink.dry_density = None;
    assert_eq!(
        record(&line, &wet_run(), LimitId::Crack).outcome,
        Outcome::NotEvaluated {
            missing: Input::DryDensity
        }
    );
}

fn film(solids: f64) -> DryingFilm {
    DryingFilm {
        solvent: Solvent::Water,
        solvent_kg_per_m2: 20e-3 * (1.0 - solids),
        solids_kg_per_m2: 20e-3 * solids,
        foil_heat_capacity_j_per_m2_k: 200.0,
        start: Temperature::from_deg_c(22.0),
        activity: FilmActivity::Free,
    }
}

#[test]
fn stiff_film_is_ten_times_as_viscous() {
    let dense = Density::from_kg_per_m3(2500.0);
    let viscosity = |solids: f64, solvent: f64| {
        let (s, l) = (solids / 2500.0, solvent / 997.0);
        relative_viscosity_of_suspension(
            Fraction::from_ratio(s / (s + l)),
            SPHERE_PACKING,
            INTRINSIC_VISCOSITY_OF_SPHERES,
        )
    };
    for solids in [0.01, 0.1, 0.3, 0.6] {
        let film = film(solids);
        let left = stiff_film_solvent_kg_per_m2(&film, Activity::Free, dense);
        let growth = viscosity(film.solids_kg_per_m2, left)
            / viscosity(film.solids_kg_per_m2, film.solvent_kg_per_m2);
        assert_close(growth, 10.0, 1e-9, "eq 1.12");
    }
    // By hand: a polymer at 5 % is ten times as viscous at 5 % · 10^(1/3.4) = 9.84 %.
    let left = stiff_film_solvent_kg_per_m2(&film(0.05), Activity::Polymer, dense);
    assert_close(1e-3 / (1e-3 + left), 0.0984, 1e-3, "by hand");
    // Packed from the start; never stiff without solids; stiff only when dry.
    let packed = film(0.95);
    assert_close(
        stiff_film_solvent_kg_per_m2(&packed, Activity::Free, dense),
        packed.solvent_kg_per_m2,
        1e-15,
        "packed",
    );
    assert!(stiff_film_solvent_kg_per_m2(&film(0.0), Activity::Free, dense).abs() < 1e-15);
    assert!(stiff_film_solvent_kg_per_m2(&film(0.8), Activity::Polymer, dense).abs() < 1e-15);
}

#[test]
fn defects_are_left_out_without_a_march_and_missing_where_it_lacks_something() {
    let without = assess_without_drying(&wet_line(), &wet_run()).expect("valid");
    let mut nameless = wet_line();
    nameless.ink.solvent = None;
    let lacking = judged(&nameless, &wet_run());
    for id in DEFECTS {
        assert!(without.limit(id).is_none(), "{}", id.key());
        if let Some(limit) = lacking.limit(id) {
            assert_eq!(
                limit.outcome,
                Outcome::NotEvaluated {
                    missing: Input::Solvent
                },
                "{}",
                id.key()
            );
        }
    }
    assert!(lacking.limit(LimitId::EdgeRetreat).is_some());
    let dry_line = judged(&worked_example(), &setting(1.0, 20.0, 100.0));
    assert!(DEFECTS.iter().all(|id| dry_line.limit(*id).is_none()));
}

#[test]
fn thick_plastic_on_a_hot_roller_leaves_the_range_of_one_temperature() {
    let mut line = wet_line();
    // By hand: 30 W/(m²·K) · 100 µm/0.155 W/(m·K) = 0.0194 of 0.3.
    let (value, bound, _) = numbers(&line, &wet_run(), LimitId::Biot);
    assert_close(value, 30.0 * 1e-4 / 0.155, 1e-12, "by hand");
    assert_close(bound, 0.3, 1e-12, "common practice");
    line.roller = Some(HeatedRoller {
        contact: Some(HeatTransferCoefficient::from_w_per_m2_k(600.0)),
        ..HeatedRoller::default()
    });
    assert!(numbers(&line, &wet_run(), LimitId::Biot).2 < 0.0);
    assert_eq!(LimitId::Biot.severity(), Severity::Validity);
    line.foil.thickness = None;
    assert!(judged(&line, &wet_run()).limit(LimitId::Biot).is_none());
}

/// A change of a line that makes it impossible.
type Spoil = fn(&mut Line);

#[test]
fn impossible_film_data_are_refused_by_name() {
    let cases: [(Spoil, Input); 7] = [
        (
            |line| line.ink.wet_diffusivity = Some(Diffusivity::from_m2_per_s(-1.0)),
            Input::WetDiffusivity,
        ),
        (
            |line| line.ink.particles.diameter = Some(Length::from_m(0.0)),
            Input::ParticleDiameter,
        ),
        (
            |line| line.ink.particles.suction = Some(Pressure::from_pa(-1.0)),
            Input::Suction,
        ),
        (
            |line| line.ink.particles.contacts = Some(f64::INFINITY),
            Input::ParticleContacts,
        ),
        (
            |line| line.allowed_shift = Some(Length::from_m(0.0)),
            Input::AllowedShift,
        ),
        (
            |line| {
                line.dryer = line.dryer.map(|dryer| Dryer {
                    gas_speed: Some(Speed::from_m_per_s(0.0)),
                    ..dryer
                });
            },
            Input::GasSpeed,
        ),
        (
            |line| {
                line.dryer = line.dryer.map(|dryer| Dryer {
                    jet_speed: Some(Speed::from_m_per_s(f64::NAN)),
                    ..dryer
                });
            },
            Input::JetSpeed,
        ),
    ];
    for (change, input) in cases {
        let mut line = wet_line();
        change(&mut line);
        assert_eq!(
            assess(&line, &wet_run()).expect_err("refused").input(),
            input
        );
    }
}
