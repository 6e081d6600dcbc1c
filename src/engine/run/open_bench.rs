//! A whole bench's run that can be taken up again: after a change only what it touches is run anew.

use std::fmt;
use std::ops::Range;
use std::sync::Arc;

use rayon::prelude::*;

use super::feedback::bench::matters;
use super::feedback::course::Course;
use super::feedback::keeper::{Extent, Keeper};
use super::feedback::{self, Until};
use super::keep::{Keep, Often};
use super::lane::{LaneRun, Ready, Run};
use super::open_run::OpenRun;
use super::run_in::RunIns;
use super::simulation::Simulation;
use super::workshop::ReadyBench;
use crate::engine::supply::timetable::Timetable;
use crate::scenario::Lane;

/// What is made of a day (from 0) of a lane (by its index) while every step of it is there: see [`OfDay`](super::open_run::OfDay).
pub type OfLanesDay<'a, D> = &'a (dyn Fn(usize, &LaneRun, usize) -> D + Sync);

/// A bench's run that can be taken up again.
#[derive(Clone)]
pub struct OpenBench<D = ()> {
    keep: Keep,
    course: Course,
    /// The lanes, each as it was described.
    lanes: Vec<(Lane, OpenRun<D>)>,
    /// What its lanes were run in by.
    run_ins: RunIns,
}

impl<D> Default for OpenBench<D> {
    /// A run that has not begun, without lanes.
    fn default() -> Self {
        Self { keep: Keep::all(Often::Hours), course: Course::default(), lanes: Vec::new(), run_ins: RunIns::default() }
    }
}

impl<D> fmt::Debug for OpenBench<D> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("OpenBench").field("keep", &self.keep).field("lanes", &self.lanes.len()).finish_non_exhaustive()
    }
}

impl<D: Send> OpenBench<D> {
    /// What is kept of it.
    #[must_use]
    pub fn keep(&self) -> &Keep {
        &self.keep
    }

    /// The lanes' runs as far as they are there, in the order of the bench.
    pub fn lanes(&self) -> impl ExactSizeIterator<Item = &OpenRun<D>> {
        self.lanes.iter().map(|(_, run)| run)
    }

    /// A lane's run by its index.
    #[must_use]
    pub fn lane(&self, index: usize) -> Option<&OpenRun<D>> {
        self.lanes.get(index).map(|(_, run)| run)
    }

    /// What its lanes were run in by, to be known again.
    #[must_use]
    pub fn run_ins(&self) -> &RunIns {
        &self.run_ins
    }

    /// The lanes as they were described.
    pub fn described(&self) -> impl ExactSizeIterator<Item = &Lane> {
        self.lanes.iter().map(|(lane, _)| lane)
    }

    /// The run as far as it is there.
    #[must_use]
    pub fn run(&self) -> Run {
        Run { lanes: self.lanes().map(|lane| lane.run().clone()).collect() }
    }

    /// Turns it to a bench as it is ready now, for so many days: of every lane's run what is as it was stays, wherever the lane stood before.
    /// `keep` says what is to be kept: where that differs in more than the days kept in full, nothing stays. Then [`on_to`](Self::on_to) runs
    /// the rest. Lanes are run in, and what hangs on what happens is found out at once, and the lanes that matter are run meanwhile. `go_on` is
    /// asked before each day of that; `None` when it said no.
    #[must_use]
    pub fn turned_to(
        mut self,
        bench: &ReadyBench,
        keep: &Keep,
        days: u32,
        of_day: OfLanesDay<'_, D>,
        go_on: &dyn Fn() -> bool,
    ) -> Option<Self> {
        let run_in = if bench.is_to_run_in() { Some(bench.run_in(&self.run_ins, go_on)?) } else { None };
        let bench = run_in.as_ref().unwrap_or(bench);
        if let Some(run_ins) = bench.run_ins() {
            self.run_ins = run_ins.clone();
        }
        let (scenario, full) = (bench.scenario(), keep.full());
        self.turn_lanes(bench, keep);
        if !feedback::needed(scenario) {
            let ready = bench.timed_by(&Timetable::foreseen(scenario));
            for ((_, run), ready) in self.lanes.iter_mut().zip(ready) {
                run.turn_to(ready, full.clone());
            }
            return Some(Self { course: Course::default(), ..self });
        }
        let until = Until { days, settled: false };
        let mut keepers: Vec<Box<dyn Keeper + '_>> = Vec::new();
        for (index, (lane, run)) in self.lanes.iter_mut().enumerate() {
            if matters(scenario, lane) {
                keepers.push(Box::new(Driven { index, run, of_day }));
            }
        }
        let (timetables, course) = self.course.turned_to(scenario, bench.untimed(), keepers, until, go_on)?;
        for ((lane, run), ready) in self.lanes.iter_mut().zip(bench.timed_by(&timetables)) {
            if matters(scenario, lane) {
                run.went_through(ready);
            } else {
                run.turn_to(ready, full.clone());
            }
        }
        Some(Self { course, ..self })
    }

