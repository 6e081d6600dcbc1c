//! The window, driven without a display.
#![allow(clippy::unwrap_used)] // tests stop at what fails

mod hand;

mod climate;
mod climate_bench;
mod climate_window;
mod days;
mod events;
mod pages;
mod presets;
mod schedule;
mod setup;
mod start;
mod start_crop;
mod tracks;
