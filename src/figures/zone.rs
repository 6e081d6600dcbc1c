//! The whole zone: all plants of all lanes together, day by day, and the tank they draw from.

use serde::Serialize;

use crate::engine::run::Run;
use crate::scenario::Scenario;

/// Litres of a day for all plants of all lanes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct ZoneDay {
    /// Given.
    pub given_l: f64,
    /// Drained in all.
    pub drained_l: f64,
    /// Taken up by the plants.
    pub taken_up_l: f64,
}

/// What a day (from 0) took for all plants; a lane that did not reach its end counts for nothing.
#[must_use]
pub fn zone_day(scenario: &Scenario, run: &Run, day: usize) -> ZoneDay {
    let mut sum = ZoneDay::default();
    for (lane, run) in scenario.lanes.iter().zip(&run.lanes) {
        let Some(passed) = run.day(day) else { continue };
        let litres = f64::from(lane.plants) * 1e-3;
        sum.given_l += litres * passed.water.applied;
        sum.drained_l += litres * passed.water.drained();
        sum.taken_up_l += litres * passed.water.taken_up;
    }
    sum
}
