//! A lane's run with what it was made of and checkpoints on its way: it can go on to more days, and where its events change it is run again
//! only from there. What comes out is, to the bit, what a run from the first midnight would have given.

use std::ops::Range;
use std::sync::Arc;

use super::feedback::keeper::Extent;
use super::keep::{Keep, Often};
use super::lane::{LaneRun, Ready};
use super::recorder::is_midnight;
use super::series::Series;
use super::simulation::Simulation;
use super::simulation::checkpoint::Checkpoint;
use crate::engine::supply::timetable::Timetable;
use crate::scenario::DAY_S;
use crate::scenario::plan::on_day;
use crate::units::HOUR_S;

/// What is made of a day (from 0) of a run while every step of it is there, with the next morning up to its first event. It is made only
/// where not every step is kept to make it from later.
pub type OfDay<'a, D> = &'a dyn Fn(&LaneRun, usize) -> D;

/// A lane's run that can be taken up again.
#[derive(Clone)]
pub struct OpenRun<D = ()> {
    ready: Ready,
    run: LaneRun,
    /// In order of their time; the first is the start's.
    checkpoints: Vec<Arc<Checkpoint>>,
    /// One at the midnight up to which it came, where none of those is.
    end: Option<Arc<Checkpoint>>,
    /// What was made of each day.
    made: Vec<D>,
    /// Days that it was run for, with the morning after; `None` where it was not run to an end since it last changed.
    whole: Option<u32>,
}

impl<D> OpenRun<D> {
    /// A lane's run that has not begun.
    #[must_use]
    pub fn new(ready: Ready, keep: Keep) -> Self {
        let run = LaneRun { keep, ..LaneRun::nothing_of(&ready) };
        Self { ready, run, checkpoints: Vec::new(), end: None, made: Vec::new(), whole: None }
    }

