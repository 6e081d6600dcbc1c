//! A scenario on another grid: a finer one, which a run is held against to tell its numerical error, and a coarser one for studies whose
//! scatter is far wider than that error.

use super::bench::Scenario;
use super::crop::Roots;
use super::lane::{StartSalt, StartWater};
use super::ranges;
use super::solver::Solver;

/// How many times as thin its layers are.
pub const THINNER: u32 = 4;
/// How many times as tight its tolerance is.
pub const TIGHTER: u32 = 10;

/// Of three layers of the coarser grid five are made by the usual one, and its tolerance is so many times as wide: a run takes half as long
/// (`tests/studies/spread.rs` holds how far figures are off).
const COARSER: (u32, u32) = (3, 5);
const WIDER: f64 = 2.0;

/// The same scenario with a quarter of the layers' thickness and a tenth of the tolerance. What was given layer by layer is given to the
/// thin layers in the place of each; where a thin one lies in two thick ones (whole layers per part do not always go up), their mean by
/// height.
#[must_use]
pub fn refined(scenario: &Scenario) -> Scenario {
    let mut solver = scenario.solver;
    solver.layer_cm /= f64::from(THINNER);
    solver.tolerance /= f64::from(TIGHTER);
    for layers in [&mut solver.min_layers, &mut solver.max_layers] {
        *layers = layers.saturating_mul(THINNER);
    }
    on(scenario, solver)
}

/// The same scenario with layers 1.7 times as thick and twice the tolerance, within their ranges; what was given layer by layer is given as the
/// mean, by height, of the layers that each takes the place of.
#[must_use]
pub fn coarsened(scenario: &Scenario) -> Scenario {
    let mut solver = scenario.solver;
    let (few, many) = COARSER;
    solver.layer_cm = (solver.layer_cm * f64::from(many) / f64::from(few)).min(ranges::LAYER.1);
    solver.tolerance = (solver.tolerance * WIDER).min(ranges::TOLERANCE.1);
    for layers in [&mut solver.min_layers, &mut solver.max_layers] {
        *layers = (*layers * few / many).max(2);
    }
    on(scenario, solver)
}

fn on(scenario: &Scenario, solver: Solver) -> Scenario {
    let mut fine = Scenario { solver, ..scenario.clone() };
    for lane in &mut fine.lanes {
        let layers = [&scenario.solver, &solver].map(|s| s.layers_of(&lane.container));
        if let Roots::PerLayer(values) = &mut lane.roots {
            *values = spread(values, &layers);
        }
        if let StartWater::Layers(values) = &mut lane.start.water {
            *values = spread(values, &layers);
        }
        if let StartSalt::Layers(values) = &mut lane.start.salt {
            *values = spread(values, &layers);
        }
    }
    fine
}

/// Values per layer on other layers: how many each part has before and after, base first. A list of another length stays as it is.
fn spread(values: &[f64], [before, after]: &[Vec<usize>; 2]) -> Vec<f64> {
    if values.len() != before.iter().sum::<usize>() {
        return values.to_vec();
    }
    let mut out = Vec::with_capacity(after.iter().sum());
    let mut first = 0;
    for (&n, &m) in before.iter().zip(after) {
        let part = &values[first..first + n];
        first += n;
        // Heights in whole numbers, n·m to the part: thin layer k from k·n to (k + 1)·n, thick layer i from i·m to (i + 1)·m.
        out.extend((0..m).map(|k| mean(part, m, k * n, (k + 1) * n)));
    }
    out
}

