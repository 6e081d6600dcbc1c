//! Lanes that are run and recorded: day by day, as much of each kept as was asked for, given up when nobody waits any more, and looked at
//! on the way.

use std::ops::Range;
use std::sync::Arc;

use rayon::prelude::*;

use super::keep::{Keep, Kept, Stand};
use super::lane::{LaneRun, Ready, Run};
use super::series::Series;
use super::simulation::Simulation;
use crate::scenario::plan::on_day;

/// What is made of a lane's day (by its index, both from 0) while every step of it is there, with the next morning up to its first event.
pub type OfDay<'a, D> = &'a (dyn Fn(usize, &LaneRun, usize) -> D + Sync);

/// Whether to go on; asked after every day of every lane.
pub type GoOn<'a> = &'a (dyn Fn() -> bool + Sync);

/// A lane that is being run and recorded, day by day.
struct Recording<'a, D> {
    index: usize,
    simulation: Simulation,
    run: LaneRun,
    of_day: OfDay<'a, D>,
    of_days: Vec<D>,
    stands: Vec<Stand>,
    /// The first sample of the day before, which is still there in full.
    from: usize,
}

impl<'a, D> Recording<'a, D> {
    /// A lane at its first midnight.
    fn new(index: usize, lane: &Ready, keep: &Keep, of_day: OfDay<'a, D>) -> Self {
        let simulation = lane.simulation();
        let mut series = Series::default();
        series.record(&simulation);
        let run = LaneRun {
            name: lane.name.clone(),
            column: Arc::clone(&lane.column),
            timetable: Arc::clone(&lane.timetable),
            series,
            midnights: vec![*simulation.ledger()],
            stats: simulation.stats(),
            error: None,
            first_day: 0,
            kept: Kept { keep: keep.clone(), stands: Arc::default() },
        };
        Self { index, simulation, run, of_day, of_days: Vec::new(), stands: Vec::new(), from: 0 }
    }

    /// Runs on until so many days are done, or until it stops. `go_on` is asked after every day; false when it said no.
    fn on_to(&mut self, days: usize, go_on: GoOn<'_>) -> bool {
        while self.run.error.is_none() && self.run.days() < days {
            let day = self.run.days();
            if day.is_multiple_of(self.run.kept.keep.stands_every) && !self.run.kept.keep.is_all() {
                self.stands.push(Stand { day, simulation: self.simulation.clone() });
            }
            self.run_to(on_day(day + 1, 0.0));
            if self.run.error.is_none() {
                self.run.midnights.push(*self.simulation.ledger());
            }
            // With this day's morning all is there of the day before.
            if day > 0 {
                self.look_at(day - 1);
            }
            if !go_on() {
                return false;
            }
        }
        true
    }

    fn run_to(&mut self, until_s: f64) {
        let series = &mut self.run.series;
        self.run.error = self.simulation.advance_to(until_s, |s| series.record(s)).err();
        self.run.stats = self.simulation.stats();
    }

    /// Makes of a day what is to be made of it, and keeps of it what is to be kept.
    fn look_at(&mut self, day: usize) {
        self.of_days.push((self.of_day)(self.index, &self.run, day));
        let keep = self.run.kept.keep.clone();
        self.from = if keep.full.contains(&day) {
            self.run.series.samples.partition_point(|s| s.time_s < on_day(day + 1, 0.0))
        } else {
            thin(&mut self.run, &keep, day, self.from)
        };
    }

    /// What was run up to the end of so many days, and what was made of each of them: on to the next morning's first event, which ends the
    /// last night's dry-back.
    fn finished(mut self, days: usize) -> (LaneRun, Vec<D>) {
        if let (None, Some(first)) = (&self.run.error, self.run.timetable.first_start(days)) {
            self.run_to(on_day(days, first));
        }
        for day in self.of_days.len()..days {
            self.look_at(day);
        }
        self.run.kept.stands = Arc::new(self.stands);
        (self.run, self.of_days)
    }
}

impl<D: Clone> Recording<'_, D> {
    /// The same as it stands now, after so many days.
    fn so_far(&self, days: usize) -> (LaneRun, Vec<D>) {
        let copy = Self {
            index: self.index,
            simulation: self.simulation.clone(),
            run: self.run.clone(),
            of_day: self.of_day,
            of_days: self.of_days.clone(),
            stands: self.stands.clone(),
            from: self.from,
        };
        copy.finished(days)
    }
}

