//! When it is light: between lights on and lights off, or as a climate log has it.

use super::Scenario;
use super::climate::{Climate, ClimateLog, DAYLIGHT};
use super::clock::Clock;
use super::schedule::Light;

impl Scenario {
    /// When it is light on a day of the run (from 0), as stretches in s from its midnight: between lights on and off, or as a log has it.
    /// None where it stays dark.
    #[must_use]
    pub fn lit(&self, day: usize) -> Vec<(f64, f64)> {
        match &self.climate {
            Some(Climate::Log(log)) => log.lit(day),
            _ if self.light.seconds() > 0.0 => vec![(self.light.on.seconds(), self.light.off.seconds())],
            _ => Vec::new(),
        }
    }

    /// The light that a schedule is laid out by: the bench's own or, under a log, from the middle one of its mornings to the middle one of its
    /// evenings.
    #[must_use]
    pub fn usual_light(&self) -> Light {
        let Some(Climate::Log(log)) = &self.climate else { return self.light };
        let days = (0..log.days() as usize).map(|day| log.lit(day));
        let (mut on, mut off): (Vec<f64>, Vec<f64>) = days.filter_map(|lit| Some((lit.first()?.0, lit.last()?.1))).unzip();
        on.sort_by(f64::total_cmp);
        off.sort_by(f64::total_cmp);
        match (on.get(on.len() / 2), off.get(off.len() / 2)) {
            (Some(on), Some(off)) if off > on => {
                Light { on: Clock::from_hours(on / 3600.0), off: Clock::from_hours(off / 3600.0), ..self.light }
            }
            _ => self.light,
        }
    }

    /// Whether lights on, lights off and how light runs in between count for nothing: a log has its own light.
    #[must_use]
    pub fn has_logged_light(&self) -> bool {
        matches!(self.climate, Some(Climate::Log(_)))
    }
}

impl ClimateLog {
    /// When it is light on a day of the run (from 0), as stretches in s from its midnight.
    #[must_use]
    pub fn lit(&self, day: usize) -> Vec<(f64, f64)> {
        let mut lit: Vec<(f64, f64)> = Vec::new();
        for (_, from, to) in self.day_rows(day).filter(|(row, from, to)| row.shortwave() > DAYLIGHT && to > from) {
            match lit.last_mut() {
                Some(last) if last.1 >= from => last.1 = to,
                _ => lit.push((from, to)),
            }
        }
        lit
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::LogRow;
    use crate::scenario::presets::demos;

    fn log(rows: &[LogRow]) -> ClimateLog {
        ClimateLog { name: "a log".to_owned(), source: String::new(), lamp: None, rows: rows.into() }
    }

    #[test]
    fn a_log_says_when_it_is_light() {
        let at = |h: f64| h * 3600.0;
        let rows = [
            LogRow(0, 0.0, 20.0, 70.0),
            LogRow(6 * 3600, 5.1, 20.0, 70.0),
            LogRow(12 * 3600, 400.0, 20.0, 70.0),
            LogRow(13 * 3600, 5.0, 20.0, 70.0),
            LogRow(14 * 3600, 200.0, 20.0, 70.0),
            LogRow(30 * 3600, 0.0, 20.0, 70.0),
            LogRow(48 * 3600, 0.0, 20.0, 70.0),
        ];
        let mut scenario = demos().remove(0).1;
        let plain = scenario.lit(3);
        assert_eq!(plain, [(scenario.light.on.seconds(), scenario.light.off.seconds())]);
        scenario.climate = Some(Climate::Log(log(&rows)));
        assert_eq!(scenario.lit(0), [(at(6.0), at(13.0)), (at(14.0), at(24.0))]);
        assert_eq!(scenario.lit(1), [(0.0, at(6.0))]);
        assert_eq!(scenario.lit(2), []);
        assert_eq!(scenario.lit(3), scenario.lit(0));
    }

    #[test]
    fn the_usual_light_of_a_log_is_from_its_middle_morning_to_its_middle_evening() {
        let mut rows = Vec::new();
        for (day, (on, off)) in [(5, 18), (7, 20), (6, 17), (0, 0)].into_iter().enumerate() {
            let at = |hour: u32| u32::try_from(day).unwrap() * 86_400 + hour * 3600;
            rows.extend([LogRow(at(on), 100.0, 20.0, 70.0), LogRow(at(off) + 1, 0.0, 20.0, 70.0)]);
        }
        let mut scenario = demos().remove(0).1;
        assert_eq!((scenario.usual_light(), scenario.has_logged_light()), (scenario.light, false));
        scenario.climate = Some(Climate::Log(log(&rows)));
        let light = scenario.usual_light();
        assert!(scenario.has_logged_light());
        // The last day is lit for a second, from midnight on.
        assert_eq!((light.on, light.off), (Clock::hm(6, 0), Clock::from_seconds(18 * 3600 + 1)));
        scenario.climate = Some(Climate::Log(log(&[LogRow(0, 0.0, 20.0, 70.0)])));
        assert_eq!(scenario.usual_light(), scenario.light);
    }
}
