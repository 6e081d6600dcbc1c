//! The window, driven without a display.
#![allow(clippy::unwrap_used)] // tests stop at what fails

#[path = "../common/breaks.rs"]
mod breaks;
mod hand;
#[path = "../common/painted.rs"]
mod painted;

mod aims;
mod around;
mod called;
mod climate;
mod climate_bench;
mod climate_window;
mod compare;
mod days;
mod elsewhere;
mod events;
mod exactness;
mod help;
mod largest;
mod layout;
mod left_work;
mod names;
mod own_medium;
mod pages;
mod presets;
mod run_in;
mod schedule;
mod settled;
mod setup;
mod start;
mod start_crop;
mod studies;
mod studies_shown;
mod tracks;
mod typing;
mod valves;
