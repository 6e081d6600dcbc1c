//! Readings: what a grower has logged, read from CSV files.
//!
//! Nothing is taken in silence. What cannot be read, is out of order, out of range or missing is a [`Problem`] with its line and
//! a remedy; bad rows are left out and gaps are filled only with consent, and what was done then is told.
//!
//! In the order of the work:
//! 1. `lines.rs` looks at the first 4 KB (empty, UTF-16, a workbook, no text), then goes line by line, so that neither a large file is held
//!    whole nor a stray quotation mark swallows what follows.
//! 2. `columns.rs` finds columns by name; `stamp.rs` reads times and holds all to the way of the first; `values.rs` reads numbers, judges
//!    ranges and guesses the unit that a value betrays.
//! 3. `order.rs` leaves the fewest rows out that bring the rest into order (the longest rising run). `clock_change.rs` sees the hour that
//!    stands twice when summer time ends, and the one that is missing when it begins.
//! 4. `gaps.rs` takes the median step. More than one and a half steps is a gap, at the ends of the log as well. A row at the last midnight
//!    closes its day.
//! 5. `climate.rs` doubts what no single row betrays. `days.rs` sums a log day by day, `taking.rs` gives it to a scenario or says why not.
//!
//! What was done to a log is kept in its `source`, so that a file tells it, too. A problem counts what it stands for (`more`) and says what it
//! `asks` for; twenty are listed of a kind and consent, so that each consent's count is exact. A new sort of reading adds its own columns and
//! values; lines, stamps, order and findings serve it as they are.

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
