//! Residuals in run order, measured against fitted, and the normal plot.

use wetlane_stats::diagnostics::normal_scores;

use crate::campaign::analysis::QualityFit;
use crate::campaign::analysis_table::from_scale;
use crate::campaign::project::{Project, QualityScale, RunRole};
use crate::figure::axis::Axis;
use crate::figure::drawing::{Drawing, Stroke};
use crate::figure::paper::{INK, INK3};
use crate::figure::plot::{Curve, Direction, Dot, DotKind, Layer, Plot, Rule};

const SIZE: [f64; 2] = [266.0, 200.0];

/// One run with what the plots need of it.
struct Spot {
    run: f64,
    kind: DotKind,
    observed: f64,
    fitted: f64,
    /// In per cent where the fit is to logarithms, else on the fitted scale.
    residual: f64,
}

/// The three plots.
pub(super) fn residual_plots(project: &Project, fit: &QualityFit) -> Vec<Drawing> {
    let spots = spots(project, fit);
    if spots.is_empty() {
        return Vec::new();
    }
    vec![
        in_run_order(&spots, fit),
        against_fitted(&spots, fit),
        normal_plot(&spots, fit),
    ]
}

fn spots(project: &Project, fit: &QualityFit) -> Vec<Spot> {
    fit.fit
        .diagnostics()
        .into_iter()
        .filter_map(|run| {
            let row = fit.table.rows.get(run.row)?;
            let role = project.run(row.run).map(|run| run.role);
            let kind = if role == Some(RunRole::Return) {
                DotKind::Return
            } else {
                DotKind::Plain
            };
            let residual = if fit.scale == QualityScale::Log {
                100.0 * run.residual.exp_m1()
            } else {
                run.residual
            };
            Some(Spot {
                run: f64::from(row.run),
                kind,
                observed: from_scale(run.observed, fit.scale),
                fitted: from_scale(run.fitted, fit.scale),
                residual,
            })
        })
        .collect()
}

/// Unit of residuals.
fn residual_unit(fit: &QualityFit) -> String {
    match fit.scale {
        QualityScale::Log => "%".to_owned(),
        QualityScale::Plain => fit.quality.unit.clone(),
        QualityScale::Sqrt => format!("root of {}", fit.quality.unit),
    }
}

fn spread(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let (low, high) = values
        .filter(|value| value.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
    let room = 0.08 * (high - low);
    if high >= low {
        (low - room, high + room)
    } else {
        (-1.0, 1.0)
    }
}

fn dots(spots: &[Spot], at: impl Fn(&Spot) -> [f64; 2]) -> Layer {
    Layer::Dots(
        spots
            .iter()
            .map(|spot| Dot {
                at: at(spot),
                kind: spot.kind,
            })
            .collect(),
    )
}

fn in_run_order(spots: &[Spot], fit: &QualityFit) -> Drawing {
    let x = spread(spots.iter().map(|spot| spot.run));
    let y = spread(spots.iter().map(|spot| spot.residual).chain([0.0]));
    let zero = Rule {
        of: Direction::Up,
        value: 0.0,
        stroke: Stroke::new(INK3, 1.0),
        words: String::new(),
    };
    Plot::new(
        "Residuals in run order",
        SIZE,
        Axis::linear("run", "", x.0, x.1),
        Axis::linear("residual", residual_unit(fit), y.0, y.1),
    )
    .with(Layer::Rule(zero))
    .with(dots(spots, |spot| [spot.run, spot.residual]))
    .draw()
}

fn against_fitted(spots: &[Spot], fit: &QualityFit) -> Drawing {
    let values = || spots.iter().flat_map(|spot| [spot.observed, spot.fitted]);
    let is_log = fit.scale == QualityScale::Log;
    let (low, high) = if is_log {
        let (low, high) = spread(values().map(f64::ln));
        (low.exp(), high.exp())
    } else {
        spread(values())
    };
    let axis = |title: &str| {
        if is_log {
            Axis::log(title, fit.quality.unit.clone(), low, high)
        } else {
            Axis::linear(title, fit.quality.unit.clone(), low, high)
        }
    };
    let equal = Curve {
        pieces: vec![vec![[low, low], [high, high]]],
        stroke: Stroke::new(INK, 1.0),
        name: String::new(),
    };
    Plot::new(
        "Measured against fitted",
        SIZE,
        axis("fitted"),
        axis("measured"),
    )
    .with(Layer::Curve(equal))
    .with(dots(spots, |spot| [spot.fitted, spot.observed]))
    .draw()
}

/// Residuals against normal quantiles (Blom 1958) with the line through the quartiles of both.
fn normal_plot(spots: &[Spot], fit: &QualityFit) -> Drawing {
    let residuals: Vec<f64> = spots.iter().map(|spot| spot.residual).collect();
    let scores = normal_scores(&residuals);
    let x = spread(scores.iter().map(|score| score.quantile));
    let y = spread(residuals.iter().copied());
    let dots = scores
        .iter()
        .map(|score| {
            let kind = spots
                .get(score.index)
                .map_or(DotKind::Plain, |spot| spot.kind);
            Dot {
                at: [score.quantile, score.value],
                kind,
            }
        })
        .collect();
    let mut plot = Plot::new(
        "Normal plot of residuals",
        SIZE,
        Axis::linear("normal score", "", x.0, x.1),
        Axis::linear("residual", residual_unit(fit), y.0, y.1),
    );
    let quarter = |share: f64| {
        // The positions lie inside the list, so the cast loses nothing.
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of the list's length"
        )]
        let index = (share * scores.len().saturating_sub(1) as f64).round() as usize;
        scores.get(index).map(|score| [score.quantile, score.value])
    };
    if let (Some(low), Some(high)) = (quarter(0.25), quarter(0.75))
        && high[0] > low[0]
    {
        let slope = (high[1] - low[1]) / (high[0] - low[0]);
        let at = |quantile: f64| [quantile, low[1] + slope * (quantile - low[0])];
        let pieces = vec![vec![at(x.0), at(x.1)]];
        plot = plot.with(Layer::Curve(Curve {
            pieces,
            stroke: Stroke::new(INK, 1.0),
            name: String::new(),
        }));
    }
    plot.with(Layer::Dots(dots)).draw()
}
