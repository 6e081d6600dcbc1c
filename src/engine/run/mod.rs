//! Days: one lane in motion, its books and what is recorded of it, events that hang on what happens, whole runs, and the day that
//! repeats itself.

pub mod batch;
pub mod each_day;
pub mod feedback;
pub mod keep;
pub mod lane;
pub mod ledger;
pub mod open_bench;
pub mod open_run;
pub mod recorder;
pub mod recording;
pub mod repeats;
pub mod series;
pub mod settled;
pub mod simulation;
pub mod workshop;

pub use batch::{MemberFailed, Outcome, Watch, batch};
pub use each_day::EachDay;
pub use lane::{Ended, Failed, LaneRun, Ready, Run, run};
pub use open_bench::OpenBench;
pub use open_run::{Often, OpenRun};
pub use recorder::{Coarse, Midnights, Recorder, Samples};
pub use settled::{LOOK_AHEAD_DAYS, Settled};
pub use simulation::checkpoint::Checkpoint;
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
