//! Measures that all tracks share, points.

/// Room left of the plots for the marks of the upright axes.
pub const GUTTER: f32 = 40.0;
/// Room right of the plots.
pub const MARGIN: f32 = 16.0;
/// Height of the clock axis.
pub const CLOCK: f32 = 18.0;
/// Height of a track's title.
pub const TITLE: f32 = 22.0;
/// Least height of a track's plot.
pub const LEAST: f32 = 62.0;
