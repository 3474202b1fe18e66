//! What all test binaries share: where files are, and how numbers are compared.

use std::path::PathBuf;

/// A file of the workspace, such as `tests/data/statistics/strd-norris.json`.
pub(crate) fn workspace_file(path: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../..")
        .join(path)
}

/// Compares two numbers: `tolerance` is relative to `expected`, absolute if that is zero. `source` says where the
/// expected number comes from.
#[track_caller]
pub(crate) fn assert_close(actual: f64, expected: f64, tolerance: f64, source: &str) {
    let scale = if expected == 0.0 { 1.0 } else { expected.abs() };
    assert!(
        (actual - expected).abs() <= tolerance * scale,
        "got {actual:e}, wanted {expected:e} within {tolerance:e}: {source}"
    );
}
