//! Analysis of variance of a fit: marginal, sequential and hierarchical tables, always of the coded columns.
//!
//! Marginal: each term given all others, `b_t'(C_tt)⁻¹b_t`. Sequential: each term given those before it in canonical
//! order, the squared lengths of `Q_t'y`. Hierarchical: each term given all that do not contain it, for tables with
//! missing cells. The `model` row holds everything but the mean, blocks included, so model and residual add up to the
//! total.
//!
//! Sources: Searle, S.R. (1971), Linear Models, chapters 5 and 8; Draper & Smith, Applied Regression Analysis (3rd ed.
//! 1998), chapter 6.

use nalgebra::DMatrix;

use crate::distributions::FisherF;
use crate::lack_of_fit::{LackOfFit, SquaresOfPart};
use crate::least_squares::LeastSquares;
use crate::model::{ColumnGroup, ColumnSource};
use crate::qr::{OrderedQr, SpreadAbout};
use crate::term::Term;
use crate::undefined::{Known, Undefined};

/// What a row of the table is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum AnovaSource {
    /// All terms and blocks together.
    Model,
    /// The blocks.
    Blocks,
    /// One term with all its columns.
    Term(Term),
    /// The residual.
    Residual,
    /// The part of the residual that replicates do not show.
    LackOfFit,
    /// The part of the residual within replicates.
    PureError,
    /// The total.
    Total,
}

/// One row of an analysis of variance.
#[derive(Debug, Clone, PartialEq)]
pub struct AnovaRow {
    /// What it is about.
    pub source: AnovaSource,
    /// Its name: `model`, `speed*gas`, `block`, `residual`, `lack of fit`, `pure error`, `total`.
    pub name: String,
    /// Degrees of freedom: number of estimated columns.
    pub df: usize,
    /// Sum of squares.
    pub sum_of_squares: Known<f64>,
    /// Sum of squares over df.
    pub mean_square: Known<f64>,
    /// Mean square over the error mean square (lack of fit: over that of pure error).
    pub f: Known<f64>,
    /// Probability of a larger F if the row has no effect.
    pub p: Known<f64>,
    /// Share of the total sum of squares, for information.
    pub share: Known<f64>,
}

impl LeastSquares {
    /// Each term given all others. With `lack_of_fit`, the two rows that split the residual are in the table.
    pub fn anova_marginal(&self, lack_of_fit: Option<&LackOfFit>) -> Vec<AnovaRow> {
        self.table(lack_of_fit, |group| {
            if let Some(higher) = self.higher_term_with_missing_cells(group) {
                return (self.n_kept(group), Err(Undefined::MissingCells { higher }));
            }
            self.marginal_squares(group)
        })
    }

    /// Each term given those before it in canonical order, blocks first.
    pub fn anova_sequential(&self, lack_of_fit: Option<&LackOfFit>) -> Vec<AnovaRow> {
        self.table(lack_of_fit, |group| {
            let positions = self.kept_positions(group);
            let squares = positions.iter().map(|at| self.effects[*at].powi(2)).sum();
            (positions.len(), known_if(!positions.is_empty(), squares))
        })
    }

    /// Each term given all terms that do not contain it.
    pub fn anova_hierarchical(&self, lack_of_fit: Option<&LackOfFit>) -> Vec<AnovaRow> {
        let images = self.column_images();
        self.table(lack_of_fit, |group| {
            self.hierarchical_squares(group, &images)
        })
    }

    fn table(
        &self,
        lack_of_fit: Option<&LackOfFit>,
        squares_of: impl Fn(&ColumnGroup) -> (usize, Known<f64>),
    ) -> Vec<AnovaRow> {
        let mut rows = vec![self.model_row()];
        for group in self.groups() {
            let source = match &group.source {
                ColumnSource::Blocks => AnovaSource::Blocks,
                ColumnSource::Term(term) if term.is_intercept() => continue,
                ColumnSource::Term(term) => AnovaSource::Term(term.clone()),
            };
            let (df, squares) = squares_of(group);
            rows.push(self.tested_row(source, &group.name, df, squares));
        }
        let residual = SquaresOfPart {
            df: self.error_df(),
            sum_of_squares: Ok(self.residual_sum_of_squares()),
            mean_square: self.residual_mean_square(),
        };
        rows.push(self.plain_row(AnovaSource::Residual, "residual", &residual));
        if let Some(split) = lack_of_fit {
            let mut row = self.plain_row(AnovaSource::LackOfFit, "lack of fit", &split.lack_of_fit);
            row.f.clone_from(&split.f);
            row.p.clone_from(&split.p);
            rows.push(row);
            rows.push(self.plain_row(AnovaSource::PureError, "pure error", &split.pure_error));
        }
        let total = SquaresOfPart {
            df: self.total_df(),
            sum_of_squares: Ok(self.total_sum_of_squares()),
            mean_square: Err(Undefined::DoesNotApply),
        };
        rows.push(self.plain_row(AnovaSource::Total, "total", &total));
        rows
    }

    fn model_row(&self) -> AnovaRow {
        let df = self.total_df() - self.error_df();
        // Sums of effects lose nothing where the difference from the total would.
        let squares = if self.has_intercept() {
            self.effects
                .iter()
                .skip(1)
                .map(|effect| effect * effect)
                .sum()
        } else {
            self.total_sum_of_squares() - self.residual_sum_of_squares()
        };
        let squares = known_if(df > 0, squares).map_err(|_aliased| Undefined::DoesNotApply);
        self.tested_row(AnovaSource::Model, "model", df, squares)
    }

