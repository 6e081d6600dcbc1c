//! What a command says when it cannot do what was asked.

use std::io::{self, Write};

use crate::engine::column::BuildError;
use crate::engine::run::Run;
use crate::scenario::Problem;
use crate::scenario::file::{FileError, printable};

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
        Self::input(problem.to_string(), "Give a value in that range; `slakeline --help` lists the commands.")
    }

    /// The first lane that stopped before its end, if one did.
    pub fn of_run(run: &Run) -> Option<Self> {
        let (lane, error) = run.lanes.iter().find_map(|l| Some((l, l.error.as_ref()?)))?;
        let text = error.to_string();
        let (cause, advice) = text.split_once("; ").unwrap_or((&text, "simplify the lane until it runs"));
        let remedy = format!("What was reached up to there is given. To go on, {advice}.");
        Some(Self::failed(format!("lane \"{}\": {cause}", lane.name), remedy))
    }

    /// Writes the two lines.
    pub fn tell(&self, out: &mut dyn Write) -> io::Result<()> {
        writeln!(out, "slakeline: {}", printable(&self.cause, LINE))?;
        writeln!(out, "{}", printable(&self.remedy, LINE))
    }
}

impl From<FileError> for Failure {
    fn from(error: FileError) -> Self {
        let code = if matches!(error, FileError::Write { .. }) { FAILED } else { BAD_INPUT };
        Self { cause: error.to_string(), remedy: error.remedy().to_owned(), code }
    }
}

impl From<BuildError> for Failure {
    fn from(error: BuildError) -> Self {
        Self::input(error.to_string(), "Correct the lane named; `slakeline check FILE` lists every problem.")
    }
}
