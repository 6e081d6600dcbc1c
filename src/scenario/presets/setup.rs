//! The whole setup of a crop as one preset: a root zone with its plant and aims, its light and climate, feed and schedule.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::scenario::bench::{FORMAT, Scenario};
use crate::scenario::climate::Climate;
use crate::scenario::lane::Lane;
use crate::scenario::plans::Plan;
use crate::scenario::rule::{Rule, When};
use crate::scenario::schedule::{Event, Feed, Light};
use crate::scenario::solver::Solver;
use crate::scenario::valve::Valve;

/// A root zone with all that a bench gives it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CropSetup {
    /// The name growers see.
    pub name: String,
    /// Where the values come from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// The root zone: container, crop, use, roots, start and targets.
    pub lane: Lane,
    /// The day's light.
    pub light: Light,
    /// The climate, for a use that is computed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub climate: Option<Climate>,
    /// Evaporation from freely exposed wet surfaces, mm/day.
    pub evaporation_mm_per_day: f64,
    /// The nutrient solution.
    pub feed: Feed,
    /// Events of every day.
    #[serde(default)]
    pub schedule: Vec<Event>,
    /// Rules that add events to them; those of a probe listen to the root zone's own.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rules: Vec<Rule>,
}

impl CropSetup {
    /// A lane of a bench with all that the bench gives it under a plan; `None` where there is no such lane. Rules that listen to the
    /// probe of another lane are left out.
    #[must_use]
    pub fn of(scenario: &Scenario, plan: Plan, lane: usize, name: &str) -> Option<Self> {
        let own = &scenario.lanes.get(lane)?.name;
        let stays = |rule: &&Rule| !matches!(&rule.when, When::Dry { lane, .. } if lane != own);
        Some(Self {
            name: name.to_owned(),
            source: "saved from a bench".to_owned(),
            lane: Lane { valve: 0, ..scenario.lanes.get(lane)?.clone() },
            light: scenario.light,
            climate: scenario.climate.clone(),
            evaporation_mm_per_day: scenario.evaporation_mm_per_day,
            feed: Feed { ec: scenario.feed_ec(plan.valve) },
            schedule: scenario.events(plan).to_vec(),
            rules: scenario.rules(plan).iter().filter(stays).cloned().collect(),
        })
    }

    /// Sets a lane of a bench, its valve and what all lanes share, to this, on all days. The lane keeps its name and its number of plants, the
    /// bench its other lanes and valves: where there are any, the feed is the valve's own if it is not the bench's. A lane that is not there is
    /// left.
    pub fn put(&self, scenario: &mut Scenario, lane: usize) {
        let Some(at) = scenario.lanes.get_mut(lane) else { return };
        *at = Lane { name: at.name.clone(), plants: at.plants, valve: at.valve, ..self.lane.clone() };
        let (valve, name) = (at.valve, at.name.clone());
        scenario.light = self.light;
        scenario.climate.clone_from(&self.climate);
        scenario.evaporation_mm_per_day = self.evaporation_mm_per_day;
        if scenario.valves.len() < 2 {
            scenario.feed = self.feed;
        }
        let own_ec = (self.feed != scenario.feed).then_some(self.feed.ec);
        let Some(valve) = scenario.valves.get_mut(valve) else { return };
        *valve =
            Valve { name: valve.name.clone(), ec: own_ec, schedule: self.schedule.clone(), rules: self.rules.clone(), changes: Vec::new() };
        for rule in &mut valve.rules {
            if let When::Dry { lane, .. } = &mut rule.when {
                lane.clone_from(&name);
            }
        }
        scenario.sort_schedule();
    }

    /// A bench of this alone, for a day.
    #[must_use]
    pub fn alone(&self) -> Scenario {
        Scenario {
            format: FORMAT,
            name: self.name.clone(),
            note: String::new(),
            days: 1,
            light: self.light,
            climate: self.climate.clone(),
            evaporation_mm_per_day: self.evaporation_mm_per_day,
            feed: self.feed,
            valves: vec![Valve { rules: self.rules.clone(), ..Valve::only(self.schedule.clone()) }],
            pump: None,
            tank: None,
            lanes: vec![Lane { valve: 0, ..self.lane.clone() }],
            solver: Solver::default(),
            changed_from: BTreeMap::new(),
        }
    }
}
