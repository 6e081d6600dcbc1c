//! The settled day of a bench as a projection of its own.

use std::sync::Arc;
use std::time::Instant;

use super::Projection;
use crate::engine::run::{LOOK_AHEAD_DAYS, ReadyBench, Run, Settled};
use crate::scenario::Scenario;

/// Runs a bench until its day repeats itself, lane by lane, so that a core is left for a window. `at` is told the share of all days that could be
/// needed, and what is being done. `None` as soon as `go_on` says so.
pub fn settle(scenario: Arc<Scenario>, bench: &ReadyBench, go_on: &dyn Fn() -> bool, at: &dyn Fn(f64, &str)) -> Option<Projection> {
    let began = Instant::now();
    let days = std::cell::Cell::new(0_u32);
    let most = f64::from(LOOK_AHEAD_DAYS) * scenario.lanes.len().max(1) as f64;
    let next = || {
        days.set(days.get() + 1);
        at(f64::from(days.get()) / most, &format!("Looking for the day that repeats itself: {} days so far", days.get()));
        go_on()
    };
    let (settled, lanes) = bench.settled_days(&next)?.into_iter().unzip();
    let millis = began.elapsed().as_secs_f64() * 1e3;
    Some(Projection::of_settled(scenario, Run { lanes }, settled, millis))
}

/// When each lane settled.
#[must_use]
pub fn told(lanes: &[Settled]) -> String {
    let one = |(i, settled): (usize, &Settled)| match settled {
        Settled::OnDay(day) => format!("lane {} from about day {day}", i + 1),
        Settled::NotWithin(days) => format!("lane {} did not settle within {days} days (the last is shown)", i + 1),
    };
    let told: Vec<String> = lanes.iter().enumerate().map(one).collect();
    format!("Settled day: {}.", told.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_did_not_settle_is_said() {
        let text = told(&[Settled::OnDay(9), Settled::NotWithin(60)]);
        assert!(text.contains("lane 1 from about day 9, lane 2 did not settle within 60 days"), "{text}");
    }
}
