//! What the finder answers.

use serde::Serialize;

use super::judged::{AimTold, LaneSettled};
use crate::scenario::{Event, Scenario};

/// What was found.
#[derive(Clone, Debug, Serialize)]
pub struct Found {
    /// The valve that it is for, from 1.
    pub valve: usize,
    /// The schedule proposed.
    pub events: Vec<Event>,
    /// The feed's EC with it, mS/cm.
    pub feed_ec: f64,
    /// Each lane's settled day under it.
    pub lanes: Vec<LaneSettled>,
    /// Every aim of every lane, with what it comes to.
    pub aims: Vec<AimTold>,
    /// Sum of squares of what is missed, in widths of each aim; uptake counts four times (judgement).
    pub cost: f64,
    /// What else settled, to see what can be traded for what.
    pub points: Vec<Point>,
    /// Schedules that were run.
    pub tried: usize,
    /// Of those, run until they settled.
    pub settled: usize,
    /// Runs that stopped and count for nothing.
    pub failed: usize,
    /// Lanes without a target of their own that were given starting aims, common practice, which are now theirs.
    pub starting_aims: Vec<String>,
    /// The valve has rules or later schedules, which the proposal does without.
    pub leaves_out_rules: bool,
    /// The bench has other valves: what they draw from pump and tank is not looked at.
    pub leaves_out_valves: bool,
    /// The bench as it was, with this schedule in place of its own.
    #[serde(skip)]
    pub scenario: Scenario,
}

/// A schedule that was run until it settled.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Point {
    /// Events a day.
    pub events_a_day: usize,
    /// Given from above at a dose of 1, mL per plant and day; `None` of floods alone.
    pub given_ml: Option<f64>,
    /// Of a flood table: a rinse from above, mL per plant and day (the mean where it does not come every day) at a dose of 1, 0 for none; `None`
    /// where emitters give the water.
    pub rinse_ml: Option<f64>,
    /// The feed's EC, mS/cm.
    pub feed_ec: f64,
    /// What each lane comes to, in the bench's order.
    pub lanes: Vec<PointLane>,
    /// Sum of squares of what is missed.
    pub cost: f64,
    /// No other one is nearer to one aim without being further from another.
    pub on_edge: bool,
    /// It is the proposal.
    pub proposed: bool,
    /// Its events.
    #[serde(skip)]
    pub events: Vec<Event>,
}

/// What a lane comes to under a schedule.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct PointLane {
    /// Night dry-back, points of volume; `None` where the day has none.
    pub dry_back_points: Option<f64>,
    /// Drained of what was given, percent.
    pub drain_percent: Option<f64>,
    /// Root-zone EC, mS/cm.
    pub root_zone_ec: f64,
    /// Uptake met, 0–1.
    pub uptake_met: f64,
    /// Whether every aim is met.
    pub met: bool,
}

impl Found {
    /// Whether every aim is met, on days that repeat themselves.
    #[must_use]
    pub fn meets_all(&self) -> bool {
        self.aims.iter().all(|a| a.met) && self.lanes.iter().all(LaneSettled::repeats)
    }
}
