//! A scenario made ready and run: within a frame, or beside the frames with progress, what there is so far, and an end on request.

use std::cell::Cell;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, OnceLock};
use std::time::Instant;

use super::{Open, Projection, since};
use crate::engine::column::made_from::built_alike;
use crate::engine::run::feedback;
use crate::engine::run::keep::Size;
use crate::engine::run::{LaneRun, OpenRun, ReadyBench, Run, Workshop};
use crate::figures::Measured;
use crate::scenario::presets::Library;
use crate::scenario::{Lane, Scenario};

/// Room for what is kept of a run, bytes: the run shown, the one that is computed meanwhile, one pinned and one tried fit into 300 MB
/// beside the program.
const ROOM: usize = 40_000_000;
/// Steps that a lane takes in a day, where it was not run before.
const STEPS_A_DAY: f64 = 350.0;

/// Who waits for a run: told how far it is and what there is so far, and asked whether it is still wanted.
pub trait Waiting: Sync {
    /// Whether to go on.
    fn go_on(&self) -> bool {
        true
    }
    /// Whether lanes may begin as they did in the projection before, where what they are run in by changed: a drag does not wait for it.
    fn lends_start(&self) -> bool {
        false
    }
    /// How far it is, 0–1, and what is being done.
    fn at(&self, _share: f64, _words: &str) {}
    /// Whether what there is after so many days of all is of use: then it is told.
    fn wants_so_far(&self, _days: usize, _of: usize) -> bool {
        false
    }
    /// Takes what there is so far.
    fn so_far(&self, _projection: Projection) {}
}

thread_local! {
    static RUNS: Cell<u64> = const { Cell::new(0) };
}

/// Runs that were made ready or computed on this thread so far: a window must not wait for long ones.
#[must_use]
pub fn runs_here() -> u64 {
    RUNS.get()
}

/// One who waits for the end, whatever it takes.
pub struct Patient;

impl Waiting for Patient {}

/// One who waits for the first days, and no longer.
pub struct Hasty {
    days: usize,
    lends_start: bool,
    found: OnceLock<Projection>,
}

impl Hasty {
    /// One who waits for so many days, or for all where there are no more. `lends_start`: lanes may begin as they did before.
    #[must_use]
    pub fn new(days: usize, lends_start: bool) -> Self {
        Self { days, lends_start, found: OnceLock::new() }
    }

    /// Those days, if there are more.
    #[must_use]
    pub fn first_days(self) -> Option<Projection> {
        self.found.into_inner()
    }
}

impl Waiting for Hasty {
    fn go_on(&self) -> bool {
        self.found.get().is_none()
    }

    fn lends_start(&self) -> bool {
        self.lends_start
    }

    fn wants_so_far(&self, days: usize, of: usize) -> bool {
        days < of && self.days < of
    }

    fn so_far(&self, projection: Projection) {
        // It is told once.
        let _ = self.found.set(projection);
    }
}

/// A scenario made ready to run.
#[derive(Clone)]
pub struct Prepared {
    scenario: Arc<Scenario>,
    /// `None` when it cannot be run.
    bench: Option<ReadyBench>,
    troubles: Vec<String>,
    millis: f64,
}

impl Prepared {
    /// Checks a scenario and makes its lanes ready.
    #[must_use]
    pub fn new(scenario: Arc<Scenario>, workshop: &mut Workshop, library: &Library) -> Self {
        RUNS.set(RUNS.get() + 1);
        let began = Instant::now();
        let mut troubles: Vec<String> = scenario.validate(library).iter().map(ToString::to_string).collect();
        let mut bench = None;
        if troubles.is_empty() {
            match workshop.ready(&scenario, library) {
                Ok(ready) => bench = Some(ready),
                Err(e) => troubles.push(e.to_string()),
            }
        }
        Self { scenario, bench, troubles, millis: since(began) }
    }

    /// Runs it, with the figures of a day (from 0, held within the scenario's days), which is kept in full. What is the same in another projection is
    /// taken from it: of every lane whatever came before the first instant that can be another. The day shown comes first where that is of use.
    /// `None` when it was given up.
    #[must_use]
    pub fn run(self, before: Option<&Projection>, day: usize, waiting: &dyn Waiting) -> Option<Projection> {
        let began = Instant::now();
        let Some(bench) = &self.bench else {
            return Some(Projection::judged(self.scenario, Run::default(), self.troubles, self.millis, None, day));
        };
        let (days, before) = (self.scenario.days, before.filter(|b| b.settled.is_none()));
        let count = days as usize;
        let day = day.min(count.saturating_sub(1));
        let open = before.map_or_else(Open::default, |b| Open::clone(&b.open));
        let (begun, begins_as_before) = self.begun(bench, &open, waiting)?;
        let bench = begun.as_ref().unwrap_or(bench);
        let keep = open.keep().fitted(ROOM, &size(bench, before), day..day + 1);
        let lanes = &self.scenario.lanes;
        let figures = |index: usize, run: &LaneRun, day: usize| Measured::of(&self.scenario, lanes.get(index)?, run, day);
        let mut open = open.turned_to(bench, &keep, days, &figures, &self.finding_out(waiting))?;
        let left: Vec<usize> = open.lanes().map(|lane| count.saturating_sub(lane.run().days())).filter(|left| *left > 0).collect();
        let (all, done) = (left.iter().sum::<usize>(), AtomicUsize::new(0));
        let words = format!("Computing {} × {}", counted(left.len(), "lane"), counted(left.iter().copied().max().unwrap_or(0), "day"));
        let next_day = || {
            #[allow(clippy::cast_precision_loss)]
            waiting.at(done.fetch_add(1, Ordering::Relaxed) as f64 / all.max(1) as f64, &words);
            waiting.go_on()
        };
        let shown = |open: &Open, reached: usize| {
            let millis = self.millis + since(began);
            let projection = Projection::judged(Arc::clone(&self.scenario), open.run(), Vec::new(), millis, None, day);
            Projection { begins_as_before, ..projection.reaching(reached, open.clone()) }
        };
        let is_there = open.lanes().all(|lane| lane.run().days() > day);
        if !is_there && waiting.wants_so_far(day + 1, count) {
            if !open.on_to(u32::try_from(day + 1).unwrap_or(days), &figures, &next_day) {
                return None;
            }
            waiting.so_far(shown(&open, day + 1));
        }
        open.on_to(days, &figures, &next_day).then(|| shown(&open, count))
    }

