//! What is asked of the root zone over time.

/// Demand on one plant's root zone. Times are seconds since the first midnight; `to` is after `from`.
pub trait Load: Send + Sync {
    /// Potential transpiration between two times, mL per plant.
    fn transpiration_ml(&self, from_s: f64, to_s: f64) -> f64;
    /// Potential evaporation from a free wet surface between two times, cm.
    fn evaporation_cm(&self, from_s: f64, to_s: f64) -> f64;
    /// The next instant after `t_s` at which the demand bends sharply, if any: steps land on it.
    fn next_bend(&self, t_s: f64) -> Option<f64>;
}
