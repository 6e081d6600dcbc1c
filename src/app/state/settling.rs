//! What is known of the settled day, which is found by a job: the window never waits for it. Where it is not on show it is found aside, for no
//! longer than a while.

use std::sync::Arc;

use super::patience::{LONGEST, Pace, Patience, Shared};
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
    /// How urgently that is wanted.
    pace: Shared,
    found: Option<(u64, Projection)>,
    /// The edition that it was given up for, and why.
    given_up: Option<(u64, Why)>,
    /// Why it will not be found, if so.
    failed: Option<String>,
}

/// Why it was given up. It is found all the same when it is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Who waited for it did not want to any longer.
    Cancelled,
    /// It took too long for what nobody waited for.
    TookLong,
}

impl Default for Settling {
    fn default() -> Self {
        let job = Job::new("Finding the settled day");
        Self { job, asked: None, pace: Shared::default(), found: None, given_up: None, failed: None }
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

    /// Why it was given up for an edition, if so.
    #[must_use]
    pub fn given_up(&self, edition: u64) -> Option<Why> {
        self.given_up.filter(|(of, _)| *of == edition).map(|(_, why)| why)
    }

    /// Sets the pace of what is under way.
    pub fn go_at(&mut self, pace: Pace) {
        self.pace.set(pace);
    }

    /// Whether an edition is to be asked for: it was not yet, or was given up and somebody waits for it now.
    #[must_use]
    pub fn is_to_ask(&self, edition: u64, pace: Pace) -> bool {
        match self.given_up(edition) {
            Some(_) => pace == Pace::Asked,
            None => self.asked.is_none_or(|(of, _)| of != edition),
        }
    }

    /// Asks for the settled day of an edition; the workshop has the columns that are made already.
    pub fn ask(&mut self, wake: &Wake, edition: u64, scenario: Arc<Scenario>, library: Arc<Library>, mut workshop: Workshop, pace: Pace) {
        self.pace = Shared::new(pace);
        let pace = self.pace.clone();
        let work = self.job.ask(wake, move |work| {
            let patience = Patience::begin(pace, LONGEST, || work.wanted())?;
            let bench = workshop.ready(&scenario, &library).ok()?;
            settle(scenario, &bench, &|| patience.goes_on(|| work.wanted()), &|share, words| work.at(share, words))
        });
        self.failed = work.as_ref().err().map(|broken| broken.why.clone());
        self.given_up = None;
        self.asked = Some((edition, work.unwrap_or(0)));
    }

    /// Takes what was found since, if it is of this edition, and gives back what it replaces, with its edition.
    pub fn take(&mut self, edition: u64) -> Option<Option<(u64, Projection)>> {
        let mut replaced = None;
        while let Some((number, told)) = self.job.take() {
            if self.asked != Some((edition, number)) {
                continue;
            }
            match told {
                Told::Done(found) => replaced = Some(self.found.replace((edition, found))),
                Told::Broken(broken) => self.failed = Some(broken.to_string()),
                Told::Nothing if self.pace.now() == Pace::GivenUp => self.given_up = Some((edition, Why::TookLong)),
                Told::Nothing => self.failed = Some("its lanes cannot be made ready".to_owned()),
                Told::SoFar(_) => {}
            }
        }
        replaced
    }

    /// How far it is; `None` where it is not being found, or nobody waits for it.
    #[must_use]
    pub fn underway(&self) -> Option<Underway> {
        self.job.underway().filter(|_| self.pace.now() == Pace::Asked)
    }

    /// Whether it is being found, or will be in a moment, whoever waits for it.
    #[must_use]
    pub fn is_sought(&self) -> bool {
        self.job.underway().is_some()
    }

    /// Gives it up for an edition while it is being found.
    pub fn give_up(&mut self, edition: u64) {
        if self.job.cancel() {
            self.given_up = Some((edition, Why::Cancelled));
        }
    }

    /// Forgets what was found and what was asked for: it was of another bench.
    pub fn forget(&mut self) {
        self.job.cancel();
        (self.asked, self.found, self.given_up, self.failed) = (None, None, None, None);
    }
}
