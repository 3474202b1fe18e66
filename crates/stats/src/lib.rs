//! Plans, plan evaluation, fits and response-surface geometry for designed experiments.
//!
//! Pure computation on numbers: no units, no files, no clock, no drawing.

pub mod alias;
pub mod anova;
pub mod canonical;
pub mod confidence;
pub mod confirmation;
pub mod curvature;
pub mod default_model;
pub mod design;
pub mod diagnostics;
pub mod distributions;
mod double_double;
pub mod error;
pub mod evaluation;
pub mod factor;
pub mod lack_of_fit;
pub mod least_squares;
pub mod level_effects;
mod linear_system;
pub mod model;
pub mod natural;
pub mod noncentral;
pub mod optimal;
pub mod power;
pub mod prediction;
pub mod qr;
pub mod quadratic_surface;
pub mod ridge;
pub mod run_values;
pub mod sequential_order;
pub mod sobol;
pub mod space_filling;
pub mod term;
pub mod undefined;

pub use anova::{AnovaRow, AnovaSource};
pub use canonical::{Nature, PrincipalAxis, StationaryPoint};
pub use confidence::{ConfidenceLevel, Interval};
pub use confirmation::Confirmation;
pub use curvature::{Curvature, CurvatureError};
pub use default_model::{DefaultModel, ModelSize, default_model};
pub use diagnostics::RunDiagnostics;
pub use error::{FitError, StatsError};
pub use factor::{
    ChangeEffort, CodedPoint, Factor, FactorKind, FactorSpace, NaturalPoint, Scale, Value,
};
pub use lack_of_fit::{LackOfFit, ReplicateGroups, SquaresOfPart};
pub use least_squares::{AliasPart, Coefficient, DroppedColumn, LeastSquares, TotalAbout};
pub use level_effects::LevelEffect;
pub use model::{
    Blocks, CategoryCoding, ColumnGroup, ColumnRecipe, ColumnSource, FactorPart, ModelLayout,
    ModelMatrix,
};
pub use natural::{NaturalCoefficient, space_about_zero};
pub use prediction::Prediction;
pub use quadratic_surface::{Direction, QuadraticSurface};
pub use ridge::RidgePoint;
pub use run_values::{Center, Profile, RunValue};
pub use term::{Intercept, Term, TermList};
pub use undefined::{Known, Undefined};
