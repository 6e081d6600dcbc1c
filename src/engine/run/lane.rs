//! Whole runs: every lane of a scenario over its days.

use std::sync::Arc;

use rayon::prelude::*;
use serde::Serialize;

use super::dawn::RunIn;
use super::keep::{Keep, Often};
use super::ledger::{Closure, Ledger};
use super::recorder::{Midnights, Recorder};
use super::series::Series;
use super::simulation::checkpoint::Checkpoint;
use super::simulation::{RunError, Simulation, Stats};
use crate::engine::column::Column;
use crate::engine::column::state::State;
use crate::engine::demand::load::Load;
use crate::engine::supply::clock::EventClock;
use crate::engine::supply::timetable::Timetable;
use crate::units::DAY_S;

/// A lane made ready to run.
#[derive(Clone)]
pub struct Ready {
    /// The lane's name.
    pub name: String,
    /// Its column.
    pub column: Arc<Column>,
    /// Every event of every day.
    pub timetable: Arc<Timetable>,
    /// The same as this lane receives them.
    pub clock: Arc<EventClock>,
    /// Its demand.
    pub load: Arc<dyn Load>,
    /// The feed's EC, mS/cm.
    pub feed_ec: f64,
    /// Its start at rest.
    pub start: State,
    /// How its run-in leaves that, where it is run in: with this it begins.
    pub run_in: Option<Arc<RunIn>>,
    /// Days after which what drives it begins anew, at least 1.
    pub round: usize,
    /// Its events hang on what happens: a probe calls for them, or a tank gives them its EC.
    pub fed_back: bool,
}

impl Ready {
    /// The lane at its first midnight.
    #[must_use]
    pub fn simulation(&self) -> Simulation {
        match &self.run_in {
            Some(run_in) => self.resume(&run_in.dawn),
            None => {
                Simulation::new(Arc::clone(&self.column), Arc::clone(&self.clock), Arc::clone(&self.load), self.feed_ec, self.start.clone())
            }
        }
    }

    /// Whether it is the same lane made ready before, but for its events and its name.
    #[must_use]
    pub fn is_lane_of(&self, before: &Self) -> bool {
        Arc::ptr_eq(&self.column, &before.column)
            && Arc::ptr_eq(&self.load, &before.load)
            && self.feed_ec == before.feed_ec
            && self.start == before.start
            && self.run_in.as_ref().map(Arc::as_ptr) == before.run_in.as_ref().map(Arc::as_ptr)
    }

    /// How its books close before its first midnight.
    pub(super) fn closure(&self) -> Closure {
        self.run_in.as_ref().map_or_else(Closure::default, |run_in| run_in.closure)
    }

    /// The lane as it stood at a checkpoint: with this lane's events and demand, and the checkpoint's column.
    #[must_use]
    pub fn resume(&self, from: &Checkpoint) -> Simulation {
        let stopped = self.run_in.as_ref().and_then(|run_in| run_in.stopped.clone());
        Simulation::resume(from, Arc::clone(&self.clock), Arc::clone(&self.load), self.feed_ec).stopped_by(stopped)
    }

    /// Runs the lane for whole days, keeping every step.
    #[must_use]
    pub fn run(&self, days: u32) -> LaneRun {
        self.run_while(days, &|| true).unwrap_or_else(|| LaneRun::nothing_of(self))
    }

    /// The same, given up when `go_on`, which is asked before each day, says no: `None`.
    #[must_use]
    pub fn run_while(&self, days: u32, go_on: &dyn Fn() -> bool) -> Option<LaneRun> {
        let mut all = (Series::default(), Midnights::default());
        let ended = self.run_with(days, &mut all, go_on)?;
        let (series, midnights) = all.kept();
        Some(LaneRun { series: Arc::new(series), midnights, stats: ended.stats, error: ended.error, ..LaneRun::nothing_of(self) })
    }

    /// Runs the lane for whole days and on to the next morning's first event, which ends the last night's dry-back; what is kept of it is the
    /// recorder's choice. `go_on` is asked before each day; `None` when it said no.
    pub fn run_with(&self, days: u32, recorder: &mut impl Recorder, go_on: &dyn Fn() -> bool) -> Option<Ended> {
        self.carry_on(self.simulation(), days, recorder, go_on)
    }

    /// The same from a checkpoint on: what came before it is not run. The recorder is shown the lane as it stood there first.
    pub fn run_from(&self, from: &Checkpoint, days: u32, recorder: &mut impl Recorder, go_on: &dyn Fn() -> bool) -> Option<Ended> {
        self.carry_on(self.resume(from), days, recorder, go_on)
    }

    fn carry_on(&self, mut simulation: Simulation, days: u32, recorder: &mut impl Recorder, go_on: &dyn Fn() -> bool) -> Option<Ended> {
        recorder.see(&simulation);
        let end = f64::from(days) * DAY_S;
        let mut error = None;
        let mut closure = self.closure().worse(Closure::of([simulation.ledger()]));
        while error.is_none() && simulation.time_s() < end {
            if !go_on() {
                return None;
            }
            let midnight = (simulation.time_s() / DAY_S).floor() * DAY_S + DAY_S;
            error = simulation.advance_to(midnight, |s| recorder.see(s)).err();
            closure = closure.worse(Closure::of([simulation.ledger()]));
        }
        if let (None, Some(first)) = (&error, self.timetable.first_start(days as usize)) {
            error = simulation.advance_to(end + first, |s| recorder.see(s)).err();
        }
        recorder.over(&simulation);
        Some(Ended { stats: simulation.stats(), error, closure: closure.worse(Closure::of([simulation.ledger()])) })
    }
}

