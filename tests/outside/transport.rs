//! Salt transport against the closed forms for a step of concentration at the inlet.

use slakeline::scenario::{Inlet, MediumChoice, Scenario};

use crate::common::{advance, at_height, case, require, simulation};

/// Depths, cm, at which the listed values stand.
const DEPTHS: [f64; 4] = [5.0, 8.0, 10.0, 15.0];

/// v = D = 1, R = 1, t = 10: first type (Ogata & Banks 1961), third type (van Genuchten & Alves 1982). Closed form.
const UNRETARDED: [[f64; 4]; 2] = [[0.927_309, 0.757_588, 0.585_289, 0.168_855], [0.877_828, 0.672_960, 0.493_058, 0.122_710]];
/// The same with R = 2.5 at t = 20. Closed form.
const RETARDED: [[f64; 4]; 2] = [[0.859_011, 0.594_411, 0.383_376, 0.054_646], [0.778_989, 0.490_788, 0.294_863, 0.035_082]];

/// The column with a retardation and an inlet, at the program's resolution or refined.
fn column(retardation: f64, inlet: Inlet, refined: bool) -> Scenario {
    let mut scenario = case("transport");
    scenario.lanes[0].boundaries.inlet = inlet;
    let MediumChoice::Custom(medium) = &mut scenario.lanes[0].container.parts[0].medium else { panic!("a medium of its own") };
    // R = 1 + ρ_b·K_d/θ with ρ_b 0.75 g/mL and θ 0.5.
    medium.exchange_ml_per_g = (retardation - 1.0) * 0.5 / 0.75;
    if refined {
        scenario.solver.layer_cm = 0.1;
        scenario.solver.max_layers = 400;
        scenario.solver.tolerance = 1e-5;
    }
    scenario
}

/// Largest deviation from the listed concentrations.
fn deviation(retardation: f64, inlet: Inlet, refined: bool) -> f64 {
    let (hours, listed) = if retardation > 1.0 { (20.0, RETARDED) } else { (10.0, UNRETARDED) };
    let mut simulation = simulation(&column(retardation, inlet, refined));
    advance(&mut simulation, hours * 3600.0);
    let expected = listed[usize::from(inlet == Inlet::Flux)];
    let ec = &simulation.state().ec;
    DEPTHS.into_iter().zip(expected).map(|(x, c)| (at_height(&simulation, ec, 40.0 - x) - c).abs()).fold(0.0, f64::max)
}

/// Check 5. Tolerances: 0.02 of the inlet's concentration at the program's own resolution (layers of 0.5 cm, dispersivity
/// 1 cm, default tolerance), 0.005 refined.
#[test]
fn step_at_the_inlet() {
    for (inlet, words) in [(Inlet::Concentration, "first type"), (Inlet::Flux, "third type")] {
        for retardation in [1.0, 2.5] {
            for (refined, grid, limit) in [(false, "default", 0.02), (true, "refined", 0.005)] {
                let off = deviation(retardation, inlet, refined);
                require("5 Salt transport", &format!("{words}, R = {retardation}, {grid}"), off, limit, "of inlet EC");
            }
        }
    }
}

/// The two inlets are told apart: their listed values differ by more than twice the coarse tolerance somewhere, so neither
/// can pass for the other.
#[test]
fn inlets_differ() {
    for listed in [UNRETARDED, RETARDED] {
        let apart = listed[0].iter().zip(listed[1]).map(|(a, b)| a - b).fold(0.0, f64::max);
        assert!(apart > 0.04, "{apart}");
    }
}
