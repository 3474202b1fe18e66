//! Plans, plan evaluation, fits and response-surface geometry for designed experiments.
//!
//! Pure computation on numbers: no units, no files, no clock, no drawing.

pub mod anova;
pub mod confidence;
pub mod design;
pub mod diagnostics;
pub mod distributions;
mod double_double;
pub mod error;
pub mod factor;
pub mod lack_of_fit;
pub mod least_squares;
mod linear_system;
pub mod model;
pub mod prediction;
pub mod qr;
pub mod term;
pub mod undefined;

pub use anova::{AnovaRow, AnovaSource};
pub use confidence::{ConfidenceLevel, Interval};
pub use diagnostics::RunDiagnostics;
pub use error::{FitError, StatsError};
pub use factor::{
    ChangeEffort, CodedPoint, Factor, FactorKind, FactorSpace, NaturalPoint, Scale, Value,
};
pub use lack_of_fit::{LackOfFit, ReplicateGroups, SquaresOfPart};
pub use least_squares::{AliasPart, Coefficient, DroppedColumn, LeastSquares, TotalAbout};
pub use model::{
    Blocks, CategoryCoding, ColumnGroup, ColumnRecipe, ColumnSource, FactorPart, ModelLayout,
    ModelMatrix,
};
pub use prediction::Prediction;
pub use term::{Intercept, Term, TermList};
pub use undefined::{Known, Undefined};