/// Keeps of a day (from 0), whose first sample is the one `from`, only what is to be kept of days that are not kept in full. Tells which sample
/// the next day then begins with.
fn thin(run: &mut LaneRun, keep: &Keep, day: usize, from: usize) -> usize {
    let (midnight, end) = (on_day(day, 0.0), on_day(day + 1, 0.0));
    let events = if keep.starts { run.timetable.events(day) } else { &[] };
    let starts: Vec<f64> = events.iter().map(|e| midnight + e.start_s()).collect();
    let samples = &mut run.series.samples;
    let until = from + samples.get(from..).map_or(0, |rest| rest.partition_point(|s| s.time_s < end));
    let (mut place, mut last_s) = (from, f64::NEG_INFINITY);
    for i in from..until {
        let Some(sample) = samples.get(i).copied() else { break };
        let begins = || starts.iter().any(|s| (s - sample.time_s).abs() < 1e-6);
        if sample.time_s <= midnight || sample.time_s - last_s >= keep.every_s || begins() {
            last_s = sample.time_s;
            if let Some(kept) = samples.get_mut(place) {
                *kept = sample;
            }
            place += 1;
        }
    }
    samples.drain(place..until);
    // The midnight that ends a day in full belongs to that, too.
    let ends_full = day > 0 && keep.full.contains(&(day - 1));
    run.series.profiles.leave_out(|t| (if ends_full { t > midnight } else { t >= midnight }) && t < end);
    place
}

impl LaneRun {
    /// The same run with these days (from 0) in full in place of those that were: they are run again from the last midnight at which the lane
    /// was kept as it stood. `go_on` is asked after every day; `None` when it said no.
    #[must_use]
    pub fn with_in_full(&self, days: Range<usize>, go_on: GoOn<'_>) -> Option<Self> {
        let keep = self.kept.keep.with(days.clone());
        let stand = self.kept.stands.iter().rev().find(|s| s.day <= days.start);
        let (Some(stand), false) = (stand, keep == self.kept.keep) else { return Some(self.clone()) };
        let mut simulation = stand.simulation.clone();
        for day in stand.day..days.start {
            // A lane that stops does so where it stopped before.
            if simulation.advance_to(on_day(day + 1, 0.0), |_| {}).is_err() {
                return Some(self.clone());
            }
            if !go_on() {
                return None;
            }
        }
        let mut seen = Series::default();
        seen.record(&simulation);
        for day in days.clone() {
            if simulation.advance_to(on_day(day + 1, 0.0), |s| seen.record(s)).is_err() {
                break;
            }
            if !go_on() {
                return None;
            }
        }
        let mut run = self.clone();
        for day in self.kept.keep.full.clone().filter(|day| !days.contains(day) && *day < self.midnights.len()) {
            let from = run.series.samples.partition_point(|s| s.time_s < on_day(day, 0.0));
            thin(&mut run, &keep, day, from);
        }
        run.kept.keep = keep;
        run.series.put(seen);
        Some(run)
    }
}

/// Lanes that are run and recorded side by side. The result does not depend on how many threads there are.
pub struct Recordings<'a, D>(Vec<Recording<'a, D>>);

impl<'a, D: Send> Recordings<'a, D> {
    /// Lanes at their first midnight.
    #[must_use]
    pub fn new(lanes: &[Ready], keep: &Keep, of_day: OfDay<'a, D>) -> Self {
        Self(lanes.iter().enumerate().map(|(index, lane)| Recording::new(index, lane, keep, of_day)).collect())
    }

    /// Runs on until so many days are done, or until a lane stops. False when `go_on` said no.
    pub fn on_to(&mut self, days: usize, go_on: GoOn<'_>) -> bool {
        match self.0.as_mut_slice() {
            [one] => one.on_to(days, go_on),
            many => many.par_iter_mut().map(|lane| lane.on_to(days, go_on)).all(|went_on| went_on),
        }
    }

    /// What was run up to the end of so many days, and what was made of each day of each lane.
    #[must_use]
    pub fn finished(self, days: usize) -> (Run, Vec<Vec<D>>) {
        let done: Vec<(LaneRun, Vec<D>)> = match self.0.len() {
            0 | 1 => self.0.into_iter().map(|lane| lane.finished(days)).collect(),
            _ => self.0.into_par_iter().map(|lane| lane.finished(days)).collect(),
        };
        let (lanes, of_days) = done.into_iter().unzip();
        (Run { lanes }, of_days)
    }
}

impl<D: Clone> Recordings<'_, D> {
    /// What there is so far, after so many days.
    #[must_use]
    pub fn so_far(&self, days: usize) -> (Run, Vec<Vec<D>>) {
        let (lanes, of_days) = self.0.iter().map(|lane| lane.so_far(days)).unzip();
        (Run { lanes }, of_days)
    }
}
