//! What is told of a bench is so: how exact it is, what is out of reach, what holds a plant back, what a day's drain and salt did.

// A test stops where it fails.
#![allow(clippy::unwrap_used)]

#[path = "../common/apart.rs"]
mod apart;
#[path = "../common/benches.rs"]
mod benches;
#[path = "../common/breaks.rs"]
mod breaks;
#[path = "../common/scenarios.rs"]
mod scenarios;
#[path = "../common/stressed.rs"]
mod stressed;

mod accuracy;
mod aims;
mod causes;
mod day_words;
mod exactness;
mod first_demo;
mod probe_mark;
mod unclosed;
