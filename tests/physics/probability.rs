//! Chances of limits (eqs 10.1 and 10.2): drawn lines against propagation of errors, seeds, margins and the ends.

use wetlane_physics::probability::{
    CHART_DRAWS, Chance, ChanceError, Chances, ErrorSource, InputErrors, Likelihood, REPORT_DRAWS,
    SCREEN_DRAWS,
};
use wetlane_physics::{
    Assumption, Basis, Cause, Density, Doubt, FoilMaterial, Head, Input, InputError, Knife, Length,
    LimitId, Line, Prepared, Pressure, Setting, Span, Speed, Spread, Temperature, Uncertainties,
    Verdict, VolumeFlow,
};

use crate::sample_lines::{
    nanowire_line, setting, slurry_line, transport_layer_line, with_die, with_gas, with_roller,
    with_vacuum_box, worked_example,
};
use crate::support::assert_close;
use crate::{assert_between, assert_within};

fn prepared(line: &Line) -> Prepared {
    Prepared::new(line, &Basis::default()).expect("valid line")
}

fn errors(line: &Line, uncertainties: &Uncertainties) -> InputErrors {
    InputErrors::new(&prepared(line), uncertainties)
}

fn chances(line: &Line, uncertainties: &Uncertainties, n_draws: u32, seed: u64) -> Chances {
    Chances::new(&errors(line, uncertainties), n_draws, seed).expect("a number of draws")
}

fn chance(chances: &Chances, setting: &Setting) -> Chance {
    let found = chances.of(setting).expect("valid setting");
    found.expect("no essential input is missing")
}

fn only(rows: &[(Cause, Spread)]) -> Uncertainties {
    let mut uncertainties = Uncertainties::none();
    for &(cause, spread) in rows {
        uncertainties.set(cause, spread).expect("valid spread");
    }
    uncertainties
}

/// Shares of none and all are exact.
#[track_caller]
fn assert_exactly(actual: f64, expected: f64, id: LimitId) {
    assert!(
        actual.to_bits() == expected.to_bits(),
        "{}: {actual}",
        id.label()
    );
}

/// A film of 2.2 µm known to 2 %, in a gap of 100 ± 5 µm; viscosity to 10 %, surface tension to 5 %. A vacuum holds the bead,
/// so that the low-flow limit alone is near.
fn thin_film() -> (Line, Uncertainties, Setting) {
    let uncertainties = only(&[
        (Cause::Flow, Spread::Relative(0.02)),
        (Cause::Viscosity, Spread::Relative(0.10)),
        (Cause::SurfaceTension, Spread::Relative(0.05)),
        (Cause::Gap, Spread::Absolute(5e-6)),
    ]);
    (
        with_vacuum_box(&worked_example()),
        uncertainties,
        thin_setting(2.2),
    )
}

fn thin_setting(wet: f64) -> Setting {
    Setting {
        vacuum: Some(Pressure::from_pa(500.0)),
        ..setting(1.0, wet, 100.0)
    }
}

#[test]
fn chance_of_the_low_flow_limit_is_the_computed_one() {
    let (line, uncertainties, setting) = thin_film();
    let found = chance(&chances(&line, &uncertainties, REPORT_DRAWS, 1), &setting);
    let holds = 1.0 - found.fails(LimitId::LowFlow).expect("evaluated");
    // J1, computed: 20 000 independent draws of eq 3.10 by the standard library of Python (seed 12345) gave 0.7735.
    assert_within(holds, 0.7735, 0.02, "J1, computed with 20 000 draws");
    // Computed: 4·10⁷ independent draws of eq 3.10 by numpy 2 gave 0.77196 ± 0.00007. The tolerance is a third of the
    // standard error of independent draws.
    assert_within(
        holds,
        0.771_96,
        0.001_1,
        "J1, computed with 40 million draws",
    );
    assert_eq!(found.n_draws, REPORT_DRAWS);
}

