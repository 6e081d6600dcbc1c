//! What a bench shows, computed without a window: its run, the figures of a day judged and explained, what each day comes to, what a
//! change did, and where a figure comes from.
//!
//! Window, table and JSON are all handed a [`Projection`] and put no figure together themselves.

pub mod aim_words;
pub mod change;
pub mod day_summary;
pub mod effort;
pub mod lane_report;
pub mod origin;
pub mod prepared;
pub mod probe_mark;
pub mod pump_words;
pub mod settled;

use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, OnceLock};
use std::time::Instant;

pub use self::day_summary::DaySummary;
pub use self::lane_report::LaneReport;
use crate::engine::column::capacity::container_capacity;
use crate::engine::run::{LaneRun, OpenBench, Run, Settled};
use crate::engine::supply::timetable::{PumpDay, Timetable};
use crate::figures::Measured;
use crate::figures::day_state::day_state;
use crate::scenario::{DAY_S, Event, Lane, Scenario};

/// A scenario with everything that was computed from it.
#[derive(Clone, Debug)]
pub struct Projection {
    /// What was run.
    pub scenario: Arc<Scenario>,
    /// The run; without lanes when the scenario cannot be run, or was not run yet. It is shared by all that show it.
    pub run: Arc<Run>,
    /// The day that `reports` are of, from 0.
    pub day: usize,
    /// Per lane; `None` for a lane that did not reach the day's end.
    pub reports: Vec<Option<LaneReport>>,
    /// Container capacity per lane, m³/m³.
    pub capacities: Vec<f64>,
    /// Why the scenario could not be run, or why a lane stopped; empty when all is well.
    pub troubles: Vec<String>,
    /// What making ready and running took, ms.
    pub millis: f64,
    /// When each lane settled, if this is the settled day: then the run is that one day.
    pub settled: Option<Vec<Settled>>,
    /// Days that were run; fewer than there are while it is being computed.
    pub reached: usize,
    /// Its lanes begin as those of the projection before did, not as days like their own first leave them: those are still to be run.
    pub begins_as_before: bool,
    /// Tells what was run from anything else that was.
    pub stamp: u64,
    /// What it was run with, so that it can be taken up where something changed: with the figures of each day of each lane, where not every step
    /// is kept to take them from.
    open: Arc<Open>,
    /// What each day comes to, once it was asked for.
    summaries: Arc<Vec<OnceLock<DaySummary>>>,
    /// When each day is light, once it was asked for.
    lit: Arc<Vec<OnceLock<Lit>>>,
}

/// A run that can be taken up, with the figures of its days.
type Open = OpenBench<Option<Measured>>;
/// When a day is light, as stretches in s from its midnight.
type Lit = Vec<(f64, f64)>;

/// A number that no other run has.
fn stamp() -> u64 {
    static NEXT: AtomicU64 = AtomicU64::new(0);
    NEXT.fetch_add(1, Ordering::Relaxed)
}

fn since(began: Instant) -> f64 {
    began.elapsed().as_secs_f64() * 1e3
}

impl Projection {
    /// A scenario that was not run yet.
    #[must_use]
    pub fn waiting(scenario: Arc<Scenario>) -> Self {
        Self::judged(scenario, Run::default(), Vec::new(), 0.0, None, usize::MAX).reaching(0, Open::default())
    }

    /// Whether it was not run yet: there is nothing to show.
    #[must_use]
    pub fn is_waiting(&self) -> bool {
        self.reached == 0 && self.troubles.is_empty()
    }

