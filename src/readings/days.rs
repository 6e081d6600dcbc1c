//! A climate log day by day: light sum, and the air by day and by night.

use crate::scenario::DAY_S;
use crate::scenario::climate::{ClimateLog, LogRow};
use crate::units::HOUR_S;

/// Shortwave radiation above which it is day, W/m²: less is twilight or a sensor's noise.
const DAYLIGHT: f64 = 5.0;

/// The climate of one day of a log.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct DayClimate {
    /// Shortwave radiation above the canopy, MJ/m².
    pub shortwave_mj: f64,
    /// Hours of light.
    pub light_h: f64,
    /// Means while it is light; none for a day without light.
    pub by_day: Option<MeanAir>,
    /// Means while it is dark; none for a day without darkness.
    pub by_night: Option<MeanAir>,
}

/// Mean air of a part of a day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeanAir {
    /// °C.
    pub celsius: f64,
    /// Vapour pressure deficit, kPa.
    pub deficit: f64,
}

/// Each day of a log. A row holds until the next, the first one from midnight on, the last one to midnight.
///
/// ```
/// use slakeline::scenario::{ClimateLog, LogRow};
/// let rows = [LogRow(0, 0.0, 18.0, 80.0), LogRow(21_600, 500.0, 24.0, 70.0), LogRow(64_800, 0.0, 18.0, 80.0)];
/// let log = ClimateLog { name: "a day".to_owned(), source: String::new(), lamp: None, rows: rows.into() };
/// let days = slakeline::readings::day_climates(&log);
/// // 500 W/m² for twelve hours
/// assert!((days[0].shortwave_mj - 21.6).abs() < 1e-9 && days[0].light_h == 12.0);
/// assert_eq!(days[0].by_day.map(|air| air.celsius), Some(24.0));
/// ```
#[must_use]
pub fn day_climates(log: &ClimateLog) -> Vec<DayClimate> {
    let mut days = vec![Sums::default(); log.days() as usize];
    let end = f64::from(log.days()) * DAY_S;
    for (i, row) in log.rows.iter().enumerate() {
        let until = log.rows.get(i + 1).map_or(end, LogRow::time_s);
        let mut from = if i == 0 { 0.0 } else { row.time_s() };
        while from < until {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let day = (from / DAY_S) as usize;
            #[allow(clippy::cast_precision_loss)]
            let to = until.min((day + 1) as f64 * DAY_S);
            if let Some(sums) = days.get_mut(day) {
                sums.add(row, to - from);
            }
            from = to;
        }
    }
    days.iter().map(Sums::climate).collect()
}

#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    joules: f64,
    light: Part,
    dark: Part,
}

#[derive(Clone, Copy, Debug, Default)]
struct Part {
    seconds: f64,
    celsius: f64,
    deficit: f64,
}

impl Sums {
    fn add(&mut self, row: &LogRow, seconds: f64) {
        self.joules += row.shortwave() * seconds;
        let part = if row.shortwave() > DAYLIGHT { &mut self.light } else { &mut self.dark };
        part.seconds += seconds;
        part.celsius += row.air().celsius * seconds;
        part.deficit += row.air().deficit() * seconds;
    }

    fn climate(&self) -> DayClimate {
        let mean = |part: &Part| {
            (part.seconds > 0.0).then(|| MeanAir { celsius: part.celsius / part.seconds, deficit: part.deficit / part.seconds })
        };
        DayClimate {
            shortwave_mj: self.joules * 1e-6,
            light_h: self.light.seconds / HOUR_S,
            by_day: mean(&self.light),
            by_night: mean(&self.dark),
        }
    }
}