#[test]
fn chance_of_the_low_flow_limit_is_that_of_propagated_errors() {
    let (line, uncertainties, setting) = thin_film();
    let found = errors(&line, &uncertainties).first_order(&setting);
    let found = found
        .expect("valid setting")
        .expect("all essential inputs are there");
    let low_flow = found.limit(LimitId::LowFlow).expect("evaluated");
    // J2, computed: first-order propagation by a second implementation.
    assert_within(
        low_flow.holds,
        0.7735,
        0.03,
        "J2, computed from the equation",
    );
    // By hand: t_min goes as H·Ca^(2/3)/(1 + …) with an exponent of 0.65 on the capillary number at 2.06 µm, so that
    // the variance is 0.02² + 0.05² + 0.65²(0.10² + 0.05²) = 0.0082; ln(2.2/2.0584)/0.0905 = 0.735.
    assert_within(low_flow.deviations, 0.735, 0.01, "by hand");
    // The viscosity contributes (0.65·0.10)²/0.0082 = 52 %.
    let (source, share) = low_flow.leading.expect("there is doubt");
    assert_eq!(source, ErrorSource::Cause(Cause::Viscosity));
    assert_within(share, 0.52, 0.02, "by hand");
}

/// Lines and settings near a limit, with the hard limit that counts.
fn near_limits() -> Vec<(Line, Setting, LimitId)> {
    vec![
        (
            nanowire_line(),
            with_gas(setting(2.4, 30.0, 250.0), 70.0),
            LimitId::BeadHold,
        ),
        (
            nanowire_line(),
            with_gas(setting(2.0, 24.0, 100.0), 75.0),
            LimitId::DryAtExit,
        ),
        (
            transport_layer_line(),
            with_roller(with_gas(setting(3.0, 12.0, 200.0), 100.0), 50.0),
            LimitId::BeadHold,
        ),
        (
            slurry_line(),
            with_gas(setting(0.2, 240.0, 250.0), 80.0),
            LimitId::Flood,
        ),
        (slurry_line(), setting(0.5, 200.0, 300.0), LimitId::BeadHold),
        (slurry_line(), setting(0.5, 200.0, 64.0), LimitId::Particle),
    ]
}

#[test]
fn drawn_lines_and_propagated_errors_agree() {
    // Two routes to one number; they differ by curvature, which at these standard deviations is a few hundredths.
    for (line, setting, id) in near_limits() {
        let errors = errors(&line, &Uncertainties::default());
        let chances = Chances::new(&errors, SCREEN_DRAWS, 3).expect("a number of draws");
        let drawn = chance(&chances, &setting).fails(id).expect("evaluated");
        let first = errors.first_order(&setting).expect("valid setting");
        let first = first.expect("all essential inputs are there");
        let propagated = first.limit(id).expect("evaluated");
        assert_within(drawn, 1.0 - propagated.holds, 0.05, id.label());
        let all_hold = chance(&chances, &setting).all_hold;
        let (least, greatest) = first.all_hold_between();
        assert_between(all_hold, least - 0.05, greatest + 0.05, id.label());
    }
}

#[test]
fn standard_error_covers_the_spread_over_seeds() {
    let (line, uncertainties, setting) = thin_film();
    let n_seeds = 64;
    let found: Vec<Chance> = (0..n_seeds)
        .map(|seed| chance(&chances(&line, &uncertainties, CHART_DRAWS, seed), &setting))
        .collect();
    let truth = 0.771_96;
    let spread = found
        .iter()
        .map(|chance| (chance.all_hold - truth).powi(2))
        .sum::<f64>()
        / f64::from(u32::try_from(n_seeds).expect("few"));
    let stated = found[0].standard_error;
    // Definition: √(P(1 − P)/N).
    let p = found[0].all_hold;
    assert_close(
        stated,
        (p * (1.0 - p) / f64::from(CHART_DRAWS)).sqrt(),
        1e-12,
        "definition",
    );
    // Independent draws would scatter by the stated 0.026; evenly spread ones by less, but not by nothing.
    assert_between(spread.sqrt() / stated, 0.1, 1.0, "64 seeds");
    // And the draws are not off on one side.
    let mean = found.iter().map(|chance| chance.all_hold).sum::<f64>() / 64.0;
    assert_within(mean, truth, 0.3 * stated, "mean over 64 seeds");
}

