//! Runs: what the pump does, what is kept and taken up again, many at once, the settled day; and what must hold of every run.

// A test stops where it fails.
#![allow(clippy::unwrap_used)]

#[path = "../common/benches.rs"]
mod benches;
#[path = "../common/breaks.rs"]
mod breaks;
#[path = "../common/mod.rs"]
mod common;
#[path = "../common/scenarios.rs"]
mod scenarios;

mod batch;
mod closure;
mod every;
mod other_valves;
mod properties;
mod run_in;
mod settled;
mod taken_up;
mod timetable;
mod valves;
