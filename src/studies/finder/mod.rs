//! The schedule finder: a clock schedule that meets the aims of one lane, or of several on one valve as well as one schedule can, on the day
//! that repeats itself.
//!
//! A plan is a handful of numbers: how much a day, in how many events, from when to when, and the feed's EC where that may change. Plans are
//! turned into events that timer, emitters and pump can do, and run. A coarse look goes through a grid of plans and closes in on the best of
//! them, each run for a few days from the salt that such a day would end at; the best are then run until they settle, improved there, and
//! the one that misses least is proposed with its settled figures. So nothing that is proposed is unsimulated. No chance is in it: the same
//! bench gives the same schedule.

mod asked;
mod found;
mod hardware;
mod judged;
mod plan;
mod search;
mod words;

pub use self::asked::{Asked, Lean};
pub use self::found::{FinderError, Found};
pub use self::hardware::Hardware;
pub use self::judged::{AimTold, Figure, LaneSettled};
pub use self::words::words;
use crate::scenario::Scenario;
use crate::scenario::presets::Library;

/// Looks for a schedule. `go_on` is asked before each run: after a no the best so far is given, `None` where there is none. `progress` is
/// told a share from 0 to 1.
///
/// # Errors
/// [`FinderError`].
pub fn find(
    scenario: &Scenario,
    library: &Library,
    asked: &Asked,
    go_on: &(dyn Fn() -> bool + Sync),
    progress: &(dyn Fn(f64) + Sync),
) -> Result<Option<Found>, FinderError> {
    if let Some(problem) = asked.problems().into_iter().next() {
        return Err(FinderError::Asked(problem));
    }
    search::Search::new(scenario, library, asked)?.run(go_on, progress)
}
