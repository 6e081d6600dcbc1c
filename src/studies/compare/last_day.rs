//! The last day of a run, and no more: what a member's figures are read from.

use std::sync::Arc;

use crate::engine::run::series::{Sample, Series};
use crate::engine::run::{LaneRun, Ready};
use crate::scenario::DAY_S;

/// Runs a lane for whole days like [`Ready::run`], and on to the next morning's first event, but keeps only the last day's steps and no
/// layers. `None` when `go_on` said no.
#[must_use]
pub fn last_day(ready: &Ready, days: u32, go_on: &dyn Fn() -> bool) -> Option<LaneRun> {
    let mut simulation = ready.simulation();
    let mut series = Series::default();
    let mut midnights = vec![*simulation.ledger()];
    let mut error = None;
    for day in 1..=days {
        if !go_on() {
            return None;
        }
        let end = f64::from(day) * DAY_S;
        let done = if day < days {
            simulation.advance_to(end, |_| ())
        } else {
            series.samples.push(Sample::of(&simulation));
            simulation.advance_to(end, |s| series.samples.push(Sample::of(s)))
        };
        if let Err(stopped) = done {
            error = Some(stopped);
            break;
        }
        midnights.push(*simulation.ledger());
    }
    if let (None, Some(first)) = (&error, ready.timetable.first_start(days as usize)) {
        let morning = f64::from(days) * DAY_S + first;
        error = simulation.advance_to(morning, |s| series.samples.push(Sample::of(s))).err();
    }
    Some(LaneRun { series: Arc::new(series), midnights, stats: simulation.stats(), error, ..LaneRun::nothing_of(ready) })
}