    /// Takes the runs of the lanes of a bench from those that there are, wherever they stood, and begins those that are new.
    fn turn_lanes(&mut self, bench: &ReadyBench, keep: &Keep) {
        let same = self.keep.with(keep.full().clone()) == *keep;
        self.keep = keep.clone();
        let before = std::mem::take(&mut self.lanes);
        let mut before: Vec<_> = before.into_iter().filter(|_| same).map(Some).collect();
        // What was made of days that are not kept hangs on the whole lane.
        let take = |place: Option<&mut Option<(Lane, OpenRun<D>)>>, (lane, ready): (&Lane, &Ready)| {
            let stays = |(of, run): &mut (Lane, OpenRun<D>)| ready.is_lane_of(run.ready()) && (keep.is_all() || of == lane);
            place?.take_if(stays).map(|(_, run)| run)
        };
        let now: Vec<(&Lane, &Ready)> = bench.scenario().lanes.iter().zip(bench.untimed()).collect();
        let mut taken: Vec<Option<OpenRun<D>>> = now.iter().enumerate().map(|(i, lane)| take(before.get_mut(i), *lane)).collect();
        for (mine, lane) in taken.iter_mut().zip(&now).filter(|(mine, _)| mine.is_none()) {
            *mine = before.iter_mut().find_map(|other| take(Some(other), *lane));
        }
        let begun = |(mine, (lane, ready)): (Option<OpenRun<D>>, (&Lane, &Ready))| {
            let mut run = mine.unwrap_or_else(|| OpenRun::new(ready.clone(), keep.clone()));
            run.keep_in_full(keep.full().clone());
            (lane.clone(), run)
        };
        self.lanes = taken.into_iter().zip(now).map(begun).collect();
    }

    /// Runs all lanes on, side by side, until so many days are there: see [`OpenRun::on_to`]. False when `go_on`, asked before each day of each
    /// lane, said no. The result does not depend on how many threads there are.
    pub fn on_to(&mut self, days: u32, of_day: OfLanesDay<'_, D>, go_on: &(dyn Fn() -> bool + Sync)) -> bool {
        let one = |(i, (_, lane)): (usize, &mut (Lane, OpenRun<D>))| lane.on_to(days, &|run, day| of_day(i, run, day), &|| go_on());
        match self.lanes.as_mut_slice() {
            [only] => one((0, only)),
            many => many.par_iter_mut().enumerate().map(one).all(|done| done),
        }
    }
}

impl<D: Clone + Send + Sync> OpenBench<D> {
    /// The same with these days (from 0) in full in place of those that were: see [`OpenRun::with_in_full`].
    #[must_use]
    pub fn with_in_full(&self, full: &Range<usize>, go_on: &(dyn Fn() -> bool + Sync)) -> Option<Self> {
        let one = |(lane, run): &(Lane, OpenRun<D>)| Some((lane.clone(), run.with_in_full(full, &|| go_on())?));
        let lanes: Option<Vec<_>> = self.lanes.par_iter().map(one).collect();
        let (keep, course, run_ins) = (self.keep.with(full.clone()), self.course.clone(), self.run_ins.clone());
        Some(Self { keep, course, lanes: lanes?, run_ins })
    }
}

/// A lane's run that is added to while it is found out what is given.
struct Driven<'a, D> {
    index: usize,
    run: &'a mut OpenRun<D>,
    of_day: OfLanesDay<'a, D>,
}

impl<D: Send> Keeper for Driven<'_, D> {
    fn stands_on(&self, day: usize) -> bool {
        self.run.stands_on(day)
    }

    fn looks_ahead(&self) -> bool {
        !self.run.run().keep.is_all()
    }

    fn take_up(&mut self, day: usize) -> Simulation {
        self.run.taken_up(day)
    }

    fn see(&mut self, now: &Simulation) {
        self.run.see(now);
    }

    fn extent(&self) -> Extent {
        self.run.extent()
    }

    fn back_to(&mut self, extent: Extent) {
        self.run.back_to(extent);
    }

    fn day_over(&mut self, timetable: &Arc<Timetable>) {
        self.run.day_over(timetable, &|run, day| (self.of_day)(self.index, run, day));
    }

    fn leave(&mut self, now: &Simulation) {
        self.run.stand(now);
    }
}
