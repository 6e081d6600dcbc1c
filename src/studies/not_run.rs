//! Why a study of a bench has no answer.

use crate::engine::column::BuildError;
use crate::engine::run::simulation::RunError;

/// The bench cannot be run as far as the study needs.
#[derive(Clone, Debug, thiserror::Error)]
pub enum NotRun {
    /// A lane cannot be built.
    #[error(transparent)]
    Build(#[from] BuildError),
    /// A lane does not get to the instant that the study begins with.
    #[error("lane \"{lane}\": {cause}")]
    Stopped {
        /// The lane.
        lane: String,
        /// Why.
        cause: RunError,
    },
}
