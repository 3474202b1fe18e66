//! Interpolated dry speeds against the march, over the whole range of each sample line.

use wetlane_physics::dry_speed_table::STATED_ERROR;
use wetlane_physics::{
    Activity, Basis, Density, DrySpeed, DrySpeedTable, Length, LimitId, Line, Prepared, Setting,
    Solvent, Span, TableError, TableRange, Temperature,
};

use crate::sample_lines::{
    nanowire_line, setting, slurry_line, transport_layer_line, with_gas, with_roller,
};

fn prepared(line: &Line) -> Prepared {
    Prepared::new(line, &Basis::default()).expect("valid line")
}

fn thickness(least: f64, greatest: f64) -> Span<Length> {
    Span {
        least: Length::from_um(least),
        greatest: Length::from_um(greatest),
    }
}

fn temperature(least: f64, greatest: f64) -> Span<Temperature> {
    Span {
        least: Temperature::from_deg_c(least),
        greatest: Temperature::from_deg_c(greatest),
    }
}

/// Places spread evenly over the unit cube (Kronecker sequence of the plastic number).
fn spread(i: i32) -> [f64; 3] {
    let i = f64::from(i);
    [
        (0.819_172_5 * i).fract(),
        (0.671_043_6 * i).fract(),
        (0.549_700_5 * i).fract(),
    ]
}

/// Largest relative error over 60 places of the range.
fn greatest_error(
    prepared: &Prepared,
    table: &DrySpeedTable,
    at: impl Fn([f64; 3]) -> Setting,
) -> f64 {
    (1..=60)
        .map(|i| {
            let run = at(spread(i));
            let marched = prepared
                .dry_speed(&run)
                .expect("valid")
                .expect("all inputs are there")
                .speed();
            let read = table.dry_speed(&run).expect("within the range");
            (read.m_per_s() / marched.m_per_s() - 1.0).abs()
        })
        .fold(0.0, f64::max)
}

fn between(least: f64, greatest: f64, share: f64) -> f64 {
    least + (greatest - least) * share
}

#[test]
fn table_of_the_nanowire_box_is_as_good_as_stated() {
    let prepared = prepared(&nanowire_line());
    let range = TableRange {
        wet_thickness: thickness(10.0, 24.0),
        gas: temperature(70.0, 110.0),
        roller: None,
        infrared: None,
    };
    let table = DrySpeedTable::new(&prepared, range).expect("smooth");
    let error = greatest_error(&prepared, &table, |[a, b, c]| {
        with_gas(
            setting(between(0.6, 2.4, c), between(10.0, 24.0, a), 150.0),
            between(70.0, 110.0, b),
        )
    });
    assert!(
        error < STATED_ERROR,
        "{error} with {} nodes",
        table.n_nodes()
    );
}

#[test]
fn table_of_the_slurry_box_is_as_good_as_stated() {
    let prepared = prepared(&slurry_line());
    let range = TableRange {
        wet_thickness: thickness(90.0, 240.0),
        gas: temperature(80.0, 130.0),
        roller: None,
        infrared: None,
    };
    let table = DrySpeedTable::new(&prepared, range).expect("smooth");
    let error = greatest_error(&prepared, &table, |[a, b, c]| {
        with_gas(
            setting(between(0.2, 1.0, c), between(90.0, 240.0, a), 300.0),
            between(80.0, 130.0, b),
        )
    });
    assert!(
        error < STATED_ERROR,
        "{error} with {} nodes",
        table.n_nodes()
    );
}

#[test]
fn table_with_a_heated_roller_is_as_good_as_stated() {
    let prepared = prepared(&transport_layer_line());
    let range = TableRange {
        wet_thickness: thickness(5.0, 12.0),
        gas: temperature(100.0, 100.0),
        roller: Some(temperature(30.0, 70.0)),
        infrared: None,
    };
    let table = DrySpeedTable::new(&prepared, range).expect("smooth");
    let error = greatest_error(&prepared, &table, |[a, _, c]| {
        let run = with_gas(setting(1.5, between(5.0, 12.0, a), 100.0), 100.0);
        with_roller(run, between(30.0, 70.0, c))
    });
    assert!(
        error < STATED_ERROR,
        "{error} with {} nodes",
        table.n_nodes()
    );
}

