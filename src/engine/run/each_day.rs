//! A run of which only what a function makes of each day is kept.

use std::sync::Arc;

use super::lane::{LaneRun, Ready};
use super::ledger::Ledger;
use super::recorder::{Recorder, is_midnight};
use super::series::Sample;
use super::simulation::Simulation;
use crate::scenario::DAY_S;
use crate::scenario::plan::on_day;

/// Of each day only what a function makes of it, its figures for example: it is handed the run so far, with every step of that day and of
/// the morning after up to its first event (without layers), and the day, from 0. Steps of days before are forgotten by then, so that a
/// run of any length takes a day's room.
pub struct EachDay<F, T> {
    rolling: LaneRun,
    of_day: F,
    made: Vec<T>,
    /// The first day that is seen whole, once the run began.
    first: Option<usize>,
}

impl<F: FnMut(&LaneRun, usize) -> T, T> EachDay<F, T> {
    /// For a lane's run.
    #[must_use]
    pub fn of(lane: &Ready, of_day: F) -> Self {
        Self { rolling: LaneRun::nothing_of(lane), of_day, made: Vec::new(), first: None }
    }

    /// The day that comes next, and whether all of it has been seen.
    fn next(&self) -> (usize, bool) {
        let day = self.first.unwrap_or(0) + self.made.len();
        (day, self.first.is_some() && day + 1 < self.rolling.midnights.len())
    }

    fn make(&mut self, day: usize) {
        self.made.push((self.of_day)(&self.rolling, day));
        let samples = &mut Arc::make_mut(&mut self.rolling.series).samples;
        let gone = samples.partition_point(|s| s.time_s < on_day(day + 1, 0.0));
        samples.drain(..gone);
    }
}

impl<F: FnMut(&LaneRun, usize) -> T, T> Recorder for EachDay<F, T> {
    type Kept = Vec<T>;

    fn see(&mut self, now: &Simulation) {
        if is_midnight(now) {
            if self.first.is_none() {
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                let first = (now.time_s() / DAY_S) as usize;
                self.first = Some(first);
                // Of the days before, nothing is told.
                self.rolling.midnights.resize(first, Ledger::default());
            }
            self.rolling.midnights.push(*now.ledger());
        }
        Arc::make_mut(&mut self.rolling.series).samples.push(Sample::of(now));
        if let (day, true) = self.next()
            && now.time_s() >= on_day(day + 1, self.rolling.timetable.first_start(day + 1).unwrap_or(0.0))
        {
            self.make(day);
        }
    }

    fn over(&mut self, _: &Simulation) {
        while let (day, true) = self.next() {
            self.make(day);
        }
    }

    fn kept(self) -> Vec<T> {
        self.made
    }
}
