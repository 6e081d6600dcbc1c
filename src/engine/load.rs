//! What is asked of the root zone: transpiration and evaporation over time.

use std::sync::Arc;

use super::climate_load::{LoggedLoad, Stand, TypicalLoad};
use crate::scenario::{Climate, Crop, DAY_S, Demand, Light, LightShape, Scenario};

/// Demand on one plant's root zone. Times are seconds since the first midnight; `to` is after `from`.
pub trait Load: Send + Sync {
    /// Potential transpiration between two times, mL per plant.
    fn transpiration_ml(&self, from_s: f64, to_s: f64) -> f64;
    /// Potential evaporation from a free wet surface between two times, cm.
    fn evaporation_cm(&self, from_s: f64, to_s: f64) -> f64;
    /// The next instant after `t_s` at which the demand bends sharply, if any: steps land on it.
    fn next_bend(&self, t_s: f64) -> Option<f64>;
}

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

/// The load on a lane of a crop: measured, or what the scenario's climate makes of the crop's canopy. A demand that needs a climate or
/// a canopy that is not there asks for nothing; validation refuses it before.
#[must_use]
pub fn of(demand: &Demand, crop: &Crop, scenario: &Scenario) -> Arc<dyn Load> {
    let (light, evaporation) = (scenario.light, scenario.evaporation_mm_per_day / 10.0);
    let measured = |litres: f64, steady_share| {
        Arc::new(MeasuredLoad { ml_per_day: litres * 1000.0, steady_share, evaporation_cm_per_day: evaporation, light })
    };
    match *demand {
        Demand::Measured { litres_per_day, steady_share } => measured(litres_per_day, steady_share),
        Demand::Climate { leaf_area_index, plants_per_m2, scale } => match (&crop.canopy, &scenario.climate) {
            (Some(canopy), Some(climate)) => {
                let stand = Stand::new(canopy, leaf_area_index, plants_per_m2, scale);
                match climate {
                    Climate::Typical(day) => Arc::new(TypicalLoad::new(&stand, day, light, evaporation)),
                    Climate::Log(log) => Arc::new(LoggedLoad::new(&stand, log, evaporation)),
                }
            }
            _ => measured(0.0, 0.0),
        },
    }
}

/// Length of the ramp of lamps, s.
const RAMP_S: f64 = 900.0;

impl MeasuredLoad {
    /// Share of the day's demand that has fallen by a time, counted from the first midnight: 1 per whole day.
    fn cumulative(&self, t_s: f64) -> f64 {
        let day = (t_s / DAY_S).floor();
        let within = t_s - day * DAY_S;
        let lit = light_so_far(&self.light, within);
        day + self.steady_share * within / DAY_S + (1.0 - self.steady_share) * lit
    }
}

/// Share of the day's light that has fallen by a time of day in seconds, 0–1.
#[must_use]
pub fn light_so_far(light: &Light, t_s: f64) -> f64 {
    let (on, off) = (light.on.seconds(), light.off.seconds());
    let length = off - on;
    if length <= 0.0 {
        return 0.0;
    }
    let x = (t_s - on).clamp(0.0, length);
    match light.shape {
        LightShape::Sun => 0.5 * (1.0 - (std::f64::consts::PI * x / length).cos()),
        LightShape::Lamps => {
            let ramp = RAMP_S.min(0.5 * length);
            let level = 1.0 / (length - ramp);
            let up = |x: f64| 0.5 * level * x * x / ramp;
            if x < ramp {
                up(x)
            } else if x > length - ramp {
                1.0 - up(length - x)
            } else {
                up(ramp) + level * (x - ramp)
            }
        }
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

/// The next time after `t_s` at which a light begins, ends, or its lamps are fully on.
pub(super) fn next_bend(light: &Light, t_s: f64) -> Option<f64> {
    let (on, off) = (light.on.seconds(), light.off.seconds());
    let ramp = RAMP_S.min(0.5 * (off - on));
    let bends = match light.shape {
        LightShape::Sun => [on, off, on, off],
        LightShape::Lamps => [on, on + ramp, off - ramp, off],
    };
    let day = (t_s / DAY_S).floor();
    let next = |day: f64| bends.iter().map(|b| day * DAY_S + b).filter(|&b| b > t_s + 1e-6).fold(f64::INFINITY, f64::min);
    let found = next(day);
    Some(if found.is_finite() { found } else { next(day + 1.0) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::Clock;

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
