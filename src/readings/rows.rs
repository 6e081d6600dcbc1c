//! The rows of a log, and how far apart they stand.

use crate::units::{WHOLE_DAY_S, WHOLE_HOUR_S};

/// Largest file that is read, bytes.
pub const MAX_BYTES: u64 = 20_000_000;
/// Most rows that are read.
pub const MAX_ROWS: usize = 200_000;

/// A row that could be read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Row {
    /// Its line in the file, from 1; 0 for a row that was filled in.
    pub(super) line: u64,
    /// When it begins, s since a midnight.
    pub(super) time: i64,
    /// Shortwave radiation, W/m², air temperature, °C, and relative humidity, percent.
    pub(super) values: [f64; 3],
}

/// A length of time in words.
pub(super) fn length(seconds: i64) -> String {
    const HOUR: i64 = WHOLE_HOUR_S as i64;
    const DAY: i64 = WHOLE_DAY_S as i64;
    let of = |n: i64, unit: &str| format!("{n} {unit}");
    match seconds {
        s if s < 60 => of(s, "s"),
        s if s < HOUR && s % 60 == 0 => of(s / 60, "min"),
        s if s < HOUR => format!("{} min {} s", s / 60, s % 60),
        s if s < DAY && s % HOUR < 60 => of(s / HOUR, "h"),
        s if s < DAY => format!("{} h {} min", s / HOUR, s % HOUR / 60),
        s if s < 2 * DAY => format!("1 day {} h", s % DAY / HOUR),
        s => of(s / DAY, "days"),
    }
}

/// The median of the steps forward, s.
pub(super) fn usual_step(rows: &[Row]) -> Option<i64> {
    let mut steps: Vec<i64> = rows.windows(2).map(|pair| pair[1].time - pair[0].time).filter(|&s| s > 0).collect();
    steps.sort_unstable();
    steps.get(steps.len() / 2).copied()
}

/// Midnight before a time.
pub(super) fn midnight(time: i64) -> i64 {
    time.div_euclid(i64::from(WHOLE_DAY_S)) * i64::from(WHOLE_DAY_S)
}
