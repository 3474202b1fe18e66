//! What would make a plan fit the ink, foil and hours there are: shorter samples first, nothing else is changed.

use super::project::Project;
use super::roll::lay_out;

/// Shortest sample that is worth offering \[m\]; common practice for a strip that still can be handled.
const SHORTEST_M: f64 = 0.1;
/// Halvings of the length in which the answer lies.
const HALVINGS: usize = 30;

/// The longest sample with which all runs fit \[m\], to a centimetre below; `None` if the plan fits already, if nothing
/// is stated, or if not even the shortest sample helps.
pub fn longest_sample_that_fits(project: &Project) -> Option<f64> {
    let fits = |sample_m: f64| {
        let mut shorter = project.clone();
        shorter.budget.sample_m = sample_m;
        lay_out(&shorter).totals.shortfalls().is_empty()
    };
    let present = project.budget.sample_m;
    if fits(present) || !fits(SHORTEST_M) {
        return None;
    }
    let (mut good, mut bad) = (SHORTEST_M, present);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(good, bad);
        if fits(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    Some((good * 100.0).floor() / 100.0)
}
