//! The day's figures: a run in, plain numbers and words out.

pub mod cause;
pub mod day;
pub mod lean;
pub mod verdict;
pub mod worst;
pub mod zone;

pub use day::{DayFigures, DryBack, day_figures};
pub use lean::{Lean, lean};
pub use verdict::{Verdict, verdicts};
pub use worst::{DayState, Fault, Worst, day_state};
