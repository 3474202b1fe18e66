//! What holds for every head that sets the film by its own geometry: reach and continuity of the margins, knobs that lead to
//! the wanted film, limits that a station elsewhere leaves alone, numbers that are refused.

use proptest::prelude::{ProptestConfig, Strategy, prop_assert, prop_assert_eq, proptest};
use wetlane_physics::{
    AniloxMetering, Basis, Carreau, CellVolume, Density, EngravedRoll, Flexo, Fraction, Gravure,
    GravureArrangement, Head, HeadKind, HeatedRoller, Ink, Input, InputError, Knife, KnifeShape,
    Length, LimitId, LimitRecord, Line, LineCount, MeteringError, MeteringKnob, PlasmaStation,
    Prepared, Pressure, Rheology, Setting, Speed, Station, SurfaceTension, Viscosity, VolumeFlow,
    WireBar, assess_nominal, assess_without_drying,
};

use crate::sample_lines::{
    flexo_line, gravure_line, knife_line, knife_setting, speed_setting, wire_bar_line, with_bar,
    with_flexo, with_gravure, with_knife,
};

/// Lines of every head but the slot die, with a setting that runs.
fn samples() -> Vec<(Line, Setting)> {
    vec![
        (knife_line(), knife_setting(1.0, 200.0)),
        (wire_bar_line(), speed_setting(2.0)),
        (gravure_line(), speed_setting(1.0)),
        (flexo_line(), speed_setting(5.0)),
    ]
}

#[test]
fn every_head_but_the_slot_die_has_a_sample() {
    let sampled: Vec<HeadKind> = samples().iter().map(|(line, _)| line.head.kind()).collect();
    for kind in HeadKind::ALL {
        assert_eq!(
            sampled.contains(&kind),
            kind != HeadKind::SlotDie,
            "{}",
            kind.key()
        );
    }
}

/// One number of a case, by which it is told apart from the others.
const N_NUMBERS: usize = 8;

/// Ink, speed and head over the ends of what a lab meets.
#[derive(Debug, Clone, Copy)]
struct Case {
    kind: HeadKind,
    /// Which of the shapes, arrangements or ways of metering.
    form: usize,
    /// Shear-thinning with two plateaus rather than Newtonian.
    is_thinning: bool,
    /// Viscosity, tension, density, speed, what sets the film, feed, wanted film, yield stress, in SI.
    numbers: [f64; N_NUMBERS],
}

fn logarithmic(least: f64, greatest: f64) -> impl Strategy<Value = f64> {
    (least.ln()..greatest.ln()).prop_map(f64::exp)
}

fn cases() -> impl Strategy<Value = Case> {
    let kinds: Vec<HeadKind> = samples().iter().map(|(line, _)| line.head.kind()).collect();
    let numbers = (
        logarithmic(1e-3, 50.0),
        0.02..0.08_f64,
        700.0..2000.0_f64,
        logarithmic(1e-3, 1.0),
        logarithmic(1e-6, 1e-3),
        logarithmic(1e-9, 1e-5),
        logarithmic(1e-6, 1e-3),
        logarithmic(1e-3, 100.0),
    );
    (0..kinds.len(), 0..4_usize, 0..2_usize, numbers).prop_map(
        move |(kind, form, thinning, (mu, sigma, rho, speed, size, feed, wanted, stress))| Case {
            kind: kinds[kind],
            form,
            is_thinning: thinning == 1,
            numbers: [mu, sigma, rho, speed, size, feed, wanted, stress],
        },
    )
}

