//! Files of format 1: one schedule for all lanes. They are read as one valve, and mean what they meant.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::bench::{FORMAT, Scenario};
use super::climate::Climate;
use super::lane::Lane;
use super::plan::PlanChange;
use super::rule::Rule;
use super::schedule::{Event, Feed, Light};
use super::solver::Solver;
use super::tank::Tank;
use super::valve::Valve;

/// A scenario as format 1 wrote it: its fields are those of [`Scenario`] and of its only [`Valve`].
#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename = "Scenario")]
pub(super) struct Format1 {
    format: u32,
    name: String,
    #[serde(default)]
    note: String,
    #[serde(default = "super::bench::one_day")]
    days: u32,
    light: Light,
    #[serde(default)]
    climate: Option<Climate>,
    #[serde(default = "super::bench::default_evaporation")]
    evaporation_mm_per_day: f64,
    feed: Feed,
    #[serde(default)]
    schedule: Vec<Event>,
    #[serde(default)]
    rules: Vec<Rule>,
    #[serde(default)]
    changes: Vec<PlanChange>,
    #[serde(default)]
    tank: Option<Tank>,
    lanes: Vec<Lane>,
    #[serde(default)]
    solver: Solver,
}

impl From<Format1> for Scenario {
    fn from(of: Format1) -> Self {
        // A number below 1 was never a format.
        let format = if of.format == 1 { FORMAT } else { of.format };
        Self {
            format,
            name: of.name,
            note: of.note,
            days: of.days,
            light: of.light,
            climate: of.climate,
            evaporation_mm_per_day: of.evaporation_mm_per_day,
            feed: of.feed,
            valves: vec![Valve { name: Valve::ONLY.to_owned(), ec: None, schedule: of.schedule, rules: of.rules, changes: of.changes }],
            pump: None,
            tank: of.tank,
            lanes: of.lanes,
            solver: of.solver,
            changed_from: BTreeMap::new(),
        }
    }
}
