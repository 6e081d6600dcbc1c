//! What a command says when it cannot do what was asked.

use std::io::{self, Write};

use crate::engine::EngineError;
use crate::engine::column::BuildError;
use crate::engine::run::{Failed, LaneRun, Run};
use crate::scenario::Problem;
use crate::scenario::file::{FileError, printable};
use crate::studies::StudyError;
use crate::studies::exactness::{Broken, Exactness};

/// Exit code for bad input.
pub const BAD_INPUT: u8 = 2;
/// Exit code for a failed run.
pub const FAILED: u8 = 1;

/// Longest line, characters.
const LINE: usize = 1000;

/// Cause, remedy and exit code.
#[derive(Clone, Debug)]
pub struct Failure {
    cause: String,
    remedy: String,
    /// 1 or 2.
    pub code: u8,
}

impl Failure {
    /// Bad input.
    pub fn input(cause: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { cause: cause.into(), remedy: remedy.into(), code: BAD_INPUT }
    }

    /// A run or a command that failed for other reasons.
    pub fn failed(cause: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { cause: cause.into(), remedy: remedy.into(), code: FAILED }
    }

    /// A value of a command that cannot be.
    pub fn problem(problem: &Problem) -> Self {
        StudyError::from(problem.clone()).into()
    }

    /// The first lane that stopped before its end, or else the first whose books do not close, if there is one.
    pub fn of_run(run: &Run) -> Option<Self> {
        let failed = || run.lanes.iter().filter_map(|l| Some((l, l.failure()?)));
        let stopped = |(_, why): &(&LaneRun, Failed)| matches!(why, Failed::Stopped(_));
        let (lane, why) = failed().find(stopped).or_else(|| failed().next())?;
        let remedy = match why {
            Failed::Stopped(_) => format!("What was reached up to there is given. {}", why.remedy()),
            Failed::Unclosed(_) => why.remedy().to_owned(),
        };
        Some(Self::failed(format!("lane \"{}\": {why}", lane.name), remedy))
    }

    /// The first lane whose finer run failed, if one did.
    pub fn of_refined(exactness: &Exactness) -> Option<Self> {
        let (lane, why) = exactness.failed()?;
        let remedy = match why {
            Broken::FinerUnclosed(_) => "The bench's own figures stand. Please report it with the scenario file: the program is at fault.",
            _ => "The bench's own figures stand. Fewer days with --days, or a larger `solver.tolerance`, may let it go to its end.",
        };
        Some(Self::failed(format!("lane \"{}\": {why}", lane.lane), remedy))
    }

    /// Writes the two lines.
    pub fn tell(&self, out: &mut dyn Write) -> io::Result<()> {
        writeln!(out, "slakeline: {}", printable(&self.cause, LINE))?;
        writeln!(out, "{}", printable(&self.remedy, LINE))
    }
}

impl From<FileError> for Failure {
    fn from(error: FileError) -> Self {
        let code = if matches!(error, FileError::Write { .. } | FileError::Unwritable { .. }) { FAILED } else { BAD_INPUT };
        Self { cause: error.to_string(), remedy: error.remedy().to_owned(), code }
    }
}

impl From<StudyError> for Failure {
    fn from(error: StudyError) -> Self {
        let code = match error {
            StudyError::Engine(EngineError::Ran { .. }) | StudyError::AllStopped => FAILED,
            _ => BAD_INPUT,
        };
        Self { cause: error.to_string(), remedy: error.remedy().to_owned(), code }
    }
}

impl From<BuildError> for Failure {
    fn from(error: BuildError) -> Self {
        StudyError::from(error).into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::run::run_scenario;
    use crate::engine::run::simulation::RunError;
    use crate::scenario::presets::{Library, demos};

    fn run() -> Run {
        let mut scenario = demos().remove(0).1;
        scenario.days = 1;
        run_scenario(&scenario, &Library::shipped()).unwrap()
    }

    fn told(run: &Run) -> (u8, Vec<String>) {
        let failure = Failure::of_run(run).unwrap();
        let mut text = Vec::new();
        failure.tell(&mut text).unwrap();
        (failure.code, String::from_utf8(text).unwrap().lines().map(str::to_owned).collect())
    }

    #[test]
    fn a_run_that_goes_well_is_no_failure() {
        assert!(Failure::of_run(&run()).is_none());
    }

    #[test]
    fn books_that_do_not_close_are_a_failed_run_with_a_line_of_cause_and_one_of_remedy() {
        let mut run = run();
        let last = std::sync::Arc::make_mut(&mut run.lanes[1].series).samples.last_mut().unwrap();
        last.ledger.salt_stored += 1e-3 * last.ledger.salt_at_start;
        let (code, lines) = told(&run);
        assert_eq!((code, lines.len()), (FAILED, 2), "{lines:?}");
        assert!(lines[0].starts_with("slakeline: lane \"Round pot\": the run's books do not close: 1 part in "), "{lines:?}");
        assert!(lines[0].ends_with(" of the salt is missing or too much") && lines[1].starts_with("Do not rely on"), "{lines:?}");
    }

    #[test]
    fn a_lane_that_stopped_is_told_before_one_that_does_not_close() {
        let mut run = run();
        run.lanes[0].midnights[1].water_stored *= 0.999;
        run.lanes[1].error = Some(RunError { time_s: 7200.0, layer: 4, step_s: 1e-6 });
        let (code, lines) = told(&run);
        assert_eq!((code, lines.len()), (FAILED, 2));
        assert!(lines[0].contains("lane \"Round pot\": the water step did not converge at 02:00 of day 1"), "{lines:?}");
        assert!(
            lines[1].starts_with("What was reached up to there is given. Give media of your own") && !lines[0].contains(';'),
            "{lines:?}"
        );
        run.lanes[1].error = None;
        assert!(told(&run).1[0].contains("lane \"Block on slab\": the run's books do not close"), "a midnight counts as well as the end");
    }
}
