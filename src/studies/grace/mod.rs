//! Grace time: how long plants go on when something about their water fails, for every hour of a day at which it may.
//!
//! A lane is run through the bench's last day as it stands. From each full hour of it copies go on with one fault each, for at most
//! [`LOOK_AHEAD_H`]. What is watched is the share of what the air asks of the plant that it can take up.

mod answer;
mod fault;
mod watch;
mod words;

use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;

pub use self::answer::{Grace, LOOK_AHEAD_H, LaneGrace};
pub use self::fault::Fault;
pub use self::words::worst_words;
use crate::engine::EngineError;
use crate::engine::run::feedback::Until;
use crate::engine::run::simulation::{RunError, Simulation};
use crate::engine::run::{Ready, Workshop};
use crate::scenario::plan::on_day;
use crate::scenario::presets::Library;
use crate::scenario::{Base, Scenario};
use crate::studies::StudyError;
use crate::units::HOUR_S;

/// Days that a look ahead from the last hour of a day reaches into.
const LOOK_AHEAD_DAYS: u32 = 4;

/// The grace time of every lane, from the hours of the bench's last day. `go_on` is asked before each run; what was found up to a no is
/// given, and `None` only when nothing was.
///
/// # Errors
/// [`StudyError`] for the first lane that cannot be built or does not get to that day.
pub fn grace(scenario: &Scenario, library: &Library, go_on: &(dyn Fn() -> bool + Sync)) -> Result<Option<Vec<LaneGrace>>, StudyError> {
    found(scenario, library, &Fault::ALL, (go_on, &|_| ()))
}

/// The same, and `progress` is told the share (0–1) that is done.
///
/// # Errors
/// [`StudyError`] likewise.
pub fn grace_told(
    scenario: &Scenario,
    library: &Library,
    go_on: &(dyn Fn() -> bool + Sync),
    progress: &(dyn Fn(f64) + Sync),
) -> Result<Option<Vec<LaneGrace>>, StudyError> {
    found(scenario, library, &Fault::ALL, (go_on, progress))
}

/// The same of some faults only.
///
/// # Errors
/// [`StudyError`] likewise.
pub fn grace_of(
    scenario: &Scenario,
    library: &Library,
    faults: &[Fault],
    go_on: &(dyn Fn() -> bool + Sync),
) -> Result<Option<Vec<LaneGrace>>, StudyError> {
    found(scenario, library, faults, (go_on, &|_| ()))
}

/// Who waits: asked whether to go on, and told the share that is done.
type Waiting<'a> = (&'a (dyn Fn() -> bool + Sync), &'a (dyn Fn(f64) + Sync));

/// The share of the work that comes before the faults: the bench's own days (judgement).
const OWN_DAYS: f64 = 0.3;

#[allow(clippy::cast_precision_loss)] // counts of runs
fn found(
    scenario: &Scenario,
    library: &Library,
    faults: &[Fault],
    (go_on, progress): Waiting<'_>,
) -> Result<Option<Vec<LaneGrace>>, StudyError> {
    // What a probe calls for is known only for days that were gone through.
    let until = Until { days: scenario.days + LOOK_AHEAD_DAYS, settled: false };
    let Some(lanes) = Workshop::default().ready(scenario, library)?.timed(until, go_on) else { return Ok(None) };
    let mut closed = scenario.clone();
    closed.lanes.iter_mut().for_each(|l| l.boundaries.base = Base::Closed);
    let closed = Workshop::default().ready(&closed, library)?;
    let closed: Vec<_> = closed.columns().map(Arc::clone).collect();
    let mut starts = Vec::new();
    for (index, lane) in lanes.iter().enumerate() {
        if !go_on() {
            return Ok(None);
        }
        progress(OWN_DAYS * index as f64 / lanes.len() as f64);
        starts.push(hours(lane, scenario.days).map_err(|cause| EngineError::ran(&scenario.lanes[index].name, cause))?);
    }
    let told = |(i, ready): (usize, &Ready)| fault::told(scenario, (scenario.valve_of(i), ready));
    let asked_for = |of_lane: Vec<Fault>| of_lane.into_iter().filter(|f| faults.contains(f)).collect();
    let told: Vec<Vec<Fault>> = lanes.iter().enumerate().map(told).map(asked_for).collect();
    let mut asked = Vec::new();
    for (lane, faults) in told.iter().enumerate() {
        for &fault in faults {
            asked.extend((0..24_u32).map(|hour| (lane, fault, hour)));
        }
    }
    let done = AtomicUsize::new(0);
    let found: Vec<Option<Result<Grace, RunError>>> = asked
        .par_iter()
        .map(|&(lane, fault, hour)| {
            go_on().then(|| {
                let before = done.fetch_add(1, Ordering::Relaxed);
                progress(OWN_DAYS + (1.0 - OWN_DAYS) * before as f64 / asked.len() as f64);
                let bench = fault::Struck { scenario, lanes: &lanes, lane, closed: &closed[lane] };
                let begins = &starts[lane][hour as usize];
                watch::from(begins.clone(), &bench, fault, hour)
            })
        })
        .collect();
    if found.iter().all(Option::is_none) && !asked.is_empty() {
        return Ok(None);
    }
    let mut out: Vec<LaneGrace> = Vec::new();
    for (lane, ready) in lanes.iter().enumerate() {
        let mut one = LaneGrace { name: scenario.lanes[lane].name.clone(), ..LaneGrace::default() };
        for (_, result) in asked.iter().zip(&found).filter(|(a, _)| a.0 == lane) {
            match result {
                Some(Ok(grace)) => one.grace.push(*grace),
                Some(Err(_)) => one.failed += 1,
                None => {}
            }
        }
        one.left_out = fault::left_out(scenario, (scenario.valve_of(lane), ready));
        one.worst_hour = one.worst(Fault::PumpStops).map(|g| g.hour);
        out.push(one);
    }
    Ok(Some(out))
}

/// The lane at each full hour of a day (from 1).
fn hours(lane: &Ready, day: u32) -> Result<Vec<Simulation>, RunError> {
    let midnight = on_day(day.saturating_sub(1) as usize, 0.0);
    let mut simulation = lane.simulation();
    (0..24_u32)
        .map(|hour| {
            simulation.advance_to(midnight + f64::from(hour) * HOUR_S, |_| {})?;
            Ok(simulation.clone())
        })
        .collect()
}
