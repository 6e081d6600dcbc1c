//! Slakeline projects the root zone of a soilless crop through the day.
//!
//! The house has floors, and a lower floor never knows a higher one:
//! [`physics`] and [`units`] (pure functions) → [`scenario`] (plain data, files, presets) and [`edits`] (changes of it) → [`engine`]
//! (column, water, salt, run) → [`figures`] (the day's numbers) and [`readings`] (logs) → [`studies`] (questions asked of a bench) →
//! [`projection`] (what a bench shows) and [`sheet`] (exports) → [`cli`] and [`app`] (commands and window).

#[cfg(feature = "window")]
pub mod app;
pub mod cli;
pub mod edits;
pub mod engine;
pub mod figures;
pub mod numerics;
pub mod physics;
pub mod projection;
pub mod readings;
pub mod scenario;
pub mod sheet;
pub mod studies;
pub mod units;
