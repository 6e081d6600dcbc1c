//! What is asked of the root zone over time.

/// What is asked of wet surfaces, cm or cm/s.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Potential {
    /// Of tops.
    pub top: f64,
    /// Of walls.
    pub wall: f64,
}

impl Potential {
    /// The same of tops and of walls.
    #[must_use]
    pub fn even(amount: f64) -> Self {
        Self { top: amount, wall: amount }
    }

    /// An amount over a time, s: what it is a second.
    #[must_use]
    pub fn over(self, seconds: f64) -> Self {
        Self { top: self.top / seconds, wall: self.wall / seconds }
    }
}

/// What plants use over time. Times are seconds since the first midnight; `to` is after `from`.
pub trait Uses: Send + Sync {
    /// Potential transpiration between two times, mL per plant.
    fn ml(&self, from_s: f64, to_s: f64) -> f64;
    /// The next instant after `t_s` at which it bends sharply, if any.
    fn bend(&self, t_s: f64) -> Option<f64>;
}

/// Demand on one plant's root zone. Times are seconds since the first midnight; `to` is after `from`.
pub trait Load: Send + Sync {
    /// Potential transpiration between two times, mL per plant.
    fn transpiration_ml(&self, from_s: f64, to_s: f64) -> f64;
    /// Potential evaporation from free wet surfaces between two times, cm.
    fn evaporation_cm(&self, from_s: f64, to_s: f64) -> Potential;
    /// The next instant after `t_s` at which the demand bends sharply, if any: steps land on it.
    fn next_bend(&self, t_s: f64) -> Option<f64>;
}

/// Nothing is asked: a root zone that only drains.
#[derive(Clone, Copy, Debug, Default)]
pub struct Nothing;

impl Load for Nothing {
    fn transpiration_ml(&self, _: f64, _: f64) -> f64 {
        0.0
    }
    fn evaporation_cm(&self, _: f64, _: f64) -> Potential {
        Potential::default()
    }
    fn next_bend(&self, _: f64) -> Option<f64> {
        None
    }
}