    /// The bench with its lanes where they begin, where they are not there yet: run in, or as they began before. In its second place whether it is
    /// the latter.
    fn begun(&self, bench: &ReadyBench, open: &Open, waiting: &dyn Waiting) -> Option<(Option<ReadyBench>, bool)> {
        if !bench.is_to_run_in() {
            return Some((None, false));
        }
        if let Some(known) = bench.run_in_as_known(open.run_ins()) {
            return Some((Some(known), false));
        }
        let alike = || open.described().zip(&self.scenario.lanes).all(|(then, now)| lends(then, now));
        if waiting.lends_start() && open.lanes().len() == self.scenario.lanes.len() && alike() {
            let others = open.lanes().map(OpenRun::ready);
            if let Some(lent) = bench.beginning_as(others) {
                return Some((Some(lent), true));
            }
        }
        let lanes = self.scenario.lanes.iter().filter(|lane| lane.start.run_in_days.is_some()).count();
        let days: u32 = self.scenario.lanes.iter().filter_map(|lane| lane.start.run_in_days).sum();
        let (words, done) = (format!("Running {} in", counted(lanes, "lane")), AtomicUsize::new(0));
        let next_day = || {
            #[allow(clippy::cast_precision_loss)]
            waiting.at((done.fetch_add(1, Ordering::Relaxed) as f64 / f64::from(days.max(1))).min(1.0), &words);
            waiting.go_on()
        };
        Some((Some(bench.run_in_beside(open.run_ins(), &next_day)?), false))
    }

    /// Asked before each day that what happens on it is found out.
    fn finding_out(&self, waiting: &dyn Waiting) -> impl Fn() -> bool {
        let gone = Cell::new(0_u32);
        let words = format!("Finding out what is given on {}", counted(self.scenario.days as usize, "day"));
        move || {
            if feedback::needed(&self.scenario) {
                waiting.at(f64::from(gone.replace(gone.get() + 1)) / f64::from(self.scenario.days + 1), &words);
            }
            waiting.go_on()
        }
    }
}

impl Projection {
    /// Runs a scenario and takes the figures of a day (from 0, held within the scenario's days).
    #[must_use]
    pub fn of(scenario: Arc<Scenario>, workshop: &mut Workshop, library: &Library, day: usize) -> Self {
        let prepared = Prepared::new(Arc::clone(&scenario), workshop, library);
        prepared.run(None, day, &Patient).unwrap_or_else(|| Self::waiting(scenario))
    }
}

/// Whether a lane may begin as another did that stood in its place: in the same column, and told to begin alike.
pub(super) fn lends(then: &Lane, now: &Lane) -> bool {
    built_alike(then, now) && then.start == now.start
}

/// How large a bench's run is, by the steps and events that the run before it took.
#[allow(clippy::cast_precision_loss)]
fn size(bench: &ReadyBench, before: Option<&Projection>) -> Size {
    let runs = before.map_or(&[][..], |b| &b.run.lanes);
    let days: usize = runs.iter().map(LaneRun::days).sum();
    let steps: u64 = runs.iter().map(|l| l.stats.steps).sum();
    let took = if days > 0 { steps as f64 / days as f64 } else { 0.0 };
    let scenario = bench.scenario();
    let called = runs.iter().flat_map(|l| l.timetable.days().iter().map(|d| d.events.len())).max().unwrap_or(0);
    let events = scenario.plans().into_iter().map(|plan| scenario.events(plan).len()).max().unwrap_or(0).max(called);
    Size {
        lanes: scenario.lanes.len(),
        days: scenario.days as usize,
        layers: bench.columns().map(|column| column.len()).sum(),
        // A change can make it harder.
        steps_a_day: took.max(STEPS_A_DAY),
        events_a_day: events as f64,
        by_midnights: feedback::needed(scenario),
    }
}

/// So many of a thing, in words.
fn counted(n: usize, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}
