//! A bench as shipped beside itself refined: the largest differences through its days.
#![allow(dead_code, clippy::unwrap_used)] // helpers of checks stop at what fails

use std::ops::Range;

use slakeline::engine::run::simulation::Simulation;
use slakeline::engine::run::{Ready, Workshop};
use slakeline::scenario::presets::Library;
use slakeline::scenario::{DAY_S, Give, Scenario};

/// Largest differences through some days.
#[derive(Clone, Copy, Debug, Default)]
pub struct Apart {
    /// Points of water content of the container.
    pub water: f64,
    /// Points of water content of a part.
    pub part_water: f64,
    /// Points of water content of a third of a lone part.
    pub third_water: f64,
    /// Points of water content of the container or a part while a flood rises and ten minutes after.
    pub flooded_water: f64,
    /// Percent of root-zone EC.
    pub ec: f64,
    /// Percent of a part's EC.
    pub part_ec: f64,
    /// Points of the day's uptake met, against steps of at most ten seconds.
    pub uptake: f64,
    /// Steps of the bench as shipped.
    pub steps: u64,
    /// Its iterations.
    pub iterations: u64,
    /// Its layers.
    pub layers: usize,
}

impl Apart {
    /// Whether all that is promised holds: 0.1 point of water content (container and parts), 0.5 % of EC, half a point while a
    /// flood rises and ten minutes after, 0.2 points of uptake met.
    #[must_use]
    pub fn within(&self) -> bool {
        self.water <= 0.1 && self.part_water <= 0.1 && self.flooded_water <= 0.5 && self.ec <= 0.5 && self.uptake <= 0.2
    }
}

/// A scenario with every layer cut in four and a tenth of the tolerance.
#[must_use]
pub fn refined(scenario: &Scenario) -> Scenario {
    let mut fine = scenario.clone();
    let solver = &mut fine.solver;
    solver.layer_cm /= 4.0;
    solver.min_layers *= 4;
    solver.max_layers *= 4;
    solver.tolerance /= 10.0;
    fine
}

/// The first lane of a scenario beside itself refined and beside itself with short steps.
pub fn of(scenario: &Scenario, library: &Library) -> Result<Apart, String> {
    let problems = scenario.validate(library);
    if !problems.is_empty() {
        return Err(format!("not valid: {problems:?}"));
    }
    let ready = |s: &Scenario| Workshop::default().ready(s, library).unwrap().for_its_days().remove(0);
    let (coarse, fine) = (ready(scenario), ready(&refined(scenario)));
    let mut worst = against(scenario, &coarse, &fine)?;
    let mut short = scenario.clone();
    short.solver.max_step_s = 10.0;
    let (a, b) = (met(&coarse, scenario.days)?, met(&ready(&short), scenario.days)?);
    worst.uptake = a.iter().zip(&b).map(|(a, b)| 100.0 * (a - b).abs()).fold(0.0, f64::max);
    Ok(worst)
}

/// Uptake met of each day.
fn met(lane: &Ready, days: u32) -> Result<Vec<f64>, String> {
    let mut simulation = lane.simulation();
    let mut before = *simulation.ledger();
    (1..=days)
        .map(|day| {
            simulation.advance_to(f64::from(day) * DAY_S, |_| {}).map_err(|e| e.to_string())?;
            let passed = simulation.ledger().since(&before).water;
            before = *simulation.ledger();
            Ok(if passed.demanded > 0.0 { passed.taken_up / passed.demanded } else { 1.0 })
        })
        .collect()
}

pub fn against(scenario: &Scenario, coarse: &Ready, fine: &Ready) -> Result<Apart, String> {
    let (mut a, mut b) = (coarse.simulation(), fine.simulation());
    let mut worst = Apart { layers: coarse.column.len(), ..Apart::default() };
    let relative = |x: f64, y: f64| 100.0 * (x / y.max(0.05) - 1.0).abs() * (y.max(0.05) / 0.05).min(1.0);
    let lone = coarse.column.parts.len() == 1;
    for k in 1..=144 * scenario.days {
        let t = 600.0 * f64::from(k);
        a.advance_to(t, |_| {}).map_err(|e| e.to_string())?;
        b.advance_to(t, |_| {}).map_err(|e| format!("refined: {e}"))?;
        let root_ec = |s: &Simulation| s.column().root_zone_ec(&s.state().theta, &s.state().ec);
        let whole = |s: &Simulation| s.ledger().water_stored / s.column().volume;
        let apart = 100.0 * (whole(&a) - whole(&b)).abs();
        let flooded = flooded(scenario, t);
        if flooded {
            worst.flooded_water = worst.flooded_water.max(apart);
        } else {
            worst.water = worst.water.max(apart);
        }
        worst.ec = worst.ec.max(relative(root_ec(&a), root_ec(&b)));
        for (range_a, range_b) in parts(&a).into_iter().zip(parts(&b)) {
            let ((water_a, ec_a), (water_b, ec_b)) = (means(&a, &range_a), means(&b, &range_b));
            let apart = 100.0 * (water_a - water_b).abs();
            let kept = match (flooded, lone) {
                (true, _) => &mut worst.flooded_water,
                (false, true) => &mut worst.third_water,
                (false, false) => &mut worst.part_water,
            };
            if !(flooded && lone) {
                *kept = kept.max(apart);
            }
            worst.part_ec = worst.part_ec.max(relative(ec_a, ec_b));
        }
    }
    (worst.steps, worst.iterations) = (a.stats().steps, a.stats().iterations);
    Ok(worst)
}

/// Whether a flood rises at a time or ended less than ten minutes ago.
fn flooded(scenario: &Scenario, t_s: f64) -> bool {
    let within = t_s % DAY_S;
    let near = |e: &slakeline::scenario::Event| e.start_s() <= within && within <= e.end_s() + 600.0;
    scenario.valves[0].schedule.iter().any(|e| matches!(e.give, Give::Flood { .. }) && near(e))
}

/// From where to where each part stands, cm above the base; of a lone part, its lower, middle and upper third.
pub fn parts(simulation: &Simulation) -> Vec<Range<f64>> {
    let column = simulation.column();
    let edges = |part: &slakeline::engine::column::layers::ColumnPart| {
        let (low, high) = (&column.layers[part.layers.start], &column.layers[part.layers.end - 1]);
        low.z - 0.5 * low.dz..high.z + 0.5 * high.dz
    };
    if column.parts.len() > 1 {
        return column.parts.iter().map(edges).collect();
    }
    let third = column.height / 3.0;
    (0..3).map(|k| third * f64::from(k)..third * f64::from(k + 1)).collect()
}

/// Mean water content and EC between two heights.
pub fn means(simulation: &Simulation, range: &Range<f64>) -> (f64, f64) {
    let (mut volume, mut water, mut salt) = (0.0, 0.0, 0.0);
    for (i, layer) in simulation.column().layers.iter().enumerate() {
        let overlap = (range.end.min(layer.z + 0.5 * layer.dz) - range.start.max(layer.z - 0.5 * layer.dz)).max(0.0);
        let v = layer.volume * overlap / layer.dz;
        volume += v;
        water += v * simulation.state().theta[i];
        salt += v * simulation.state().theta[i] * simulation.state().ec[i];
    }
    (water / volume, salt / water)
}
