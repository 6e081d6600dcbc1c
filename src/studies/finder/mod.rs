//! The schedule finder: a clock schedule that meets the aims of one lane, or of several on one valve as well as one schedule can, on the day
//! that repeats itself.
//!
//! A plan is a handful of numbers: how much a day, in how many events, from when to when, and the feed's EC where that may change; for a flood
//! table how deep and how long floods stand, and how much of a rinse from above goes with them (`flood.rs`). Plans are
//! turned into events that timer, emitters and pump can do, and run. The aims are those that fit each lane (`figures/aims.rs`). A coarse look goes through a grid of plans and closes in on the best of
//! them, each run for a few days from the salt that such a day would end at; the best are then run until they settle, improved there, and
//! the one that misses least is proposed with its settled figures. So nothing that is proposed is unsimulated. No chance is in it: the same
//! bench gives the same schedule.

mod answers;
mod asked;
mod budget;
mod draft;
mod flood;
mod found;
mod hardware;
mod judged;
mod laid;
mod plan;
mod search;
mod setup;
mod told;
mod waiting;
mod words;

pub use self::asked::{Asked, Lean, usual_rinse};
pub use self::budget::Budget;
pub use self::draft::{Draft, draft};
pub use self::found::{Found, Point, PointLane};
pub use self::hardware::Hardware;
pub use self::judged::{AimTold, Figure, LaneSettled, NotJudged};
pub use self::plan::laid_on;
pub use self::waiting::Waiting;
pub use self::words::{band, words};
use crate::scenario::Scenario;
use crate::scenario::presets::Library;
use crate::studies::StudyError;

/// Looks for a schedule; `None` where it was given up before one had settled.
///
/// # Errors
/// [`StudyError`].
pub fn find(
    scenario: &Scenario,
    library: &Library,
    asked: &Asked,
    budget: &Budget,
    waiting: Waiting<'_>,
) -> Result<Option<Found>, StudyError> {
    if let Some(problem) = asked.problems(scenario).into_iter().next() {
        return Err(StudyError::Asked(problem));
    }
    search::Search::new(setup::Setup::new(scenario, library, asked)?).run(budget, waiting)
}
