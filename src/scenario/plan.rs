//! What the pump is told: which schedule, and another one from a later day on.

use serde::{Deserialize, Serialize};

use super::clock::DAY_S;
use super::rule::Rule;
use super::schedule::Event;

/// Another schedule from a day on, in place of all of the one before.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlanChange {
    /// The first day of it, counted from 1; 2–366.
    pub from_day: u32,
    /// Its events of every day.
    #[serde(default)]
    pub schedule: Vec<Event>,
    /// Its rules.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rules: Vec<Rule>,
}

/// An event of a plan at the day (from 0) it comes on: seconds since the first midnight.
#[must_use]
#[allow(clippy::cast_precision_loss)]
pub fn on_day(day: usize, second: f64) -> f64 {
    day as f64 * DAY_S + second
}
