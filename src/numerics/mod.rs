//! Mathematics that knows nothing of root zones.

pub mod fixed_point;
