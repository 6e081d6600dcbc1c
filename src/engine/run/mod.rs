//! Days: one lane in motion, its books and what is recorded of it, events that hang on what happens, whole runs, and the day that
//! repeats itself.

pub mod feedback;
pub mod keep;
pub mod lane;
pub mod ledger;
pub mod recording;
pub mod repeats;
pub mod series;
pub mod settled;
pub mod simulation;
pub mod workshop;

pub use lane::{Failed, LaneRun, Ready, Run};
pub use recording::run;
pub use settled::{LOOK_AHEAD_DAYS, Settled};
pub use workshop::{ReadyBench, Workshop};

use crate::engine::column::BuildError;
use crate::scenario::Scenario;
use crate::scenario::presets::Library;

/// Makes a scenario ready and runs it for its days.
///
/// # Errors
/// [`BuildError`] when a lane cannot be built; lanes that stop early carry their own error.
pub fn run_scenario(scenario: &Scenario, library: &Library) -> Result<Run, BuildError> {
    Ok(run(&Workshop::default().ready(scenario, library)?.for_its_days(), scenario.days))
}