    /// Whether all its days were run, and its run-in.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.reached == self.scenario.days as usize && !self.begins_as_before
    }

    fn reaching(mut self, reached: usize, open: Open) -> Self {
        (self.reached, self.open) = (reached, Arc::new(open));
        self.show_day(self.day);
        self
    }

    /// Whether every step of a day (from 0) is there, in every lane.
    #[must_use]
    pub fn in_full(&self, day: usize) -> bool {
        self.run.lanes.iter().all(|l| l.keep.in_full(day))
    }

    /// The same with a day (from 0) in full in place of the one that was, run again from some midnight before it; `None` when `go_on` said no.
    #[must_use]
    pub fn with_in_full(&self, day: usize, go_on: &(dyn Fn() -> bool + Sync)) -> Option<Self> {
        let open = self.open.with_in_full(&(day..day + 1), go_on)?;
        Some(Self { run: Arc::new(open.run()), open: Arc::new(open), stamp: stamp(), ..self.clone() })
    }

    /// A run of a scenario's days, as it was made elsewhere, with the figures of the last day.
    #[must_use]
    pub fn of_run(scenario: Arc<Scenario>, run: Run) -> Self {
        Self::judged(scenario, run, Vec::new(), 0.0, None, usize::MAX)
    }

    /// The settled day of a scenario, as it was run.
    #[must_use]
    pub fn of_settled(scenario: Arc<Scenario>, run: Run, settled: Vec<Settled>, millis: f64) -> Self {
        Self::judged(scenario, run, Vec::new(), millis, Some(settled), 0)
    }

    fn judged(
        scenario: Arc<Scenario>,
        run: Run,
        mut troubles: Vec<String>,
        millis: f64,
        settled: Option<Vec<Settled>>,
        day: usize,
    ) -> Self {
        let stopped = |l: &LaneRun| l.error.as_ref().map(|e| format!("{}: {e}. {}", l.name, e.remedy()));
        troubles.extend(run.lanes.iter().filter_map(stopped));
        let capacities = run.lanes.iter().map(|l| container_capacity(&l.column)).collect();
        let reached = scenario.days as usize;
        let mut projection = Self {
            scenario,
            run: Arc::new(run),
            day: 0,
            reports: Vec::new(),
            capacities,
            troubles,
            millis,
            settled,
            reached,
            begins_as_before: false,
            stamp: stamp(),
            open: Arc::default(),
            summaries: Arc::default(),
            lit: Arc::default(),
        };
        projection.summaries = Arc::new((0..projection.days()).map(|_| OnceLock::new()).collect());
        projection.lit = Arc::new((0..projection.days()).map(|_| OnceLock::new()).collect());
        projection.show_day(day);
        projection
    }

    /// Takes the figures of another day.
    pub fn show_day(&mut self, day: usize) {
        self.day = day.min(self.days() - 1);
        self.reports = self.reports_of(self.day);
    }

    /// The figures of a day (from 0), per lane; `None` for a lane that did not reach its end.
    #[must_use]
    pub fn reports_of(&self, day: usize) -> Vec<Option<LaneReport>> {
        let report = |(index, lane, run): (usize, &Lane, &LaneRun)| {
            if run.keep.is_all() {
                return LaneReport::of(&self.scenario, lane, run, day);
            }
            let figures = self.open.lane(index)?.made().get(day)?.clone()?;
            Some(LaneReport::with(figures, &self.scenario, lane, run))
        };
        self.lanes().map(report).collect()
    }

    /// What a day (from 0, below [`days`](Self::days)) comes to; `None` past what was run. It is computed when it is first asked for:
    /// of a run of a year only the days that are looked at.
    #[must_use]
    pub fn day_summary(&self, day: usize) -> Option<&DaySummary> {
        let kept = self.summaries.get(day).filter(|_| self.settled.is_some() || day < self.reached)?;
        Some(kept.get_or_init(|| self.summarised(day)))
    }

    /// Days whose summary has been asked for.
    #[must_use]
    pub fn days_summarised(&self) -> usize {
        self.summaries.iter().filter(|s| s.get().is_some()).count()
    }

    fn summarised(&self, day: usize) -> DaySummary {
        let reports = if day == self.day { self.reports.clone() } else { self.reports_of(day) };
        let figures = reports.iter().map(|r| r.as_ref().map(|r| (&r.figures, &r.aims)));
        let short = (0..self.scenario.valves.len()).filter_map(|valve| self.pump_day(valve, day)).map(|d| d.short).sum();
        let state = day_state(figures).with_tank(short);
        let unclosed = self.run.lanes.iter().position(|l| !l.closure().closes());
        let state = state.with_unclosed(unclosed);
        DaySummary { light: self.scenario.day_light(self.day_of_bench(day)), reports, state }
    }

    /// Days that were run and can be shown, at least 1.
    #[must_use]
    pub fn days(&self) -> usize {
        if self.settled.is_some() { 1 } else { (self.scenario.days as usize).max(1) }
    }

    /// Days that the longest of its lanes took: more than can be shown where it is the settled day.
    #[must_use]
    pub fn days_run(&self) -> usize {
        let on = |s: &Settled| match s {
            Settled::OnDay(day) | Settled::NotWithin(day) => *day as usize,
        };
        self.settled.as_ref().map_or_else(|| self.days(), |lanes| lanes.iter().map(on).max().unwrap_or(1))
    }

    /// The day of the bench (from 0) that a day of this projection is: of a settled day, the one it is kept from.
    #[must_use]
    pub fn day_of_bench(&self, day: usize) -> usize {
        // Of a settled day a lane that stopped is kept from the day on which it did.
        let lanes = &self.run.lanes;
        lanes.iter().find(|lane| lane.error.is_none()).or(lanes.first()).map_or(0, |lane| lane.first_day) + day
    }

    /// When it is light on a day shown (from 0), as stretches in s from its midnight.
    #[must_use]
    pub fn lit(&self, day: usize) -> &[(f64, f64)] {
        // A log may have many rows, and every track asks in every frame.
        self.lit.get(day).map_or(&[], |lit| lit.get_or_init(|| self.scenario.lit(self.day_of_bench(day))))
    }

    /// Midnight before the day shown, s since the start of the run.
    #[must_use]
    pub fn midnight_s(&self) -> f64 {
        #[allow(clippy::cast_precision_loss)]
        let day = self.day as f64;
        day * DAY_S
    }

    /// The timetable of a valve: what its lanes got; `None` where nothing could be run.
    #[must_use]
    pub fn timetable(&self, valve: usize) -> Option<&Timetable> {
        let mut on = self.scenario.lanes_on(valve);
        on.find_map(|(i, _)| self.run.lanes.get(i)).map(|run| &*run.timetable)
    }

    /// Events that a valve gives on a day, from 0, whatever called for them.
    #[must_use]
    pub fn events(&self, valve: usize, day: usize) -> &[Event] {
        self.timetable(valve).map_or(&[], |t| t.events(day))
    }

    /// A day of a valve's timetable, from 0; `None` where nothing could be run.
    #[must_use]
    pub fn pump_day(&self, valve: usize, day: usize) -> Option<&PumpDay> {
        self.timetable(valve)?.day(day).map(|d| &**d)
    }

    /// Lanes with their index, description and run.
    pub fn lanes(&self) -> impl Iterator<Item = (usize, &Lane, &LaneRun)> {
        self.scenario.lanes.iter().zip(&self.run.lanes).enumerate().map(|(i, (lane, run))| (i, lane, run))
    }
}