    fn tested_row(
        &self,
        source: AnovaSource,
        name: &str,
        df: usize,
        squares: Known<f64>,
    ) -> AnovaRow {
        let mean_square = squares.clone().map(|squares| squares / df as f64);
        let f = mean_square.clone().and_then(|mean_square| {
            let sd = self.testing_sd()?;
            Ok(mean_square / (sd * sd))
        });
        let p = f.clone().and_then(|f| {
            FisherF::new(df as f64, self.error_df() as f64)
                .map(|distribution| distribution.sf(f))
                .ok()
                .ok_or(Undefined::NoErrorDf)
        });
        AnovaRow {
            source,
            name: name.to_owned(),
            df,
            share: self.share(&squares),
            sum_of_squares: squares,
            mean_square,
            f,
            p,
        }
    }

    fn plain_row(&self, source: AnovaSource, name: &str, part: &SquaresOfPart) -> AnovaRow {
        AnovaRow {
            source,
            name: name.to_owned(),
            df: part.df,
            sum_of_squares: part.sum_of_squares.clone(),
            mean_square: part.mean_square.clone(),
            f: Err(Undefined::DoesNotApply),
            p: Err(Undefined::DoesNotApply),
            share: self.share(&part.sum_of_squares),
        }
    }

    fn share(&self, squares: &Known<f64>) -> Known<f64> {
        if self.has_zero_variance() {
            return Err(Undefined::ZeroVariance);
        }
        squares
            .clone()
            .map(|squares| squares / self.total_sum_of_squares())
    }

    fn kept_positions(&self, group: &ColumnGroup) -> Vec<usize> {
        group
            .columns
            .clone()
            .filter_map(|column| self.position(column))
            .collect()
    }

    fn n_kept(&self, group: &ColumnGroup) -> usize {
        self.kept_positions(group).len()
    }

    fn marginal_squares(&self, group: &ColumnGroup) -> (usize, Known<f64>) {
        let positions = self.kept_positions(group);
        if positions.is_empty() {
            return (0, Err(Undefined::Aliased));
        }
        // Rows of R⁻¹ as columns: C_tt = W'W, so b'(C_tt)⁻¹b is the squared length of the solution of R_w'z = b.
        let rank = self.rank();
        let mut rows = Vec::with_capacity(rank * positions.len());
        for position in &positions {
            rows.extend(self.r_inverse.row(*position).iter());
        }
        let factor = OrderedQr::new(&rows, rank, SpreadAbout::Zero);
        let wanted: Vec<f64> = factor
            .kept()
            .iter()
            .map(|index| self.estimates[positions[*index]])
            .collect();
        let z = factor.forward_substitute(&wanted);
        (positions.len(), Ok(z.iter().map(|z| z * z).sum()))
    }

    /// Name of a term that contains this one and has only some of its columns estimated.
    fn higher_term_with_missing_cells(&self, group: &ColumnGroup) -> Option<String> {
        self.groups()
            .iter()
            .find(|higher| {
                let n_kept = self.n_kept(higher);
                contains(higher, group) && 0 < n_kept && n_kept < higher.columns.len()
            })
            .map(|higher| higher.name.clone())
    }

    /// `Q'X` of every model column, dropped ones rebuilt from the kept ones: `rank` × `n_columns`.
    fn column_images(&self) -> DMatrix<f64> {
        let r = self.qr.r();
        let mut images = DMatrix::zeros(self.rank(), self.n_columns());
        for (position, column) in self.kept_columns().iter().enumerate() {
            images.set_column(*column, &r.column(position));
        }
        for dependent in self.qr.dependent() {
            let image = &r * DMatrix::from_column_slice(self.rank(), 1, &dependent.on_kept);
            images.set_column(dependent.column, &image.column(0));
        }
        images
    }

    fn hierarchical_squares(
        &self,
        group: &ColumnGroup,
        images: &DMatrix<f64>,
    ) -> (usize, Known<f64>) {
        let others: Vec<usize> = self
            .groups()
            .iter()
            .filter(|other| other.columns != group.columns && !contains(other, group))
            .flat_map(|other| other.columns.clone())
            .collect();
        let columns: Vec<f64> = others
            .iter()
            .copied()
            .chain(group.columns.clone())
            .flat_map(|column| images.column(column).iter().copied().collect::<Vec<f64>>())
            .collect();
        let ones: Vec<f64> = images.column(0).iter().copied().collect();
        let spread = if self.has_intercept() {
            SpreadAbout::Mean(&ones)
        } else {
            SpreadAbout::Zero
        };
        let factor = OrderedQr::new(&columns, self.rank(), spread);
        let mut image = self.effects.clone();
        factor.apply_q_transpose(&mut image);
        let own: Vec<f64> = factor
            .kept()
            .iter()
            .zip(&image)
            .filter(|(index, _)| **index >= others.len())
            .map(|(_, effect)| effect * effect)
            .collect();
        (own.len(), known_if(!own.is_empty(), own.iter().sum()))
    }
}

const fn known_if(holds: bool, value: f64) -> Known<f64> {
    if holds {
        Ok(value)
    } else {
        Err(Undefined::Aliased)
    }
}

/// True if the first group's term has the second's as a proper part.
fn contains(higher: &ColumnGroup, lower: &ColumnGroup) -> bool {
    match (&higher.source, &lower.source) {
        (ColumnSource::Term(higher), ColumnSource::Term(lower)) => {
            higher != lower && lower.is_contained_in(higher)
        }
        (ColumnSource::Blocks, _) | (_, ColumnSource::Blocks) => false,
    }
}
