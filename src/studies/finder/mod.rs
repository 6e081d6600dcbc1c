//! The schedule finder: a clock schedule that meets the aims of one lane, or of several on one valve as well as one schedule can, on the day
//! that repeats itself.
//!
//! A plan is a handful of numbers: how much a day, in how many events, from when to when, and the feed's EC where that may change. Plans are
//! turned into events that timer, emitters and pump can do, and run. A coarse look goes through a grid of plans and closes in on the best of
//! them, each run for a few days from the salt that such a day would end at; the best are then run until they settle, improved there, and
//! the one that misses least is proposed with its settled figures. So nothing that is proposed is unsimulated. No chance is in it: the same
//! bench gives the same schedule.

mod hardware;
mod judged;
mod plan;
mod search;
mod words;

use serde::Serialize;

pub use self::hardware::Hardware;
pub use self::judged::{AimTold, Figure, LaneSettled};
pub use self::words::words;
use crate::engine::column::BuildError;
use crate::scenario::presets::Library;
use crate::scenario::{Clock, Event, Problem, Scenario, Targets};

/// What is asked for beside the aims that the lanes carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// No event begins before.
    pub first: Clock,
    /// No event begins after; later than `first`.
    pub last: Clock,
    /// What the equipment can do.
    pub hardware: Hardware,
    /// The feed's EC may be changed, too.
    pub feed_too: bool,
    /// Which half of the dry-back range is aimed at.
    pub lean: Lean,
}

/// Which growth is leaned to: the lower half of a lane's dry-back range, all of it, or the upper half (common practice, no source).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, clap::ValueEnum)]
#[serde(rename_all = "snake_case")]
pub enum Lean {
    /// Less dry-back.
    Vegetative,
    /// The whole range.
    #[default]
    Balanced,
    /// More dry-back.
    Generative,
}

impl Lean {
    /// A lane's aims with this lean.
    #[must_use]
    pub fn of(self, aims: &Targets) -> Targets {
        let half = |(low, high): (f64, f64)| match self {
            Self::Vegetative => (low, 0.5 * (low + high)),
            Self::Balanced => (low, high),
            Self::Generative => (0.5 * (low + high), high),
        };
        Targets { dry_back_points: aims.dry_back_points.map(half), ..*aims }
    }
}

impl Asked {
    /// Anything within the light, on equipment that can do all.
    #[must_use]
    pub fn within_the_light(scenario: &Scenario) -> Self {
        Self { first: scenario.light.on, last: scenario.light.off, hardware: Hardware::default(), feed_too: false, lean: Lean::Balanced }
    }

    /// What cannot be, each by name.
    #[must_use]
    pub fn problems(&self) -> Vec<Problem> {
        let mut problems = self.hardware.problems();
        if self.last <= self.first {
            problems.push(Problem {
                field: "--last".to_owned(),
                value: self.last.to_string(),
                allowed: format!("after {}", self.first),
                why: "between the first and the last event there must be time".to_owned(),
            });
        }
        problems
    }
}

/// What was found.
#[derive(Clone, Debug, Serialize)]
pub struct Found {
    /// The schedule proposed.
    pub events: Vec<Event>,
    /// The feed's EC with it, mS/cm.
    pub feed_ec: f64,
    /// Each lane's settled day under it.
    pub lanes: Vec<LaneSettled>,
    /// Every aim of every lane, with what it comes to.
    pub aims: Vec<AimTold>,
    /// Schedules that were run.
    pub tried: usize,
    /// Of those, run until they settled.
    pub settled: usize,
    /// Runs that stopped and count for nothing.
    pub failed: usize,
    /// The bench as it was, with this schedule in place of its own.
    #[serde(skip)]
    pub scenario: Scenario,
}

impl Found {
    /// Whether every aim is met.
    #[must_use]
    pub fn meets_all(&self) -> bool {
        self.aims.iter().all(|a| a.met)
    }
}

/// Why nothing was found.
#[derive(Clone, Debug, thiserror::Error)]
pub enum FinderError {
    /// A lane cannot be built.
    #[error(transparent)]
    Build(#[from] BuildError),
    /// What is asked for cannot be.
    #[error("{0}")]
    Asked(Problem),
    /// The plants use nothing, so that there is nothing to give.
    #[error("the plants of no lane use any water, so there is nothing to give")]
    NothingUsed,
    /// Every run stopped.
    #[error("every schedule tried stopped before its day was over")]
    AllStopped,
}

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