#[test]
fn limits_from_a_table_are_those_of_the_march_within_its_error() {
    let prepared = prepared(&nanowire_line());
    let range = TableRange {
        wet_thickness: thickness(10.0, 24.0),
        gas: temperature(70.0, 110.0),
        roller: None,
        infrared: None,
    };
    let table = DrySpeedTable::new(&prepared, range).expect("smooth");
    let run = with_gas(setting(2.4, 24.0, 100.0), 75.0);
    let read = table.dry_speed(&run).expect("within the range");
    let quick = prepared
        .binding_given_dry_speed(&run, read)
        .expect("valid")
        .expect("no input is missing");
    let slow = prepared.assess_nominal(&run).expect("valid");
    let binding = slow.binding().expect("hard limits");
    assert_eq!(
        (quick.0, binding.id),
        (LimitId::DryAtExit, LimitId::DryAtExit)
    );
    assert!((quick.1 - binding.margin().expect("evaluated")).abs() < 0.01);
}

#[test]
fn setting_outside_the_table_has_no_answer() {
    let prepared = prepared(&nanowire_line());
    let range = TableRange {
        wet_thickness: thickness(10.0, 24.0),
        gas: temperature(70.0, 110.0),
        roller: None,
        infrared: None,
    };
    let table = DrySpeedTable::new(&prepared, range).expect("smooth");
    assert!(
        table
            .dry_speed(&with_gas(setting(1.0, 9.0, 150.0), 80.0))
            .is_none()
    );
    assert!(
        table
            .dry_speed(&with_gas(setting(1.0, 20.0, 150.0), 120.0))
            .is_none()
    );
    assert!(table.dry_speed(&setting(1.0, 20.0, 150.0)).is_none());
    assert!(
        table
            .dry_speed(&with_gas(setting(1.0, 24.0, 150.0), 110.0))
            .is_some(),
        "the corner itself"
    );
}

#[test]
fn films_that_never_dry_refuse_a_table() {
    let mut line = nanowire_line();
    line.ink.activity = Some(Activity::Polymer);
    line.ink.dry_density = Some(Density::from_kg_per_m3(1200.0));
    line.surroundings.relative_humidity = Some(wetlane_physics::Fraction::from_ratio(1.0));
    let prepared = prepared(&line);
    let range = TableRange {
        wet_thickness: thickness(10.0, 24.0),
        gas: temperature(22.0, 110.0),
        roller: None,
        infrared: None,
    };
    let run = with_gas(setting(1.0, 20.0, 150.0), 22.0);
    assert_eq!(prepared.dry_speed(&run), Ok(Some(DrySpeed::Never)));
    assert_eq!(
        DrySpeedTable::new(&prepared, range),
        Err(TableError::NeverDry)
    );
}

#[test]
fn line_without_drying_and_reversed_spans_refuse_a_table() {
    let mut line = nanowire_line();
    line.ink.solvent = None;
    let range = TableRange {
        wet_thickness: thickness(10.0, 24.0),
        gas: temperature(70.0, 110.0),
        roller: None,
        infrared: None,
    };
    assert_eq!(
        DrySpeedTable::new(&prepared(&line), range),
        Err(TableError::NothingToDry)
    );
    let reversed = TableRange {
        gas: temperature(110.0, 70.0),
        ..range
    };
    assert_eq!(
        DrySpeedTable::new(&prepared(&nanowire_line()), reversed),
        Err(TableError::SpanReversed)
    );
    let empty = TableRange {
        wet_thickness: thickness(0.0, 24.0),
        ..range
    };
    assert_eq!(
        DrySpeedTable::new(&prepared(&nanowire_line()), empty),
        Err(TableError::SpanReversed)
    );
}

#[test]
fn table_reaches_over_a_decade_of_a_fast_solvent() {
    let mut line = nanowire_line();
    line.ink.solvent = Some(Solvent::EthylAcetate);
    line.ink.solids = Some(wetlane_physics::Fraction::from_ratio(0.05));
    let prepared = prepared(&line);
    let range = TableRange {
        wet_thickness: thickness(8.0, 80.0),
        gas: temperature(40.0, 120.0),
        roller: None,
        infrared: None,
    };
    let table = DrySpeedTable::new(&prepared, range).expect("smooth");
    let error = greatest_error(&prepared, &table, |[a, b, _]| {
        with_gas(
            setting(1.0, 8.0 * 10.0_f64.powf(a), 150.0),
            between(40.0, 120.0, b),
        )
    });
    assert!(
        error < STATED_ERROR,
        "{error} with {} nodes",
        table.n_nodes()
    );
}
