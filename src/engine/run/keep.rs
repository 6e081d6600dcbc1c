//! What is kept of a run: of some days every step with its layers, of the others an instant now and then, since a year of many lanes would not
//! fit into memory otherwise; and how often a checkpoint is taken, from which the run can be taken up again.

use std::ops::Range;

use super::series::{Sample, Series};
use crate::scenario::plan::on_day;
use crate::scenario::{DAY_S, Event};

/// Least time between two instants of a day that is not kept in full, s.
const CLOSEST_S: f64 = 300.0;
/// Bytes of a checkpoint for each layer, and what it takes besides.
const CHECKPOINT: [usize; 2] = [125, 600];
/// Share of the room that checkpoints may take.
const FOR_CHECKPOINTS: f64 = 0.25;

/// When a checkpoint is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Often {
    /// At the first midnight, and at midnight after every so many days: about 8 kB each at 64 layers.
    Midnights(usize),
    /// At every midnight. On days whose events are not those of the day before, also wherever an event begins or ends, and otherwise every
    /// hour: such a day is the first that a moved event touches.
    Hours,
}

/// What is to be kept of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct Keep {
    /// Days (from 0) kept in full.
    full: Range<usize>,
    /// Time between two instants of other days, s.
    every_s: f64,
    /// Whether the instants at which events begin are kept, too: what drained between two events is then told exactly.
    starts: bool,
    /// When a checkpoint is taken.
    checkpoints: Often,
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
    /// Events hang on what happens: what changes then is found out from a midnight on.
    pub by_midnights: bool,
}

impl Size {
    #[allow(clippy::cast_precision_loss)]
    fn lane_days(&self) -> f64 {
        (self.lanes * self.days).max(1) as f64
    }
}

impl Keep {
    /// Every step of every day.
    #[must_use]
    pub fn all(checkpoints: Often) -> Self {
        Self { full: 0..usize::MAX, every_s: 0.0, starts: true, checkpoints }
    }

    /// Every step of some days (from 0), and of the others the midnight that they begin with, where events begin, and instants so far apart (s,
    /// above 0). Checkpoints are taken after every so many days, at least 1.
    #[must_use]
    pub fn some(full: Range<usize>, every_s: f64, checkpoints_every: usize) -> Self {
        Self { full, every_s, starts: true, checkpoints: Often::Midnights(checkpoints_every.max(1)) }
    }

    /// As much as fits into so many bytes: every step where that fits, or else every step of these days (from 0) and of the others instants
    /// as close as fit, but no closer than five minutes.
    #[must_use]
    #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss)] // sizes, not exact
    pub fn within(bytes: usize, size: &Size, full: Range<usize>) -> Self {
        let (room, sample) = (bytes as f64, size_of::<Sample>() as f64);
        let layers = size.layers as f64 / size.lanes.max(1) as f64;
        if size.lane_days() * size.steps_a_day * (sample + 8.0 + 12.0 * layers) <= room {
            return Self::all(if size.by_midnights { Often::Midnights(1) } else { Often::Hours });
        }
        let instants = (1.0 - FOR_CHECKPOINTS) * room / (size.lane_days() * sample);
        let starts = 2.0 * size.events_a_day <= instants;
        let regular = (instants - if starts { size.events_a_day } else { 0.0 }).max(1.0);
        let checkpoint = (CHECKPOINT[0] * size.layers + CHECKPOINT[1] * size.lanes) as f64;
        let checkpoints = (FOR_CHECKPOINTS * room / checkpoint).max(1.0);
        let apart = (size.days as f64 / checkpoints).ceil() as usize;
        Self { starts, ..Self::some(full, (DAY_S / regular).max(CLOSEST_S), apart) }
    }

    /// What is to be kept of a run that follows one of which this was kept, with these days (from 0) in full: the same where that fits into so
    /// many bytes and no more would, so that what was kept then can be gone on with; or else as much as fits.
    #[must_use]
    pub fn fitted(&self, bytes: usize, size: &Size, full: Range<usize>) -> Self {
        /// By how much the closeness of instants may miss what would fit.
        const NEAR: f64 = 0.25;
        let best = Self::within(bytes, size, full.clone());
        let often = !self.is_all() || self.checkpoints == best.checkpoints;
        let near = often && (self.every_s - best.every_s).abs() <= NEAR * best.every_s;
        if self.is_all() == best.is_all() && self.starts == best.starts && near { self.with(full) } else { best }
    }

    /// Whether every step of every day is kept.
    #[must_use]
    pub fn is_all(&self) -> bool {
        self.full == (0..usize::MAX)
    }

    /// Whether every step of a day (from 0) is kept.
    #[must_use]
    pub fn in_full(&self, day: usize) -> bool {
        self.full.contains(&day)
    }

    /// The days (from 0) kept in full.
    #[must_use]
    pub fn full(&self) -> &Range<usize> {
        &self.full
    }

    /// When a checkpoint is taken.
    #[must_use]
    pub fn checkpoints(&self) -> Often {
        self.checkpoints
    }

    /// The same with other days in full.
    #[must_use]
    pub fn with(&self, full: Range<usize>) -> Self {
        if self.is_all() { self.clone() } else { Self { full, ..self.clone() } }
    }

    /// Keeps of a day (from 0) in a series, every step of which is there, what is to be kept of days that are not kept in full. These are the
    /// day's events.
    pub(super) fn thin(&self, series: &mut Series, events: &[Event], day: usize) {
        let (midnight, end) = (on_day(day, 0.0), on_day(day + 1, 0.0));
        let starts: Vec<f64> = if self.starts { events.iter().map(|e| midnight + e.start_s()).collect() } else { Vec::new() };
        let samples = &mut series.samples;
        let (from, until) = (samples.partition_point(|s| s.time_s < midnight), samples.partition_point(|s| s.time_s < end));
        let (mut place, mut last_s) = (from, f64::NEG_INFINITY);
        for i in from..until {
            let Some(sample) = samples.get(i).copied() else { break };
            let begins = || starts.iter().any(|s| (s - sample.time_s).abs() < 1e-6);
            if sample.time_s <= midnight || sample.time_s - last_s >= self.every_s || begins() {
                last_s = sample.time_s;
                if let Some(kept) = samples.get_mut(place) {
                    *kept = sample;
                }
                place += 1;
            }
        }
        samples.drain(place..until);
        // The midnight that ends a day in full belongs to that, too.
        let ends_full = day > 0 && self.in_full(day - 1);
        series.profiles.leave_out(|t| (if ends_full { t > midnight } else { t >= midnight }) && t < end);
    }
}
