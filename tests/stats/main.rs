//! Vouches for plans, fits and surfaces: published numbers first, then properties, then awkward cases.

#[path = "../support/mod.rs"]
mod support;

#[path = "../support/reference.rs"]
mod reference;

mod certified_anova;
mod certified_fits;
mod fitting;
