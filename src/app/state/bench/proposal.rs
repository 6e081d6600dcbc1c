//! A schedule that is proposed for the bench.

use crate::jobs::Job;
use crate::projection::Projection;
use crate::scenario::{Event, Scenario, Targets};
use crate::studies::finder::laid_on;

/// A schedule for one valve.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// What the step is called with which it is taken.
    pub name: String,
    /// The valve, from 0.
    pub valve: usize,
    /// Its events.
    pub events: Vec<Event>,
    /// The feed's EC with them, mS/cm.
    pub feed_ec: f64,
    /// Aims that come with it for lanes that have none, by the lane's name.
    pub aims: Vec<(String, Targets)>,
}

impl Proposal {
    /// A bench with it in place of the valve's schedule, rules and later schedules.
    #[must_use]
    pub fn on(&self, bench: &Scenario) -> Scenario {
        let mut after = laid_on(bench, self.valve, self.events.clone(), self.feed_ec);
        for lane in after.lanes.iter_mut().filter(|lane| lane.targets == Targets::default()) {
            if let Some((_, aims)) = self.aims.iter().find(|(name, _)| *name == lane.name) {
                lane.targets = *aims;
            }
        }
        after
    }
}

/// What is proposed, if anything is.
pub(super) struct Proposing {
    pub proposal: Option<Proposal>,
    pub job: Job<Projection>,
    /// The state of the bench that it was asked for last, and the number of that request.
    pub asked: Option<(u64, u64)>,
    /// Why it cannot be drawn, if so.
    pub failed: Option<String>,
}

impl Default for Proposing {
    fn default() -> Self {
        Self { proposal: None, job: Job::new("Running what is proposed"), asked: None, failed: None }
    }
}
