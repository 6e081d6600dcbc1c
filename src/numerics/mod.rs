//! Mathematics that knows nothing of root zones: sampling designs, quantiles, least squares.

pub mod additive;
pub mod normal;
pub mod quantile;
pub mod sampling;
