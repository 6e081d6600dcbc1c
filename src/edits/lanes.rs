//! Lanes added, copied, moved and taken away.

use crate::scenario::presets::Library;
use crate::scenario::{Container, CropChoice, Demand, Lane, MAX_LANES, Roots, Scenario, Start, Targets};

/// A name that no lane has yet: the wanted one, or the wanted one with a number.
#[must_use]
pub fn free_name(scenario: &Scenario, wanted: &str) -> String {
    let wanted: String = wanted.trim().chars().take(70).collect();
    let taken = |name: &str| scenario.lanes.iter().any(|l| l.name.trim() == name);
    if !taken(&wanted) {
        return wanted;
    }
    (2..=MAX_LANES + 2).map(|n| format!("{wanted} {n}")).find(|n| !taken(n)).unwrap_or(wanted)
}

/// Adds a lane that stands in a container; its plant is that of the last lane, and it is run in.
pub fn add(scenario: &mut Scenario, container: &Container, library: &Library) {
    let name = free_name(scenario, &container.name);
    let lane = match scenario.lanes.last() {
        Some(last) => {
            let mut lane = Lane { name, start: Start::run_in(), ..last.clone() };
            repot(&mut lane, container);
            lane
        }
        None => Lane {
            name,
            plants: 1,
            valve: 0,
            container: container.clone(),
            crop: CropChoice::Preset(library.crops.first().map(|c| c.name.clone()).unwrap_or_default()),
            demand: Demand::Measured { litres_per_day: 1.0, steady_share: 0.08 },
            roots: Roots::Uniform,
            dose: 1.0,
            start: Start::run_in(),
            targets: Targets::default(),
            probe: None,
            exchange: true,
            boundaries: crate::scenario::Boundaries::default(),
        },
    };
    scenario.lanes.push(lane);
}

/// Puts a lane into another container. Roots by height stretch with it; the rest is fitted like any change of height.
pub fn repot(lane: &mut Lane, container: &Container) {
    let before = lane.container.height_cm();
    lane.container = container.clone();
    stretch_roots(lane, before);
}

/// Roots by height keep their place within the stack when it grows or shrinks.
pub fn stretch_roots(lane: &mut Lane, before_cm: f64) {
    let height = lane.container.height_cm();
    if let Roots::ByHeight(points) = &mut lane.roots {
        points.iter_mut().for_each(|p| p.0 = (p.0 * height / before_cm).min(height));
    }
}

/// Copies a lane to the place after it.
pub fn duplicate(scenario: &mut Scenario, index: usize) {
    if let Some(mut copy) = scenario.lanes.get(index).cloned() {
        copy.name = free_name(scenario, &format!("{} copy", copy.name));
        scenario.lanes.insert(index + 1, copy);
    }
}