/// Mean of values that lie on stretches of length `each`, from one height to another.
fn mean(values: &[f64], each: usize, from: usize, to: usize) -> f64 {
    let (first, last) = (from / each, (to - 1) / each);
    if first == last {
        return values[first];
    }
    #[allow(clippy::cast_precision_loss)]
    let share = |i: usize| (to.min((i + 1) * each) - from.max(i * each)) as f64 / (to - from) as f64;
    (first..=last).map(|i| share(i) * values[i]).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::presets::{Library, demos};

    #[test]
    fn every_demo_has_four_thin_layers_in_the_place_of_each_and_can_be_run() {
        for (name, scenario) in demos() {
            let fine = refined(&scenario);
            for lane in &scenario.lanes {
                let [thick, thin] = [&scenario.solver, &fine.solver].map(|s| s.layers_of(&lane.container));
                for ((&n, &m), part) in thick.iter().zip(&thin).zip(&lane.container.parts) {
                    assert!(m.abs_diff(4 * n) <= 2, "{name}, {}: {n} and {m}", part.name);
                }
            }
            assert_eq!(fine.validate(&Library::shipped()), []);
            assert!((fine.solver.tolerance * 10.0 - scenario.solver.tolerance).abs() < 1e-15);
        }
    }

    #[test]
    fn coarser_is_legal_and_has_three_layers_for_five() {
        let library = Library::shipped();
        for (name, mut scenario) in demos() {
            let coarse = coarsened(&scenario);
            for lane in &scenario.lanes {
                let [thin, thick] = [&scenario.solver, &coarse.solver].map(|s| s.layers_of(&lane.container).iter().sum::<usize>());
                assert!((5 * thick).abs_diff(3 * thin) <= 9, "{name}: {thin} and {thick}");
            }
            assert_eq!(coarse.validate(&library), [], "{name}");
            // At the ends of all ranges, too.
            for (layer_cm, layers, tolerance) in [(0.05, (1000, 1000), 1e-8), (10.0, (2, 2), 0.1), (10.0, (2, 3), 0.1)] {
                (scenario.solver.layer_cm, scenario.solver.tolerance) = (layer_cm, tolerance);
                (scenario.solver.min_layers, scenario.solver.max_layers) = layers;
                assert_eq!(coarsened(&scenario).validate(&library).len(), scenario.validate(&library).len(), "{name}");
            }
        }
    }

    #[test]
    fn the_fewest_and_the_most_layers_go_up_with_them() {
        let mut scenario = demos().remove(0).1;
        let height = scenario.lanes[0].container.height_cm();
        for (layer_cm, count) in [(0.05, 20), (10.0, 12)] {
            (scenario.solver.layer_cm, scenario.solver.min_layers, scenario.solver.max_layers) = (layer_cm, 12, 20);
            let layers = |s: &Scenario| s.solver.layers_of(&s.lanes[0].container).iter().sum::<usize>();
            assert!(layers(&scenario).abs_diff(count) <= 1, "{height} cm");
            assert!(layers(&refined(&scenario)).abs_diff(4 * count) <= 2);
        }
    }

    #[test]
    fn what_is_given_by_layer_is_repeated() {
        let mut scenario = demos().remove(0).1;
        scenario.lanes.truncate(1);
        // Layers that go up in both parts.
        (scenario.solver.layer_cm, scenario.solver.min_layers) = (0.5, 12);
        let count: usize = scenario.solver.layers_of(&scenario.lanes[0].container).iter().sum();
        let values: Vec<f64> = (0..count).map(|i| 0.3 + 0.01 * f64::from(u32::try_from(i).unwrap())).collect();
        let lane = &mut scenario.lanes[0];
        lane.roots = Roots::PerLayer(values.clone());
        (lane.start.water, lane.start.salt) = (StartWater::Layers(values.clone()), StartSalt::Layers(values.clone()));
        let fine = refined(&scenario);
        assert_eq!(fine.validate(&Library::shipped()), []);
        let lane = &fine.lanes[0];
        let (Roots::PerLayer(roots), StartWater::Layers(water), StartSalt::Layers(salt)) =
            (&lane.roots, &lane.start.water, &lane.start.salt)
        else {
            panic!("{lane:?}")
        };
        let repeated: Vec<f64> = values.iter().flat_map(|&v| [v; 4]).collect();
        assert!(*roots == repeated && *water == repeated && *salt == repeated);
    }

    #[test]
    fn a_thin_layer_across_two_thick_ones_has_their_mean_and_no_part_the_value_of_another() {
        // Two thick layers and five thin ones; then one and three.
        let values = spread(&[1.0, 2.0, 7.0], &[vec![2, 1], vec![5, 3]]);
        assert_eq!(values, [1.0, 1.0, 1.5, 2.0, 2.0, 7.0, 7.0, 7.0]);
        assert_eq!(spread(&[1.0], &[vec![2, 1], vec![5, 3]]), [1.0]);
        // Fewer layers than before: the mean of what they take the place of.
        assert_eq!(spread(&[1.0, 2.0, 3.0], &[vec![3], vec![2]]), [(1.0 + 0.5 * 2.0) / 1.5, (0.5 * 2.0 + 3.0) / 1.5]);
    }
}
