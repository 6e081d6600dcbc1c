//! One state or file that is held beside the bench.

use std::path::PathBuf;
use std::sync::Arc;

use crate::app::state::elsewhere::Watch;
use crate::jobs::Wake;
use crate::projection::Projection;
use crate::scenario::Scenario;
use crate::scenario::disk::{Since, Stamp};

/// Where it comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Whence {
    /// It stood on the bench, after this change.
    Bench(String),
    /// It was read from this file, which was then like this.
    File(PathBuf, Stamp),
}

/// A state or file.
pub struct Other {
    /// A number that no other has.
    pub id: u64,
    /// The letter by which it is told from others.
    pub letter: char,
    /// What it is called.
    pub name: String,
    /// What it is.
    pub scenario: Arc<Scenario>,
    /// Where it comes from.
    pub from: Whence,
    /// It is compared with the bench.
    pub compared: bool,
    /// Its curves stand on the tracks.
    pub on_tracks: bool,
    /// What became of its file since it was read, if anything.
    pub since: Option<Since>,
    /// Its run, for the curves.
    pub(super) drawn: Option<Projection>,
    watch: Watch,
}

impl Other {
    pub(super) fn new(id: u64, letter: char, name: String, scenario: Arc<Scenario>, from: Whence) -> Self {
        let (compared, on_tracks, since) = (false, false, None);
        Self { id, letter, name, scenario, from, compared, on_tracks, since, drawn: None, watch: Watch::default() }
    }

    /// Takes what its file holds now.
    pub(super) fn read_again(&mut self, scenario: Arc<Scenario>, from: Whence) {
        (self.scenario, self.from, self.since, self.drawn) = (scenario, from, None, None);
    }

    /// Looks, beside the frames, what becomes of its file.
    pub(super) fn watch(&mut self, wake: &Wake) {
        let Whence::File(path, stamp) = &self.from else { return };
        self.watch.over(wake, Some(path), Some(*stamp));
        if let Some(since) = self.watch.take() {
            self.since = since;
        }
    }

    /// The last of its days, from 0.
    #[must_use]
    pub fn last_day(&self) -> usize {
        (self.scenario.days as usize).max(1) - 1
    }

    /// The day of it (from 0) that stands beside a day of the bench: its last where it has no such day, or where none is given.
    #[must_use]
    pub fn day(&self, day: Option<usize>) -> usize {
        day.unwrap_or(usize::MAX).min(self.last_day())
    }

    /// Its run, as soon as it is there.
    #[must_use]
    pub fn drawn(&self) -> Option<&Projection> {
        self.drawn.as_ref()
    }

    /// Whether its curves of a day are there, or never will be.
    pub(super) fn is_drawn(&self, day: usize) -> bool {
        self.drawn.as_ref().is_some_and(|p| p.run.lanes.is_empty() || p.in_full(day))
    }
}
