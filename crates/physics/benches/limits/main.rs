//! Times of the limits: one by one, in columns, with drying, and as chances. `cargo bench -p wetlane-physics`.

#![expect(clippy::expect_used, reason = "a benchmark fails by panicking")]

mod case;

use std::hint::black_box;

use case::{CaseColumns, InkKind, base, columns, drying_table, line, prepared};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use wetlane_physics::probability::{CHART_DRAWS, Chances, InputErrors, SCREEN_DRAWS};
use wetlane_physics::{LimitId, Setting, Uncertainties};

/// Settings of a benchmark: enough for the memory to count, few enough for many samples.
const N_SETTINGS: usize = 100_000;
/// Settings across and up a chart.
const CHART: usize = 40;

fn many_settings(criterion: &mut Criterion) {
    let case = CaseColumns::new(N_SETTINGS);
    let varied = case.varied();
    let (mut limits, mut margins) = (vec![LimitId::LowFlow; N_SETTINGS], vec![0.0; N_SETTINGS]);
    let mut group = criterion.benchmark_group("binding limit of many settings");
    group.throughput(Throughput::Elements(N_SETTINGS as u64));
    for kind in [InkKind::Newtonian, InkKind::PowerLaw] {
        let prepared = prepared(&line(kind, false));
        let columns = columns(base(false), &varied);
        group.bench_function(format!("{kind:?}"), |bencher| {
            bencher.iter(|| {
                let found = prepared.binding_of_many(&columns, None, &mut limits, &mut margins);
                found.expect("valid columns");
            });
        });
    }
    let prepared = prepared(&line(InkKind::Newtonian, true));
    let table = drying_table(&prepared);
    let columns = columns(base(true), &varied);
    group.bench_function("with a table of dry speeds", |bencher| {
        bencher.iter(|| {
            let found = prepared.binding_of_many(&columns, Some(&table), &mut limits, &mut margins);
            found.expect("valid columns");
        });
    });
    group.finish();
}

fn one_setting(criterion: &mut Criterion) {
    let prepared = prepared(&line(InkKind::Newtonian, true));
    let case = CaseColumns::new(1);
    let setting = settings(&case, true).swap_remove(0);
    let mut group = criterion.benchmark_group("one setting");
    group.bench_function("binding without drying", |bencher| {
        bencher.iter(|| prepared.binding_without_drying(black_box(&setting)));
    });
    group.bench_function("assess without drying", |bencher| {
        bencher.iter(|| prepared.assess_without_drying(black_box(&setting)));
    });
    group.bench_function("dry speed", |bencher| {
        bencher.iter(|| prepared.dry_speed(black_box(&setting)));
    });
    group.finish();
}

/// The columns as settings.
fn settings(case: &CaseColumns, has_dryer: bool) -> Vec<Setting> {
    let varied = case.varied();
    (0..case.speed.len())
        .map(|i| {
            varied
                .iter()
                .fold(base(has_dryer), |setting, (knob, numbers)| {
                    setting.with_knob(*knob, numbers[i]).expect("a knob")
                })
        })
        .collect()
}

fn chances(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("chances");
    group.sample_size(20);
    let case = CaseColumns::new(CHART * CHART);
    for kind in [InkKind::Newtonian, InkKind::PowerLaw] {
        let settings = settings(&case, false);
        let errors = InputErrors::new(&prepared(&line(kind, false)), &Uncertainties::default());
        let chances = Chances::new(&errors, CHART_DRAWS, 1).expect("a number of draws");
        let mut shades = vec![None; settings.len()];
        group.bench_function(
            format!("chart of 40 × 40, 256 draws, {kind:?}"),
            |bencher| {
                bencher.iter(|| chances.shade(&settings, None, &mut shades, || false));
            },
        );
    }
    let errors = InputErrors::new(
        &prepared(&line(InkKind::Newtonian, true)),
        &Uncertainties::default(),
    );
    group.bench_function("draws for the screen", |bencher| {
        bencher.iter(|| Chances::new(&errors, SCREEN_DRAWS, 1));
    });
    group.finish();
}

criterion_group!(limits, many_settings, one_setting, chances);
criterion_main!(limits);
