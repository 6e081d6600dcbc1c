//! Benches side by side: what differs in how they are set up, in what the pump is told, and in what comes of it.
//!
//! Lanes that have the same name are the same lane; what is left over goes by its place.

pub mod answer;
pub mod differences;
pub mod last_day;
pub mod places;
pub mod schedules;
pub mod setup;

pub use answer::{Comparison, FILES, LaneComparison, Unlike, Waiting, compare};
pub use differences::Difference;
