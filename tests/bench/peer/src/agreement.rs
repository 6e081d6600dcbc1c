//! Do both solvers solve the same equations? Flows of water are held against the engine's own before anything is timed.

use slakeline::engine::column::hydro::Hydro;
use slakeline::engine::run::Ready;
use slakeline::engine::step::water::{Forcing, WaterStep};
use slakeline::scenario::DAY_S;

use crate::day;
use crate::equations::Equations;

/// A step so short that nothing moves: its flows are those at the heads it ends at, s.
const INSTANT_S: f64 = 1e-6;
/// By how much flows may differ, as a share of the largest: what is left of the rounding of such a step.
const SAME: f64 = 1e-7;

/// Whether the flows of water put together here are the engine's.
///
/// # Errors
/// In words, when they are not.
pub fn check(lane: &Ready, equations: &Equations) -> Result<(), String> {
    let worst = largest_difference(lane, equations)?;
    if worst <= SAME {
        return Ok(());
    }
    Err(format!("the engine's flows of water are not those of this bench (off by {worst:.1e} of the largest); follow it in faces.rs"))
}

/// Largest difference of any flow of water through the day, as a share of the largest flow at that instant.
fn largest_difference(lane: &Ready, equations: &Equations) -> Result<f64, String> {
    let column = &lane.column;
    let mut simulation = lane.simulation();
    let mut worst = 0.0_f64;
    for stretch in day::stretches(lane) {
        for share in [0.1, 0.9] {
            let t = stretch.begin + share * (stretch.end - stretch.begin);
            simulation.advance_to(t.min(DAY_S), |_| {}).map_err(|e| e.to_string())?;
            let state = simulation.state();
            let transpiration = lane.load.transpiration_ml(t, t + INSTANT_S) / INSTANT_S;
            let evaporation = lane.load.evaporation_cm(t, t + INSTANT_S).over(INSTANT_S);
            let forcing = Forcing { supply: stretch.supply, transpiration, evaporation };
            let (mut water, mut hydro) = (WaterStep::new(column), Hydro::new(column, state));
            water
                .attempt(column, state, &mut hydro, &forcing, INSTANT_S)
                .map_err(|e| format!("an instant of the engine did not converge in layer {} at {t} s", e.layer + 1))?;
            let mut room = equations.room();
            equations.water_flows(stretch.supply, (transpiration, evaporation), &water.head, &mut room);
            let (engine, own) = (&water.second.flows, &room.flows);
            let pairs = [
                (&engine.face, &own.face),
                (&engine.side, &own.side),
                (&engine.uptake, &own.uptake),
                (&engine.evaporation, &own.evaporation),
            ];
            let ends = [(engine.top, own.top), (engine.overflow, own.overflow)];
            let both = || pairs.iter().flat_map(|(a, b)| a.iter().copied().zip(b.iter().copied())).chain(ends);
            let largest = both().map(|(a, _)| a.abs()).fold(1e-12, f64::max);
            worst = both().map(|(a, b)| (a - b).abs() / largest).fold(worst, f64::max);
        }
    }
    Ok(worst)
}