#[test]
fn chance_rises_with_the_margin() {
    let (line, uncertainties, _) = thin_film();
    let chances = chances(&line, &uncertainties, CHART_DRAWS, 5);
    let found: Vec<f64> = (0..40)
        .map(|i| {
            let run = thin_setting(1.8 + 0.02 * f64::from(i));
            1.0 - chance(&chances, &run)
                .fails(LimitId::LowFlow)
                .expect("evaluated")
        })
        .collect();
    assert!(found.is_sorted(), "{found:?}");
    assert!(found[0] < 0.1 && found[39] > 0.9, "{found:?}");
    // Common draws: a step of 1 % in thickness is a ninth of a standard deviation, 4 % of the draws; independent draws would
    // scatter by twice that between neighbors.
    let steepest = found.windows(2).map(|pair| pair[1] - pair[0]);
    assert!(steepest.fold(0.0, f64::max) < 0.1, "{found:?}");
}

#[test]
fn without_doubt_the_chance_is_zero_or_one() {
    // All that is assumed is held fast as well, so that nothing scatters.
    for (line, setting, _) in near_limits() {
        let mut basis = Basis::default();
        for input in Input::ALL {
            if let Some(row) = basis.assumptions.get(input) {
                let fixed = Assumption {
                    doubt: Doubt::Fixed,
                    ..row
                };
                assert!(basis.assumptions.set(input, fixed));
            }
        }
        let mut line = line;
        line.foil.surface_energy = line
            .foil
            .surface_energy
            .or(line.foil.material.map(FoilMaterial::surface_energy));
        let prepared = Prepared::new(&line, &basis).expect("valid line");
        let errors = InputErrors::new(&prepared, &Uncertainties::none());
        let chances = Chances::new(&errors, 16, 9).expect("a number of draws");
        let found = chance(&chances, &setting);
        let nominal = prepared.assess_nominal(&setting).expect("valid setting");
        let binding = nominal.binding().expect("hard limits");
        assert_exactly(
            found.all_hold,
            f64::from(u8::from(binding.holds())),
            binding.id,
        );
        assert_exactly(found.standard_error, 0.0, binding.id);
        for limit in &found.limits {
            let record = nominal.limit(limit.id).expect("evaluated");
            assert_exactly(limit.fails, f64::from(u8::from(!record.holds())), limit.id);
        }
        let first = errors.first_order(&setting).expect("valid setting");
        for limit in first.expect("all essential inputs are there").limits {
            let record = nominal.limit(limit.id).expect("evaluated");
            assert_exactly(limit.holds, f64::from(u8::from(record.holds())), limit.id);
            assert_eq!(limit.leading, None);
        }
    }
}

#[test]
fn equal_seeds_give_equal_bits_and_others_do_not() {
    let (line, uncertainties, setting) = thin_film();
    let at = |seed| chance(&chances(&line, &uncertainties, 1000, seed), &setting);
    assert_eq!(at(7), at(7));
    let distinct: std::collections::BTreeSet<u64> =
        (0..8).map(|seed| at(seed).all_hold.to_bits()).collect();
    assert!(distinct.len() > 1);
}

#[test]
fn more_doubt_moves_the_chance_towards_a_half() {
    let (line, _, setting) = thin_film();
    let at = |sd: f64| {
        let uncertainties = only(&[(Cause::Viscosity, Spread::Relative(sd))]);
        chance(&chances(&line, &uncertainties, SCREEN_DRAWS, 2), &setting).all_hold
    };
    let found = [0.02, 0.05, 0.10, 0.20, 0.40].map(at);
    assert!(found.iter().rev().is_sorted(), "{found:?}");
    assert!(found[0] > 0.99 && found[4] > 0.5, "{found:?}");
}

