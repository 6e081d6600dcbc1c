//! What each event of a day drained, and which of them the root zone's own drain began with.

use crate::engine::run::series::Sample;
use crate::scenario::Event;

/// What drained from the start of an event to the start of the next, or to midnight; mL per plant.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EventDrain {
    /// In all.
    pub drained_ml: f64,
    /// Of that, run straight through.
    pub channelled_ml: f64,
    /// Of the root zone's own drain, what came on top of what dripped already and would have died away.
    pub risen_ml: f64,
}

/// Drain that an event must bring to be said to begin it: so much, or so much of what it gives where that is less (judgement).
const BEGINS_ML: f64 = 1.0;
const BEGINS_SHARE: f64 = 0.05;

/// What each of a day's events drained. `samples` are those of the day that begins at `midnight_s`.
#[must_use]
pub fn of_events(samples: &[Sample], events: &[Event], midnight_s: f64) -> Vec<EventDrain> {
    let until = |i: usize| events.get(i + 1).map_or(f64::INFINITY, |next| midnight_s + next.start_s());
    events.iter().enumerate().map(|(i, event)| between(samples, midnight_s + event.start_s(), until(i))).collect()
}

fn between(samples: &[Sample], from_s: f64, to_s: f64) -> EventDrain {
    // Steps land on the starts of events.
    let at = |time_s: f64| samples.partition_point(|s| s.time_s < time_s - 1e-6);
    let (first, last) = (at(from_s), at(to_s).min(samples.len().saturating_sub(1)));
    let Some(own) = samples.get(first..=last).filter(|s| s.len() > 1) else { return EventDrain::default() };
    let before = samples.get(first.saturating_sub(1)..=first).filter(|s| s.len() > 1);
    // What drips already dies away unless more comes: its least so far is all that it may still be.
    let mut drips = before.and_then(rate).unwrap_or(f64::INFINITY);
    let mut risen_ml = 0.0;
    for step in own.windows(2) {
        let Some(now) = rate(step) else { continue };
        drips = drips.min(now);
        risen_ml += (now - drips) * (step[1].time_s - step[0].time_s);
    }
    let passed = own[own.len() - 1].ledger.since(&own[0].ledger).water;
    EventDrain { drained_ml: passed.drained(), channelled_ml: passed.channelled, risen_ml }
}

/// mL/s that leave the root zone by outlet and overflow between two samples.
fn rate(step: &[Sample]) -> Option<f64> {
    let left = |s: &Sample| s.ledger.water.outlet + s.ledger.water.overflow;
    let seconds = step[1].time_s - step[0].time_s;
    (seconds > 0.0).then(|| (left(&step[1]) - left(&step[0])) / seconds)
}

/// Index of the first event that the root zone's own drain rose with; what runs straight through, and what is left over from before, is
/// no part of it. `given_ml` is what an event gives a plant, by its index.
#[must_use]
pub fn began_with(drained: &[EventDrain], given_ml: impl Fn(usize) -> Option<f64>) -> Option<usize> {
    let enough = |i: usize| given_ml(i).map_or(BEGINS_ML, |ml| BEGINS_ML.min(BEGINS_SHARE * ml));
    drained.iter().enumerate().position(|(i, d)| d.risen_ml >= enough(i))
}

/// Of all that is given, water that runs straight through is worth telling from this share on (judgement).
const WORTH_TELLING: f64 = 0.005;

/// Index of the first event of which water ran straight through, where that is worth telling beside all that was given, mL.
#[must_use]
pub fn ran_through_from(drained: &[EventDrain], given_ml: f64) -> Option<usize> {
    let through: f64 = drained.iter().map(|d| d.channelled_ml).sum();
    drained.iter().position(|d| d.channelled_ml > 0.0).filter(|_| through >= WORTH_TELLING * given_ml)
}
