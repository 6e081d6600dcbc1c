//! Whether a lane's day repeats itself when the schedule goes on, on which day it first does, and that day as a run of its own.

use std::sync::Arc;

use rayon::prelude::*;

use super::each_day::EachDay;
use super::feedback::{Until, settling};
use super::keep::{Keep, Often};
use super::lane::{Failed, LaneRun, Ready};
use super::recorder::Recorder;
use super::repeats::Settled;
use super::run_in::RunIns;
use super::series::Series;
use super::settling::{Found, Search};
use super::workshop::ReadyBench;
use crate::scenario::DAY_S;
use crate::scenario::plan::on_day;

/// Days looked ahead for one that repeats itself, wherever it is asked for: salt in a large root zone can take half a year.
pub const LOOK_AHEAD_DAYS: u32 = 366;

impl ReadyBench {
    /// Whether each lane's day repeats itself within [`LOOK_AHEAD_DAYS`]; lanes are run side by side, and nothing else is kept of them.
    #[must_use]
    pub fn settle(&self) -> Vec<Result<Settled, Failed>> {
        self.settle_while(&|| true).unwrap_or_default()
    }

    /// The same, given up when `go_on`, which is asked before each day, says no: `None`.
    #[must_use]
    pub fn settle_while(&self, go_on: &(dyn Fn() -> bool + Sync)) -> Option<Vec<Result<Settled, Failed>>> {
        if let Some(lanes) = self.together(go_on)? {
            return Some(lanes.into_iter().map(|(_, found)| found.told()).collect());
        }
        self.looking_ahead(go_on)?.par_iter().map(|lane| lane.settle_while(LOOK_AHEAD_DAYS, go_on)).collect()
    }

    /// The same with the day itself, lane by lane, so that a core is left for a window; see [`Ready::settled_day`].
    #[must_use]
    pub fn settled_days(&self, go_on: &dyn Fn() -> bool) -> Option<Vec<(Settled, LaneRun)>> {
        self.settled_days_within(LOOK_AHEAD_DAYS, go_on)
    }

    /// The same, given up after so many days run: the last of them is shown where nothing has settled by then.
    #[must_use]
    pub fn settled_days_within(&self, run_days: u32, go_on: &dyn Fn() -> bool) -> Option<Vec<(Settled, LaneRun)>> {
        if let Some(lanes) = self.together(go_on)? {
            return Some(lanes.into_iter().map(|(lane, found)| lane.day_found(found, run_days)).collect());
        }
        let one = |lane: &Ready| Some(lane.day_found(Search::new(lane, LOOK_AHEAD_DAYS).waiting(run_days).run(&go_on)?, run_days));
        self.looking_ahead(go_on)?.iter().map(one).collect()
    }

    /// The same with what is made of each day of the round that repeats itself (see [`Scenario::round_days`](crate::scenario::Scenario::round_days)),
    /// from the day found on, at most a year of them: it is handed the lane's index, its run, and the day, from 0 as days were run; given up after
    /// so many days run. `None` for a day that a run did not come to the end of.
    #[must_use]
    pub fn settled_rounds<T>(
        &self,
        of_day: impl Fn(usize, &LaneRun, usize) -> Option<T>,
        run_days: u32,
        go_on: &dyn Fn() -> bool,
    ) -> Option<Vec<(Settled, Vec<Option<T>>)>> {
        if let Some(lanes) = self.together(go_on)? {
            let one = |(i, (lane, found)): (usize, (Ready, Found))| lane.round_found(found, run_days, |run, day| of_day(i, run, day));
            return Some(lanes.into_iter().enumerate().map(one).collect());
        }
        let one = |(i, lane): (usize, &Ready)| {
            let found = Search::new(lane, LOOK_AHEAD_DAYS).waiting(run_days).run(&go_on)?;
            Some(lane.round_found(found, run_days, |run, day| of_day(i, run, day)))
        };
        self.looking_ahead(go_on)?.iter().enumerate().map(one).collect()
    }

    /// All lanes with what was found of them where a tank holds them together; the inner `None` where each is looked at by itself.
    fn together(&self, go_on: &dyn Fn() -> bool) -> Option<Option<Vec<(Ready, Found)>>> {
        if !settling::fits(self.scenario()) {
            return Some(None);
        }
        if self.is_to_run_in() {
            return self.run_in(&RunIns::default(), go_on)?.together(go_on);
        }
        let Some(all) = settling::settled(self.scenario(), self.untimed(), go_on)? else { return Some(None) };
        let found = |(dawn, closure)| Found { ended: Ok(Settled::OnDay(all.settles_on)), dawn, day: all.day, closure };
        Some(Some(self.timed_by(&all.timetables).into_iter().zip(all.dawn.into_iter().zip(all.closures).map(found)).collect()))
    }

    fn looking_ahead(&self, go_on: &dyn Fn() -> bool) -> Option<Vec<Ready>> {
        self.timed(Until { days: LOOK_AHEAD_DAYS, settled: true }, go_on)
    }
}