impl Case {
    fn line(&self) -> Line {
        let [mu, sigma, rho, _, _, _, _, stress] = self.numbers;
        let viscosity = Viscosity::from_pa_s(mu);
        let rheology = if self.is_thinning {
            Rheology::Carreau(Carreau {
                at_rest: viscosity,
                at_high_rate: Viscosity::from_pa_s(0.02 * mu),
                time_constant_s: 0.05,
                index: 0.4,
            })
        } else {
            Rheology::Newtonian { viscosity }
        };
        Line {
            ink: Ink {
                rheology: Some(rheology),
                surface_tension: Some(SurfaceTension::from_n_per_m(sigma)),
                density: Some(Density::from_kg_per_m3(rho)),
                yield_stress: Some(Pressure::from_pa(stress)),
                largest_particle: Some(Length::from_um(15.0)),
                ..Ink::default()
            },
            head: self.head(),
            ..Line::default()
        }
    }

    fn head(&self) -> Head {
        let coated_width = Some(Length::from_mm(100.0));
        match self.kind {
            HeadKind::SlotDie => panic!("has properties of its own"),
            HeadKind::Knife => Head::Knife(Knife {
                coated_width,
                shape: KnifeShape::ALL.get(self.form).copied(),
                bank_height: Some(Length::from_mm(15.0)),
                roll_diameter: Some(Length::from_mm(80.0)),
                run_out: Some(Length::from_um(8.0)),
                ..Knife::default()
            }),
            HeadKind::WireBar => Head::WireBar(WireBar {
                coated_width,
                wire_diameter: Some(Length::from_um(400.0)),
                film_over_wire: Some(0.1),
            }),
            HeadKind::Gravure => Head::Gravure(Gravure {
                coated_width,
                arrangement: GravureArrangement::ALL.get(self.form).copied(),
                roll: EngravedRoll {
                    cell_lines: Some(LineCount::from_per_cm(80.0)),
                    doctor_to_nip: Some(Length::from_mm(60.0)),
                    diameter: Some(Length::from_mm(150.0)),
                    gap: Some(Length::from_um(30.0)),
                    ..EngravedRoll::default()
                },
                pickout: None,
                pickout_exponent: Some(0.3),
                pickout_reference: Some(0.05),
                filling_capillary_number: Some(0.4),
            }),
            HeadKind::Flexo => Head::Flexo(Flexo {
                coated_width,
                metering: AniloxMetering::ALL.get(self.form).copied(),
                anilox: EngravedRoll {
                    cell_lines: Some(LineCount::from_per_cm(200.0)),
                    diameter: Some(Length::from_mm(120.0)),
                    gap: Some(Length::from_um(5.0)),
                    ..EngravedRoll::default()
                },
                plate_lines: Some(LineCount::from_per_cm(48.0)),
                ..Flexo::default()
            }),
        }
    }

