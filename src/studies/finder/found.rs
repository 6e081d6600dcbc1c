//! What the finder answers.

use serde::Serialize;

use super::judged::{AimTold, LaneSettled};
use crate::engine::column::BuildError;
use crate::scenario::{Event, Problem, Scenario};

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
    /// The bench has rules or later schedules, which the proposal does without.
    pub leaves_out_rules: bool,
    /// The bench as it was, with this schedule in place of its own.
    #[serde(skip)]
    pub scenario: Scenario,
}

impl Found {
    /// Whether every aim is met, on days that repeat themselves.
    #[must_use]
    pub fn meets_all(&self) -> bool {
        self.aims.iter().all(|a| a.met) && self.lanes.iter().all(LaneSettled::repeats)
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