#[test]
fn one_error_of_the_gap_moves_both_gaps() {
    // A die whose upstream gap is twice the coating gap: an error of +1 µm makes 101 and 201 µm, the same as a die with a
    // ratio of 201/101 set to 101 µm without any error. Identity.
    let line = with_die(&worked_example(), |die| die.upstream_gap_ratio = Some(2.0));
    let uncertainties = only(&[(Cause::Gap, Spread::Absolute(1e-6))]);
    let found = errors(&line, &uncertainties).first_order(&setting(1.0, 20.0, 100.0));
    let found = found
        .expect("valid setting")
        .expect("all essential inputs are there");
    let at = |change: f64| {
        let moved = with_die(&line, |die| {
            die.upstream_gap_ratio = Some((200.0 + change) / (100.0 + change));
        });
        let nominal = prepared(&moved).assess_nominal(&setting(1.0, 20.0, 100.0 + change));
        let derived = nominal.expect("valid setting").derived;
        (
            derived.thinnest_held_m.expect("evaluated").ln(),
            derived.thickest_not_flooding_m.expect("evaluated").ln(),
        )
    };
    let (hold, flood) = (
        found.limit(LimitId::BeadHold).expect("evaluated"),
        found.limit(LimitId::Flood).expect("evaluated"),
    );
    let doubt = |deviations: f64, value: f64, bound: f64| (value / bound).ln() / deviations;
    let nominal = at(0.0);
    // The film stays 20 µm, so that the doubt is the change of the bound over a deviation.
    assert_close(
        doubt(hold.deviations, 20e-6, nominal.0.exp()),
        (at(0.5).0 - at(-0.5).0).abs(),
        1e-6,
        "identity",
    );
    assert_close(
        doubt(flood.deviations, nominal.1.exp(), 20e-6),
        (at(0.5).1 - at(-0.5).1).abs(),
        1e-6,
        "identity",
    );
}

#[test]
fn temperature_of_the_ink_moves_viscosity_and_tension_together() {
    // By hand: a warmer ink is thinner by 2.5 %/K, and water loses 0.15 mN/(m·K) of its 28: both errors act on ln t_min
    // through the capillary number alone, with opposite signs, so that 1 K counts for (2.5 − 0.5) % of it.
    let line = nanowire_line();
    let run = setting(0.6, 8.0, 250.0);
    let doubt = |uncertainties: &Uncertainties| {
        let found = errors(&line, uncertainties).first_order(&run);
        let found = found
            .expect("valid setting")
            .expect("all essential inputs are there");
        let limit = *found.limit(LimitId::LowFlow).expect("evaluated");
        let derived = prepared(&line).assess_nominal(&run).expect("valid").derived;
        (8e-6 / derived.thinnest_low_flow_m.expect("evaluated")).ln() / limit.deviations
    };
    let warm = doubt(&only(&[(Cause::InkTemperature, Spread::Absolute(1.0))]));
    let thick = doubt(&only(&[(Cause::Viscosity, Spread::Relative(0.025))]));
    assert_close(warm / thick, (2.5 - 0.15 / 0.28) / 2.5, 0.01, "by hand");
}

#[test]
fn span_of_a_knob_is_judged_as_set() {
    let mut line = worked_example();
    line.speed_span = Some(Span {
        least: Speed::from_m_per_min(0.5),
        greatest: Speed::from_m_per_min(1.0),
    });
    let chances = chances(&line, &Uncertainties::default(), CHART_DRAWS, 1);
    let at_the_end = chance(&chances, &setting(1.0, 20.0, 100.0));
    assert_eq!(at_the_end.fails(LimitId::SpeedSpan), Some(0.0));
    assert!(at_the_end.all_hold > 0.99);
    let beyond = chance(&chances, &setting(1.01, 20.0, 100.0));
    assert_eq!(beyond.fails(LimitId::SpeedSpan), Some(1.0));
    assert_exactly(beyond.all_hold, 0.0, LimitId::SpeedSpan);
}

