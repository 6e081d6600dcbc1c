//! What the outside checks share: scenario cases, runs to an instant, readings between layers, and the table of deviations.
#![allow(dead_code)]

use std::path::Path;

use slakeline::engine::run::simulation::Simulation;
use slakeline::engine::run::{Ready, Workshop};
use slakeline::scenario::presets::Library;
use slakeline::scenario::{Scenario, file};

/// A scenario of `tests/cases`, read and validated as the program reads any file.
pub fn case(name: &str) -> Scenario {
    read(&format!("tests/cases/{name}.ron"))
}

/// A scenario file of the project.
pub fn read(path: &str) -> Scenario {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    file::load(&path, &Library::shipped()).unwrap_or_else(|e| panic!("{e}"))
}

/// The lanes of a scenario that is changed in a test, checked again and made ready.
pub fn ready(scenario: &Scenario) -> Vec<Ready> {
    let library = Library::shipped();
    let problems = scenario.validate(&library);
    assert!(problems.is_empty(), "{problems:?}");
    Workshop::default().ready(scenario, &library).unwrap().for_its_days()
}

/// The first lane of a scenario at its first midnight.
pub fn simulation(scenario: &Scenario) -> Simulation {
    ready(scenario)[0].simulation()
}

/// Runs on to a time; the ledger must close there.
pub fn advance(simulation: &mut Simulation, to_s: f64) {
    simulation.advance_to(to_s, |_| {}).unwrap();
    let ledger = simulation.ledger();
    assert!(ledger.water_closure() <= 1e-9, "water closure {:e}", ledger.water_closure());
    assert!(ledger.salt_closure() <= 1e-9, "salt closure {:e}", ledger.salt_closure());
}

/// A value per layer at a height above the base: straight lines between layer centres, continued to the edges.
pub fn at_height(simulation: &Simulation, values: &[f64], z: f64) -> f64 {
    let layers = &simulation.column().layers;
    let above = layers.partition_point(|l| l.z < z).clamp(1, layers.len() - 1);
    let (low, high) = (&layers[above - 1], &layers[above]);
    values[above - 1] + (values[above] - values[above - 1]) * (z - low.z) / (high.z - low.z)
}

/// Height at which a value per layer, rising or falling monotonically there, first reaches `wanted` from the top down.
pub fn height_of(simulation: &Simulation, values: &[f64], wanted: f64) -> f64 {
    let layers = &simulation.column().layers;
    let i = (1..layers.len()).rev().find(|&i| (values[i] - wanted) * (values[i - 1] - wanted) <= 0.0).expect("the value is reached");
    layers[i].z + (layers[i - 1].z - layers[i].z) * (wanted - values[i]) / (values[i - 1] - values[i])
}

/// One line of the table of deviations (`cargo test --test outside -- --nocapture`), and the check itself.
pub fn require(check: &str, what: &str, deviation: f64, limit: f64, unit: &str) {
    println!("| {check} | {what} | {deviation:.3e} | {limit:.1e} | {unit} |");
    assert!(deviation <= limit, "{check}, {what}: off by {deviation} {unit}, allowed {limit}");
}

/// Simpson's rule over `n` (even) intervals.
pub fn integrate(f: impl Fn(f64) -> f64, from: f64, to: f64, n: u32) -> f64 {
    let step = (to - from) / f64::from(n);
    let sum: f64 = (0..=n)
        .map(|i| {
            let weight = if i == 0 || i == n {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            };
            weight * f(from + f64::from(i) * step)
        })
        .sum();
    sum * step / 3.0
}

/// A root of `f` between two points of different sign.
pub fn bisect(f: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let rising = f(high) > f(low);
    for _ in 0..200 {
        let mid = 0.5 * (low + high);
        if (f(mid) > 0.0) == rising { high = mid } else { low = mid }
    }
    0.5 * (low + high)
}
