//! Questions asked of a bench, beside plain runs, closed forms and counterfactuals.
#![allow(clippy::unwrap_used)] // tests stop at what fails

#[path = "studies/commands.rs"]
mod commands;
#[path = "studies/finder.rs"]
mod finder;
#[path = "studies/flush.rs"]
mod flush;
#[path = "studies/grace.rs"]
mod grace;
