//! Everything that is projected: root zones under their valves, one light, one feed.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::climate::Climate;
use super::lane::Lane;
use super::schedule::{Event, Feed, Light};
use super::solver::Solver;
use super::tank::Tank;
use super::valve::{Pump, Valve};

/// The file format this version writes, and the newest it reads.
pub const FORMAT: u32 = 2;

/// Most days a scenario may run.
pub const MAX_DAYS: u32 = 366;
/// Most events of a daily schedule.
pub const MAX_EVENTS: usize = 1000;
/// Most rules of a schedule.
pub const MAX_RULES: usize = 20;
/// Most lanes of a bench.
pub const MAX_LANES: usize = 16;

/// Everything that is projected: lanes under their valves, one light, one feed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scenario {
    /// Format of the file, 2.
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
    /// Evaporation from freely exposed wet surfaces where no climate says so, mm/day, shaped like the demand, 0–30 (judgement: 2).
    #[serde(default = "default_evaporation")]
    pub evaporation_mm_per_day: f64,
    /// The nutrient solution.
    pub feed: Feed,
    /// Who gets what, 1–16; each has a lane on it.
    pub valves: Vec<Valve>,
    /// What the pump gives at most; without one, as much as all valves ask for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pump: Option<Pump>,
    /// The tank that the pump draws from; without one, every event has the feed's EC.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tank: Option<Tank>,
    /// The root zones, 1–16.
    pub lanes: Vec<Lane>,
    /// Settings of the numerical solution.
    #[serde(default)]
    pub solver: Solver,
    /// What was changed by hand and bears no name of its own, and the preset that it was: see [`crate::edits::called`]. No run looks at it.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub changed_from: BTreeMap<String, String>,
}

pub(super) fn one_day() -> u32 {
    1
}
pub(super) fn default_evaporation() -> f64 {
    2.0
}

impl Scenario {
    /// EC that an event of a valve gives, mS/cm.
    #[must_use]
    pub fn event_ec(&self, valve: usize, event: &Event) -> f64 {
        event.ec.unwrap_or_else(|| self.feed_ec(valve))
    }

    /// EC of a valve's feed, mS/cm: its own, or the bench's.
    #[must_use]
    pub fn feed_ec(&self, valve: usize) -> f64 {
        self.valves.get(valve).and_then(|v| v.ec).unwrap_or(self.feed.ec)
    }

    /// The valve of a lane and its feed's EC, mS/cm; the first one's where there is no such lane.
    #[must_use]
    pub fn lane_feed_ec(&self, lane: usize) -> f64 {
        self.feed_ec(self.valve_of(lane))
    }

    /// The index of a lane's valve; 0 where there is no such lane.
    #[must_use]
    pub fn valve_of(&self, lane: usize) -> usize {
        self.lanes.get(lane).map_or(0, |l| l.valve)
    }

    /// Whether an event of a plan draws from the tank: there is one, and neither the event nor its valve has an EC of its own.
    #[must_use]
    pub fn draws(&self, valve: usize, event: &Event) -> bool {
        self.tank.is_some() && event.ec.is_none() && self.valves.get(valve).is_some_and(|v| v.ec.is_none())
    }

    /// The lanes on a valve, with their indices.
    pub fn lanes_on(&self, valve: usize) -> impl Iterator<Item = (usize, &Lane)> {
        self.lanes.iter().enumerate().filter(move |(_, lane)| lane.valve == valve)
    }
}
