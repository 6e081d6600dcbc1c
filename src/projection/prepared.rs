//! A scenario made ready and run: within a frame, or beside the frames with progress, what there is so far, and an end on request.

use std::cell::Cell;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

use super::{Figures, Projection, same_surroundings, since};
use crate::engine::run::feedback::{self, Until};
use crate::engine::run::keep::{Keep, Size};
use crate::engine::run::recording::Recordings;
use crate::engine::run::{LaneRun, Ready, ReadyBench, Run, Workshop};
use crate::figures::Measured;
use crate::scenario::presets::Library;
use crate::scenario::{Lane, Scenario};

/// Room for what is kept of a run, bytes: the run shown, the one that is computed meanwhile, one pinned and one tried fit into 300 MB
/// beside the program.
const ROOM: usize = 40_000_000;
/// Steps that a lane takes in a day, where it was not run before.
const STEPS_A_DAY: f64 = 350.0;
/// What there is so far is shown where the day shown is done before this share of the run.
const EARLY: f64 = 0.6;

/// Who waits for a run: told how far it is and what there is so far, and asked whether it is still wanted.
pub trait Waiting: Sync {
    /// Whether to go on.
    fn go_on(&self) -> bool {
        true
    }
    /// How far it is, 0–1, and what is being done.
    fn at(&self, _share: f64, _words: &str) {}
    /// Whether what there is so far is of use, and if so, takes it.
    fn so_far(&self, _projection: &dyn Fn() -> Projection) {}
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

/// A scenario made ready to run.
#[derive(Clone)]
pub struct Prepared {
    scenario: Arc<Scenario>,
    /// `None` when it cannot be run.
    bench: Option<ReadyBench>,
    troubles: Vec<String>,
    millis: f64,
}

/// A lane's run, with what was measured of its days where not every step is kept to take it from.
type Taken = (LaneRun, Vec<Option<Measured>>);

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

    /// Runs it, with the figures of a day (from 0, held within the scenario's days), which is kept in full. Lanes that stand as they did in another
    /// projection, under the same feed, light and schedule, are taken from it. `None` when it was given up.
    #[must_use]
    pub fn run(self, before: Option<&Projection>, day: usize, waiting: &dyn Waiting) -> Option<Projection> {
        let began = Instant::now();
        let days = (self.scenario.days as usize).max(1);
        let day = day.min(days - 1);
        let lanes = self.timed(waiting)?;
        let keep = Keep::within(ROOM, &size(&self.scenario, &lanes, before), day..day + 1);
        let known: Vec<Option<Taken>> = self.scenario.lanes.iter().zip(&lanes).map(|l| self.known(before, l, &keep)).collect();
        let fresh: Vec<Ready> = lanes.iter().zip(&known).filter(|k| k.1.is_none()).map(|k| k.0.clone()).collect();
        let of: Vec<&Lane> = self.scenario.lanes.iter().zip(&known).filter(|k| k.1.is_none()).map(|k| k.0).collect();
        let measured = |lane: &Lane, run: &LaneRun, day: usize| Measured::of(&self.scenario, lane, run, day);
        let figures = |index: usize, run: &LaneRun, day: usize| (!keep.is_all()).then(|| measured(of.get(index)?, run, day)).flatten();
        let mut recordings = Recordings::new(&fresh, &keep, &figures);
        let (all, done) = (days * fresh.len(), AtomicUsize::new(0));
        let words = format!("Computing {} × {}", counted(fresh.len(), "lane"), counted(days, "day"));
        let day_done = || {
            #[allow(clippy::cast_precision_loss)]
            waiting.at((done.fetch_add(1, Ordering::Relaxed) + 1) as f64 / all as f64, &words);
            waiting.go_on()
        };
        let whole = |(run, figures): (Run, Figures), troubles: Vec<String>, reached: usize| {
            let mut fresh = run.lanes.into_iter().zip(figures);
            let taken: Vec<Taken> = known.iter().filter_map(|k| k.clone().or_else(|| fresh.next())).collect();
            let (lanes, figures) = taken.into_iter().unzip();
            let millis = self.millis + since(began);
            let projection = Projection::judged(Arc::clone(&self.scenario), Run { lanes }, troubles, millis, None, day);
            projection.reaching(reached, (!keep.is_all()).then_some(figures))
        };
        #[allow(clippy::cast_precision_loss)]
        if ((day + 1) as f64) < EARLY * days as f64 {
            if !recordings.on_to(day + 1, &day_done) {
                return None;
            }
            waiting.so_far(&|| whole(recordings.so_far(day + 1), Vec::new(), day + 1));
        }
        recordings.on_to(days, &day_done).then(|| whole(recordings.finished(days), self.troubles.clone(), days))
    }

    /// A lane's run as another projection has it, with the figures of its days where not every step is kept to take them from.
    fn known(&self, before: Option<&Projection>, (lane, ready): (&Lane, &Ready), keep: &Keep) -> Option<Taken> {
        let same = before.filter(|b| b.settled.is_none() && b.is_whole() && same_surroundings(&b.scenario, &self.scenario))?;
        // A lane whose medium or crop was changed under its name has another column.
        let (index, _, run) = same.lanes().find(|(_, l, run)| *l == lane && Arc::ptr_eq(&run.column, &ready.column))?;
        if keep.is_all() {
            return run.kept.keep().is_all().then(|| (run.clone(), Vec::new()));
        }
        let taken = || (0..self.scenario.days as usize).map(|day| Measured::of(&self.scenario, lane, run, day)).collect();
        Some((run.clone(), same.figures_taken(index).unwrap_or_else(taken)))
    }

    /// Its lanes with the timetable of its days; none where it cannot be run, `None` when it was given up.
    fn timed(&self, waiting: &dyn Waiting) -> Option<Vec<Ready>> {
        let Some(bench) = &self.bench else { return Some(Vec::new()) };
        let (days, gone) = (self.scenario.days, AtomicUsize::new(0));
        let words = format!("Finding out what is given on {}", counted(days as usize, "day"));
        bench.timed(Until { days, settled: false }, &|| {
            if feedback::needed(&self.scenario) {
                #[allow(clippy::cast_precision_loss)]
                waiting.at(gone.fetch_add(1, Ordering::Relaxed) as f64 / f64::from(days + 1), &words);
            }
            waiting.go_on()
        })
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

/// How large a scenario's run is, by the steps that the run before it took.
#[allow(clippy::cast_precision_loss)]
fn size(scenario: &Scenario, lanes: &[Ready], before: Option<&Projection>) -> Size {
    let took = before.map(|b| &b.run.lanes).and_then(|runs| {
        let days: usize = runs.iter().map(LaneRun::days).sum();
        let steps: u64 = runs.iter().map(|l| l.stats.steps).sum();
        (days > 0).then(|| steps as f64 / days as f64)
    });
    let timetable = lanes.first().map(|l| &l.timetable);
    let events = timetable.map_or(0, |t| t.days().iter().map(|d| d.events.len()).max().unwrap_or(0));
    Size {
        lanes: lanes.len(),
        days: scenario.days as usize,
        layers: lanes.iter().map(|l| l.column.len()).sum(),
        // A change can make it harder.
        steps_a_day: took.unwrap_or(STEPS_A_DAY).max(STEPS_A_DAY),
        events_a_day: events as f64,
    }
}

/// So many of a thing, in words.
fn counted(n: usize, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}
