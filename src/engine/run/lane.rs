//! Whole runs: every lane of a scenario over its days.

use std::sync::Arc;

use super::keep::Kept;
use super::ledger::{Closure, Ledger};
use super::series::Series;
use super::simulation::{RunError, Simulation, Stats};
use crate::engine::column::Column;
use crate::engine::column::state::State;
use crate::engine::demand::load::Load;
use crate::engine::supply::clock::EventClock;
use crate::engine::supply::timetable::Timetable;

/// A lane made ready to run.
#[derive(Clone)]
pub struct Ready {
    /// The lane's name.
    pub name: String,
    /// Its column.
    pub column: Arc<Column>,
    /// Every event of every day.
    pub timetable: Arc<Timetable>,
    /// The same as this lane receives them.
    pub clock: Arc<EventClock>,
    /// Its demand.
    pub load: Arc<dyn Load>,
    /// The feed's EC, mS/cm.
    pub feed_ec: f64,
    /// Its start.
    pub start: State,
    /// Days after which what drives it begins anew, at least 1.
    pub round: usize,
}

impl Ready {
    /// The lane at its first midnight.
    #[must_use]
    pub fn simulation(&self) -> Simulation {
        Simulation::new(Arc::clone(&self.column), Arc::clone(&self.clock), Arc::clone(&self.load), self.feed_ec, self.start.clone())
    }
}

/// A lane's run.
#[derive(Clone, Debug)]
pub struct LaneRun {
    /// The lane's name.
    pub name: String,
    /// Its column.
    pub column: Arc<Column>,
    /// The events it received.
    pub timetable: Arc<Timetable>,
    /// Every step, or of some days fewer: see [`kept`](Self::kept).
    pub series: Series,
    /// The ledger at each midnight reached, the first one included.
    pub midnights: Vec<Ledger>,
    /// What the solution took.
    pub stats: Stats,
    /// Why it stopped before its end, if it did.
    pub error: Option<RunError>,
    /// What is kept of it.
    pub kept: Kept,
}

impl LaneRun {
    /// Whole days reached.
    #[must_use]
    pub fn days(&self) -> usize {
        self.midnights.len() - 1
    }

    /// What passed on a day (from 0); `None` if the run did not reach its end.
    #[must_use]
    pub fn day(&self, day: usize) -> Option<Ledger> {
        Some(self.midnights.get(day + 1)?.since(self.midnights.get(day)?))
    }

    /// The ledger at the last step.
    #[must_use]
    pub fn ledger(&self) -> Ledger {
        self.series.samples.last().map(|s| s.ledger).unwrap_or_default()
    }

    /// How its books close at their worst: at every midnight and at its end. What one day makes and another loses does not cancel.
    #[must_use]
    pub fn closure(&self) -> Closure {
        Closure::of(self.midnights.iter().chain(self.series.samples.last().map(|s| &s.ledger)))
    }

    /// Why it cannot be relied on, if so: it stopped, or its books do not close.
    #[must_use]
    pub fn failure(&self) -> Option<Failed> {
        let stopped = self.error.clone().map(Failed::Stopped);
        stopped.or_else(|| Some(self.closure()).filter(|c| !c.closes()).map(Failed::Unclosed))
    }
}

/// Why a lane's run failed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Failed {
    /// It stopped before its end; what was reached up to there is kept.
    #[error(transparent)]
    Stopped(#[from] RunError),
    /// It went on, but more than rounding is missing or too much: none of its figures can be relied on.
    #[error("the run's books do not close: {0}")]
    Unclosed(Closure),
}

/// A run of all lanes.
#[derive(Clone, Debug, Default)]
pub struct Run {
    /// In the scenario's order.
    pub lanes: Vec<LaneRun>,
}

impl Run {
    /// Every event of every day.
    #[must_use]
    pub fn timetable(&self) -> Option<&Arc<Timetable>> {
        self.lanes.first().map(|l| &l.timetable)
    }

    /// Worst closure of the lanes, water and salt each.
    #[must_use]
    pub fn closure(&self) -> Closure {
        self.lanes.iter().map(LaneRun::closure).fold(Closure::default(), Closure::worse)
    }

    /// Worst water closure of the lanes.
    #[must_use]
    pub fn water_closure(&self) -> f64 {
        self.closure().water
    }

    /// Worst salt closure of the lanes.
    #[must_use]
    pub fn salt_closure(&self) -> f64 {
        self.closure().salt
    }
}
