//! What is kept of a run is its caller's choice: every step, instants now and then, midnights alone, or
//! [only what a function makes of each day](super::each_day).

use super::ledger::Ledger;
use super::series::{Sample, Series};
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
        self.samples.push(Sample::of(now));
        self.profiles.push(now);
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

/// Which steps of a run are kept as samples.
#[derive(Clone, Debug, PartialEq)]
pub enum Samples {
    /// Every step.
    All,
    /// Of some days (from 0) every step. Of the others the first step that ends so many seconds (above 0) or more after the last one kept,
    /// every midnight, and every instant at which an event begins or ends.
    Coarse {
        /// Least time between two that are not such instants, s.
        every_s: f64,
        /// Days kept with every step.
        in_full: Vec<usize>,
    },
}

impl Samples {
    /// Whether a step that ends now is one of them, where the last one kept was at a time.
    #[must_use]
    pub fn take(&self, last_s: Option<f64>, now: &Simulation) -> bool {
        let Self::Coarse { every_s, in_full } = self else { return true };
        let Some(last_s) = last_s else { return true };
        let day = (now.time_s() / DAY_S).floor();
        #[allow(clippy::cast_precision_loss)]
        let whole = in_full.iter().any(|d| *d as f64 == day);
        whole || now.time_s() - last_s >= *every_s || is_midnight(now) || now.is_at_edge()
    }
}

/// Instants now and then, with their layers.
#[derive(Clone, Debug, PartialEq)]
pub struct Coarse {
    which: Samples,
    series: Series,
}

impl Coarse {
    /// These samples.
    #[must_use]
    pub fn of(which: Samples) -> Self {
        Self { which, series: Series::default() }
    }

    /// Samples at least so many seconds apart (above 0), and every step of some days (from 0).
    #[must_use]
    pub fn every(every_s: f64, in_full: Vec<usize>) -> Self {
        Self::of(Samples::Coarse { every_s, in_full })
    }
}

impl Recorder for Coarse {
    type Kept = Series;

    fn see(&mut self, now: &Simulation) {
        if self.which.take(self.series.samples.last().map(|s| s.time_s), now) {
            self.series.see(now);
        }
    }

    /// The last instant is kept whatever it is.
    fn over(&mut self, now: &Simulation) {
        if self.series.samples.last().is_none_or(|s| s.time_s < now.time_s()) {
            self.series.see(now);
        }
    }

    fn kept(self) -> Series {
        self.series
    }
}
