//! What the default layers and tolerance aim at, and when less is asked of them.

use std::sync::Arc;

use crate::engine::supply::timetable::{By, Timetable};
use crate::scenario::plan::on_day;

/// Water content of the container and of each part, points.
pub const WATER_POINTS: f64 = 0.1;
/// The same while a flood stands and for ten minutes after it, and around an event that a rule calls for: where water moves fast, being a
/// minute late is much.
pub const MOVING_WATER_POINTS: f64 = 0.5;
/// Root-zone EC, percent.
pub const EC_PERCENT: f64 = 0.5;
/// Uptake met, points of the day.
pub const UPTAKE_POINTS: f64 = 0.2;

/// How long water moves fast after a flood, s.
const AFTER_FLOOD_S: f64 = 600.0;
/// How long the minute of a called event lasts, s.
const AROUND_CALL_S: f64 = 60.0;

/// The times of a day when water moves fast in one of both runs, s since the first midnight, from and to.
pub(super) fn fast_times(timetables: [&Arc<Timetable>; 2], day: usize) -> Vec<(f64, f64)> {
    let mut times = Vec::new();
    // What began the day before may not be over.
    for day in [day.checked_sub(1), Some(day)].into_iter().flatten() {
        for table in timetables {
            for call in table.day(day).iter().flat_map(|d| &d.calls) {
                let (start, end) = (on_day(day, call.event.start_s()), on_day(day, call.event.end_s()));
                if call.event.give.is_flood() {
                    times.push((start, end + AFTER_FLOOD_S));
                } else if matches!(call.by, By::Rule(_)) {
                    times.push((start, end + AROUND_CALL_S));
                }
            }
        }
    }
    times
}

/// What is asked of water content at a time, points.
pub(super) fn water_points(fast: &[(f64, f64)], at_s: f64) -> f64 {
    if fast.iter().any(|(from, to)| (*from..=*to).contains(&at_s)) { MOVING_WATER_POINTS } else { WATER_POINTS }
}
