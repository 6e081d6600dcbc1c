//! The steps of the grower's timer and emitters: what drags and arrow keys snap to. A preference, not part of a scenario.

use serde::{Deserialize, Serialize};

use crate::units::{ML_PER_FL_OZ, Units, VolumeUnit};

/// Steps of starts that can be chosen, s.
pub const TIMES_S: [u32; 6] = [1, 60, 300, 600, 900, 1800];

/// What starts, lengths and volumes snap to.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Steps {
    /// Starts, s: 1–1800.
    pub time_s: u32,
    /// Volumes, mL per plant: 0.1–1000.
    pub ml: f64,
}

impl Default for Steps {
    fn default() -> Self {
        Self { time_s: 300, ml: 5.0 }
    }
}

impl Steps {
    /// Between starts, s.
    #[must_use]
    pub fn start_s(self) -> f64 {
        f64::from(self.time_s)
    }

    /// Between lengths, s: events are short, so a minute at most.
    #[must_use]
    pub fn length_s(self) -> f64 {
        f64::from(self.time_s.min(60))
    }

    /// Volumes that can be chosen, mL per plant: round ones in the units shown.
    #[must_use]
    pub fn volumes(units: Units) -> [f64; 5] {
        match units.volume {
            VolumeUnit::Metric => [1.0, 5.0, 10.0, 25.0, 50.0],
            VolumeUnit::Us => [0.1, 0.2, 0.5, 1.0, 2.0].map(|oz| oz * ML_PER_FL_OZ),
        }
    }

    /// These steps where they can be used, else the usual ones: a file may say anything.
    #[must_use]
    pub fn sound(self) -> Self {
        let holds = (1..=1800).contains(&self.time_s) && (0.1..=1000.0).contains(&self.ml);
        if holds { self } else { Self::default() }
    }
}

/// The nearest multiple of a step.
#[must_use]
pub fn snapped(value: f64, step: f64) -> f64 {
    let step = step.max(1e-6);
    let whole = (value / step).round() * step;
    // Thousandths are finer than any timer: no trace of the division is left in a file.
    (whole * 1000.0).round() / 1000.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_snap_without_traces_of_division() {
        assert_eq!(snapped(212.4, 5.0), 210.0);
        assert_eq!(snapped(0.34, 0.1), 0.3);
        assert_eq!(snapped(29_699.0, 300.0), 29_700.0);
    }
}
