//! The engine's one error, which a column that cannot be built and a lane that failed turn into.

use crate::engine::column::BuildError;
use crate::engine::run::lane::Failed;

/// Why a bench, or a member of a batch, came to nothing.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EngineError {
    /// A lane cannot be built.
    #[error(transparent)]
    Build(#[from] BuildError),
    /// A lane's run failed.
    #[error("lane \"{lane}\": {why}")]
    Ran {
        /// The lane.
        lane: String,
        /// Why.
        why: Failed,
    },
}

impl EngineError {
    /// A lane that failed.
    #[must_use]
    pub fn ran(lane: &str, why: impl Into<Failed>) -> Self {
        Self::Ran { lane: lane.to_owned(), why: why.into() }
    }

    /// What to do about it, in one line.
    #[must_use]
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::Build(build) => build.remedy(),
            Self::Ran { why, .. } => why.remedy(),
        }
    }
}