/// How a run ended.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ended {
    /// What the solution took, from the first midnight on.
    pub stats: Stats,
    /// Why it stopped before its end, if it did.
    pub error: Option<RunError>,
    /// How its books close at their worst, at every midnight and at its end.
    pub closure: Closure,
}

impl Ended {
    /// Why the run cannot be relied on, if so: it stopped, or its books do not close.
    #[must_use]
    pub fn failure(&self) -> Option<Failed> {
        let stopped = self.error.clone().map(Failed::Stopped);
        stopped.or_else(|| Some(self.closure).filter(|c| !c.closes()).map(Failed::Unclosed))
    }
}

/// A lane's run.
#[derive(Clone, Debug)]
pub struct LaneRun {
    /// The lane's name.
    pub name: String,
    /// Its column.
    pub column: Arc<Column>,
    /// How its run-in left it, where it was run in.
    pub run_in: Option<Arc<RunIn>>,
    /// The events it received.
    pub timetable: Arc<Timetable>,
    /// Every step, or of some days fewer: see [`keep`](Self::keep). It is shared by all that show it.
    pub series: Arc<Series>,
    /// The ledger at each midnight reached, the first one included.
    pub midnights: Vec<Ledger>,
    /// What the solution took.
    pub stats: Stats,
    /// Why it stopped before its end, if it did.
    pub error: Option<RunError>,
    /// The day of the bench that its first day is, from 0: a settled day is kept alone.
    pub first_day: usize,
    /// What is kept of it.
    pub keep: Keep,
}

impl LaneRun {
    /// A lane's run of which nothing is kept yet.
    #[must_use]
    pub fn nothing_of(lane: &Ready) -> Self {
        Self {
            name: lane.name.clone(),
            column: Arc::clone(&lane.column),
            run_in: lane.run_in.clone(),
            timetable: Arc::clone(&lane.timetable),
            series: Arc::default(),
            midnights: Vec::new(),
            stats: Stats::default(),
            error: None,
            first_day: 0,
            keep: Keep::all(Often::Hours),
        }
    }

    /// Whole days reached.
    #[must_use]
    pub fn days(&self) -> usize {
        self.midnights.len().saturating_sub(1)
    }

    /// What passed on a day (from 0); `None` if the run did not reach its end.
    #[must_use]
    pub fn day(&self, day: usize) -> Option<Ledger> {
        Some(self.midnights.get(day + 1)?.since(self.midnights.get(day)?))
    }

    /// The ledger at the last step.
    #[must_use]
    pub fn ledger(&self) -> Ledger {
        self.series.samples.last().map(|s| s.ledger).unwrap_or_default()
    }

    /// How its books close at their worst: at every midnight and at its end, those of its run-in first. What one day makes and another loses
    /// does not cancel.
    #[must_use]
    pub fn closure(&self) -> Closure {
        let before = self.run_in.as_ref().map_or_else(Closure::default, |run_in| run_in.closure);
        before.worse(Closure::of(self.midnights.iter().chain(self.series.samples.last().map(|s| &s.ledger))))
    }

    /// Why it cannot be relied on, if so: it stopped, or its books do not close.
    #[must_use]
    pub fn failure(&self) -> Option<Failed> {
        let stopped = self.error.clone().map(Failed::Stopped);
        stopped.or_else(|| Some(self.closure()).filter(|c| !c.closes()).map(Failed::Unclosed))
    }
}

/// Why a lane's run failed.
#[derive(Clone, Debug, PartialEq, Serialize, thiserror::Error)]
pub enum Failed {
    /// It stopped before its end; what was reached up to there is kept.
    #[error(transparent)]
    Stopped(#[from] RunError),
    /// It went on, but more than rounding is missing or too much: none of its figures can be relied on.
    #[error("the run's books do not close: {0}")]
    Unclosed(Closure),
}

impl Failed {
    /// What to do about it, in one line.
    #[must_use]
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::Stopped(error) => error.remedy(),
            Self::Unclosed(_) => {
                "Do not rely on the figures of that lane: the program is at fault, not the scenario. Please report it with the scenario file."
            }
        }
    }
}

/// A run of all lanes.
#[derive(Clone, Debug, Default)]
pub struct Run {
    /// In the scenario's order.
    pub lanes: Vec<LaneRun>,
}

impl Run {
    /// Every event of every day.
    #[must_use]
    pub fn timetable(&self) -> Option<&Arc<Timetable>> {
        self.lanes.first().map(|l| &l.timetable)
    }

    /// Worst closure of the lanes, water and salt each.
    #[must_use]
    pub fn closure(&self) -> Closure {
        self.lanes.iter().map(LaneRun::closure).fold(Closure::default(), Closure::worse)
    }

    /// Worst water closure of the lanes.
    #[must_use]
    pub fn water_closure(&self) -> f64 {
        self.closure().water
    }

    /// Worst salt closure of the lanes.
    #[must_use]
    pub fn salt_closure(&self) -> f64 {
        self.closure().salt
    }
}

/// Runs ready lanes for whole days, side by side, keeping every step. The result does not depend on how many threads there are.
#[must_use]
pub fn run(lanes: &[Ready], days: u32) -> Run {
    let lanes = if lanes.len() < 2 { lanes.iter().map(|l| l.run(days)).collect() } else { lanes.par_iter().map(|l| l.run(days)).collect() };
    Run { lanes }
}
