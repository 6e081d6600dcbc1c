//! Days: one lane in motion, its books and what is recorded of it, events that hang on what happens, whole runs, and the day that
//! repeats itself.
//!
//! Probes and tanks are feedback: the lanes that matter go through the days side by side, look ahead to where a probe's reading crosses its
//! mark, give the tank's EC to each event, and write the timetable down. A lane that stops stays where it stopped, and the others go on. For a
//! settled day the timetable goes on until a day (of a climate log: its whole round) repeats itself in every lane that matters; rules of a
//! probe often end in a cycle of days instead, and that is said. How far one looks ahead stands once, in `settled.rs`.
//! Where no probe and no tank has a say, the settled day is found without waiting for it (`settling.rs`).
//!
//! Who wants a run to go on with keeps it open: `OpenBench` holds every lane's run with checkpoints on its way (`keep.rs` says how many, and what
//! else stays of a long run), and after a change it runs again what the change touches, from the last checkpoint before. The window's runs are
//! such runs. Everyone else hands `Ready::run_with` a recorder.
//!
//! A lane that is run in begins as days like its first leave it (`run_in.rs`): those are run before the first, by whoever asks for a timetable or
//! takes a bench's run up, and what they came to is kept with what it hangs on.
//!
//! A run fails when it stops or when its books close worse than `CLOSES_TO` (`ledger.rs`), at any midnight or at its end: `LaneRun::failure`
//! tells why. `Workshop` keeps columns by what they are made from: the media and the crop themselves, not their names.

pub mod batch;
pub mod dawn;
pub mod each_day;
pub mod error;
pub mod feedback;
pub mod keep;
pub mod lane;
pub mod ledger;
pub mod open_bench;
pub mod open_run;
pub mod recorder;
pub mod repeats;
pub mod run_in;
pub mod series;
pub mod settled;
mod settling;
pub mod simulation;
pub mod workshop;

pub use batch::{Outcome, Watch, batch};
pub use dawn::RunIn;
pub use each_day::EachDay;
pub use error::EngineError;
pub use keep::{Keep, Often};
pub use lane::{Ended, Failed, LaneRun, Ready, Run, run};
pub use open_bench::OpenBench;
pub use open_run::OpenRun;
pub use recorder::{Midnights, Recorder};
pub use repeats::Settled;
pub use run_in::RunIns;
pub use settled::LOOK_AHEAD_DAYS;
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
