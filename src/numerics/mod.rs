//! Mathematics that knows nothing of root zones: iterations, sampling designs, quantiles, shares of a variance.

pub mod additive;
pub mod fixed_point;
pub mod normal;
pub mod quantile;
pub mod sampling;
