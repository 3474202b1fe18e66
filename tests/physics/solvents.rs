//! Every row of the solvent table against boiling points, vapour pressures and diffusivities.
//!
//! `tests/data/physics/solvent_rows.csv` holds the handbook data with their sources in its head.

use wetlane_physics::gas::{fuller, vapor_diffusivity_m2_per_s};
use wetlane_physics::solvent::Composition;
use wetlane_physics::{Gas, Pressure, Solvent, Temperature};

use crate::assert_within;
use crate::support::{assert_close, workspace_file};

const ATMOSPHERE: Pressure = Pressure::from_pa(101_325.0);

/// One row of the data file by column name.
struct Row {
    solvent: Solvent,
    columns: Vec<String>,
    names: Vec<String>,
}

impl Row {
    fn text(&self, name: &str) -> &str {
        let index = self
            .names
            .iter()
            .position(|n| n == name)
            .unwrap_or_else(|| panic!("no column {name}"));
        &self.columns[index]
    }

    /// `None` where the file has no datum.
    fn optional(&self, name: &str) -> Option<f64> {
        match self.text(name) {
            "-" => None,
            text => Some(text.parse().unwrap_or_else(|_| panic!("{name}: {text}"))),
        }
    }

    fn number(&self, name: &str) -> f64 {
        self.optional(name)
            .unwrap_or_else(|| panic!("{name} of {}", self.solvent.key()))
    }
}

fn rows() -> Vec<Row> {
    let text = std::fs::read_to_string(workspace_file("tests/data/physics/solvent_rows.csv"))
        .expect("the data file");
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let split = |line: &str| line.split(';').map(str::to_owned).collect::<Vec<_>>();
    let names = split(lines.next().expect("a header"));
    lines
        .map(|line| {
            let columns = split(line);
            let solvent = Solvent::from_key(&columns[0])
                .unwrap_or_else(|| panic!("unknown solvent {}", columns[0]));
            Row {
                solvent,
                columns,
                names: names.clone(),
            }
        })
        .collect()
}

#[test]
fn data_file_and_table_hold_the_same_23_solvents_in_order() {
    let solvents: Vec<Solvent> = rows().iter().map(|row| row.solvent).collect();
    assert_eq!(solvents, Solvent::ALL);
    assert_eq!(solvents.len(), 23);
}

#[test]
fn every_solvent_boils_at_its_listed_boiling_point() {
    // F40, published: normal boiling point; the curve meets one atmosphere within 2 %.
    for row in rows() {
        let boiling = Temperature::from_deg_c(row.number("boiling_c"));
        assert_close(
            row.solvent.vapor_pressure(boiling).pa(),
            101_325.0,
            2e-2,
            row.solvent.key(),
        );
        assert_within(
            row.solvent.boiling_point().deg_c(),
            boiling.deg_c(),
            1e-9,
            row.solvent.key(),
        );
        assert!(
            !row.solvent.boils_at(Temperature::from_k(boiling.k() - 3.0)),
            "{}",
            row.solvent.key()
        );
    }
}

#[test]
fn every_vapor_pressure_at_25_matches_its_datum() {
    // F41, published: 2 % or half a pascal; 15 % where 25 °C lies below the fitted range.
    for row in rows() {
        let low: f64 = row
            .text("range_k")
            .split('-')
            .next()
            .expect("a range")
            .parse()
            .expect("a number");
        let tolerance = if low > 298.5 { 0.15 } else { 0.02 };
        let datum = row.number("p25_pa");
        let curve = row
            .solvent
            .vapor_pressure(Temperature::from_deg_c(25.0))
            .pa();
        assert_within(
            curve,
            datum,
            (tolerance * datum).max(0.5),
            row.solvent.key(),
        );
        assert_close(
            row.solvent.properties().antoine.least_k,
            low,
            1e-12,
            row.solvent.key(),
        );
    }
}

#[test]
fn every_diffusivity_and_molar_mass_follows_from_the_formula() {
    // F42, computed by a second implementation; molar mass within 0.1 % of the tabulated one.
    for row in rows() {
        let (solvent, at) = (row.solvent, Temperature::from_deg_c(25.0));
        let diffusivity = vapor_diffusivity_m2_per_s(solvent, Gas::Air, at, ATMOSPHERE) * 1e4;
        assert_close(
            diffusivity,
            row.number("d_air_cm2_per_s"),
            1.2e-2,
            solvent.key(),
        );
        let composition = solvent.properties().composition;
        assert_close(
            composition.molar_mass_g_per_mol(),
            row.number("molar_mass_g_per_mol"),
            1e-3,
            solvent.key(),
        );
    }
}

#[test]
fn every_handbook_figure_is_the_one_in_the_data_file() {
    for row in rows() {
        let p = row.solvent.properties();
        for (actual, name, factor) in [
            (p.molar_mass_g_per_mol, "molar_mass_g_per_mol", 1.0),
            (p.density_kg_per_m3, "rho25_kg_per_m3", 1.0),
            (p.critical_temperature_k, "critical_k", 1.0),
            (p.antoine.a, "a", 1.0),
            (p.antoine.b, "b", 1.0),
            (p.antoine.c, "c", 1.0),
            (p.vapor_pressure_25_pa, "p25_pa", 1.0),
            (p.heat_of_vaporization_j_per_kg, "dhv25_kj_per_kg", 1e3),
            (p.diffusivity_in_air_cm2_per_s, "d_air_cm2_per_s", 1.0),
            (p.viscosity_25_mpa_s, "mu25_mpa_s", 1.0),
        ] {
            assert_close(
                actual,
                factor * row.number(name),
                1e-12,
                &format!("{name} of {}", row.solvent.key()),
            );
        }
        assert_eq!(
            p.flash_point_deg_c,
            row.optional("flash_c"),
            "{}",
            row.solvent.key()
        );
        assert_eq!(
            p.surface_tension_20_mn_per_m,
            row.optional("sigma20_mn_per_m"),
            "{}",
            row.solvent.key()
        );
        assert_eq!(
            p.surface_tension_slope_mn_per_m_k,
            row.optional("slope_mn_per_m_k"),
            "{}",
            row.solvent.key()
        );
    }
}