impl Ready {
    /// Finds the day that repeats itself and tells from about when on it does.
    ///
    /// # Errors
    /// [`Failed`] when a step does not converge, or when the books of the days run do not close.
    pub fn settle(&self, most_days: u32) -> Result<Settled, Failed> {
        self.settle_while(most_days, &|| true).unwrap_or(Ok(Settled::NotWithin(most_days)))
    }

    fn settle_while(&self, most_days: u32, go_on: &dyn Fn() -> bool) -> Option<Result<Settled, Failed>> {
        Some(Search::new(self, most_days).run(&go_on)?.told())
    }

    /// What is made of each day of the round found; see [`ReadyBench::settled_rounds`].
    fn round_found<T>(&self, found: Found, run_days: u32, of_day: impl Fn(&LaneRun, usize) -> Option<T>) -> (Settled, Vec<Option<T>>) {
        let mut simulation = self.resume(&found.dawn);
        let mut recorder = EachDay::of(self, of_day);
        recorder.see(&simulation);
        let end = found.day as usize + self.round.min(LOOK_AHEAD_DAYS as usize);
        let morning = self.timetable.first_start(end).unwrap_or(0.0);
        let stopped = simulation.advance_to(on_day(end, morning), |s| recorder.see(s)).is_err();
        recorder.over(&simulation);
        let mut made = recorder.kept();
        if stopped || found.ended.is_err() {
            made.push(None);
        }
        (found.ended.unwrap_or(Settled::NotWithin(run_days)), made)
    }

    /// The same with the day found, its clock set back so that it begins at 0 s; without a settled day, the last one run. It goes on to the
    /// next morning's first event, as [`Ready::run`] does. A run that stops carries its error. `go_on` is asked before each day; `None` when
    /// it said no.
    #[must_use]
    pub fn settled_day(&self, most_days: u32, go_on: impl Fn() -> bool) -> Option<(Settled, LaneRun)> {
        Some(self.day_found(Search::new(self, most_days).run(&go_on)?, most_days))
    }

    /// The day found, run once more with all that it goes through.
    fn day_found(&self, found: Found, most_days: u32) -> (Settled, LaneRun) {
        let mut simulation = self.resume(&found.dawn);
        let day = found.day;
        let mut series = Series::default();
        series.record(&simulation);
        let dawn = *simulation.ledger();
        let mut midnights = vec![dawn];
        let mut error = simulation.advance_to(f64::from(day + 1) * DAY_S, |s| series.record(s)).err();
        if error.is_none() {
            midnights.push(*simulation.ledger());
            let morning = self.timetable.first_start(day as usize + 1).map(|first| f64::from(day + 1) * DAY_S + first);
            error = morning.and_then(|at| simulation.advance_to(at, |s| series.record(s)).err());
        }
        let begin = f64::from(day) * DAY_S;
        for sample in &mut series.samples {
            sample.time_s -= begin;
        }
        for time_s in &mut series.profiles.time_s {
            *time_s -= begin;
        }
        let (name, column, run_in) = (self.name.clone(), Arc::clone(&self.column), self.run_in.clone());
        let timetable = Arc::new(self.timetable.of_day(day as usize));
        let (keep, stats, series) = (Keep::all(Often::Hours), simulation.stats(), Arc::new(series));
        let settled = found.ended.unwrap_or(Settled::NotWithin(most_days));
        (settled, LaneRun { name, column, run_in, timetable, series, midnights, stats, error, first_day: day as usize, keep })
    }
}

impl Found {
    /// Whether the day repeats itself, or why that cannot be told.
    fn told(self) -> Result<Settled, Failed> {
        match self.ended {
            Err(stopped) => Err(stopped.into()),
            Ok(_) if !self.closure.closes() => Err(Failed::Unclosed(self.closure)),
            Ok(settled) => Ok(settled),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::run::Workshop;
    use crate::scenario::presets::{Library, demos};

    #[test]
    fn the_settled_day_is_the_day_that_settle_finds() {
        let scenario = demos().remove(0).1;
        let ready = Workshop::default().ready(&scenario, &Library::shipped()).unwrap().for_its_days();
        for lane in &ready {
            let (settled, run) = lane.settled_day(400, || true).unwrap();
            assert_eq!(settled, lane.settle(400).unwrap());
            assert!(matches!(settled, Settled::OnDay(_)), "{settled:?}");
            assert!(run.closure().closes() && run.error.is_none());
            let (first, last) = (run.series.samples[0], run.series.samples[run.series.samples.len() - 1]);
            assert_eq!((first.time_s, last.time_s), (0.0, DAY_S + lane.timetable.first_start(0).unwrap()));
            assert_eq!(run.series.profiles.theta.len(), run.series.samples.len() * run.series.profiles.layers);
        }
        assert!(ready[0].settled_day(60, || false).is_none());
        assert_eq!(ready[0].settled_day(1, || true).unwrap().0, Settled::NotWithin(1));
    }
}
