//! A lane with a fault, watched until it has come to the worst.

use super::answer::{Grace, LOOK_AHEAD_H};
use super::fault::{Fault, Struck};
use crate::engine::run::simulation::{RunError, Simulation};
use crate::units::HOUR_S;

/// Shares of what is asked of the plant that are waited for. Below the last the water within reach is used up (judgement).
const SHARES: [f64; 3] = [0.9, 0.5, 0.05];

/// Runs a lane on from an hour with a fault.
pub(super) fn from(begins: Simulation, bench: &Struck<'_>, fault: Fault, hour: u32) -> Result<Grace, RunError> {
    let from_s = begins.time_s();
    let stress = begins.column().crop.stress;
    let mut before = (from_s, begins.ledger().water.demanded, begins.ledger().water.taken_up);
    // Middle of the last step in which something was asked for, and the share met in it.
    let mut last: Option<(f64, f64)> = None;
    let mut found = [None; 3];
    let mut airless = None;
    bench.run(begins, fault, from_s + LOOK_AHEAD_H * HOUR_S, |s| {
        let water = &s.ledger().water;
        let (asked, met) = (water.demanded - before.1, water.taken_up - before.2);
        let middle = 0.5 * (s.time_s() + before.0);
        if asked > 0.0 {
            let share = met / asked;
            for (found, mark) in found.iter_mut().zip(SHARES) {
                if found.is_none() && share <= mark {
                    // On the straight line between the middles of two steps.
                    let at = match last {
                        Some((then, was)) if was > share => then + (was - mark).max(0.0) / (was - share) * (middle - then),
                        _ => middle,
                    };
                    *found = Some((at.max(from_s) - from_s) / HOUR_S);
                }
            }
            last = Some((middle, share));
        }
        if airless.is_none() && root_air(s) < stress.air_enough {
            airless = Some((s.time_s() - from_s) / HOUR_S);
        }
        before = (s.time_s(), water.demanded, water.taken_up);
        found[2].is_none()
    })?;
    Ok(Grace { hour, fault, hours_to_90: found[0], hours_to_50: found[1], hours_to_dry: found[2], hours_to_airless: airless })
}

/// Root-weighted air content, m³/m³.
fn root_air(s: &Simulation) -> f64 {
    let column = s.column();
    column.root_pores - column.layers.iter().zip(&s.state().theta).map(|(l, theta)| l.roots * theta).sum::<f64>()
}
