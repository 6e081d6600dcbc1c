//! A change that is shown but not made.

use std::sync::Arc;

use crate::projection::Projection;
use crate::projection::change::Change;
use crate::scenario::Scenario;

/// A change that is shown but not yet made.
#[derive(Clone, Debug)]
pub(super) struct Trial {
    pub(super) name: String,
    /// The scenario with the change.
    pub(super) scenario: Arc<Scenario>,
    /// Its projection, or an older one of this trial while that is computed; `None` before the first.
    pub(super) shown: Option<Projection>,
    /// What it does.
    pub(super) change: Change,
    /// The events that it selects.
    pub(super) set: Vec<usize>,
    /// The number of the first request of this trial: answers to older ones are of another. `None` before the first.
    pub(super) first: Option<u64>,
    /// It was changed since the last frame: days after the one shown are not computed before it rests.
    pub(super) moves: bool,
}