#[test]
fn assumed_input_is_drawn_over_its_range() {
    // Only the upstream lip is assumed, as 1 mm between 0.3 and 2 mm at two standard deviations. Of a thick ink t_flood grows
    // with that lip alone, so that the film that a lip of 2 mm just holds floods in all draws but the 2.3 % beyond.
    let mut line = with_die(&worked_example(), |die| die.upstream_lip = None);
    let uncertainties = Uncertainties::none();
    for (lip_mm, share) in [(2.0, 0.977_25), (1.0, 0.5), (0.3, 0.022_75)] {
        let stated = with_die(&line, |die| {
            die.upstream_lip = Some(Length::from_mm(lip_mm));
        });
        let thickest = prepared(&stated)
            .assess_nominal(&setting(1.0, 20.0, 100.0))
            .expect("valid setting")
            .derived
            .thickest_not_flooding_m
            .expect("evaluated");
        let run = setting(1.0, 1e6 * thickest, 100.0);
        let found = chance(&chances(&line, &uncertainties, SCREEN_DRAWS, 4), &run);
        // Published: normal table, 2.275 % beyond two standard deviations. One draw in 2048 is 5e-4.
        assert_within(
            found.fails(LimitId::Flood).expect("evaluated"),
            share,
            1.5e-3,
            "normal table",
        );
    }
    // A stated lip is as good as its row.
    line = with_die(&line, |die| die.upstream_lip = Some(Length::from_mm(1.0)));
    let found = chance(
        &chances(&line, &uncertainties, 64, 4),
        &setting(1.0, 20.0, 100.0),
    );
    assert_exactly(found.all_hold, 1.0, LimitId::Flood);
}

#[test]
fn heat_transfer_leads_the_doubt_of_drying() {
    let (line, run, _) = near_limits().swap_remove(1);
    let errors = errors(&line, &Uncertainties::default());
    let first = errors.first_order(&run).expect("valid setting");
    let first = first.expect("all essential inputs are there");
    let dry = first.limit(LimitId::DryAtExit).expect("evaluated");
    let (source, share) = dry.leading.expect("there is doubt");
    assert_eq!(source, ErrorSource::Cause(Cause::DryerHeatTransfer));
    assert!(share > 0.5, "{share}");
}

#[test]
fn every_head_has_a_chance() {
    let mut line = slurry_line();
    line.head = Head::Knife(Knife {
        coated_width: Some(Length::from_mm(100.0)),
        ..Knife::default()
    });
    line.ink.largest_particle = Some(Length::from_um(60.0));
    let run = Setting {
        speed: Some(Speed::from_m_per_min(0.5)),
        gap: Some(Length::from_um(185.0)),
        ..Setting::default()
    };
    let chances = chances(&line, &Uncertainties::default(), SCREEN_DRAWS, 1);
    let found = chance(&chances, &run);
    // By hand: 185 ± 5 µm against three particles of 60 µm: one deviation, 15.9 % fail (normal table).
    assert_within(
        found.fails(LimitId::Particle).expect("evaluated"),
        0.158_7,
        1e-3,
        "normal table",
    );
    assert!(found.fails(LimitId::WettingFailure).is_some());
}

#[test]
fn film_without_an_essential_input_has_no_chance() {
    let mut line = worked_example();
    line.ink.rheology = None;
    let errors = errors(&line, &Uncertainties::default());
    let chances = Chances::new(&errors, 16, 1).expect("a number of draws");
    let run = setting(1.0, 20.0, 100.0);
    assert_eq!(chances.of(&run), Ok(None));
    assert_eq!(errors.first_order(&run), Ok(None));
}

