//! The day's figures: a run in, plain numbers and words out.

pub mod aims;
pub mod cause;
pub mod day;
pub mod day_state;
pub mod drain;
pub mod lean;
pub mod marks;
pub mod measured;
pub mod miss;
pub mod verdict;
pub mod zone;

pub use aims::{Aim, Aims};
pub use day::{DayFigures, DryBack, day_figures};
pub use day_state::{DayState, Fault, FurthestOff, day_state};
pub use lean::{Lean, lean};
pub use measured::Measured;
pub use miss::{Misses, misses, misses_against};
pub use verdict::{Verdict, verdicts};
