//! A daily use as measured, spread over the day by its light.

use super::light_curve::{light_so_far, next_bend};
use super::load::{Load, Potential, Uses};
use super::running_sum::RunningSum;
use crate::scenario::{ClimateLog, DAY_S, Light, LogRow};

/// A measured daily use, the same every day, shaped by the day's light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredLoad {
    /// mL per plant and day.
    pub ml_per_day: f64,
    /// Share that falls evenly over 24 hours.
    pub steady_share: f64,
    /// cm per day from a free wet surface, where no climate says so.
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

impl Uses for MeasuredLoad {
    fn ml(&self, from_s: f64, to_s: f64) -> f64 {
        (self.ml_per_day * (self.cumulative(to_s) - self.cumulative(from_s))).max(0.0)
    }

    fn bend(&self, t_s: f64) -> Option<f64> {
        next_bend(&self.light, t_s)
    }
}

/// Without a climate: what evaporates follows the plants' use.
impl Load for MeasuredLoad {
    fn transpiration_ml(&self, from_s: f64, to_s: f64) -> f64 {
        self.ml(from_s, to_s)
    }

    fn evaporation_cm(&self, from_s: f64, to_s: f64) -> Potential {
        Potential::even((self.evaporation_cm_per_day * (self.cumulative(to_s) - self.cumulative(from_s))).max(0.0))
    }

    fn next_bend(&self, t_s: f64) -> Option<f64> {
        self.bend(t_s)
    }
}

/// A measured daily use, the same every day, shaped by the light that a log has on that day.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredUnderLog {
    /// mL per plant and day.
    pub ml_per_day: f64,
    /// Share that falls evenly over 24 hours.
    pub steady_share: f64,
    /// Light up to a time.
    light: RunningSum,
}

impl MeasuredUnderLog {
    /// A daily use under a log.
    #[must_use]
    pub fn new(ml_per_day: f64, steady_share: f64, log: &ClimateLog) -> Self {
        Self { ml_per_day, steady_share, light: RunningSum::of(log, LogRow::shortwave) }
    }

    /// Share of the day's demand that has fallen by a time, counted from the first midnight: 1 per whole day, a dark day evenly.
    fn cumulative(&self, t_s: f64) -> f64 {
        let day = (t_s / DAY_S).floor();
        let within = t_s / DAY_S - day;
        let [dawn, now, dusk] = [day * DAY_S, t_s, (day + 1.0) * DAY_S].map(|at| self.light.up_to(at));
        let lit = if dusk > dawn { ((now - dawn) / (dusk - dawn)).clamp(0.0, 1.0) } else { within };
        day + self.steady_share * within + (1.0 - self.steady_share) * lit
    }
}

impl Uses for MeasuredUnderLog {
    fn ml(&self, from_s: f64, to_s: f64) -> f64 {
        (self.ml_per_day * (self.cumulative(to_s) - self.cumulative(from_s))).max(0.0)
    }

    /// None: a step takes the mean of the rows it covers.
    fn bend(&self, _: f64) -> Option<f64> {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::{Clock, LightShape};

    #[test]
    fn under_a_log_a_day_sums_to_its_litres_and_falls_with_the_days_own_light() {
        let row = |hour: u32, light: f32| LogRow(hour * 3600, light, 20.0, 70.0);
        let rows = [row(0, 0.0), row(6, 100.0), row(8, 300.0), row(10, 0.0), row(24 + 15, 50.0), row(24 + 16, 0.0), row(48, 0.0)];
        let log = ClimateLog { name: "a log".to_owned(), source: String::new(), lamp: None, rows: rows.into() };
        let load = MeasuredUnderLog::new(1000.0, 0.1, &log);
        let used = |from: f64, to: f64| load.ml(from * 3600.0, to * 3600.0);
        for day in [0.0, 24.0, 48.0, 72.0] {
            assert!((used(day, day + 24.0) - 1000.0).abs() < 1e-9);
        }
        // A tenth evenly, the rest with the light: 200 and 600 of 800 Wh/m².
        assert!((used(6.0, 8.0) - (100.0 / 12.0 + 225.0)).abs() < 1e-9 && (used(8.0, 10.0) - (100.0 / 12.0 + 675.0)).abs() < 1e-9);
        assert!((used(39.0, 40.0) - (100.0 / 24.0 + 900.0)).abs() < 1e-9, "the second day has its light in one hour");
        assert!((used(60.0, 61.0) - 1000.0 / 24.0).abs() < 1e-9, "a dark day is even");
        assert!((used(78.0, 80.0) - used(6.0, 8.0)).abs() < 1e-9, "the log begins anew");
    }

    #[test]
    fn a_day_sums_to_its_litres_whatever_the_light() {
        for shape in [LightShape::Sun, LightShape::Lamps] {
            let light = Light { on: Clock::hm(6, 0), off: Clock::hm(20, 0), shape };
            let load = MeasuredLoad { ml_per_day: 1600.0, steady_share: 0.1, evaporation_cm_per_day: 0.2, light };
            assert!((load.transpiration_ml(0.0, DAY_S) - 1600.0).abs() < 1e-9);
            assert!((load.transpiration_ml(DAY_S * 0.7, DAY_S * 2.7) - 3200.0).abs() < 1e-9);
            assert!((load.transpiration_ml(0.0, 6.0 * 3600.0) - 40.0).abs() < 1e-9);
            let dries = load.evaporation_cm(0.0, DAY_S);
            assert!((dries.top - 0.2).abs() < 1e-12 && dries.wall == dries.top);
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
