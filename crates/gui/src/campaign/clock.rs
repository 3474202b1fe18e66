//! The time of day as text. Everything else is handed its time, so that tests and replays are reproducible.

/// Now, in UTC, to the second, as RFC 3339 (`2026-05-04T09:30:00Z`).
pub fn now_utc() -> String {
    let now = jiff::Timestamp::now();
    now.round(jiff::Unit::Second).unwrap_or(now).to_string()
}
