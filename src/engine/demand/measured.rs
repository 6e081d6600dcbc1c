//! A daily use as measured, spread over the day by its light.

use super::light_curve::{light_so_far, next_bend};
use super::load::Load;
use crate::scenario::{DAY_S, Light};

/// A measured daily use, the same every day, shaped by the day's light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredLoad {
    /// mL per plant and day.
    pub ml_per_day: f64,
    /// Share that falls evenly over 24 hours.
    pub steady_share: f64,
    /// cm per day from a free wet surface.
    pub evaporation_cm_per_day: f64,
    /// The light.
    pub light: Light,
}

impl MeasuredLoad {
    /// Share of the day's demand that has fallen by a time, counted from the first midnight: 1 per whole day.
    fn cumulative(&self, t_s: f64) -> f64 {
        let day = (t_s / DAY_S).floor();
        let within = t_s - day * DAY_S;
        let lit = light_so_far(&self.light, within);
        day + self.steady_share * within / DAY_S + (1.0 - self.steady_share) * lit
    }
}

impl Load for MeasuredLoad {
    fn transpiration_ml(&self, from_s: f64, to_s: f64) -> f64 {
        (self.ml_per_day * (self.cumulative(to_s) - self.cumulative(from_s))).max(0.0)
    }

    fn evaporation_cm(&self, from_s: f64, to_s: f64) -> f64 {
        (self.evaporation_cm_per_day * (self.cumulative(to_s) - self.cumulative(from_s))).max(0.0)
    }

    fn next_bend(&self, t_s: f64) -> Option<f64> {
        next_bend(&self.light, t_s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::{Clock, LightShape};

    #[test]
    fn a_day_sums_to_its_litres_whatever_the_light() {
        for shape in [LightShape::Sun, LightShape::Lamps] {
            let light = Light { on: Clock::hm(6, 0), off: Clock::hm(20, 0), shape };
            let load = MeasuredLoad { ml_per_day: 1600.0, steady_share: 0.1, evaporation_cm_per_day: 0.2, light };
            assert!((load.transpiration_ml(0.0, DAY_S) - 1600.0).abs() < 1e-9);
            assert!((load.transpiration_ml(DAY_S * 0.7, DAY_S * 2.7) - 3200.0).abs() < 1e-9);
            assert!((load.transpiration_ml(0.0, 6.0 * 3600.0) - 40.0).abs() < 1e-9);
            assert!((load.evaporation_cm(0.0, DAY_S) - 0.2).abs() < 1e-12);
        }
    }

    #[test]
    fn bends_follow_one_another() {
        let light = Light { on: Clock::hm(6, 0), off: Clock::hm(18, 0), shape: LightShape::Lamps };
        let load = MeasuredLoad { ml_per_day: 1.0, steady_share: 0.0, evaporation_cm_per_day: 0.0, light };
        let mut t = 0.0;
        let mut hours = Vec::new();
        for _ in 0..5 {
            t = load.next_bend(t).unwrap();
            hours.push(t / 3600.0);
        }
        assert_eq!(hours, [6.0, 6.25, 17.75, 18.0, 30.0]);
    }
}
