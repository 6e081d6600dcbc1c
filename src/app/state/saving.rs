//! A document that is being saved beside the frames: with a long climate log, writing it takes longer than a frame.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::jobs::{Broken, Job, Told, Wake};
use crate::scenario::disk::{Expected, Stamp};
use crate::scenario::file::{self, FileError};
use crate::scenario::{Climate, Scenario};

/// Scenarios whose climate log has more rows are written beside the frames: about 40 bytes each.
const LONG_LOG: usize = 2000;

/// What is being written.
struct Writing<N> {
    number: u64,
    scenario: Arc<Scenario>,
    path: PathBuf,
    then: Option<N>,
}

/// What came of it.
pub enum Saved<N> {
    /// This scenario is in this file, which is now like this; what was to follow may follow.
    Done(Arc<Scenario>, PathBuf, Stamp, Option<N>),
    /// It cannot be written to this file; what was to follow waits.
    Failed(FileError, PathBuf, Option<N>),
    /// It broke off.
    Broken(Broken),
}

/// Saves one document after the other; the newest wins. It is not given up: what is half written helps nobody.
pub struct Saving<N> {
    job: Job<Result<Stamp, FileError>>,
    writing: Option<Writing<N>>,
}

impl<N> Default for Saving<N> {
    fn default() -> Self {
        Self { job: Job::new("Saving the bench"), writing: None }
    }
}

/// Whether it takes longer than a frame to write a scenario.
#[must_use]
pub fn is_long(scenario: &Scenario) -> bool {
    matches!(&scenario.climate, Some(Climate::Log(log)) if log.rows.len() > LONG_LOG)
}

impl<N> Saving<N> {
    /// Begins to save a scenario to a file that is as expected; false where there is no thread to do it. `then` is what is to follow.
    pub fn begin(&mut self, wake: &Wake, scenario: &Arc<Scenario>, path: &Path, expected: Expected, then: Option<N>) -> bool {
        let (scenario, path) = (Arc::clone(scenario), path.to_path_buf());
        let (what, target) = (Arc::clone(&scenario), path.clone());
        let asked = self.job.ask(wake, move |_| Some(file::save_expecting(&what, &target, expected)));
        self.writing = asked.ok().map(|number| Writing { number, scenario, path, then });
        self.writing.is_some()
    }

    /// What came of it since this was last asked.
    pub fn take(&mut self) -> Option<Saved<N>> {
        while let Some((number, told)) = self.job.take() {
            let Some(Writing { scenario, path, then, .. }) = self.writing.take_if(|w| w.number == number) else { continue };
            return match told {
                Told::Done(Ok(stamp)) => Some(Saved::Done(scenario, path, stamp, then)),
                Told::Done(Err(e)) => Some(Saved::Failed(e, path, then)),
                Told::Broken(broken) => Some(Saved::Broken(broken)),
                Told::SoFar(_) | Told::Nothing => None,
            };
        }
        None
    }

    /// Whether a document is being saved.
    #[must_use]
    pub fn is_underway(&self) -> bool {
        self.writing.is_some()
    }

    /// Waits until it is written.
    pub fn finish(&mut self) {
        self.job.finish();
    }
}
