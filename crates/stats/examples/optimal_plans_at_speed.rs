//! Times the search for optimal plans and says how good they are, one JSON object a line.
//!
//! `optimal_plans_at_speed FACTORS RUNS (d | a | i) (cube | curved) STARTS SHAKES SEEDS`
//!
//! STARTS starts, each shaken SHAKES times, once for each of SEEDS seeds.

use std::error::Error;
use std::io::Write;
use std::time::Instant;

use wetlane_stats::design::{Progress, SearchBudget, Seed};
use wetlane_stats::optimal::{Criterion, OptimalRequest, search};
use wetlane_stats::{CodedPoint, Factor, FactorSpace, Intercept, TermList, Value};

/// The curved region of `tests/data/statistics/best-known-optimal-plans.csv` (invented numbers).
fn curved(point: &CodedPoint) -> bool {
    let x = |factor: usize| match point.0[factor] {
        Value::Number(x) => x,
        Value::Level(_) => f64::NAN,
    };
    let gap_over_wet = 1.5 * (0.5 * x(1) - 0.7 * x(2) + 0.7 * x(0)).exp();
    let capillary = 0.333 * (0.8 * x(4) + 0.7 * x(0)).exp();
    gap_over_wet >= 1.0
        && gap_over_wet <= 1.0 + 2.0 * (0.65 / capillary).powf(2.0 / 3.0)
        && 1.6_f64.ln() + 0.6 * x(3) >= 0.7 * x(2)
}

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [
        n_factors,
        n_runs,
        criterion,
        region,
        n_starts,
        n_trials,
        n_seeds,
    ] = words.as_slice()
    else {
        return Err("FACTORS RUNS (d | a | i) (cube | curved) STARTS SHAKES SEEDS".into());
    };
    let n_factors: usize = n_factors.parse()?;
    let factors = (0..n_factors).map(|i| Factor::continuous(format!("x{i}"), -1.0, 1.0));
    let space = FactorSpace::new(factors.collect::<Result<_, _>>()?)?;
    let mains = (0..n_factors).map(|i| format!("x{i}"));
    let products = (0..n_factors).flat_map(|i| (0..i).map(move |j| format!("x{j}*x{i}")));
    let squares = (0..n_factors).map(|i| format!("x{i}^2"));
    let terms: Vec<String> = mains.chain(products).chain(squares).collect();
    let terms = TermList::parse(&terms.join(","), &space, Intercept::Included)?;
    let mut out = std::io::stdout().lock();
    for seed in 0..n_seeds.parse()? {
        let request = OptimalRequest {
            terms: &terms,
            criterion: Criterion::from_key(criterion).ok_or("no such criterion")?,
            n_runs: n_runs.parse()?,
            kept: &[],
            is_feasible: if region == "curved" {
                Some(&curved)
            } else {
                None
            },
            few_levels: &[],
            budget: SearchBudget {
                n_starts: n_starts.parse()?,
                n_trials: n_trials.parse()?,
            },
            seed: Seed(seed),
        };
        let begin = Instant::now();
        let plan = search(&space, &request, &Progress::unwatched())?;
        let seconds = begin.elapsed().as_secs_f64();
        writeln!(
            out,
            "{{\"seed\": {seed}, \"seconds\": {seconds:.4}, \"determinant_root\": {:.9}, \"value\": {:.9}}}",
            plan.determinant_root, plan.value
        )?;
    }
    Ok(())
}
