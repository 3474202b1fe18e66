//! Plans, plan evaluation, fits and response-surface geometry for designed experiments.
//!
//! Pure computation on numbers: no units, no files, no clock, no drawing.

pub mod confidence;
pub mod design;
pub mod distributions;
mod double_double;
pub mod error;
pub mod factor;
pub mod least_squares;
pub mod model;
pub mod prediction;
pub mod qr;
pub mod term;
pub mod undefined;

pub use confidence::{ConfidenceLevel, Interval};
pub use error::{FitError, StatsError};
pub use factor::{
    ChangeEffort, CodedPoint, Factor, FactorKind, FactorSpace, NaturalPoint, Scale, Value,
};
pub use least_squares::{AliasPart, Coefficient, DroppedColumn, LeastSquares, TotalAbout};
pub use model::{
    Blocks, CategoryCoding, ColumnGroup, ColumnRecipe, ColumnSource, FactorPart, ModelMatrix,
};
pub use prediction::Prediction;
pub use term::{Intercept, Term, TermList};
pub use undefined::{Known, Undefined};
