//! A lane at its first midnight, as the days that it was run in by leave it.

use super::ledger::Closure;
use super::simulation::RunError;
use super::simulation::checkpoint::Checkpoint;

/// A lane as its run-in leaves it.
#[derive(Debug)]
pub struct RunIn {
    /// The lane at its first midnight: nothing has passed by then.
    pub(super) dawn: Checkpoint,
    /// Why the run-in stopped before its end, if it did; its time is before the first midnight. The lane stands where it stopped then.
    pub(super) stopped: Option<RunError>,
    /// How its books close at their worst, at every midnight.
    pub(super) closure: Closure,
}
