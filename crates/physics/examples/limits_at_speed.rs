//! A million settings of the benchmark's case, timed: one JSON line a case, for a side-by-side run with the twin in numpy.
//!
//! `limits_at_speed [--repeats N] [--only CASE] [--margins FILE]`; with a file name the margins of all limits are written there as
//! little-endian doubles, limit by limit in the order that the JSON line `names` gives, for a comparison number by number.

#![expect(clippy::expect_used, reason = "a benchmark fails by panicking")]
#![expect(clippy::print_stdout, reason = "its output is what the program is for")]

#[path = "../benches/limits/case.rs"]
mod case;

use std::time::Instant;

use case::{CaseColumns, InkKind, base, columns, drying_table, line, prepared};
use wetlane_physics::batch::{Columns, MarginColumn};
use wetlane_physics::{DrySpeedTable, LimitId, Prepared};

/// Settings of the comparison.
const N: usize = 1_000_000;
/// Every limit of the case that follows its columns, hard ones first.
const LIMITS: [LimitId; 13] = [
    LimitId::LowFlow,
    LimitId::BeadHold,
    LimitId::Flood,
    LimitId::WettingFailure,
    LimitId::Particle,
    LimitId::SpeedSpan,
    LimitId::GapSpan,
    LimitId::PumpRange,
    LimitId::LipWetting,
    LimitId::GapFill,
    LimitId::AirEntrainment,
    LimitId::Recirculation,
    LimitId::FeedSlot,
];

const BINDING: &str = "limits-binding-1e6";
const BINDING_POWER_LAW: &str = "limits-binding-power-law-1e6";
const ALL_MARGINS: &str = "limits-13-margins-1e6";
const WITH_DRYING: &str = "limits-with-drying-1e6";

/// Shortest of some runs [s].
fn shortest(repeats: usize, mut run: impl FnMut()) -> f64 {
    (0..repeats)
        .map(|_| {
            let start = Instant::now();
            run();
            start.elapsed().as_secs_f64()
        })
        .fold(f64::INFINITY, f64::min)
}

fn report(case: &str, threads: usize, seconds: f64, (feasible, sum): (usize, f64)) {
    let nanoseconds = 1e9 * seconds / N as f64;
    println!(
        "{{\"item\":\"5\",\"case\":\"{case}\",\"impl\":\"wetlane\",\"seconds\":{seconds:.6},\"threads\":{threads},\
         \"quality\":{{\"n\":{N},\"feasible\":{feasible},\"sum\":{sum:.9e}}},\"ns_per_setting\":{nanoseconds:.2}}}"
    );
}

/// Settings whose worst margin holds, and the sum of all worst margins.
fn checks(margins: &[f64]) -> (usize, f64) {
    (
        margins.iter().filter(|margin| **margin >= 0.0).count(),
        margins.iter().sum(),
    )
}

fn binding(case: &str, prepared: &Prepared, columns: &Columns<'_>, repeats: usize) {
    let (mut limits, mut margins) = (vec![LimitId::LowFlow; N], vec![0.0; N]);
    let seconds = shortest(repeats, || {
        let found = prepared.binding_of_many(columns, None, &mut limits, &mut margins);
        found.expect("valid columns");
    });
    report(case, 1, seconds, checks(&margins));
}

fn all_margins(prepared: &Prepared, columns: &Columns<'_>, repeats: usize) -> Vec<Vec<f64>> {
    let mut margins = vec![vec![0.0; N]; LIMITS.len()];
    let seconds = shortest(repeats, || {
        let mut wanted: Vec<MarginColumn<'_>> = LIMITS
            .into_iter()
            .zip(&mut margins)
            .map(|(limit, margins)| MarginColumn { limit, margins })
            .collect();
        let found = prepared.margins_of_many(columns, None, &mut wanted);
        found.expect("valid columns");
    });
    let worst: Vec<f64> = (0..N)
        .map(|i| margins.iter().map(|column| column[i]).fold(1.0, f64::min))
        .collect();
    report(ALL_MARGINS, 1, seconds, checks(&worst));
    margins
}

/// Half of the settings on each of two threads, the table of dry speeds made anew every time.
fn with_drying(prepared: &Prepared, case: &CaseColumns, repeats: usize) {
    let (mut limits, mut margins) = (vec![LimitId::LowFlow; N], vec![0.0; N]);
    let seconds = shortest(repeats, || {
        let table = drying_table(prepared);
        let (low, high) = limits.split_at_mut(N / 2);
        let (low_margins, high_margins) = margins.split_at_mut(N / 2);
        std::thread::scope(|scope| {
            scope.spawn(|| half(prepared, case, &table, 0, (low, low_margins)));
            half(prepared, case, &table, N / 2, (high, high_margins));
        });
    });
    report(WITH_DRYING, 2, seconds, checks(&margins));
}

fn half(
    prepared: &Prepared,
    case: &CaseColumns,
    table: &DrySpeedTable,
    start: usize,
    (limits, margins): (&mut [LimitId], &mut [f64]),
) {
    let varied = case
        .varied()
        .map(|(knob, numbers)| (knob, &numbers[start..start + margins.len()]));
    let columns = columns(base(true), &varied);
    let found = prepared.binding_of_many(&columns, Some(table), limits, margins);
    found.expect("valid columns");
}

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    let after = |name: &str| {
        let place = arguments.iter().position(|argument| argument == name)?;
        arguments.get(place + 1)
    };
    let repeats = after("--repeats").map_or(7, |n| n.parse().expect("a number of repeats"));
    let case = CaseColumns::new(N);
    let varied = case.varied();
    let columns = columns(base(false), &varied);
    let is_wanted = |case: &str| after("--only").is_none_or(|only| only == case);
    let newtonian = prepared(&line(InkKind::Newtonian, false));
    if is_wanted(BINDING) {
        binding(BINDING, &newtonian, &columns, repeats);
    }
    if is_wanted(BINDING_POWER_LAW) {
        let power_law = prepared(&line(InkKind::PowerLaw, false));
        binding(BINDING_POWER_LAW, &power_law, &columns, repeats);
    }
    if is_wanted(WITH_DRYING) {
        with_drying(&prepared(&line(InkKind::Newtonian, true)), &case, repeats);
    }
    if !is_wanted(ALL_MARGINS) {
        return;
    }
    let margins = all_margins(&newtonian, &columns, repeats);
    if let Some(path) = after("--margins") {
        let bytes: Vec<u8> = margins
            .iter()
            .flatten()
            .flat_map(|margin| margin.to_le_bytes())
            .collect();
        std::fs::write(path, bytes).expect("the file can be written");
        let names = LIMITS.map(|limit| format!("\"{}\"", limit.key())).join(",");
        println!("{{\"case\":\"margins\",\"seconds\":0,\"names\":[{names}]}}");
    }
}
