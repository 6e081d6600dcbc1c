//! Pure functions of the root zone, each with its source. No state, no files, no window.

pub mod big_leaf;
pub mod canopy;
pub mod curves;
pub mod drained;
pub mod hydraulics;
pub mod hysteresis;
pub mod light;
pub mod mixing;
pub mod moist_air;
pub mod reference_evapotranspiration;
pub mod salinity;
pub mod sun;
pub mod table;
pub mod wet_surface;
