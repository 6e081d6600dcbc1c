//! What is known of the settled day, which is found by a job: the window never waits for it.

use std::sync::Arc;

use crate::engine::run::Workshop;
use crate::jobs::{Job, Told, Underway, Wake};
use crate::projection::Projection;
use crate::projection::settled::settle;
use crate::scenario::Scenario;
use crate::scenario::presets::Library;

/// What is known of the settled day. Editions number the states of the bench.
pub struct Settling {
    job: Job<Projection>,
    /// The edition that it was asked for last, and the number of that request.
    asked: Option<(u64, u64)>,
    found: Option<(u64, Projection)>,
    /// Why it will not be found, if so.
    failed: Option<String>,
}

impl Default for Settling {
    fn default() -> Self {
        Self { job: Job::new("Finding the settled day"), asked: None, found: None, failed: None }
    }
}

impl Settling {
    /// The settled day of an edition, once it is found.
    #[must_use]
    pub fn found(&self, edition: u64) -> Option<&Projection> {
        self.found.as_ref().filter(|f| f.0 == edition).map(|f| &f.1)
    }

    /// Why it will never be found, if so.
    #[must_use]
    pub fn failed(&self) -> Option<&str> {
        self.failed.as_deref()
    }

    /// Whether an edition was asked for already.
    #[must_use]
    pub fn was_asked(&self, edition: u64) -> bool {
        self.asked.is_some_and(|(of, _)| of == edition)
    }

    /// Asks for the settled day of an edition; the workshop has the columns that are made already.
    pub fn ask(&mut self, wake: &Wake, edition: u64, scenario: Arc<Scenario>, library: Arc<Library>, mut workshop: Workshop) {
        let work = self.job.ask(wake, move |work| {
            let bench = workshop.ready(&scenario, &library).ok()?;
            settle(scenario, &bench, &|| work.wanted(), &|share, words| work.at(share, words))
        });
        self.failed = work.as_ref().err().map(|broken| broken.why.clone());
        self.asked = Some((edition, work.unwrap_or(0)));
    }

    /// Takes what was found since, if it is of this edition, and gives back what it replaces.
    pub fn take(&mut self, edition: u64) -> Option<Option<Projection>> {
        let mut replaced = None;
        while let Some((number, told)) = self.job.take() {
            if self.asked != Some((edition, number)) {
                continue;
            }
            match told {
                Told::Done(found) => replaced = Some(self.found.replace((edition, found)).map(|f| f.1)),
                Told::Broken(broken) => self.failed = Some(broken.to_string()),
                Told::SoFar(_) | Told::Nothing => {}
            }
        }
        replaced
    }

    /// How far it is; `None` where it is not being found.
    #[must_use]
    pub fn underway(&self) -> Option<Underway> {
        self.job.underway()
    }

    /// Gives it up while it is being found; it can be asked for again.
    pub fn cancel(&mut self) {
        if self.job.cancel() {
            self.asked = None;
        }
    }

    /// Forgets what was found: it was of another bench.
    pub fn forget(&mut self) {
        self.found = None;
    }
}
