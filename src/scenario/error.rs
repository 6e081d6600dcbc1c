//! The scenario's one error, which those of its files, numbers, presets and times turn into.

use super::clock::ClockError;
use super::file::FileError;
use super::parameter::ParameterError;
use super::presets::Denied;

/// Why data could not be read, changed or kept.
#[derive(Debug, thiserror::Error)]
pub enum ScenarioError {
    /// A file.
    #[error(transparent)]
    File(#[from] FileError),
    /// A number named by its path.
    #[error(transparent)]
    Parameter(#[from] ParameterError),
    /// A preset of the user's own.
    #[error(transparent)]
    Preset(#[from] Denied),
    /// A time of day.
    #[error(transparent)]
    Clock(#[from] ClockError),
}

impl ScenarioError {
    /// What to do about it, in one line.
    #[must_use]
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::File(error) => error.remedy(),
            Self::Parameter(error) => error.remedy(),
            Self::Preset(_) => "Give it another name, or let it be replaced.",
            Self::Clock(_) => "Write it as \"08:15\".",
        }
    }
}