    /// The run as far as it is there.
    #[must_use]
    pub fn run(&self) -> &LaneRun {
        &self.run
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

    /// What was made of each day; nothing where every step is kept.
    #[must_use]
    pub fn made(&self) -> &[D] {
        &self.made
    }

    /// Runs on, from where it is, until so many days are there, with the morning after up to its first event; a run that was longer is made as
    /// long. `go_on` is asked before each day; false when it said no: then it is there as far as it came, and can go on later.
    pub fn on_to(&mut self, days: u32, of_day: OfDay<'_, D>, go_on: &dyn Fn() -> bool) -> bool {
        if self.whole == Some(days) {
            return true;
        }
        let count = days as usize;
        let mut lane = self.taken_up(count);
        while self.run.error.is_none() && self.run.days() < count {
            if !go_on() {
                self.stand(&lane);
                return false;
            }
            let day = self.run.days();
            self.advance(&mut lane, on_day(day + 1, 0.0));
            // With this day's morning all is there of the day before.
            self.look_up_to(day, of_day);
        }
        if self.run.error.is_none() {
            self.stand(&lane);
            if let Some(first) = self.run.timetable.first_start(count) {
                self.advance(&mut lane, on_day(count, first));
            }
        }
        self.look_up_to(count, of_day);
        self.run.stats = lane.stats();
        self.whole = Some(days);
        true
    }

    /// Turns it to the lane as it is ready now, of which other days (from 0) may be kept in full. What is the same of both runs stays: all of it
    /// where nothing that acts on the lane changed, all up to the last checkpoint before the first instant that can be another where its events
    /// changed, and nothing where the lane itself did. Then [`on_to`](Self::on_to) runs the rest. Returns up to when it is there now, s since
    /// the first midnight.
    pub fn turn_to(&mut self, ready: Ready, full: Range<usize>) -> f64 {
        let same_lane = self.ready.is_lane_of(&ready);
        let parting = if same_lane { self.ready.clock.parts_from(&ready.clock, self.run.days() + 1) } else { None };
        (self.run.name, self.run.timetable, self.run.run_in) = (ready.name.clone(), Arc::clone(&ready.timetable), ready.run_in.clone());
        self.ready = ready;
        if let Some(parting) = parting {
            self.cut(if self.run.keep.is_all() {
                // A step looks two of its lengths ahead to land on what comes.
                let not_yet_seen = parting.at_s - 2.0 * self.ready.column.solver.max_step_s - 1.0;
                not_yet_seen.max(parting.common_s)
            } else {
                // What is made of the day before is made anew, too: it looks at this day's morning.
                ((parting.at_s / DAY_S).floor() - 1.0) * DAY_S
            });
        } else if !same_lane {
            self.cut(f64::NEG_INFINITY);
        }
        self.keep_in_full(full);
        self.run.series.samples.last().map_or(0.0, |s| s.time_s)
    }

    /// The same with these days (from 0) in full in place of those that were: they alone are run again, from the last checkpoint before them.
    /// `go_on` is asked before each day; `None` when it said no.
    #[must_use]
    pub fn with_in_full(&self, full: &Range<usize>, go_on: &dyn Fn() -> bool) -> Option<Self>
    where
        D: Clone,
    {
        let missing = full.clone().any(|day| day < self.run.days() && !self.run.keep.in_full(day));
        let from = self.checkpoints.iter().rev().find(|c| c.time_s() <= on_day(full.start, 0.0));
        // Days that are not there, because the lane stopped before, cannot be put in full; those that were are no longer.
        let without = || {
            let mut open = self.clone();
            open.thin_all_but(full.clone());
            open
        };
        let (Some(from), true) = (from, missing) else { return Some(without()) };
        let (mut lane, mut seen) = (self.ready.resume(from), Series::default());
        while lane.time_s() < on_day(full.end, 0.0) {
            if !go_on() {
                return None;
            }
            let midnight = (lane.time_s() / DAY_S).floor() * DAY_S;
            if midnight < on_day(full.start, 0.0) {
                // A lane that stops does so where it stopped before.
                if lane.advance_to(midnight + DAY_S, |_| {}).is_err() {
                    return Some(without());
                }
                continue;
            }
            if seen.samples.is_empty() {
                seen.record(&lane);
            }
            if lane.advance_to(midnight + DAY_S, |s| seen.record(s)).is_err() {
                break;
            }
        }
        let mut open = without();
        Arc::make_mut(&mut open.run.series).put(seen);
        Some(open)
    }

    /// Whether it can be taken up at the midnight that a day (from 0) begins with.
    pub(super) fn stands_on(&self, day: usize) -> bool {
        let is_it = |c: &Arc<Checkpoint>| c.time_s() == on_day(day, 0.0);
        day == 0 || self.end.iter().chain(&self.checkpoints).any(is_it)
    }

    /// The lane where it stood last, up to the end of so many days; what came after it is forgotten.
    pub(super) fn taken_up(&mut self, days: usize) -> Simulation {
        self.cut(on_day(days, 0.0));
        let from = self.end.take().or_else(|| self.checkpoints.pop());
        // What is taken up begins with the instant it is taken up at.
        self.forget(from.as_ref().map(|c| c.time_s()), |time_s, at_s| time_s < at_s);
        let lane = from.map_or_else(|| self.ready.simulation(), |from| self.ready.resume(&from));
        self.see(&lane);
        lane
    }

    fn advance(&mut self, lane: &mut Simulation, until_s: f64) {
        let error = lane.advance_to(until_s, |now| self.see(now)).err();
        self.run.error = error;
    }

    /// How much there is.
    pub(super) fn extent(&self) -> Extent {
        let Self { run, checkpoints, .. } = self;
        Extent { samples: run.series.samples.len(), midnights: run.midnights.len(), checkpoints: checkpoints.len() }
    }

    /// Forgets what was seen since there was so much.
    pub(super) fn back_to(&mut self, extent: Extent) {
        Arc::make_mut(&mut self.run.series).cut(extent.samples);
        self.run.midnights.truncate(extent.midnights);
        self.checkpoints.truncate(extent.checkpoints);
    }

    /// Makes of the days before the one that is over what is to be made of them, by what was given up to now.
    pub(super) fn day_over(&mut self, timetable: &Arc<Timetable>, of_day: OfDay<'_, D>) {
        self.run.timetable = Arc::clone(timetable);
        self.look_up_to(self.run.days().saturating_sub(1), of_day);
    }

    /// It went through its days as the lane is ready now.
    pub(super) fn went_through(&mut self, ready: Ready) {
        (self.run.name, self.run.timetable) = (ready.name.clone(), Arc::clone(&ready.timetable));
        self.ready = ready;
    }

    /// Keeps what is to be kept of an instant.
    pub(super) fn see(&mut self, now: &Simulation) {
        if is_midnight(now) {
            self.run.midnights.push(*now.ledger());
        }
        Arc::make_mut(&mut self.run.series).record(now);
        if self.takes_checkpoint(now) {
            self.checkpoints.push(Arc::new(now.checkpoint()));
        }
    }

    fn takes_checkpoint(&self, now: &Simulation) -> bool {
        let Some(last) = self.checkpoints.last() else { return true };
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let day = (now.time_s() / DAY_S) as usize;
        match self.run.keep.checkpoints() {
            Often::Midnights(every) => is_midnight(now) && day.is_multiple_of(every),
            Often::Hours => is_midnight(now) || self.is_new(day) && (now.is_at_edge() || now.time_s() - last.time_s() >= HOUR_S),
        }
    }

    /// Whether a day's events are not those of the day before.
    fn is_new(&self, day: usize) -> bool {
        let of = |day: usize| self.run.timetable.day(day).map(Arc::as_ptr);
        day.checked_sub(1).is_none_or(|before| of(before) != of(day))
    }

    /// Takes a checkpoint where it stands, at a midnight.
    pub(super) fn stand(&mut self, lane: &Simulation) {
        if is_midnight(lane) && self.checkpoints.last().is_none_or(|c| c.time_s() < lane.time_s()) {
            self.end = Some(Arc::new(lane.checkpoint()));
        }
    }

    /// Makes of the days up to this one (from 0) what is to be made of them, and keeps of them what is to be kept.
    fn look_up_to(&mut self, day: usize, of_day: OfDay<'_, D>) {
        if self.run.keep.is_all() {
            return;
        }
        for day in self.made.len()..day {
            self.made.push(of_day(&self.run, day));
            if !self.run.keep.in_full(day) {
                self.thin(day);
            }
        }
    }

    fn thin(&mut self, day: usize) {
        let run = &mut self.run;
        run.keep.thin(Arc::make_mut(&mut run.series), run.timetable.events(day), day);
    }

    /// Keeps other days in full from now on: where they are not there, it is cut before them.
    pub(super) fn keep_in_full(&mut self, full: Range<usize>) {
        if self.run.keep.is_all() {
            return;
        }
        if let Some(missing) = full.clone().find(|day| *day < self.run.days() && !self.run.keep.in_full(*day)) {
            self.cut(on_day(missing, 0.0));
        }
        self.thin_all_but(full);
    }

    /// Keeps these days in full and no others: those that were and are no longer are thinned.
    fn thin_all_but(&mut self, full: Range<usize>) {
        let before = self.run.keep.full().clone();
        self.run.keep = self.run.keep.with(full.clone());
        let made = self.made.len();
        // The midnight after such a day is the next one's now.
        let thinned = |day: usize| [day, day + 1].into_iter().filter(|day| !full.contains(day) && *day < made);
        before.filter(|day| !full.contains(day)).flat_map(thinned).for_each(|day| self.thin(day));
    }

    /// Keeps what there is up to the last checkpoint at or before a time; nothing without one.
    fn cut(&mut self, until_s: f64) {
        let end = self.end.as_ref().is_some_and(|c| c.time_s() <= until_s);
        if !end {
            self.end = None;
            self.checkpoints.truncate(self.checkpoints.partition_point(|c| c.time_s() <= until_s));
        }
        let last = self.end.as_ref().or(self.checkpoints.last());
        let (at_s, stats) = (last.map(|c| c.time_s()), last.map(|c| c.stats()).unwrap_or_default());
        self.forget(at_s, |time_s, at_s| time_s <= at_s);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        self.made.truncate(at_s.map_or(0, |at_s| (at_s / DAY_S) as usize));
        self.run.stats = stats;
        (self.run.error, self.whole) = (None, None);
    }

    /// Keeps what `stays` says of a time and the time of a cut, if there is one.
    fn forget(&mut self, at_s: Option<f64>, stays: impl Fn(f64, f64) -> bool) {
        let stays = |time_s: f64| at_s.is_some_and(|at_s| stays(time_s, at_s));
        let series = &mut self.run.series;
        let count = series.samples.partition_point(|s| stays(s.time_s));
        if count < series.samples.len() {
            match Arc::get_mut(series) {
                Some(own) => own.cut(count),
                None => *series = Arc::new(series.first(count)),
            }
        }
        let midnights = (0..self.run.midnights.len()).take_while(|day| stays(on_day(*day, 0.0))).count();
        self.run.midnights.truncate(midnights);
    }
}
