//! The day's figures: a run in, plain numbers and words out.
//!
//! `day_figures` takes a lane's day from its run; it looks at the next morning up to its first event, which ends the night's dry-back. The
//! rest only reads figures: how far they are from the aims (`miss.rs`), what that is called (`verdict.rs`; where no aim is set, by
//! `marks.rs`), what a day is worth in a few words (`day_state.rs`), whether it leans vegetative or generative (`lean.rs`), and why it came so
//! (`cause/`, by the books of the run); and which of them no root zone could have (`belief.rs`). A new figure is measured in `day.rs` and defined in the help's chapter on the window.

pub mod aims;
pub mod belief;
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