#[test]
fn bad_numbers_are_refused() {
    let errors = errors(&worked_example(), &Uncertainties::default());
    for n_draws in [0, 65_537, u32::MAX] {
        assert_eq!(
            Chances::new(&errors, n_draws, 1).err(),
            Some(ChanceError::NumberOfDraws { n_draws })
        );
    }
    let chances = Chances::new(&errors, 1, 1).expect("one draw");
    let mut run = setting(1.0, 20.0, 100.0);
    run.flow = Some(VolumeFlow::from_ml_per_min(f64::NAN));
    let not_a_number = ChanceError::Input(InputError::NotANumber { input: Input::Flow });
    assert_eq!(chances.of(&run).err(), Some(not_a_number));
    assert_eq!(errors.first_order(&run).err(), Some(not_a_number));
}

#[test]
fn chance_stops_when_told() {
    let (line, uncertainties, setting) = thin_film();
    let chances = chances(&line, &uncertainties, SCREEN_DRAWS, 1);
    let mut asked = 0;
    let stopped = chances.of_until(&setting, || {
        asked += 1;
        asked > 3
    });
    assert_eq!((stopped, asked), (Err(ChanceError::Stopped), 4));
}

#[test]
fn draws_that_make_no_line_are_pulled_back() {
    // Solids of 99 ± 5 % and energies whose parts must not exceed the whole.
    let mut line = nanowire_line();
    line.ink.solids = Some(wetlane_physics::Fraction::from_percent(99.0));
    line.ink.dry_density = Some(Density::from_kg_per_m3(1200.0));
    let uncertainties = only(&[(Cause::Solids, Spread::Relative(0.05))]);
    let found = chance(
        &chances(&line, &uncertainties, 256, 1),
        &with_gas(setting(1.0, 20.0, 150.0), 80.0),
    );
    assert!(found.fails(LimitId::DryAtExit).is_some());
}

#[test]
fn bands_and_verdict_follow_the_chance() {
    // The suggested bands: 95 % and more likely, 50 to 95 % risky, below 50 % unlikely (common practice).
    for (chance, band) in [
        (1.0, Likelihood::Likely),
        (0.95, Likelihood::Likely),
        (0.949, Likelihood::Risky),
        (0.5, Likelihood::Risky),
        (0.499, Likelihood::Unlikely),
    ] {
        assert_eq!(Likelihood::of(chance), band);
    }
    let (line, uncertainties, setting) = thin_film();
    let found = chance(&chances(&line, &uncertainties, CHART_DRAWS, 1), &setting);
    assert_eq!(found.likelihood(), Likelihood::Risky);
    assert_eq!(found.temper(Verdict::Feasible), Verdict::Marginal);
    assert_eq!(found.temper(Verdict::Infeasible), Verdict::Infeasible);
    assert_eq!(found.temper(Verdict::Unknown), Verdict::Unknown);
}

#[test]
fn gas_temperature_and_room_are_drawn_for_the_march() {
    // A film just at its dry speed has an even chance, whatever scatters about it.
    let line = nanowire_line();
    let mut run = with_gas(setting(2.0, 24.0, 100.0), 90.0);
    let dry_speed = prepared(&line)
        .dry_speed(&run)
        .expect("valid")
        .expect("dries")
        .speed();
    run.flow = Some(VolumeFlow::from_m3_per_s(24e-6 * 0.1 * dry_speed.m_per_s()));
    run.speed = Some(dry_speed);
    assert_eq!(run.gas_temperature, Some(Temperature::from_deg_c(90.0)));
    for cause in [
        Cause::GasTemperature,
        Cause::DryerHeatTransfer,
        Cause::Density,
    ] {
        let uncertainties = only(&[(cause, cause.default_spread())]);
        let found = chance(&chances(&line, &uncertainties, CHART_DRAWS, 1), &run);
        let fails = found.fails(LimitId::DryAtExit).expect("evaluated");
        assert_within(fails, 0.5, 0.05, cause.label());
    }
}
