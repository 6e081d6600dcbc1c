//! What is kept of a run is its caller's choice: every step, midnights alone, or [only what a function makes of each day](super::each_day). What
//! is to be taken up again is an [open run](super::open_run).

use super::ledger::Ledger;
use super::series::Series;
use super::simulation::Simulation;
use crate::scenario::DAY_S;

/// What is kept of a run. Two recorders side by side are one.
pub trait Recorder {
    /// What it has kept once the run is over.
    type Kept;
    /// The lane as it begins or is taken up again, and as it stands after every step.
    fn see(&mut self, now: &Simulation);
    /// Nothing more is to come: the run is over, or it stopped, and the lane stands where it does now.
    fn over(&mut self, _: &Simulation) {}
    /// What was kept.
    fn kept(self) -> Self::Kept;
}

/// Nothing.
impl Recorder for () {
    type Kept = ();

    fn see(&mut self, _: &Simulation) {}

    fn kept(self) {}
}

impl<A: Recorder, B: Recorder> Recorder for (A, B) {
    type Kept = (A::Kept, B::Kept);

    fn see(&mut self, now: &Simulation) {
        self.0.see(now);
        self.1.see(now);
    }

    fn over(&mut self, now: &Simulation) {
        self.0.over(now);
        self.1.over(now);
    }

    fn kept(self) -> Self::Kept {
        (self.0.kept(), self.1.kept())
    }
}

/// Every step, with its layers.
impl Recorder for Series {
    type Kept = Self;

    fn see(&mut self, now: &Simulation) {
        self.record(now);
    }

    fn kept(self) -> Self {
        self
    }
}

/// The ledger at each midnight seen.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Midnights(Vec<Ledger>);

impl Recorder for Midnights {
    type Kept = Vec<Ledger>;

    fn see(&mut self, now: &Simulation) {
        if is_midnight(now) {
            self.0.push(*now.ledger());
        }
    }

    fn kept(self) -> Vec<Ledger> {
        self.0
    }
}

/// Whether a lane stands at a midnight: steps land on it exactly.
pub(super) fn is_midnight(now: &Simulation) -> bool {
    now.time_s() % DAY_S == 0.0
}
