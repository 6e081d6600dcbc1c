//! Readings: what a grower has logged, read from CSV files.
//!
//! Nothing is taken in silence. What cannot be read, is out of order, out of range or missing is a [`Problem`] with its line and
//! a remedy; bad rows are left out and gaps are filled only with consent, and what was done then is told.

pub mod climate;
mod clock_change;
mod columns;
mod days;
mod findings;
mod gaps;
mod lines;
mod order;
mod stamp;
pub mod taking;
mod values;

pub use climate::{Options, Reading, read_climate, read_climate_file};
pub use days::{DayClimate, MeanAir, day_climates};
pub use findings::{Asks, Consent, Kind, Problem};

use crate::units::{WHOLE_DAY_S, WHOLE_HOUR_S};

/// Largest file that is read, bytes.
pub const MAX_BYTES: u64 = 20_000_000;
/// Most rows that are read.
pub const MAX_ROWS: usize = 200_000;

/// A row that could be read.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Row {
    /// Its line in the file, from 1; 0 for a row that was filled in.
    line: u64,
    /// When it begins, s since a midnight.
    time: i64,
    /// Shortwave radiation, W/m², air temperature, °C, and relative humidity, percent.
    values: [f64; 3],
}

/// A length of time in words.
fn length(seconds: i64) -> String {
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
