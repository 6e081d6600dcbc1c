//! A log is given to a scenario, or it is said why that cannot be.

use thiserror::Error;

use crate::scenario::presets::Library;
use crate::scenario::{Climate, ClimateLog, Problem, Scenario, file};

/// Why a scenario cannot have a log. The text is one line of cause; [`NotTaken::remedy`] says what to do.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum NotTaken {
    /// With it the scenario has a value that cannot be.
    #[error("{0}")]
    Invalid(Problem),
    /// With it the scenario's file would be larger than what is read again.
    #[error("with this log the scenario would have {} MB; at most {} MB are read", .0.div_ceil(1 << 20), file::MAX_BYTES >> 20)]
    TooLarge(u64),
    /// With it the scenario has no text.
    #[error("with this log the scenario has no text: {0}")]
    Unwritable(String),
}

impl NotTaken {
    /// What to do about it, a sentence.
    #[must_use]
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::Invalid(_) => "Correct the value named; `slakeline check FILE` lists every problem.",
            Self::Unwritable(_) => "The program is at fault: please report it with the log.",
            Self::TooLarge(_) => "Export fewer days of the log, or means over 5 to 15 minutes.",
        }
    }
}

/// The scenario under a log's climate: it is sound, and its file can be read again. Nothing else of it changes.
///
/// # Errors
/// [`NotTaken`], with the first problem.
pub fn under_log(scenario: &Scenario, log: ClimateLog, library: &Library) -> Result<Scenario, NotTaken> {
    let scenario = Scenario { climate: Some(Climate::Log(log)), ..scenario.clone() };
    if let Some(problem) = scenario.validate(library).into_iter().next() {
        return Err(NotTaken::Invalid(problem));
    }
    match file::to_text(&scenario) {
        Ok(_) => Ok(scenario),
        Err(file::FileError::Larger { bytes, .. }) => Err(NotTaken::TooLarge(bytes)),
        Err(e) => Err(NotTaken::Unwritable(e.to_string())),
    }
}
