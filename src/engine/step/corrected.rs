//! Corrections of heads that Newton's method proposes, held to what the curves bear.

/// Between which heads a layer's root lies, as far as its corrections have told.
#[derive(Clone, Copy, Debug)]
pub struct Between {
    low: f64,
    high: f64,
}

impl Between {
    /// As long as nothing was told.
    pub const ANYWHERE: Self = Self { low: f64::NEG_INFINITY, high: f64::INFINITY };

    /// A correction (cm of head) that would pass the place a layer was sent back from goes half way there, and a layer that fills
    /// stops at full: so it closes in on a root between two bends of its curve, where Newton's method leaps from one to the other.
    pub fn step(&mut self, from: f64, to: f64) -> f64 {
        if to > from {
            self.low = from;
            let to = if from < 0.0 { to.min(0.0) } else { to };
            if to < self.high { to } else { 0.5 * (from + self.high) }
        } else {
            self.high = from;
            if to > self.low { to } else { 0.5 * (from + self.low) }
        }
    }
}

/// Suction (cm) at which saturation, taken to fall as suction to a power, has changed by what a head correction (cm) would
/// change it by on a straight line: s·(1 + p·x)^(−1/p), x = change/s. Meets s − change for small changes.
#[must_use]
pub fn along_power(suction: f64, change: f64, power: f64) -> f64 {
    let ratio = 1.0 + power * change / suction;
    if power.is_nan() || power <= 1e-3 {
        suction / (1.0 + change / suction).max(0.2)
    } else if ratio > 0.0 {
        suction * ratio.powf(-1.0 / power).min(5.0)
    } else {
        5.0 * suction
    }
}
