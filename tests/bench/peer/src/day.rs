//! The day that all solvers run, and what is read off a run.

use std::path::{Path, PathBuf};

use slakeline::engine::supply::clock::Supply;
use slakeline::engine::column::layers::Column;
use slakeline::engine::run::{Ready, Workshop};
use slakeline::engine::run::simulation::Simulation;
use slakeline::scenario::presets::Library;
use slakeline::scenario::{DAY_S, Scenario, file};

use crate::equations::Stretch;

/// The project's folder.
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(3).unwrap_or(here).to_owned()
}

/// The block on a slab without hysteresis that `tests/outside/reference_solver.rs` and `tests/reference/day.py` know as well.
///
/// # Errors
/// In words, when the file cannot be read.
pub fn case() -> Result<Scenario, String> {
    let path = root().join("tests/cases/reference-day.ron");
    file::load(&path, &Library::shipped()).map_err(|e| format!("{}: {e}", path.display()))
}

/// Its lane.
///
/// # Errors
/// In words, when it cannot be built.
pub fn lane(scenario: &Scenario) -> Result<Ready, String> {
    let lanes = Workshop::default().ready(scenario, &Library::shipped()).map_err(|e| e.to_string())?.for_its_days();
    lanes.into_iter().next().ok_or_else(|| "the case has no lane".to_owned())
}

/// The stretches between changes of supply and bends of the light.
pub fn stretches(lane: &Ready) -> Vec<Stretch> {
    let mut stretches = Vec::new();
    let mut begin = 0.0;
    while begin < DAY_S {
        let (supply, change) = lane.clock.at(begin);
        let end = lane.load.next_bend(begin).unwrap_or(f64::INFINITY).min(change).min(DAY_S);
        stretches.push(Stretch { begin, end, supply });
        begin = end;
    }
    stretches
}

/// Drips and floods among the stretches.
pub fn events(stretches: &[Stretch]) -> usize {
    stretches.iter().filter(|s| s.supply != Supply::Off).count()
}

/// What is compared, at one instant.
#[derive(Clone, Debug)]
pub struct Figures {
    /// s after midnight.
    pub time: f64,
    /// Mean water content of the container, m³/m³.
    pub container: f64,
    /// Mean water content of each part, base first, m³/m³.
    pub parts: Vec<f64>,
    /// Salt in solution over the water that holds it, both weighted by roots, mS/cm.
    pub ec: f64,
}

impl Figures {
    /// Of water contents and ECs per layer.
    pub fn of(column: &Column, time: f64, theta: &[f64], ec: &[f64]) -> Self {
        let parts = column.parts.iter().map(|part| {
            let (mut water, mut volume) = (0.0, 0.0);
            for i in part.layers.clone() {
                water += theta[i] * column.layers[i].volume;
                volume += column.layers[i].volume;
            }
            water / volume
        });
        let (mut water, mut salt) = (0.0, 0.0);
        for (i, layer) in column.layers.iter().enumerate() {
            let held = layer.roots * layer.volume * theta[i];
            water += held;
            salt += held * ec[i];
        }
        Self { time, container: column.mean(theta), parts: parts.collect(), ec: salt / water }
    }

    /// Of the engine as it stands.
    pub fn of_engine(simulation: &Simulation) -> Self {
        let state = simulation.state();
        Self::of(simulation.column(), simulation.time_s(), &state.theta, &state.ec)
    }
}

/// Largest differences from a reference through a day.
#[derive(Clone, Copy, Debug, Default)]
pub struct Errors {
    /// Water content of the container, points.
    pub container: f64,
    /// Water content of the part that is furthest off, points.
    pub part: f64,
    /// EC of the root zone, %.
    pub ec: f64,
}

impl Errors {
    /// Of a run against a reference at the same instants.
    pub fn between(run: &[Figures], reference: &[&Figures]) -> Self {
        let mut worst = Self::default();
        for (a, b) in run.iter().zip(reference) {
            worst.container = worst.container.max(100.0 * (a.container - b.container).abs());
            for (p, q) in a.parts.iter().zip(&b.parts) {
                worst.part = worst.part.max(100.0 * (p - q).abs());
            }
            worst.ec = worst.ec.max(100.0 * (a.ec / b.ec - 1.0).abs());
        }
        worst
    }
}
