//! What is read and written: scenarios, presets, logs, and numbers by name; and what is refused, with place and reason.

// A test stops where it fails.
#![allow(clippy::unwrap_used)]

mod climate_logs;
mod format_1;
mod own_presets;
mod parameters;
mod presets;
mod refused;
mod saving;
