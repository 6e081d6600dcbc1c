//! What is kept of a run: of some days every step with its layers, of the others an instant now and then. A year of many lanes would not
//! fit into memory otherwise.

use std::fmt;
use std::ops::Range;
use std::sync::Arc;

use super::series::Sample;
use super::simulation::Simulation;
use crate::scenario::DAY_S;

/// Least time between two instants of a day that is not kept in full, s.
const CLOSEST_S: f64 = 300.0;
/// Bytes of a lane that stands ready to be run on from, for each layer (measured: 46 kB at 64 layers), and what it takes besides.
const STAND: [usize; 2] = [700, 2000];
/// Share of the room that lanes ready to be run on from may take.
const FOR_STANDS: f64 = 0.25;

/// What is to be kept of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct Keep {
    /// Days (from 0) kept in full.
    pub(super) full: Range<usize>,
    /// Time between two instants of other days, s.
    pub(super) every_s: f64,
    /// Whether the instants at which events begin are kept, too: what drained between two events is then told exactly.
    pub(super) starts: bool,
    /// Days between two midnights at which the lane is kept as it stands, to be run on from there.
    pub(super) stands_every: usize,
}

/// How large a run is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Lanes.
    pub lanes: usize,
    /// Days.
    pub days: usize,
    /// Layers of all lanes together.
    pub layers: usize,
    /// Steps that a lane takes in a day, as far as is known.
    pub steps_a_day: f64,
    /// Events of a day.
    pub events_a_day: f64,
}

impl Keep {
    /// Every step of every day.
    pub const ALL: Self = Self { full: 0..usize::MAX, every_s: 0.0, starts: true, stands_every: usize::MAX };

    /// As much as fits into so many bytes: every step where that fits, or else every step of these days (from 0) and of the others instants
    /// as close as fit, but no closer than five minutes.
    #[must_use]
    #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss)] // sizes, not exact
    pub fn within(bytes: usize, size: &Size, full: Range<usize>) -> Self {
        let (room, sample) = (bytes as f64, size_of::<Sample>() as f64);
        let lane_days = (size.lanes * size.days).max(1) as f64;
        let layers = size.layers as f64 / size.lanes.max(1) as f64;
        if lane_days * size.steps_a_day * (sample + 8.0 + 12.0 * layers) <= room {
            return Self::ALL;
        }
        let instants = (1.0 - FOR_STANDS) * room / (lane_days * sample);
        let starts = 2.0 * size.events_a_day <= instants;
        let regular = (instants - if starts { size.events_a_day } else { 0.0 }).max(1.0);
        let stand = STAND[0] as f64 * size.layers as f64 + (STAND[1] * size.lanes) as f64;
        let stands = (FOR_STANDS * room / stand).max(1.0);
        Self { full, every_s: (DAY_S / regular).max(CLOSEST_S), starts, stands_every: (size.days as f64 / stands).ceil().max(1.0) as usize }
    }

    /// Whether every step of every day is kept.
    #[must_use]
    pub fn is_all(&self) -> bool {
        self.full == Self::ALL.full
    }

    /// The same with other days in full.
    #[must_use]
    pub fn with(&self, full: Range<usize>) -> Self {
        if self.is_all() { self.clone() } else { Self { full, ..self.clone() } }
    }
}

/// A lane at the midnight that a day begins with, ready to be run on from there.
#[derive(Clone)]
pub struct Stand {
    /// The day, from 0.
    pub(super) day: usize,
    /// The lane.
    pub(super) simulation: Simulation,
}

impl fmt::Debug for Stand {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Stand").field("day", &self.day).finish_non_exhaustive()
    }
}

/// What is kept of a lane's run.
#[derive(Clone, Debug)]
pub struct Kept {
    pub(super) keep: Keep,
    pub(super) stands: Arc<Vec<Stand>>,
}

impl Kept {
    /// Every step of every day.
    #[must_use]
    pub fn all() -> Self {
        Self { keep: Keep::ALL, stands: Arc::default() }
    }

    /// What was to be kept.
    #[must_use]
    pub fn keep(&self) -> &Keep {
        &self.keep
    }

    /// Whether every step of a day (from 0) is kept.
    #[must_use]
    pub fn in_full(&self, day: usize) -> bool {
        self.keep.full.contains(&day)
    }
}
