//! How much light a day of the run has, as far as the scenario knows it.

use super::bench::Scenario;
use super::climate::{Climate, ClimateLog, LightLevel, LogRow};
use super::clock::DAY_S;
use crate::units::HOUR_S;

/// The light of one day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DayLight {
    /// Shortwave radiation above the canopy, MJ/m²: under the sun.
    Shortwave(f64),
    /// Daily light integral, mol/m²: under lamps.
    Photons(f64),
    /// Hours of light: without a climate nothing more is known.
    Hours(f64),
}

impl Scenario {
    /// The light of a day of the run (from 0). A log that has run out begins anew.
    #[must_use]
    pub fn day_light(&self, day: usize) -> DayLight {
        match &self.climate {
            None => DayLight::Hours(self.light.seconds() / HOUR_S),
            Some(Climate::Log(log)) => match log.lamp {
                // J/m² of a day stand to µmol/m² as W/m² to µmol/m²/s; so do MJ to mol.
                Some(lamp) => DayLight::Photons(lamp.source().ppfd(log.day_shortwave_mj(day))),
                None => DayLight::Shortwave(log.day_shortwave_mj(day)),
            },
            Some(Climate::Typical(typical)) => match typical.level {
                LightLevel::Sun { .. } => DayLight::Shortwave(typical.shortwave_mj(&self.light)),
                LightLevel::Lamps { .. } => DayLight::Photons(typical.daily_light_integral(&self.light)),
            },
        }
    }
}

impl ClimateLog {
    /// The rows that hold on a day of the run (from 0), with when they begin and end to hold, s from its midnight. A row holds until the
    /// next, the first one from midnight on. Only that day's rows are gone through: a log may have two hundred thousand.
    pub(super) fn day_rows(&self, day: usize) -> impl Iterator<Item = (&LogRow, f64, f64)> {
        #[allow(clippy::cast_precision_loss)]
        let from = (day % self.days() as usize) as f64 * DAY_S;
        let to = from + DAY_S;
        let first = self.rows.partition_point(|row| row.time_s() <= from).saturating_sub(1);
        let rows = self.rows.iter().enumerate().skip(first).take_while(move |(i, row)| *i == 0 || row.time_s() < to);
        rows.map(move |(i, row)| {
            let begins = if i == 0 { from } else { row.time_s().max(from) };
            let ends = self.rows.get(i + 1).map_or(to, LogRow::time_s).min(to).max(begins);
            (row, begins - from, ends - from)
        })
    }

    /// Shortwave radiation of a day of the run (from 0), MJ/m².
    #[must_use]
    pub fn day_shortwave_mj(&self, day: usize) -> f64 {
        self.day_rows(day).map(|(row, begins, ends)| row.shortwave() * (ends - begins)).sum::<f64>() * 1e-6
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::presets::demos;
    use crate::scenario::{Air, Lamp, TypicalDay};

    fn log(rows: &[LogRow]) -> ClimateLog {
        ClimateLog { name: "a log".to_owned(), source: String::new(), lamp: None, rows: rows.into() }
    }

    #[test]
    fn rows_count_for_the_day_that_they_fall_on_and_the_log_begins_anew() {
        // From six in the evening to six in the morning the light burns over midnight.
        let log = log(&[LogRow(3600, 100.0, 20.0, 70.0), LogRow(64_800, 200.0, 20.0, 70.0), LogRow(108_000, 0.0, 20.0, 70.0)]);
        let hours = |h: f64| h * 3600.0 * 1e-6;
        let days = [100.0 * hours(18.0) + 200.0 * hours(6.0), 200.0 * hours(6.0)];
        for (day, mj) in [(0, days[0]), (1, days[1]), (2, days[0]), (7, days[1])] {
            assert!((log.day_shortwave_mj(day) - mj).abs() < 1e-9, "day {day}: {} is not {mj}", log.day_shortwave_mj(day));
        }
    }

    #[test]
    fn a_day_without_a_row_of_its_own_is_as_the_row_before() {
        let log = log(&[LogRow(0, 50.0, 20.0, 70.0), LogRow(2 * 86_400, 0.0, 20.0, 70.0)]);
        assert!((log.day_shortwave_mj(1) - 4.32).abs() < 1e-9);
        assert_eq!(log.day_shortwave_mj(2), 0.0);
    }

    #[test]
    fn lamps_are_told_in_photons_the_sun_in_energy_and_no_climate_in_hours() {
        let mut scenario = demos().remove(0).1;
        scenario.climate = None;
        assert_eq!(scenario.day_light(1), DayLight::Hours(14.0));
        let air = Air { celsius: 22.0, humidity_percent: 70.0 };
        let typical =
            |level| Some(Climate::Typical(TypicalDay { name: String::new(), source: String::new(), level, by_day: air, by_night: air }));
        scenario.climate = typical(LightLevel::Sun { mj_per_m2: 12.0 });
        assert_eq!(scenario.day_light(0), DayLight::Shortwave(12.0));
        scenario.climate = typical(LightLevel::Lamps { ppfd: 200.0, lamp: Lamp::Led });
        let DayLight::Photons(mol) = scenario.day_light(0) else { panic!("lamps give photons") };
        assert!((mol - 200.0 * 14.0 * 0.0036).abs() < 1e-9);
        // A log of the same lamps, burning as long, tells the same.
        for lamp in [Lamp::Led, Lamp::Sodium] {
            #[allow(clippy::cast_possible_truncation)]
            let watts = lamp.source().shortwave(200.0) as f32;
            let rows = [LogRow(0, 0.0, 22.0, 70.0), LogRow(6 * 3600, watts, 22.0, 70.0), LogRow(20 * 3600, 0.0, 22.0, 70.0)];
            scenario.climate = Some(Climate::Log(ClimateLog { lamp: Some(lamp), ..log(&rows) }));
            let DayLight::Photons(logged) = scenario.day_light(3) else { panic!("lamps give photons") };
            assert!((logged - mol).abs() < 1e-5, "{lamp:?}: {logged} is not {mol}");
        }
        scenario.climate = Some(Climate::Log(log(&[LogRow(0, 100.0, 22.0, 70.0)])));
        assert!(matches!(scenario.day_light(0), DayLight::Shortwave(_)), "a log of the sun");
    }
}
