//! What each layer lets the roots have: water, air and salt stress.

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
pub const EVAPORATION_FALLS_CM: f64 = -1000.0;
/// Pressure head where it stops, cm: the permanent wilting point of the soil-physics convention (judgement here).
pub const EVAPORATION_STOPS_CM: f64 = -15_000.0;

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
