//! Outside checks: published problems, closed forms, trade facts and another solver, all run through the program's own water
//! and salt steps. `cargo test --test outside -- --nocapture --test-threads 1` prints the table of deviations.
//!
//! Provenance of the values: **published** (author, year, table), **closed form** (derivable, formula given), **computed**
//! (independent grid-converged calculation of a published problem), **memory** (known from the literature, page not read),
//! **common practice** (trade rule, no source), **judgement** (our default).

#![allow(clippy::unwrap_used)] // helpers of tests stop at what fails, as tests do

#[path = "../common/mod.rs"]
mod common;

mod capacity;
mod channelled;
mod climate;
mod convergence;
mod demand;
mod drying;
mod flood;
mod hysteresis;
mod layered;
mod reference_solver;
mod richards;
mod rising_uptake;
mod salinity;
mod steps;
mod trade_facts;
mod transport;
mod washout;
mod weather;
