//! Reads a climate log as a job: a file of 20 MB never holds the window up.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::jobs::{Job, Told, Wake};
use crate::readings::taking::{NotTaken, under_log};
use crate::readings::{Consent, DayClimate, Kind, Options, Problem, Reading, day_climates, read_climate_file};
use crate::scenario::Scenario;
use crate::scenario::file::{NO_FILE, is_no_file};
use crate::scenario::presets::Library;

/// What became of a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// The log, or all that stands in its way.
    pub read: Result<Reading, Vec<Problem>>,
    /// Each of its days.
    pub days: Vec<DayClimate>,
    /// How many problems each consent settles, or would.
    pub settles: Settles,
    /// Why the bench cannot have it, if so.
    pub refused: Option<NotTaken>,
}

/// Problems that a consent settles.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Settles {
    /// By leaving bad rows out.
    pub skip_bad: usize,
    /// By filling gaps.
    pub fill_gaps: usize,
}

/// What is to be read, and the bench that it is for.
#[derive(Clone)]
pub struct Request {
    /// The file.
    pub path: PathBuf,
    /// How it is read.
    pub options: Options,
    /// The bench.
    pub scenario: Arc<Scenario>,
    /// The presets that it names.
    pub library: Arc<Library>,
}

/// What reads.
pub struct Reader {
    job: Job<Answer>,
}

impl Default for Reader {
    fn default() -> Self {
        Self { job: Job::new("Reading the climate log") }
    }
}

impl Reader {
    /// Asks for a file to be read; gives the number that the answer will have.
    ///
    /// # Errors
    /// Why there is no thread to read it.
    pub fn ask(&mut self, wake: &Wake, request: Request) -> Result<u64, String> {
        self.job.ask(wake, move |work| request.answer(&|| work.wanted())).map_err(|broken| broken.to_string())
    }

    /// The newest answer since the last time, or why there will be none, with its number.
    pub fn take(&mut self) -> Option<(u64, Result<Answer, String>)> {
        let mut found = None;
        while let Some((number, told)) = self.job.take() {
            found = match told {
                Told::Done(answer) => Some((number, Ok(answer))),
                Told::Broken(broken) => Some((number, Err(broken.to_string()))),
                Told::SoFar(_) | Told::Nothing => found,
            };
        }
        found
    }

    /// Gives up what is being read.
    pub fn cancel(&mut self) {
        self.job.cancel();
    }
}

impl Request {
    fn answer(&self, wanted: &dyn Fn() -> bool) -> Option<Answer> {
        let read = read(&self.path, &self.options);
        let mut settles = Settles::default();
        for (consent, count) in [(Consent::SkipBad, &mut settles.skip_bad), (Consent::FillGaps, &mut settles.fill_gaps)] {
            if !wanted() {
                return None;
            }
            // What a consent settles is what stands without it.
            let without = self.options.without(consent);
            *count =
                if without == self.options { settled_by(consent, &read) } else { settled_by(consent, &self::read(&self.path, &without)) };
        }
        let (mut days, mut refused) = (Vec::new(), None);
        if let Ok(reading) = &read {
            days = day_climates(&reading.log);
            refused = under_log(&self.scenario, reading.log.clone(), &self.library).err();
        }
        Some(Answer { read, days, settles, refused })
    }
}

fn read(path: &Path, options: &Options) -> Result<Reading, Vec<Problem>> {
    if is_no_file(path) {
        return Err(vec![no_file()]);
    }
    read_climate_file(path, options)
}

fn no_file() -> Problem {
    Problem {
        line: None,
        kind: Kind::File,
        what: NO_FILE.to_owned(),
        remedy: "Choose the log itself.".to_owned(),
        consent: None,
        asks: None,
        more: 0,
    }
}

/// How many problems there are, with those that are only counted.
pub fn count<'a>(problems: impl IntoIterator<Item = &'a Problem>) -> usize {
    problems.into_iter().map(|p| 1 + p.more).sum()
}

fn settled_by(consent: Consent, read: &Result<Reading, Vec<Problem>>) -> usize {
    read.as_ref().err().map_or(0, |problems| count(problems.iter().filter(|p| p.consent == Some(consent))))
}
