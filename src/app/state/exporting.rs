//! Results and answers that are written to a file beside the frames, by the way that commands go.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::studies::Study;
use crate::engine::run::LaneRun;
use crate::jobs::{Broken, Job, Told, Underway, Wake, Work, spread};
use crate::scenario::Scenario;
use crate::scenario::disk::whole::write_file;
use crate::scenario::file::FileError;
use crate::scenario::presets::Library;
use crate::sheet::answers::{Form, Making};
use crate::sheet::made::{Made, Results};

/// What is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exports {
    /// Results of the bench.
    Bench(Results),
    /// The answer of a study.
    Answer(Study, Form),
}

impl Exports {
    /// What it is called, and how its files end.
    #[must_use]
    pub fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Bench(results) => results.words(),
            Self::Answer(study, form) => (study.what(), form.ending()),
        }
    }
}

/// What came of an export.
pub enum Exported {
    /// The results are in this file; what is wrong with the run, if anything is.
    Done(PathBuf, Option<String>),
    /// Why not: cause and remedy.
    Failed(String, String),
    /// It broke off.
    Broken(Broken),
}

/// Why there is no file, or what is wrong with the run that it tells of.
type Answer = Result<Option<String>, (String, String)>;

/// Exports one thing after the other; the newest wins.
pub struct Exporting {
    job: Job<Answer>,
    underway: Option<(u64, Exports, PathBuf)>,
}

impl Default for Exporting {
    fn default() -> Self {
        Self { job: Job::new("Exporting results"), underway: None }
    }
}

impl Exporting {
    /// Begins to run a bench and to write its results to a file.
    ///
    /// # Errors
    /// [`Broken`] when no thread can be started.
    pub fn begin(
        &mut self,
        wake: &Wake,
        results: Results,
        path: &Path,
        scenario: Arc<Scenario>,
        library: Arc<Library>,
    ) -> Result<(), Broken> {
        let target = path.to_path_buf();
        self.write(wake, (Exports::Bench(results), path), move |work| {
            work.at(0.0, "Running the bench");
            let go_on = || work.wanted();
            let made = spread(|| Made::of(Scenario::clone(&scenario), &library, results.tells_settled(), &go_on));
            let made = match made {
                Ok(made) => made?,
                Err(e) => return Some(Err((e.to_string(), "Correct the lane named.".to_owned()))),
            };
            work.at(0.9, "Writing the file");
            let wrong = made.projection.run.lanes.iter().find_map(|lane: &LaneRun| Some(format!("{}: {}", lane.name, lane.failure()?)));
            Some(written(&target, made.bytes(results)).map(|()| wrong))
        })
    }

    /// Begins to write an answer to a file.
    ///
    /// # Errors
    /// [`Broken`] when no thread can be started.
    pub fn answer(&mut self, wake: &Wake, exports: Exports, path: &Path, document: Making) -> Result<(), Broken> {
        let target = path.to_path_buf();
        self.write(wake, (exports, path), move |_| Some(written(&target, document()).map(|()| None)))
    }

    fn write(
        &mut self,
        wake: &Wake,
        (exports, path): (Exports, &Path),
        work: impl FnOnce(&Work<Answer>) -> Option<Answer> + Send + 'static,
    ) -> Result<(), Broken> {
        let number = self.job.ask(wake, work)?;
        self.underway = Some((number, exports, path.to_path_buf()));
        Ok(())
    }

    /// What came of it since this was last asked.
    pub fn take(&mut self) -> Option<Exported> {
        while let Some((number, told)) = self.job.take() {
            let Some((_, _, path)) = self.underway.take_if(|(of, ..)| *of == number) else { continue };
            return match told {
                Told::Done(Ok(wrong)) => Some(Exported::Done(path, wrong)),
                Told::Done(Err((cause, remedy))) => Some(Exported::Failed(cause, remedy)),
                Told::Broken(broken) => Some(Exported::Broken(broken)),
                Told::SoFar(_) | Told::Nothing => None,
            };
        }
        None
    }

    /// What is being exported, and how far it is.
    #[must_use]
    pub fn underway(&self) -> Option<(Exports, Underway)> {
        Some((self.underway.as_ref()?.1, self.job.underway()?))
    }

    /// Gives it up: no file is written.
    pub fn cancel(&mut self) {
        self.job.cancel();
        self.underway = None;
    }
}

/// Writes bytes that were made; cause and remedy where that fails.
fn written(target: &Path, bytes: io::Result<Vec<u8>>) -> Result<(), (String, String)> {
    bytes.and_then(|bytes| write_file(target, &bytes)).map_err(|cause| {
        let e = FileError::Write { path: target.display().to_string(), cause };
        (e.to_string(), e.remedy().to_owned())
    })
}
