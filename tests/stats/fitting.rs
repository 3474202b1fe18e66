//! Short ways from a reference table to a fit, shared by the tests of fits.

use wetlane_stats::{
    Blocks, CodedPoint, ConfidenceLevel, Factor, FactorSpace, Intercept, LeastSquares, ModelMatrix,
    NaturalPoint, Term, TermList, Value,
};

/// A factor space, points and responses that belong together.
pub(crate) struct Case {
    pub(crate) space: FactorSpace,
    pub(crate) points: Vec<CodedPoint>,
    pub(crate) blocks: Option<Blocks>,
}

impl Case {
    /// Columns that are already coded: each factor's range is −1..1.
    pub(crate) fn coded(columns: &[(&str, Vec<f64>)]) -> Self {
        let factors = columns
            .iter()
            .map(|(name, _)| Factor::continuous(*name, -1.0, 1.0).unwrap())
            .collect();
        Self::from_columns(factors, columns)
    }

    /// Columns in natural units: each factor's range is the column's least and greatest value, as for a table that is
    /// imported without ranges.
    pub(crate) fn imported(columns: &[(&str, Vec<f64>)]) -> Self {
        let factors = columns
            .iter()
            .map(|(name, values)| {
                let low = values.iter().copied().fold(f64::INFINITY, f64::min);
                let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                Factor::continuous(*name, low, high).unwrap()
            })
            .collect();
        Self::from_columns(factors, columns)
    }

    fn from_columns(factors: Vec<Factor>, columns: &[(&str, Vec<f64>)]) -> Self {
        Self::with_space(FactorSpace::new(factors).unwrap(), columns)
    }

    /// Columns in natural units in a given space.
    pub(crate) fn with_space(space: FactorSpace, columns: &[(&str, Vec<f64>)]) -> Self {
        let points = (0..columns[0].1.len())
            .map(|row| {
                let settings = columns.iter().map(|(_, values)| Value::Number(values[row]));
                space.code(&NaturalPoint(settings.collect())).unwrap()
            })
            .collect();
        Self {
            space,
            points,
            blocks: None,
        }
    }

    /// Categories only, from columns of labels; levels in the order of first appearance.
    pub(crate) fn categories(columns: &[(&str, Vec<String>)]) -> Self {
        let mut factors = Vec::new();
        let mut rows: Vec<Vec<Value>> = vec![Vec::new(); columns[0].1.len()];
        for (name, labels) in columns {
            let mut levels: Vec<String> = Vec::new();
            for (row, label) in rows.iter_mut().zip(labels) {
                if !levels.contains(label) {
                    levels.push(label.clone());
                }
                let level = levels.iter().position(|known| known == label).unwrap();
                row.push(Value::Level(level));
            }
            factors.push(Factor::categorical(*name, levels).unwrap());
        }
        Self {
            space: FactorSpace::new(factors).unwrap(),
            points: rows.into_iter().map(CodedPoint).collect(),
            blocks: None,
        }
    }

    /// The same with blocks from labels, in the order of first appearance.
    pub(crate) fn in_blocks(mut self, name: &str, labels: &[String]) -> Self {
        let mut known: Vec<String> = Vec::new();
        let of_run = labels
            .iter()
            .map(|label| {
                if !known.contains(label) {
                    known.push(label.clone());
                }
                known.iter().position(|k| k == label).unwrap()
            })
            .collect();
        self.blocks = Some(Blocks {
            name: name.to_owned(),
            labels: known,
            of_run,
        });
        self
    }

    pub(crate) fn terms(&self, list: &str) -> TermList {
        TermList::parse(list, &self.space, Intercept::Included).unwrap()
    }

    pub(crate) fn matrix(&self, list: &str) -> ModelMatrix {
        ModelMatrix::new(
            &self.space,
            &self.terms(list),
            &self.points,
            self.blocks.as_ref(),
        )
        .unwrap()
    }

    pub(crate) fn fit(&self, list: &str, response: &[f64]) -> LeastSquares {
        LeastSquares::fit(&self.matrix(list), response, None).unwrap()
    }

    pub(crate) fn fit_terms(&self, terms: &TermList, response: &[f64]) -> LeastSquares {
        let matrix =
            ModelMatrix::new(&self.space, terms, &self.points, self.blocks.as_ref()).unwrap();
        LeastSquares::fit(&matrix, response, None).unwrap()
    }

    /// All products of the factors, up to the one of all of them.
    pub(crate) fn full_factorial_terms(&self) -> TermList {
        let k = self.space.n_factors();
        let terms = (0_u32..1 << k)
            .map(|bits| {
                let powers = (0..k).filter(|f| bits >> f & 1 == 1).map(|f| (f, 1));
                Term::from_powers(powers.collect())
            })
            .collect();
        TermList::new(terms)
    }
}

/// All estimates in column order; a dropped column fails the test.
pub(crate) fn estimates(fit: &LeastSquares) -> Vec<f64> {
    (0..fit.n_columns())
        .map(|column| fit.estimate(column).unwrap())
        .collect()
}

/// All standard errors in column order.
pub(crate) fn standard_errors(fit: &LeastSquares) -> Vec<f64> {
    fit.coefficients(ConfidenceLevel::NINETY_FIVE)
        .into_iter()
        .map(|coefficient| coefficient.standard_error.unwrap())
        .collect()
}

/// The estimate of the column with this name.
pub(crate) fn estimate_of(fit: &LeastSquares, name: &str) -> f64 {
    let column = fit.column_names().iter().position(|n| n == name).unwrap();
    fit.estimate(column).unwrap()
}

/// `ABD` as it stands in tables of effects becomes `A*B*D`.
pub(crate) fn spelled_out(letters: &str) -> String {
    letters
        .chars()
        .map(String::from)
        .collect::<Vec<_>>()
        .join("*")
}
