//! Plans, plan evaluation, fits and response-surface geometry for designed experiments.
//!
//! Pure computation on numbers: no units, no files, no clock, no drawing.

pub mod design;
pub mod error;
pub mod factor;
pub mod model;
pub mod term;

pub use error::StatsError;
pub use factor::{
    ChangeEffort, CodedPoint, Factor, FactorKind, FactorSpace, NaturalPoint, Scale, Value,
};
pub use model::{
    Blocks, CategoryCoding, ColumnGroup, ColumnRecipe, ColumnSource, FactorPart, ModelMatrix,
};
pub use term::{Intercept, Term, TermList};
