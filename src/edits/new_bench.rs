//! What stands on the bench at the first start, and what a new bench begins with.

use super::lanes;
use crate::scenario::presets::{self, Library};
use crate::scenario::{Clock, FORMAT, Feed, Light, LightShape, Scenario, Solver, Valve};

/// What stands on a new bench.
const FIRST_CONTAINER: &str = "pot, round, plastic, 12 L";

/// The scenario of the first start.
#[must_use]
pub fn first_demo() -> Scenario {
    // Demos are embedded and each is run by a test; an empty bench says so in words should one ever be missing.
    presets::demos().into_iter().next().map_or_else(empty_scenario, |(_, s)| s)
}

fn empty_scenario() -> Scenario {
    Scenario {
        format: FORMAT,
        name: "New bench".to_owned(),
        note: String::new(),
        days: 3,
        light: Light { on: Clock::hm(6, 0), off: Clock::hm(20, 0), shape: LightShape::Sun },
        climate: None,
        evaporation_mm_per_day: 2.0,
        feed: Feed { ec: 2.0 },
        valves: vec![Valve::only(Vec::new())],
        pump: None,
        tank: None,
        lanes: Vec::new(),
        solver: Solver::default(),
        changed_from: std::collections::BTreeMap::new(),
    }
}

/// A bench to begin with: one pot of the presets, and no water yet.
#[must_use]
pub fn new_bench(library: &Library) -> Scenario {
    let mut scenario = empty_scenario();
    let plain = library.containers.iter().find(|c| c.name == FIRST_CONTAINER).or(library.containers.first());
    if let Some(container) = plain {
        lanes::add(&mut scenario, container, library);
        for lane in &mut scenario.lanes {
            lane.name = "First root zone".to_owned();
        }
    }
    scenario
}
