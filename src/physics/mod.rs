//! Pure functions of the root zone, each with its source. No state, no files, no window.

pub mod curves;
pub mod hydraulics;
pub mod hysteresis;
pub mod light;
pub mod mixing;
pub mod moist_air;
pub mod salinity;
pub mod table;
