//! Units: what the engine works in, and what is shown.
//!
//! The engine works in cm, mL, s, mS/cm at 25 °C and cm of pressure head everywhere.

/// Centimetres of water column per kPa, as the whole project rounds it.
pub const CM_PER_KPA: f64 = 10.2;

/// Seconds per day.
pub const SECONDS_PER_DAY: f64 = 86_400.0;

/// Suction in kPa of a pressure head in cm; 0 for a positive head.
#[must_use]
pub fn suction_kpa(head_cm: f64) -> f64 {
    (-head_cm).max(0.0) / CM_PER_KPA
}