#[test]
fn explosive_limit_is_the_smaller_of_both_standards() {
    for row in rows() {
        let standards = [
            row.optional("lel_iec_percent"),
            row.optional("lel_nfpa_percent"),
        ];
        if let Some(smaller) = standards.into_iter().flatten().reduce(f64::min) {
            let held = row
                .solvent
                .properties()
                .explosive_limit
                .expect("a limit")
                .percent;
            assert_close(held, smaller, 1e-12, row.solvent.key());
        }
    }
    assert!(!Solvent::Water.is_flammable());
    // Outside both standards: a reference chart, or memory, or the careful guess of common practice.
    for (solvent, percent) in [
        (Solvent::EthyleneGlycol, 3.0),
        (Solvent::Methylpyrrolidone, 1.3),
        (Solvent::DimethylSulfoxide, 2.6),
        (Solvent::Anisole, 1.0),
    ] {
        assert_close(
            solvent
                .properties()
                .explosive_limit
                .expect("a limit")
                .percent,
            percent,
            1e-12,
            solvent.key(),
        );
    }
}

#[test]
fn water_toluene_and_ethanol_match_reference_equations_of_state() {
    let at = |solvent: Solvent, deg_c| solvent.vapor_pressure(Temperature::from_deg_c(deg_c)).pa();
    // F1, published: normal boiling point. F2, F3, published: reference equations of state, 3799 and 7885 Pa.
    assert_close(
        at(Solvent::Water, 100.0),
        101_325.0,
        5e-3,
        "F1, normal boiling point",
    );
    assert_close(
        at(Solvent::Toluene, 25.0),
        3800.0,
        1e-2,
        "F2, reference equation of state",
    );
    assert_close(
        at(Solvent::Ethanol, 25.0),
        7885.0,
        1e-2,
        "F3, reference equation of state",
    );
}

#[test]
fn diffusivities_match_handbook_values() {
    let at = |solvent| {
        vapor_diffusivity_m2_per_s(solvent, Gas::Air, Temperature::from_deg_c(25.0), ATMOSPHERE)
            * 1e4
    };
    // F4, F5, from memory: Incropera, Table A.8. F6, F8, from memory: Lugg (1968).
    assert_close(
        at(Solvent::Water),
        0.26,
        0.06,
        "F4, Incropera Table A.8, from memory",
    );
    assert_close(
        at(Solvent::Ethanol),
        0.12,
        0.06,
        "F5, Incropera Table A.8, from memory",
    );
    assert_close(
        at(Solvent::Acetone),
        0.105,
        0.06,
        "F6, Lugg (1968), from memory",
    );
    assert_close(
        at(Solvent::Toluene),
        0.085,
        0.08,
        "F8, Lugg (1968), from memory",
    );
    // F7, from memory: Incropera, Table A.8: benzene 0.088.
    let benzene = Composition {
        carbon: 6,
        hydrogen: 6,
        oxygen: 0,
        nitrogen: 0,
        chlorine: 0,
        sulfur: 0,
        rings: 1,
    };
    let diffusivity = fuller(
        benzene.molar_mass_g_per_mol(),
        benzene.diffusion_volume(),
        Gas::Air,
        Temperature::from_deg_c(25.0),
        ATMOSPHERE,
    );
    assert_close(
        diffusivity * 1e4,
        0.088,
        0.1,
        "F7, Incropera Table A.8, from memory",
    );
}

#[test]
fn dew_point_of_a_room_matches_the_psychrometric_reference() {
    // F31, published: ASHRAE RP-1485: 25 °C, 50 % RH, 13.9 °C.
    let half = Pressure::from_pa(
        0.5 * Solvent::Water
            .vapor_pressure(Temperature::from_deg_c(25.0))
            .pa(),
    );
    let dew = Solvent::Water
        .saturation_temperature(half)
        .expect("a positive pressure");
    assert_within(dew.deg_c(), 13.9, 0.2, "F31, ASHRAE RP-1485");
    assert!(
        Solvent::Water
            .saturation_temperature(Pressure::from_pa(0.0))
            .is_none()
    );
}

#[test]
fn heat_of_vaporization_of_water_falls_to_the_published_one_at_boiling() {
    // Published: IAPWS-95, 2256.4 kJ/kg at 100 °C; Watson's exponent is an estimate, good to a few per cent.
    let heat = Solvent::Water.heat_of_vaporization_j_per_kg(Temperature::from_deg_c(100.0));
    assert_close(heat, 2.2564e6, 0.02, "IAPWS-95");
}

#[test]
fn heat_of_vaporization_stays_positive_beyond_the_critical_point() {
    for solvent in Solvent::ALL {
        let heat = solvent.heat_of_vaporization_j_per_kg(Temperature::from_k(900.0));
        assert!(heat.is_finite() && heat > 0.0, "{}", solvent.key());
    }
}
