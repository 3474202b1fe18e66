//! Every limit, station, severity, input, solvent, foil and gas has words of its own.

use std::collections::BTreeSet;

use wetlane_physics::{FoilMaterial, Gas, Input, LimitId, Severity, Solvent, Station, Verdict};

#[test]
fn every_limit_has_its_words() {
    let mut keys = BTreeSet::new();
    let mut labels = BTreeSet::new();
    for id in LimitId::ALL {
        assert!(keys.insert(id.key()), "{}", id.key());
        assert!(labels.insert(id.label()), "{}", id.label());
        assert_eq!(LimitId::from_key(id.key()), Some(id));
        for text in [
            id.description(),
            id.defect(),
            id.remedy(),
            id.source(),
            id.validity(),
        ] {
            assert!(
                text.len() > 5 && text.ends_with('.'),
                "{}: {text}",
                id.key()
            );
            assert!(!text.contains("  "), "{}: {text}", id.key());
        }
    }
    assert_eq!(keys.len(), LimitId::COUNT);
    const { assert!(LimitId::COUNT <= wetlane_physics::limit::MAX_LIMITS) };
}

#[test]
fn keys_are_lower_snake() {
    let keys = LimitId::ALL
        .map(LimitId::key)
        .into_iter()
        .chain(Input::ALL.map(Input::key))
        .chain(Solvent::ALL.map(Solvent::key))
        .chain(FoilMaterial::ALL.map(FoilMaterial::key))
        .chain(Gas::ALL.map(Gas::key))
        .chain(Station::ALL.map(Station::key));
    for key in keys {
        let is_lower_snake = key
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_');
        assert!(is_lower_snake && !key.is_empty(), "{key}");
    }
}

#[test]
fn limits_carry_the_ids_of_the_methods_page() {
    for (id, key) in [
        (LimitId::LowFlow, "low_flow"),
        (LimitId::BeadHold, "bead_hold"),
        (LimitId::DryAtExit, "dry_at_exit"),
        (LimitId::SurfaceEnergyMin, "surface_energy_min"),
        (LimitId::LelDryer, "lel_dryer"),
        (LimitId::HotTouch, "hot_touch"),
        (LimitId::SpeedSpan, "speed_span"),
        (LimitId::CapillaryRange, "ca_range"),
        (LimitId::GapReynolds, "re_gap"),
    ] {
        assert_eq!(id.key(), key);
    }
}

#[test]
fn inputs_have_keys_and_labels_of_their_own() {
    let keys: BTreeSet<_> = Input::ALL.map(Input::key).into_iter().collect();
    let labels: BTreeSet<_> = Input::ALL.map(Input::label).into_iter().collect();
    assert_eq!(keys.len(), Input::COUNT);
    assert_eq!(labels.len(), Input::COUNT);
}

#[test]
fn names_lead_back_to_their_things() {
    assert!(
        FoilMaterial::ALL
            .into_iter()
            .all(|foil| FoilMaterial::from_key(foil.key()) == Some(foil))
    );
    assert!(
        Gas::ALL
            .into_iter()
            .all(|gas| Gas::from_key(gas.key()) == Some(gas))
    );
    assert_eq!(Solvent::from_key("no such liquid"), None);
}

#[test]
fn verdicts_and_severities_have_words_that_promise_nothing() {
    for verdict in [
        Verdict::Feasible,
        Verdict::Marginal,
        Verdict::Infeasible,
        Verdict::Unknown,
    ] {
        assert!(!verdict.key().is_empty());
        let label = verdict.label().to_lowercase();
        assert!(!label.contains("safe") && !label.contains("permitted") && !label.contains("ok"));
    }
    for severity in [
        Severity::Hard,
        Severity::Soft,
        Severity::Caution,
        Severity::Validity,
    ] {
        assert!(!severity.key().is_empty() && !severity.label().is_empty());
    }
}
