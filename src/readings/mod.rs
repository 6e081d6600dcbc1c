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
mod options;
mod order;
mod rows;
mod stamp;
pub mod taking;
mod values;

pub use climate::{Reading, read_climate, read_climate_file};
pub use days::{DayClimate, MeanAir, day_climates};
pub use findings::{Asks, Consent, Kind, Problem};
pub use options::Options;
pub use rows::{MAX_BYTES, MAX_ROWS};
pub use stamp::{parse_zone, zone as zone_text};
