//! A whole bench's run that can be taken up again: after a change only what it touches is run anew.

use rayon::prelude::*;

use super::feedback::Until;
use super::feedback::course::Course;
use super::lane::{Ready, Run};
use super::open_run::{Often, OpenRun};
use super::recorder::Samples;
use super::workshop::ReadyBench;

/// A bench's run that can be taken up again.
#[derive(Clone)]
pub struct OpenBench {
    samples: Samples,
    often: Often,
    course: Course,
    lanes: Vec<OpenRun>,
}

impl OpenBench {
    /// A run that has not begun, without lanes. `samples` are kept of it, and checkpoints so `often`.
    #[must_use]
    pub fn new(samples: Samples, often: Often) -> Self {
        Self { samples, often, course: Course::default(), lanes: Vec::new() }
    }

    /// The lanes' runs as far as they are there, in the order of the bench.
    #[must_use]
    pub fn lanes(&self) -> &[OpenRun] {
        &self.lanes
    }

    /// The run as far as it is there.
    #[must_use]
    pub fn run(&self) -> Run {
        Run { lanes: self.lanes.iter().map(|lane| lane.run().clone()).collect() }
    }

    /// Turns it to a bench as it is ready now, for so many days: what hangs on what happens is found out, and of every lane's run what is as
    /// it was stays, wherever the lane stood before. Then [`on_to`](Self::on_to) runs the rest. `go_on` is asked before each day that is found
    /// out; false when it said no: then it is as it was.
    pub fn turn_to(&mut self, bench: &ReadyBench, days: u32, go_on: &dyn Fn() -> bool) -> bool {
        let until = Until { days, settled: false };
        let Some((ready, course)) = bench.timed_after(self.course.clone(), until, go_on) else { return false };
        self.course = course;
        let mut before: Vec<Option<OpenRun>> = std::mem::take(&mut self.lanes).into_iter().map(Some).collect();
        let mut taken: Vec<Option<OpenRun>> = ready.iter().enumerate().map(|(i, lane)| take(before.get_mut(i), lane)).collect();
        for (mine, lane) in taken.iter_mut().zip(&ready).filter(|(mine, _)| mine.is_none()) {
            *mine = before.iter_mut().find_map(|other| take(Some(other), lane));
        }
        let turned = |(mine, lane): (Option<OpenRun>, Ready)| match mine {
            Some(mut run) => {
                run.turn_to(lane);
                run
            }
            None => OpenRun::new(lane, self.samples.clone(), self.often),
        };
        self.lanes = taken.into_iter().zip(ready).map(turned).collect();
        true
    }

    /// Runs all lanes on, side by side, until so many days are there: see [`OpenRun::on_to`]. False when `go_on`, asked before each day of each
    /// lane, said no. The result does not depend on how many threads there are.
    pub fn on_to(&mut self, days: u32, go_on: &(dyn Fn() -> bool + Sync)) -> bool {
        let done: Vec<bool> = self.lanes.par_iter_mut().map(|lane| lane.on_to(days, &|| go_on())).collect();
        done.into_iter().all(|done| done)
    }
}

/// Takes a lane's run out of its place, if it is there and the lane's.
fn take(place: Option<&mut Option<OpenRun>>, lane: &Ready) -> Option<OpenRun> {
    place.and_then(|run| run.take_if(|run| lane.is_lane_of(run.ready())))
}
