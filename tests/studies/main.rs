//! Questions asked of a bench, beside plain runs, closed forms and counterfactuals.
#![allow(clippy::unwrap_used)] // tests stop at what fails

#[path = "../common/benches.rs"]
mod benches;

mod choose;
mod commands;
mod finder;
mod flush;
mod grace;
mod spread;
mod tables;
