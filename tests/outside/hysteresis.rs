//! Hysteresis in the engine: small cycles do not pump, and the history of wetting matters.

use slakeline::scenario::{Base, Clock, Event, Scenario, StartWater};

use crate::common::{advance, integrate, read, ready, require, simulation};

/// A 7.5 cm slab (hysteresis ratio 2) that loses and gets the same 10 mL in each of 480 cycles of three minutes a day: even
/// demand around the clock, drips of 20 s.
fn cycling(base: Base) -> Scenario {
    let mut scenario = read("tests/cases/leaching.ron");
    scenario.lanes[0].container = read("tests/cases/washout.ron").lanes[0].container.clone();
    scenario.lanes[0].boundaries.base = base;
    let ml = 10.0;
    scenario.valves[0].schedule = (0..480).map(|k| Event { seconds: 20, ..Event::drip(Clock::from_seconds(k * 180), 1, ml) }).collect();
    scenario.lanes[0].demand = slakeline::scenario::Demand::Measured { litres_per_day: 480.0 * ml / 1000.0, steady_share: 1.0 };
    scenario.lanes[0].start.water = StartWater::Mean(0.6);
    scenario
}

/// 1,000 small cycles must not ratchet. Heads and water contents of every layer at the same instant of a cycle, after 100
/// cycles (when the column has found its rhythm) and 1,000 further ones. The base is closed and what comes is what goes, so
/// pumping would show as a drift of heads and of water between layers. Tolerances: 0.05 points of any layer, 0.05 cm of head.
#[test]
fn a_thousand_small_cycles_do_not_ratchet() {
    let mut simulation = simulation(&cycling(Base::Closed));
    advance(&mut simulation, 100.0 * 180.0);
    let then = simulation.state().clone();
    advance(&mut simulation, 1100.0 * 180.0);
    let now = simulation.state();
    let worst = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    require("Hysteresis", "1,000 cycles, any layer", 100.0 * worst(&now.theta, &then.theta), 0.05, "points");
    require("Hysteresis", "1,000 cycles, head", worst(&now.head, &then.head), 0.05, "cm");
}

/// The cycles are felt: the column's heads swing within a cycle by more than the tolerance above, on scanning curves.
#[test]
fn the_cycles_are_felt() {
    let mut simulation = simulation(&cycling(Base::Closed));
    advance(&mut simulation, 100.0 * 180.0);
    let before = simulation.state().head.clone();
    advance(&mut simulation, 100.0 * 180.0 + 20.0);
    let swing = simulation.state().head.iter().zip(&before).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
    assert!(swing > 0.3, "{swing} cm");
    assert!(simulation.state().path.iter().any(|p| !p.turns().is_empty()));
}

/// Soaked and drained, a slab holds more than wetted from dry by drip (.94 against .6–.85); without hysteresis it is
/// one and the same.
#[test]
fn history_of_wetting_matters() {
    let held = |start: StartWater, without: bool| {
        let mut scenario = read("tests/cases/washout.ron");
        scenario.valves[0].schedule.clear();
        scenario.lanes[0].start.water = start;
        if without {
            let mut medium = slakeline::scenario::presets::Library::shipped().medium("stone wool, slab").unwrap().clone();
            medium.hysteresis_ratio = 1.0;
            scenario.lanes[0].container.parts[0].medium = slakeline::scenario::MediumChoice::Custom(Box::new(medium));
        }
        let lane = &ready(&scenario)[0];
        let mut simulation = lane.simulation();
        advance(&mut simulation, 86_400.0);
        simulation.ledger().water_stored / lane.column.volume
    };
    let (soaked, dripped) = (held(StartWater::AtCapacity, false), held(StartWater::AsWetted, false));
    // Mean of the main branches over 7.5 cm: α 0.065 drying, 0.13 wetting (closed form).
    let mean = |alpha: f64| 0.02 + 0.93 / 7.5 * integrate(|s| (1.0 + (alpha * s).powf(3.5)).powf(-2.5 / 3.5), 0.0, 7.5, 400);
    require("Hysteresis", "slab soaked and drained", (soaked - mean(0.065)).abs(), 0.002, "m³/m³");
    require("Hysteresis", "slab wetted by drip", (dripped - mean(0.13)).abs(), 0.002, "m³/m³");
    assert!(soaked > dripped + 0.08, "soaked {soaked}, dripped {dripped}");
    let (soaked, dripped) = (held(StartWater::AtCapacity, true), held(StartWater::AsWetted, true));
    assert!((soaked - dripped).abs() < 1e-9, "soaked {soaked}, dripped {dripped}");
}
