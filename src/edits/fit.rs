//! What hangs on a lane's height or medium follows them, so that no edit of one field makes another impossible.

use crate::scenario::presets::Library;
use crate::scenario::{Lane, Probe, Roots, Scenario, Solver, StartSalt, StartWater, When, ranges, resolve};

/// Fits every lane to its own container. Returns whether values that someone entered had to be carried over or held back.
pub fn fit(scenario: &mut Scenario, library: &Library) -> bool {
    let solver = scenario.solver;
    // Every lane, not only up to the first that was moved.
    let moved = scenario.lanes.iter_mut().map(|lane| fit_lane(lane, &solver, library)).fold(false, |any, one| any | one);
    // A rule goes with the probe or the climate that it goes by.
    let probes: Vec<String> = scenario.lanes.iter().filter(|l| l.probe.is_some()).map(|l| l.name.clone()).collect();
    let light = scenario.climate.is_some();
    moved
        | scenario.retain_rules(|rule| match &rule.when {
            When::Light(_) => light,
            When::Dry { lane, .. } => probes.contains(lane),
        })
}

fn fit_lane(lane: &mut Lane, solver: &Solver, library: &Library) -> bool {
    let (_, highest) = ranges::outlet(&lane.container);
    let mut moved = lane.container.outlet_height_cm > highest;
    lane.container.outlet_height_cm = lane.container.outlet_height_cm.min(highest);
    moved |= lane.probe.as_mut().is_some_and(|probe| fit_probe(probe, lane.container.height_cm()));
    let layers = solver.layers_of(&lane.container);
    moved |= fit_roots(&mut lane.roots, lane.container.height_cm(), layers.iter().sum());
    moved |= fit_salt(&mut lane.start.salt, layers.iter().sum());
    moved | fit_water(lane, &layers, library)
}

fn fit_probe(probe: &mut Probe, height: f64) -> bool {
    let before = *probe;
    probe.length_cm = probe.length_cm.min(height);
    probe.height_cm = probe.height_cm.min(height - 0.5 * probe.length_cm).max(0.5 * probe.length_cm);
    *probe != before
}

fn fit_roots(roots: &mut Roots, height: f64, layers: usize) -> bool {
    match roots {
        Roots::ByHeight(points) => {
            let top = points.last().map_or(0.0, |p| p.0);
            let over = top > height;
            if over {
                points.iter_mut().for_each(|p| p.0 = (p.0 * height / top).min(height));
            }
            over
        }
        Roots::PerLayer(values) => {
            let spread = spread(values, layers);
            // Roots that stood in a single layer must not be lost between two new ones.
            if values.iter().all(|d| *d <= 0.0) {
                values.fill(1.0);
            }
            spread
        }
        Roots::Uniform | Roots::Tapering { .. } => false,
    }
}

fn fit_salt(salt: &mut StartSalt, layers: usize) -> bool {
    if let StartSalt::Layers(values) = salt { spread(values, layers) } else { false }
}

fn fit_water(lane: &mut Lane, layers: &[usize], library: &Library) -> bool {
    let mean = ranges::mean_water(lane, library);
    match &mut lane.start.water {
        StartWater::Mean(theta) => mean.is_some_and(|range| hold(theta, range)),
        StartWater::Layers(values) => {
            let mut moved = spread(values, layers.iter().sum());
            let media = lane.container.parts.iter().map(|p| resolve::medium(&p.medium, library));
            let of_layer = media.zip(layers).flat_map(|(medium, n)| std::iter::repeat_n(medium.ok(), *n));
            for (theta, medium) in values.iter_mut().zip(of_layer) {
                moved |= medium.is_some_and(|m| hold(theta, ranges::layer_water(&m.curve)));
            }
            moved
        }
        StartWater::AsWetted | StartWater::AtCapacity | StartWater::Head(_) => false,
    }
}

/// Holds a value within its range; true when it lay outside.
fn hold(value: &mut f64, (low, high): (f64, f64)) -> bool {
    let held = value.min(high).max(low);
    let moved = held != *value;
    *value = held;
    moved
}

/// Spreads values by layer, from the base up, over another number of layers; true when the number was another.
fn spread(values: &mut Vec<f64>, layers: usize) -> bool {
    let before = values.len();
    if before == layers || before == 0 {
        return false;
    }
    // The old layer that the middle of the new one lies in.
    *values = (0..layers).map(|k| values[(2 * k + 1) * before / (2 * layers)]).collect();
    true
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::MediumChoice;
    use crate::scenario::presets::demos;

    fn layered() -> (Scenario, Library) {
        let mut scenario = demos().remove(0).1;
        // As many layers as its height asks for.
        (scenario.solver.layer_cm, scenario.solver.min_layers) = (0.5, 12);
        let n: usize = scenario.solver.layers_of(&scenario.lanes[0].container).iter().sum();
        let lane = &mut scenario.lanes[0];
        lane.start.water = StartWater::Layers(vec![0.9; n]);
        lane.start.salt = StartSalt::Layers((0..n).map(|k| k as f64 * 0.1).collect());
        lane.roots = Roots::PerLayer((0..n).map(|k| f64::from(u8::from(k == 3))).collect());
        (scenario, Library::shipped())
    }

    #[test]
    fn values_per_layer_follow_height_medium_and_resolution() {
        let changes: [fn(&mut Scenario); 5] = [
            |s| s.lanes[0].container.parts[0].height_cm = 0.5,
            |s| s.lanes[0].container.parts[1].height_cm = 200.0,
            |s| s.lanes[0].container.parts[0].medium = MediumChoice::Preset("coarse perlite".to_owned()),
            |s| s.solver.layer_cm = 3.0,
            |s| s.lanes[0].container = s.lanes[1].container.clone(),
        ];
        for (k, change) in changes.iter().enumerate() {
            let (mut scenario, library) = layered();
            assert_eq!(scenario.validate(&library), []);
            change(&mut scenario);
            assert!(!scenario.validate(&library).is_empty(), "change {k} tries nothing");
            assert!(fit(&mut scenario, &library), "change {k} is told");
            assert_eq!(scenario.validate(&library), [], "change {k}");
        }
        let (mut scenario, library) = layered();
        assert!(!fit(&mut scenario, &library), "what fits stays");
        assert_eq!(scenario, layered().0);
    }

    #[test]
    fn what_was_at_the_base_stays_at_the_base() {
        let mut values = vec![1.0, 2.0, 3.0, 4.0];
        assert!(spread(&mut values, 2) && values == [2.0, 4.0]);
        assert!(spread(&mut values, 6) && values == [2.0, 2.0, 2.0, 4.0, 4.0, 4.0]);
        assert!(!spread(&mut values, 6));
    }
}
