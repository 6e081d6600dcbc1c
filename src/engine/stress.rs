//! What each layer lets the roots have: water, air and salt stress.

use super::column::Column;
use super::state::State;
use crate::physics::salinity;
use crate::scenario::Stress;

/// Water stress at a pressure head (cm), 0–1, and its derivative (1/cm).
#[inline]
#[must_use]
pub fn water_share(stress: &Stress, head: f64) -> (f64, f64) {
    let steep = 1.0 / (stress.begins_cm - stress.stops_cm);
    let share = (head - stress.stops_cm) * steep;
    (share.clamp(0.0, 1.0), if share > 0.0 && share < 1.0 { steep } else { 0.0 })
}

/// Pressure head where evaporation begins to fall, cm (judgement).
const EVAPORATION_FALLS_CM: f64 = -1000.0;
/// Pressure head where it stops, cm: the permanent wilting point of the soil-physics convention (judgement here).
const EVAPORATION_STOPS_CM: f64 = -15_000.0;

/// Share of the potential evaporation that a surface layer gives at a pressure head (cm), 0–1, falling with the logarithm of
/// suction, and its derivative (1/cm).
#[inline]
#[must_use]
pub fn evaporation_share(head: f64) -> (f64, f64) {
    if head >= EVAPORATION_FALLS_CM {
        (1.0, 0.0)
    } else if head <= EVAPORATION_STOPS_CM {
        (0.0, 0.0)
    } else {
        let span = (EVAPORATION_STOPS_CM / EVAPORATION_FALLS_CM).ln();
        ((EVAPORATION_STOPS_CM / head).ln() / span, -1.0 / (head * span))
    }
}

/// What air content (m³/m³) lets the roots take up in the long run, `air_floor`–1.
#[must_use]
pub fn air_target(stress: &Stress, air: f64) -> f64 {
    let open = ((air - stress.air_none) / (stress.air_enough - stress.air_none)).clamp(0.0, 1.0);
    stress.air_floor + (1.0 - stress.air_floor) * open
}

/// Root share × air × salt of a layer: the part of its uptake that is held through a step.
pub fn vigour(column: &Column, state: &State, out: &mut [f64]) {
    let salt = column.crop.stress.salt;
    for (i, layer) in column.layers.iter().enumerate() {
        let by_salt = salt.map_or(1.0, |s| salinity::uptake_share(state.ec[i], s.threshold_ece, s.slope_percent));
        out[i] = layer.roots * state.breath[i] * by_salt;
    }
}

/// How much a change of EC within a step moves what salt lets the roots take up, as a share of all the roots could: what a step
/// holds still although it does not stand still.
#[must_use]
pub fn salt_shift(column: &Column, before: &[f64], after: &[f64]) -> f64 {
    let Some(salt) = column.crop.stress.salt else { return 0.0 };
    let share = |ec| salinity::uptake_share(ec, salt.threshold_ece, salt.slope_percent);
    let shift = |((layer, a), b): ((&super::column::Layer, &f64), &f64)| layer.roots * (share(*b) - share(*a));
    column.layers.iter().zip(before).zip(after).map(shift).sum::<f64>().abs()
}

/// Lets the roots' memory of air move on by `dt` seconds.
pub fn breathe(column: &Column, state: &mut State, dt: f64) {
    let stress = &column.crop.stress;
    let keep = (-dt / (stress.air_memory_h * 3600.0)).exp();
    for part in &column.parts {
        for i in part.layers.clone() {
            let target = air_target(stress, part.medium.porosity - state.theta[i]);
            state.breath[i] = target + (state.breath[i] - target) * keep;
        }
    }
}
