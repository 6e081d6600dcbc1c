//! Resolution: what the program computes by default against a run at a quarter of the layers' thickness and a tenth of the
//! tolerance. Tolerances: 0.1 point of water content, 0.5 % of EC, at every ten minutes of the day.

use std::ops::Range;

use slakeline::engine::run::Ready;
use slakeline::engine::run::simulation::Simulation;
use slakeline::scenario::{Clock, Event, Scenario, StartWater};

use crate::common::{advance, read, ready, require};

/// The demo bench (a stone-wool block on a slab, a coir/perlite pot of fabric; both with hysteresis), as shipped or refined.
fn bench(refined: bool) -> Scenario {
    let mut scenario = read("demo/1-aubergine-two-root-zones.ron");
    if refined {
        scenario.solver.layer_cm /= 4.0;
        scenario.solver.min_layers *= 4;
        scenario.solver.max_layers *= 4;
        scenario.solver.tolerance /= 10.0;
    }
    scenario
}

/// What is changed in the demo.
type Change<'a> = &'a dyn Fn(&mut Scenario);

/// Worst differences through some days.
#[derive(Clone, Copy, Debug, Default)]
struct Apart {
    /// Points of water content of the container.
    water: f64,
    /// Percent of root-zone EC.
    ec: f64,
    /// Points of water content of a part.
    part_water: f64,
    /// Percent of a part's EC.
    part_ec: f64,
}

fn apart(coarse: &Ready, fine: &Ready, days: u32) -> Apart {
    let (mut a, mut b) = (coarse.simulation(), fine.simulation());
    let mut worst = Apart::default();
    let relative = |x: f64, y: f64| 100.0 * (x / y - 1.0).abs();
    for k in 1..=144 * days {
        let t = 600.0 * f64::from(k);
        advance(&mut a, t);
        advance(&mut b, t);
        let whole = |s: &Simulation| s.ledger().water_stored / s.column().volume;
        let root = |s: &Simulation| s.column().root_zone_ec(&s.state().theta, &s.state().ec);
        worst.water = worst.water.max(100.0 * (whole(&a) - whole(&b)).abs());
        worst.ec = worst.ec.max(relative(root(&a), root(&b)));
        for (range_a, range_b) in parts(coarse, coarse).into_iter().zip(parts(coarse, fine)) {
            let ((water_a, ec_a), (water_b, ec_b)) = (means(&a, &range_a), means(&b, &range_b));
            worst.part_water = worst.part_water.max(100.0 * (water_a - water_b).abs());
            worst.part_ec = worst.part_ec.max(relative(ec_a, ec_b));
        }
    }
    worst
}

/// The layers of each part; of a lone part, of the lower, middle and upper third of the layers of the coarse run, wherever they are finer.
fn parts(coarse: &Ready, lane: &Ready) -> Vec<Range<usize>> {
    let column = &lane.column;
    if column.parts.len() > 1 {
        return column.parts.iter().map(|p| p.layers.clone()).collect();
    }
    let (n, finer) = (coarse.column.len(), column.len() / coarse.column.len());
    (0..3).map(|k| finer * (k * n / 3)..finer * ((k + 1) * n / 3)).collect()
}

/// Mean water content and EC of some layers.
fn means(simulation: &Simulation, range: &Range<usize>) -> (f64, f64) {
    let mean = |values: &[f64]| range.clone().map(|i| values[i]).sum::<f64>() / range.len() as f64;
    (mean(&simulation.state().theta), mean(&simulation.state().ec))
}

/// The demo's own days: the container and each of its parts.
#[test]
fn default_resolution_is_converged() {
    for (coarse, fine) in ready(&bench(false)).iter().zip(&ready(&bench(true))) {
        assert_eq!(fine.column.len(), 4 * coarse.column.len());
        let worst = apart(coarse, fine, 2);
        require("Convergence", &format!("{}: water content", coarse.name), worst.water, 0.1, "points");
        require("Convergence", &format!("{}: water content of a part", coarse.name), worst.part_water, 0.1, "points");
        require("Convergence", &format!("{}: root-zone EC", coarse.name), worst.ec, 0.5, "%");
        require("Convergence", &format!("{}: EC of a part", coarse.name), worst.part_ec, 0.5, "%");
    }
}

/// Few events of more than half the block's volume each, the demo's events four times as long, and a soaked start with much
/// drain: the accuracy must not hang on one schedule. Required of the container; of the parts it is told.
#[test]
fn other_schedules_are_converged_too() {
    let few: Change = &|s| s.valves[0].schedule = [9, 12, 15].map(|h| Event::drip(Clock::hm(h, 0), 8, 600.0)).into();
    let gentle: Change = &|s| s.valves[0].schedule.iter_mut().for_each(|e| e.seconds = 1200);
    let drain: Change = &|s| s.lanes.iter_mut().for_each(|l| (l.dose, l.start.water) = (1.6, StartWater::AtCapacity));
    let changes = [("few large events", few), ("gentle events", gentle), ("much drain", drain)];
    for (words, change) in changes {
        let (mut coarse, mut fine) = (bench(false), bench(true));
        change(&mut coarse);
        change(&mut fine);
        for (coarse, fine) in ready(&coarse).iter().zip(&ready(&fine)) {
            let worst = apart(coarse, fine, 2);
            require("Convergence", &format!("{}, {words}: water content", coarse.name), worst.water, 0.1, "points");
            require("Convergence", &format!("{}, {words}: root-zone EC", coarse.name), worst.ec, 0.5, "%");
            let name = &coarse.name;
            println!("| Convergence | {name}, {words}: water content of a part (told only) | {:.3e} | | points |", worst.part_water);
            println!("| Convergence | {name}, {words}: EC of a part (told only) | {:.3e} | | % |", worst.part_ec);
        }
    }
}

/// The comparison can fail: layers of 5 cm are not converged.
#[test]
fn a_coarse_grid_is_told_apart() {
    let mut scenario = bench(false);
    scenario.solver.layer_cm = 5.0;
    scenario.solver.min_layers = 2;
    let worst = apart(&ready(&scenario)[0], &ready(&bench(true))[0], 1);
    assert!(worst.water > 0.1 && worst.part_water > 0.1, "{worst:?}");
}
