//! A change that is shown but not made, and the thread that computes it where that takes longer than a frame.

use std::sync::Arc;

use eframe::egui::Context;

use crate::app::state::background::Background;
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
}

/// The thread that computes what is tried.
pub(super) struct Trying {
    pub(super) thread: Background<Projection>,
    /// The number of the newest trial, and of the first of this drag: answers to older ones are of another.
    pub(super) number: u64,
    pub(super) first: u64,
    /// Who is to be told of an answer; not known before the first frame.
    pub(super) ctx: Option<Context>,
}

impl Default for Trying {
    fn default() -> Self {
        Self { thread: Background::new("trying"), number: 0, first: 0, ctx: None }
    }
}
