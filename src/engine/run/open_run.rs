//! A lane's run with what it was made of and checkpoints on its way: it can go on to more days, and where its events change it is run again
//! only from there. What comes out is, to the bit, what a run from the first midnight would have given.

use std::sync::Arc;

use super::lane::{LaneRun, Ready};
use super::recorder::{Recorder, Samples, is_midnight};
use super::simulation::Simulation;
use super::simulation::checkpoint::Checkpoint;
use crate::scenario::plan::on_day;

/// How often a checkpoint is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Often {
    /// At every midnight: about 8 kB a lane and day at 64 layers.
    Midnights,
    /// At every midnight, wherever an event begins or ends, and otherwise every hour.
    Hours,
}

/// Time between two checkpoints where nothing else asks for one, s.
const HOUR_S: f64 = 3600.0;

impl Often {
    fn take(self, last_s: Option<f64>, now: &Simulation) -> bool {
        let Some(last_s) = last_s else { return true };
        is_midnight(now) || self == Self::Hours && (now.is_at_edge() || now.time_s() - last_s >= HOUR_S)
    }
}

/// A lane's run that can be taken up again.
#[derive(Clone)]
pub struct OpenRun {
    ready: Ready,
    samples: Samples,
    often: Often,
    run: LaneRun,
    /// In order of their time; the first is the start's.
    checkpoints: Vec<Arc<Checkpoint>>,
    /// Days that it was run for, with the morning after; `None` where it was not run to an end since it last changed.
    whole: Option<u32>,
}

impl OpenRun {
    /// A lane's run that has not begun. `samples` are kept of it, and checkpoints so `often`.
    #[must_use]
    pub fn new(ready: Ready, samples: Samples, often: Often) -> Self {
        let run = LaneRun::nothing_of(&ready);
        Self { ready, samples, often, run, checkpoints: Vec::new(), whole: None }
    }

    /// The run as far as it is there.
    #[must_use]
    pub fn run(&self) -> &LaneRun {
        &self.run
    }

    /// The run as far as it is there, without its checkpoints.
    #[must_use]
    pub fn into_run(self) -> LaneRun {
        self.run
    }

    /// The lane that it is the run of.
    #[must_use]
    pub fn ready(&self) -> &Ready {
        &self.ready
    }

    /// The checkpoints on its way, in order of their time.
    #[must_use]
    pub fn checkpoints(&self) -> &[Arc<Checkpoint>] {
        &self.checkpoints
    }

    /// Runs on, from where it is, until so many days are there, with the morning after up to its first event; a run that was longer is made as
    /// long. `go_on` is asked before each day; false when it said no: then it is there as far as it came, and can go on later.
    pub fn on_to(&mut self, days: u32, go_on: &dyn Fn() -> bool) -> bool {
        if self.whole == Some(days) {
            return true;
        }
        let last = self.checkpoints.iter().rposition(|c| c.time_s() <= on_day(days as usize, 0.0));
        self.cut(last);
        // What is taken up begins with the instant it is taken up at.
        let from = self.checkpoints.pop();
        self.forget(from.as_ref().map(|c| c.time_s()), |time_s, at_s| time_s < at_s);
        let mut appending = Appending { run: &mut self.run, checkpoints: &mut self.checkpoints, samples: &self.samples, often: self.often };
        let ended = match from {
            Some(from) => self.ready.run_from(&from, days, &mut appending, go_on),
            None => self.ready.run_with(days, &mut appending, go_on),
        };
        self.whole = ended.is_some().then_some(days);
        if let Some(ended) = ended {
            (self.run.stats, self.run.error) = (ended.stats, ended.error);
        }
        self.whole.is_some()
    }

    /// Turns it to the lane as it is ready now. What is the same of both runs stays: all of it where nothing that acts on the lane changed,
    /// all up to the last checkpoint before the first instant that can be another where its events changed, and nothing where the lane itself
    /// did. Then [`on_to`](Self::on_to) runs the rest. Returns up to when it is there now, s since the first midnight.
    pub fn turn_to(&mut self, ready: Ready) -> f64 {
        let same_lane = self.ready.is_lane_of(&ready);
        let parting = if same_lane { self.ready.clock.parts_from(&ready.clock, self.run.days() + 1) } else { None };
        (self.run.name, self.run.timetable) = (ready.name.clone(), Arc::clone(&ready.timetable));
        self.ready = ready;
        if let Some(parting) = parting {
            // A step looks two of its lengths ahead to land on what comes.
            let not_yet_seen = parting.at_s - 2.0 * self.ready.column.solver.max_step_s - 1.0;
            self.cut(self.checkpoints.iter().rposition(|c| c.time_s() <= not_yet_seen.max(parting.common_s)));
        } else if !same_lane {
            self.cut(None);
        }
        self.run.series.samples.last().map_or(0.0, |s| s.time_s)
    }

    /// Keeps what there is up to a checkpoint; nothing without one.
    fn cut(&mut self, last: Option<usize>) {
        self.checkpoints.truncate(last.map_or(0, |i| i + 1));
        self.forget(self.checkpoints.last().map(|c| c.time_s()), |time_s, at_s| time_s <= at_s);
        self.run.stats = self.checkpoints.last().map(|c| c.stats()).unwrap_or_default();
        (self.run.error, self.whole) = (None, None);
    }

    /// Keeps what `stays` says of a time and the time of a cut, if there is one.
    fn forget(&mut self, at_s: Option<f64>, stays: impl Fn(f64, f64) -> bool) {
        let stays = |time_s: f64| at_s.is_some_and(|at_s| stays(time_s, at_s));
        let series = &mut self.run.series;
        series.cut(series.samples.partition_point(|s| stays(s.time_s)));
        let midnights = (0..self.run.midnights.len()).take_while(|day| stays(on_day(*day, 0.0))).count();
        self.run.midnights.truncate(midnights);
    }
}

/// A run that is added to.
struct Appending<'a> {
    run: &'a mut LaneRun,
    checkpoints: &'a mut Vec<Arc<Checkpoint>>,
    samples: &'a Samples,
    often: Often,
}

impl Recorder for Appending<'_> {
    type Kept = ();

    fn kept(self) {}

    fn see(&mut self, now: &Simulation) {
        if is_midnight(now) {
            self.run.midnights.push(*now.ledger());
        }
        if self.samples.take(self.run.series.samples.last().map(|s| s.time_s), now) {
            self.run.series.see(now);
        }
        if self.often.take(self.checkpoints.last().map(|c| c.time_s()), now) {
            self.checkpoints.push(Arc::new(now.checkpoint()));
        }
    }

    fn over(&mut self, now: &Simulation) {
        // The last instant is kept whatever it is.
        if self.run.series.samples.last().is_none_or(|s| s.time_s < now.time_s()) {
            self.run.series.see(now);
        }
    }
}
