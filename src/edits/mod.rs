//! Changes of a scenario that need no window: the document with undo, and every edit of events, lanes and schedules.
//!
//! An edit is pure: a scenario or a schedule in, another one and its name out. [`document::Document`] is the one list that undo,
//! redo and the log of changes go by.

pub mod called;
pub mod climate_use;
pub mod document;
pub mod drained;
pub mod event_set;
pub mod event_text;
pub mod fit;
pub mod held;
pub mod lanes;
pub mod lengths;
pub mod naming;
pub mod new_bench;
pub mod own_preset;
pub mod plan_edit;
pub mod preset_use;
pub mod refused;
pub mod resize;
pub mod schedule_edit;
pub mod steps;
pub mod valves;

pub use refused::Refused;
