//! Vouches for plans, fits and surfaces: published numbers first, then properties, then awkward cases.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::float_cmp,
    reason = "a test fails by panicking, and some numbers must come out exactly"
)]

#[path = "../support/mod.rs"]
mod support;

#[path = "../support/reference.rs"]
mod reference;

mod anova_tables;
mod awkward_fits;
mod central_distributions;
mod certified_anova;
mod certified_fits;
mod collinear_regression;
mod default_models;
mod designs;
mod evenness;
mod factor_spaces;
mod factorial_effects;
mod fit_properties;
mod fitting;
mod fractions;
mod intervals;
mod latin_hypercubes;
mod natural_units;
mod noncentral_and_power;
mod optimal_plans;
mod plan_evaluation;
mod response_surface_designs;
mod response_surfaces;
mod run_values;
mod screening_designs;
mod sequential_orders;
