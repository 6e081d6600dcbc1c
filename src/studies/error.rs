//! The studies' one error: why a study of a bench has no answer.

use crate::engine::EngineError;
use crate::engine::column::BuildError;
use crate::scenario::Problem;

/// Why a study has no answer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum StudyError {
    /// The bench cannot be run as far as the study needs.
    #[error(transparent)]
    Engine(#[from] EngineError),
    /// What is asked for cannot be.
    #[error("{0}")]
    Asked(Problem),
    /// The plants use nothing, so that there is nothing to give.
    #[error("the plants of no lane use any water, so there is nothing to give")]
    NothingUsed,
    /// What the equipment gives between the first and the last event is less than a plant uses.
    #[error("the equipment gives each plant of lane \"{lane}\" at most {gives_l:.2} L a day within these hours; it uses {uses_l:.2} L")]
    TooLittle {
        /// The lane.
        lane: String,
        /// L per plant and day.
        gives_l: f64,
        /// L per plant and day.
        uses_l: f64,
    },
    /// Every run stopped.
    #[error("every schedule tried stopped before its day was over")]
    AllStopped,
}

impl From<BuildError> for StudyError {
    fn from(error: BuildError) -> Self {
        Self::Engine(error.into())
    }
}

impl From<Problem> for StudyError {
    fn from(problem: Problem) -> Self {
        Self::Asked(problem)
    }
}

impl StudyError {
    /// What to do about it, in one line.
    #[must_use]
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::Engine(EngineError::Build(error)) => error.remedy(),
            Self::Engine(EngineError::Ran { .. }) | Self::AllStopped => {
                "Simulate the scenario first: what stops it there is told with its remedy."
            }
            Self::Asked(_) => "Give a value in that range; `slakeline --help` lists the commands.",
            Self::NothingUsed => "Give a lane a daily use, or a climate its use can be computed from.",
            Self::TooLittle { .. } => "Allow more events, longer hours, or more from emitters and pump.",
        }
    }
}
