//! Questions asked of a bench, beside plain runs, closed forms and counterfactuals.
#![allow(clippy::unwrap_used)] // tests stop at what fails

#[path = "../common/benches.rs"]
mod benches;

mod choose;
mod commands;
mod compare_claims;
mod drafts;
mod finder;
mod finder_claims;
mod flood_claims;
mod flood_tables;
mod flush;
mod grace;
mod own_medium;
mod spread;
mod tables;
