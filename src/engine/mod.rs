//! The root zone in motion: a column of layers, the water and salt steps, the clock, and whole runs.

pub mod boundary;
pub mod capacity;
pub mod channel;
pub mod climate_load;
pub mod clock;
pub mod column;
pub mod feedback;
pub mod hydro;
pub mod ledger;
pub mod light_clock;
pub mod load;
pub mod run;
pub mod running_sum;
pub mod salt;
pub mod salt_uptake;
pub mod series;
pub mod settled;
pub mod simulation;
pub mod start;
pub mod state;
pub mod stress;
pub mod sums;
pub mod tank;
pub mod timetable;
pub mod tridiagonal;
pub mod water;
