//! What a bench shows, computed without a window: its run, the figures of a day judged and explained, what each day comes to, what a
//! change did, and where a figure comes from.
//!
//! Window, table and JSON are all handed a [`Projection`] and put no figure together themselves.

pub mod aim_words;
pub mod change;
pub mod day_summary;
pub mod lane_report;
pub mod origin;
pub mod settled;

use std::sync::{Arc, OnceLock};
use std::time::Instant;

pub use self::day_summary::DaySummary;
pub use self::lane_report::LaneReport;
use crate::engine::column::capacity::container_capacity;
use crate::engine::run::feedback;
use crate::engine::run::{LaneRun, Ready, ReadyBench, Run, Settled, Workshop, run};
use crate::engine::supply::timetable::PumpDay;
use crate::figures::day_state::day_state;
use crate::scenario::presets::Library;
use crate::scenario::{DAY_S, Event, Lane, Scenario};

/// A scenario with everything that was computed from it.
#[derive(Clone, Debug)]
pub struct Projection {
    /// What was run.
    pub scenario: Arc<Scenario>,
    /// The run; without lanes when the scenario cannot be run.
    pub run: Run,
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
    /// What each day comes to, once it was asked for.
    summaries: Vec<OnceLock<DaySummary>>,
    /// When each day is light, once it was asked for.
    lit: Vec<OnceLock<Vec<(f64, f64)>>>,
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

    /// How much there is to compute: layers times days.
    #[must_use]
    pub fn work(&self) -> usize {
        let layers: usize = self.bench.iter().flat_map(ReadyBench::columns).map(|c| c.len()).sum();
        // What hangs on what happens is run three times: looked ahead, found out, and shown.
        layers * self.scenario.days as usize * if feedback::needed(&self.scenario) { 3 } else { 1 }
    }

    /// Runs it. Lanes that stand as they did in another projection, under the same feed, light and schedule, are taken from it.
    #[must_use]
    pub fn run(self, before: Option<&Projection>, day: usize) -> Projection {
        let began = Instant::now();
        let before = before.filter(|b| b.settled.is_none() && same_surroundings(&b.scenario, &self.scenario));
        let lanes = self.bench.as_ref().map_or_else(Vec::new, ReadyBench::for_its_days);
        // A lane whose medium or crop was changed under its name has another column.
        let same = |run: &LaneRun, ready: &Ready| Arc::ptr_eq(&run.column, &ready.column);
        let known = |(lane, ready): (&Lane, &Ready)| {
            before?.lanes().find(|(_, l, run)| *l == lane && same(run, ready)).map(|(.., run)| run.clone())
        };
        let known: Vec<Option<LaneRun>> = self.scenario.lanes.iter().zip(&lanes).map(known).collect();
        let fresh: Vec<Ready> = lanes.iter().zip(&known).filter(|k| k.1.is_none()).map(|k| k.0.clone()).collect();
        let mut fresh = run(&fresh, self.scenario.days).lanes.into_iter();
        let lanes = known.into_iter().filter_map(|k| k.or_else(|| fresh.next())).collect();
        Projection::judged(self.scenario, Run { lanes }, self.troubles, self.millis + since(began), None, day)
    }
}

/// Whether two scenarios differ in their lanes only, and no lane hangs on another.
fn same_surroundings(a: &Scenario, b: &Scenario) -> bool {
    let around = |s: &Scenario| (s.days, s.light, s.evaporation_mm_per_day, s.feed.ec, s.solver);
    let pump = |s: &Scenario| (s.schedule.clone(), s.rules.clone(), s.changes.clone());
    around(a) == around(b) && a.climate == b.climate && pump(a) == pump(b) && !feedback::needed(a) && !feedback::needed(b)
}

fn since(began: Instant) -> f64 {
    began.elapsed().as_secs_f64() * 1e3
}

impl Projection {
    /// Runs a scenario and takes the figures of a day (from 0, held within the scenario's days).
    #[must_use]
    pub fn of(scenario: Arc<Scenario>, workshop: &mut Workshop, library: &Library, day: usize) -> Self {
        Prepared::new(scenario, workshop, library).run(None, day)
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
        let stopped = |l: &LaneRun| l.error.as_ref().map(|e| format!("{}: {e}", l.name));
        troubles.extend(run.lanes.iter().filter_map(stopped));
        let capacities = run.lanes.iter().map(|l| container_capacity(&l.column)).collect();
        let mut projection = Self {
            scenario,
            run,
            day: 0,
            reports: Vec::new(),
            capacities,
            troubles,
            millis,
            settled,
            summaries: Vec::new(),
            lit: Vec::new(),
        };
        projection.summaries.resize_with(projection.days(), OnceLock::new);
        projection.lit.resize_with(projection.days(), OnceLock::new);
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
        self.lanes().map(|(_, lane, run)| LaneReport::of(&self.scenario, lane, run, day)).collect()
    }

    /// What a day (from 0, below [`days`](Self::days)) comes to; `None` past the run. It is computed when it is first asked for:
    /// of a run of a year only the days that are looked at.
    #[must_use]
    pub fn day_summary(&self, day: usize) -> Option<&DaySummary> {
        let kept = self.summaries.get(day)?;
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
        let short = self.pump_day(day).map_or(0, |d| d.short);
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
        self.run.lanes.first().map_or(0, |lane| lane.first_day) + day
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

    /// Events of a day, from 0, whatever called for them.
    #[must_use]
    pub fn events(&self, day: usize) -> &[Event] {
        self.run.timetable().map_or(&[], |t| t.events(day))
    }

    /// A day of the timetable, from 0; `None` where nothing could be run.
    #[must_use]
    pub fn pump_day(&self, day: usize) -> Option<&PumpDay> {
        self.run.timetable()?.day(day).map(|d| &**d)
    }

    /// What each lane's probe, or else its container, reads at midday of the day shown, m³/m³; half where nothing was run.
    #[must_use]
    pub fn midday_readings(&self) -> Vec<f64> {
        let noon = self.midnight_s() + 0.5 * DAY_S;
        let read = |run: &LaneRun| run.series.at(noon).map_or(0.5, |s| s.probe.unwrap_or(s.water_content));
        self.run.lanes.iter().map(read).collect()
    }

    /// Lanes with their index, description and run.
    pub fn lanes(&self) -> impl Iterator<Item = (usize, &Lane, &LaneRun)> {
        self.scenario.lanes.iter().zip(&self.run.lanes).enumerate().map(|(i, (lane, run))| (i, lane, run))
    }
}
