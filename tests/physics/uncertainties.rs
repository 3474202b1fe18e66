//! The table of uncertainties: its defaults and what it refuses.

use wetlane_physics::{Cause, Input, Spread, Uncertainties, UncertaintyError};

#[test]
fn defaults_lie_within_the_customary_ranges() {
    // Common practice: low and high end of what is usual for each kind of input.
    let degree = std::f64::consts::PI / 180.0;
    let ranges = [
        (Cause::Viscosity, 0.05, 0.10),
        (Cause::SurfaceTension, 0.02, 0.05),
        (Cause::AngleOnFoil, 3.0 * degree, 5.0 * degree),
        (Cause::AngleOnLip, 3.0 * degree, 5.0 * degree),
        (Cause::Density, 0.005, 0.005),
        (Cause::Solids, 0.01, 0.02),
        (Cause::Gap, 3e-6, 5e-6),
        (Cause::DownstreamLip, 20e-6, 20e-6),
        (Cause::UpstreamLip, 20e-6, 20e-6),
        (Cause::FeedSlotHeight, 1e-6, 2e-6),
        (Cause::Flow, 0.01, 0.01),
        (Cause::Speed, 0.005, 0.01),
        (Cause::CoatedWidth, 0.01, 0.02),
        (Cause::DryerHeatTransfer, 0.10, 0.30),
        (Cause::GasTemperature, 2.0, 5.0),
        (Cause::VaporPressure, 0.02, 0.02),
        (Cause::VaporDiffusivity, 0.05, 0.08),
        (Cause::PlasmaResponse, 0.30, 0.30),
        (Cause::BeadHoldModel, 0.10, 0.30),
        (Cause::LowFlowModel, 0.10, 0.30),
        (Cause::FloodModel, 0.10, 0.30),
        (Cause::Tension, 0.05, 0.15),
        (Cause::LaminationTemperature, 1.0, 3.0),
        (Cause::UvIrradiance, 0.10, 0.20),
    ];
    let table = Uncertainties::default();
    for (cause, least, greatest) in ranges {
        let sd = table.get(cause).standard_deviation();
        assert!((least..=greatest).contains(&sd), "{}: {sd}", cause.label());
    }
}

#[test]
fn every_cause_has_words_of_its_own() {
    let mut keys: Vec<&str> = Cause::ALL.iter().map(|cause| cause.key()).collect();
    keys.sort_unstable();
    keys.dedup();
    assert_eq!(keys.len(), Cause::COUNT);
    for (cause, spread) in Uncertainties::default().rows() {
        assert!(!cause.label().is_empty() && !cause.source().is_empty());
        assert!(spread.standard_deviation() > 0.0);
        assert_eq!(spread, cause.default_spread());
    }
    assert_eq!(Cause::Viscosity.input(), Some(Input::Viscosity));
    assert_eq!(Cause::BeadHoldModel.input(), None);
}

#[test]
fn rows_are_replaced() {
    let mut table = Uncertainties::default();
    table
        .set(Cause::Viscosity, Spread::Absolute(1e-3))
        .expect("a standard deviation of 1 mPa·s");
    assert_eq!(table.get(Cause::Viscosity), Spread::Absolute(1e-3));
    table
        .set(Cause::Gap, Spread::Relative(0.0))
        .expect("known exactly");
    assert_eq!(table.get(Cause::Gap), Spread::Relative(0.0));
    let none = Uncertainties::none();
    assert!(
        none.rows()
            .all(|(_, spread)| spread.standard_deviation() == 0.0)
    );
}

#[test]
fn nonsense_is_refused_with_its_reason() {
    let mut table = Uncertainties::default();
    let before = table.clone();
    for value in [f64::NAN, f64::INFINITY, -0.1] {
        let refused = table.set(Cause::Flow, Spread::Relative(value));
        assert!(matches!(
            refused,
            Err(UncertaintyError::NotANumberFromZero {
                cause: Cause::Flow,
                ..
            })
        ));
    }
    assert_eq!(
        table.set(Cause::Flow, Spread::Relative(5.0)),
        Err(UncertaintyError::TooWide {
            cause: Cause::Flow,
            value: 5.0
        })
    );
    assert_eq!(
        table.set(Cause::GasTemperature, Spread::Relative(0.1)),
        Err(UncertaintyError::ShareOfTemperature {
            cause: Cause::GasTemperature
        })
    );
    assert_eq!(
        table.set(Cause::FloodModel, Spread::Absolute(0.1)),
        Err(UncertaintyError::NoUnit {
            cause: Cause::FloodModel
        })
    );
    assert_eq!(table, before);
    let message = UncertaintyError::ShareOfTemperature {
        cause: Cause::GasTemperature,
    };
    assert_eq!(
        message.to_string(),
        "\"Temperature of the dryer gas at the web\" is a temperature: its standard deviation is a number of kelvins, not a \
         share"
    );
}
