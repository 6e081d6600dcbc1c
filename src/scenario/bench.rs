//! Everything that is projected: root zones under one schedule, one light, one feed.

use serde::{Deserialize, Serialize};

use super::climate::Climate;
use super::lane::Lane;
use super::plan::PlanChange;
use super::rule::Rule;
use super::schedule::{Event, Feed, Light};
use super::solver::Solver;
use super::tank::Tank;

/// The file format this version writes, and the newest it reads.
pub const FORMAT: u32 = 1;

/// Most days a scenario may run.
pub const MAX_DAYS: u32 = 366;
/// Most events of a daily schedule.
pub const MAX_EVENTS: usize = 1000;
/// Most rules of a schedule.
pub const MAX_RULES: usize = 20;
/// Most lanes of a bench.
pub const MAX_LANES: usize = 16;

/// Everything that is projected: lanes under one schedule, one light, one feed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scenario {
    /// Format of the file, 1.
    pub format: u32,
    /// The name growers see.
    pub name: String,
    /// What it shows or asks.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// How many days in a row to run, 1–366.
    #[serde(default = "one_day")]
    pub days: u32,
    /// The day's light.
    pub light: Light,
    /// The climate above the canopy, for lanes whose use is computed from it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub climate: Option<Climate>,
    /// Evaporation from freely exposed wet surfaces, mm/day, shaped like the demand, 0–30 (judgement: 2).
    #[serde(default = "default_evaporation")]
    pub evaporation_mm_per_day: f64,
    /// The nutrient solution.
    pub feed: Feed,
    /// Events of every day, in order of their start; they do not overlap.
    #[serde(default)]
    pub schedule: Vec<Event>,
    /// Rules that add events to them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rules: Vec<Rule>,
    /// Other schedules from a later day on, in order of their days.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub changes: Vec<PlanChange>,
    /// The tank that the pump draws from; without one, every event has the feed's EC.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tank: Option<Tank>,
    /// The root zones, 1–16.
    pub lanes: Vec<Lane>,
    /// Settings of the numerical solution.
    #[serde(default)]
    pub solver: Solver,
}

fn one_day() -> u32 {
    1
}
fn default_evaporation() -> f64 {
    2.0
}

impl Scenario {
    /// EC that an event gives, mS/cm.
    #[must_use]
    pub fn event_ec(&self, event: &Event) -> f64 {
        event.ec.unwrap_or(self.feed.ec)
    }
}