    fn setting(&self) -> Setting {
        let [_, _, _, speed, size, feed, wanted, _] = self.numbers;
        let setting = Setting {
            speed: Some(Speed::from_m_per_s(speed)),
            flow: Some(VolumeFlow::from_m3_per_s(feed)),
            wanted_wet_thickness: Some(Length::from_m(wanted)),
            ..Setting::default()
        };
        match self.kind {
            HeadKind::SlotDie => setting,
            HeadKind::Knife => Setting {
                gap: Some(Length::from_m(size)),
                ..setting
            },
            HeadKind::WireBar => Setting {
                wire_diameter: Some(Length::from_m(size)),
                ..setting
            },
            HeadKind::Gravure => Setting {
                cell_volume: Some(CellVolume::from_m3_per_m2(size)),
                speed_ratio: Some(1.2),
                ..setting
            },
            HeadKind::Flexo => Setting {
                cell_volume: Some(CellVolume::from_m3_per_m2(size)),
                impression: Some(Length::from_um(60.0)),
                ..setting
            },
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
        // A change of 1e-9 moves a margin by its slope; a jump would show as a change of order one.
        let here = case.margins();
        for number in 0..N_NUMBERS {
            let mut neighbor = case;
            neighbor.numbers[number] *= 1.0 + 1e-9;
            for ((id, a), (other, b)) in here.iter().zip(neighbor.margins()) {
                prop_assert_eq!(*id, other);
                prop_assert!((a - b).abs() < 1e-5, "{}: {a} and {b} at {case:?}", id.key());
            }
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

    #[test]
    fn every_knob_leads_to_the_wanted_film(case in cases()) {
        let prepared = Prepared::new(&case.line(), &Basis::default()).expect("valid line");
        let wanted = case.setting().wanted_wet_thickness.expect("set");
        for knob in case.kind.metering_knobs() {
            let set = prepared.with_wet_thickness(&case.setting(), wanted, *knob).expect("all inputs are there");
            let wet = prepared.wet_thickness(&set).expect("valid").expect("known");
            prop_assert!((wet.m() / wanted.m() - 1.0).abs() < 1e-9, "{}: {} of {}", knob.key(), wet.um(), wanted.um());
        }
    }

    #[test]
    fn film_grows_with_what_sets_it_and_wetting_suffers_from_speed(case in cases(), by in 1.01..2.0_f64) {
        let film = |case: &Case| {
            let prepared = Prepared::new(&case.line(), &Basis::default()).expect("valid line");
            prepared.wet_thickness(&case.setting()).expect("valid").expect("known").m()
        };
        let mut wider = case;
        wider.numbers[4] *= by;
        prop_assert!(film(&wider) > film(&case));
        let mut faster = case;
        faster.numbers[3] *= by;
        let wetting = |case: &Case| {
            let margins = case.margins();
            margins.iter().find(|(id, _)| *id == LimitId::WettingFailure).map(|(_, margin)| *margin)
        };
        // A thinning ink entrains air later at a higher rate, but never so much later that more speed helps.
        prop_assert!(wetting(&faster) <= wetting(&case));
    }
}

#[test]
fn stations_elsewhere_leave_the_head_alone() {
    for (line, setting) in samples() {
        let plain = assess_nominal(&line, &setting).expect("valid inputs");
        let more = Line {
            plasma: Some(PlasmaStation::default()),
            roller: Some(HeatedRoller::default()),
            ..line
        };
        let more = assess_nominal(&more, &setting).expect("valid inputs");
        let of_head = |limits: &[LimitRecord]| {
            limits
                .iter()
                .filter(|limit| limit.station == Station::Head)
                .copied()
                .collect::<Vec<_>>()
        };
        let (plain, more) = (of_head(&plain.limits), of_head(&more.limits));
        assert!(!plain.is_empty());
        assert_eq!(plain, more, "{}", line.head.kind().key());
    }
}

#[test]
fn records_come_once_each_in_the_order_of_evaluation() {
    for (line, setting) in samples() {
        let assessment = assess_nominal(&line, &setting).expect("valid inputs");
        let ids: Vec<LimitId> = assessment.limits.iter().map(|limit| limit.id).collect();
        let mut sorted = ids.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(ids, sorted, "{}", line.head.kind().key());
    }
}

#[test]
fn vacuum_has_no_place_on_any_of_them() {
    for (line, setting) in samples() {
        let sucked = Setting {
            vacuum: Some(Pressure::from_pa(100.0)),
            ..setting
        };
        assert_eq!(
            assess_nominal(&line, &sucked),
            Err(InputError::NoVacuumBox),
            "{}",
            line.head.kind().key()
        );
    }
}

#[test]
fn knobs_of_another_head_are_refused_by_name() {
    let gap = Some(Length::from_um(100.0));
    let wire_diameter = Some(Length::from_um(100.0));
    let cell_volume = Some(CellVolume::from_cm3_per_m2(10.0));
    let speed_ratio = Some(1.5);
    let impression = Some(Length::from_um(50.0));
    let foreign: [(Setting, Input, &[HeadKind]); 5] = [
        (
            Setting {
                gap,
                ..Setting::default()
            },
            Input::Gap,
            &[HeadKind::SlotDie, HeadKind::Knife],
        ),
        (
            Setting {
                wire_diameter,
                ..Setting::default()
            },
            Input::WireDiameter,
            &[HeadKind::WireBar],
        ),
        (
            Setting {
                cell_volume,
                ..Setting::default()
            },
            Input::CellVolume,
            &[HeadKind::Gravure, HeadKind::Flexo],
        ),
        (
            Setting {
                impression,
                ..Setting::default()
            },
            Input::Impression,
            &[HeadKind::Flexo],
        ),
        (
            Setting {
                speed_ratio,
                ..Setting::default()
            },
            Input::SpeedRatio,
            &[HeadKind::Gravure],
        ),
    ];
    for (line, _) in samples() {
        let head = line.head.kind();
        for (setting, input, owners) in &foreign {
            let answer = assess_nominal(&line, setting).map(|_| ());
            let expected = if owners.contains(&head) {
                Ok(())
            } else {
                Err(InputError::NotOfHead {
                    input: *input,
                    head,
                })
            };
            assert_eq!(answer, expected, "{} on {}", input.label(), head.label());
        }
    }
    let error = InputError::NotOfHead {
        input: Input::Gap,
        head: HeadKind::WireBar,
    };
    assert_eq!(
        error.to_string(),
        "Coating gap is set, but the head has no such knob: Wire-wound bar"
    );
}

#[test]
fn knobs_that_do_not_set_the_film_of_a_head_are_refused() {
    for (line, setting) in samples() {
        let prepared = Prepared::new(&line, &Basis::default()).expect("valid line");
        let head = line.head.kind();
        for knob in MeteringKnob::ALL {
            let answer = prepared.with_wet_thickness(&setting, Length::from_um(20.0), knob);
            if head.metering_knobs().contains(&knob) {
                assert!(answer.is_ok(), "{} of {}", knob.label(), head.label());
            } else {
                assert_eq!(answer, Err(MeteringError::NotOfHead { knob, head }));
            }
        }
    }
}

const NO_LENGTH: Option<Length> = Some(Length::from_m(f64::NAN));
const NO_SHARE: Option<Fraction> = Some(Fraction::from_ratio(f64::NAN));

/// Changes the line in one place.
type Change = fn(&mut Line);

/// A line, one of its numbers, and a change that spoils it.
type Spoiled = (fn() -> Line, Input, Change);

/// Puts a NaN into each number of a head in turn.
const NUMBERS_OF_HEADS: &[Spoiled] = &[
    (knife_line, Input::CoatedWidth, |line| {
        *line = with_knife(line, |knife| knife.coated_width = NO_LENGTH);
    }),
    (knife_line, Input::FilmOverGap, |line| {
        *line = with_knife(line, |knife| knife.film_over_gap = Some(f64::NAN));
    }),
    (knife_line, Input::InletGapRatio, |line| {
        *line = with_knife(line, |knife| knife.inlet_gap_ratio = Some(f64::NAN));
    }),
    (knife_line, Input::LandLength, |line| {
        *line = with_knife(line, |knife| knife.land_length = NO_LENGTH);
    }),
    (knife_line, Input::BankHeight, |line| {
        *line = with_knife(line, |knife| knife.bank_height = NO_LENGTH);
    }),
    (knife_line, Input::HeadRollDiameter, |line| {
        *line = with_knife(line, |knife| knife.roll_diameter = NO_LENGTH);
    }),
    (knife_line, Input::RunOut, |line| {
        *line = with_knife(line, |knife| knife.run_out = NO_LENGTH);
    }),
    (knife_line, Input::GapTolerance, |line| {
        *line = with_knife(line, |knife| knife.gap_tolerance = NO_LENGTH);
    }),
    (wire_bar_line, Input::CoatedWidth, |line| {
        *line = with_bar(line, |bar| bar.coated_width = NO_LENGTH);
    }),
    (wire_bar_line, Input::WireDiameter, |line| {
        *line = with_bar(line, |bar| bar.wire_diameter = NO_LENGTH);
    }),
    (wire_bar_line, Input::FilmOverWire, |line| {
        *line = with_bar(line, |bar| bar.film_over_wire = Some(f64::NAN));
    }),
    (gravure_line, Input::CoatedWidth, |line| {
        *line = with_gravure(line, |unit| unit.coated_width = NO_LENGTH);
    }),
    (gravure_line, Input::CellVolume, |line| {
        let none = CellVolume::from_m3_per_m2(f64::NAN);
        *line = with_gravure(line, |unit| unit.roll.cell_volume = Some(none));
    }),
    (gravure_line, Input::CellDepthRatio, |line| {
        *line = with_gravure(line, |unit| unit.roll.cell_depth_ratio = Some(f64::NAN));
    }),
    (gravure_line, Input::CellLines, |line| {
        let none = LineCount::from_per_m(f64::NAN);
        *line = with_gravure(line, |unit| unit.roll.cell_lines = Some(none));
    }),
    (gravure_line, Input::DoctorToNip, |line| {
        *line = with_gravure(line, |unit| unit.roll.doctor_to_nip = NO_LENGTH);
    }),
    (gravure_line, Input::HeadRollDiameter, |line| {
        *line = with_gravure(line, |unit| unit.roll.diameter = NO_LENGTH);
    }),
    (gravure_line, Input::RollGap, |line| {
        *line = with_gravure(line, |unit| unit.roll.gap = NO_LENGTH);
    }),
    (gravure_line, Input::Pickout, |line| {
        *line = with_gravure(line, |unit| unit.pickout = NO_SHARE);
    }),
    (gravure_line, Input::PickoutExponent, |line| {
        *line = with_gravure(line, |unit| unit.pickout_exponent = Some(f64::NAN));
    }),
    (gravure_line, Input::PickoutReference, |line| {
        *line = with_gravure(line, |unit| unit.pickout_reference = Some(f64::NAN));
    }),
    (gravure_line, Input::FillingCapillaryNumber, |line| {
        *line = with_gravure(line, |unit| {
            unit.filling_capillary_number = Some(f64::NAN);
        });
    }),
    (flexo_line, Input::CoatedWidth, |line| {
        *line = with_flexo(line, |unit| unit.coated_width = NO_LENGTH);
    }),
    (flexo_line, Input::ToPlate, |line| {
        *line = with_flexo(line, |unit| unit.to_plate = NO_SHARE);
    }),
    (flexo_line, Input::ToFoil, |line| {
        *line = with_flexo(line, |unit| unit.to_foil = NO_SHARE);
    }),
    (flexo_line, Input::PrintedShare, |line| {
        *line = with_flexo(line, |unit| unit.printed_share = NO_SHARE);
    }),
    (flexo_line, Input::PlateLines, |line| {
        let none = LineCount::from_per_m(f64::NAN);
        *line = with_flexo(line, |unit| unit.plate_lines = Some(none));
    }),
    (knife_line, Input::ThicknessTolerance, |line| {
        line.thickness_tolerance = NO_SHARE;
    }),
    (knife_line, Input::YieldStress, |line| {
        line.ink.yield_stress = Some(Pressure::from_pa(f64::NAN));
    }),
];

#[test]
fn one_number_that_is_none_is_refused_by_its_own_name() {
    for (line, input, change) in NUMBERS_OF_HEADS {
        let mut line = line();
        change(&mut line);
        let error = Prepared::new(&line, &Basis::default()).expect_err("refused");
        assert_eq!(error, InputError::NotANumber { input: *input });
    }
}

#[test]
fn wanted_film_of_nothing_is_refused() {
    for (line, setting) in samples() {
        let nothing = Setting {
            wanted_wet_thickness: Some(Length::from_m(0.0)),
            ..setting
        };
        assert_eq!(
            assess_nominal(&line, &nothing),
            Err(InputError::NotPositive {
                input: Input::WantedWetThickness,
                value: 0.0
            })
        );
    }
}
