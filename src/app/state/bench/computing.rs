//! What is computed beside the frames for the bench, and for whom.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::engine::run::Workshop;
use crate::jobs::{Broken, Job, Underway, Wake, Work, spread};
use crate::projection::Projection;
use crate::projection::change::Change;
use crate::projection::prepared::{Prepared, Waiting};
use crate::scenario::Scenario;
use crate::scenario::presets::Library;

/// What was computed.
pub struct Computed {
    /// The projection, of fewer days while there are more to come.
    pub projection: Projection,
    /// What is dear to make and was made for it; with the whole only.
    pub workshop: Option<Workshop>,
}

/// A scenario that is to be computed.
pub struct Order {
    /// The scenario.
    pub scenario: Arc<Scenario>,
    /// The presets that it names.
    pub library: Arc<Library>,
    /// What was made already.
    pub workshop: Workshop,
    /// A projection from which lanes that did not change are taken over.
    pub before: Option<Projection>,
    /// The day whose figures are wanted, from 0.
    pub day: usize,
}

/// What there is so far is shown where the day shown is done before this share of the run.
const EARLY: f64 = 0.6;

/// One who is told what there is so far.
type SoFar<'a> = &'a (dyn Fn(Projection) + Sync);

/// One who waits for a job.
struct ByWork<'a, T> {
    work: &'a Work<T>,
    /// The days up to the one shown are finished even when something newer waits, so that the picture moves on during a long drag.
    finishes: bool,
    so_far: Option<SoFar<'a>>,
    /// They were shown.
    is_shown: AtomicBool,
}

impl<T: Send> Waiting for ByWork<'_, T> {
    fn go_on(&self) -> bool {
        if self.finishes && !self.is_shown.load(Ordering::Relaxed) { self.work.may_finish() } else { self.work.wanted() }
    }

    fn at(&self, share: f64, words: &str) {
        self.work.at(share, words);
    }

    fn wants_so_far(&self, days: usize, of: usize) -> bool {
        #[allow(clippy::cast_precision_loss)]
        let early = (days as f64) < EARLY * of as f64;
        early && self.so_far.is_some()
    }

    fn so_far(&self, projection: Projection) {
        self.is_shown.store(true, Ordering::Relaxed);
        if let Some(so_far) = self.so_far {
            so_far(projection);
        }
    }
}

impl Order {
    /// Computes it on threads of its own; `None` when it was given up. `finishes`: the days up to the one shown are done even when something newer
    /// waits.
    pub fn computed<T: Send>(mut self, work: &Work<T>, finishes: bool, so_far: Option<SoFar<'_>>) -> Option<Computed> {
        let waiting = ByWork { work, finishes, so_far, is_shown: AtomicBool::new(false) };
        let projection = spread(|| {
            let prepared = Prepared::new(self.scenario, &mut self.workshop, &self.library);
            prepared.run(self.before.as_ref(), self.day, &waiting)
        })?;
        Some(Computed { projection, workshop: Some(self.workshop) })
    }
}

/// For whom something is computed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum For {
    /// The document as it stands.
    Document,
    /// The change being tried.
    Trial,
}

/// The document's run is not there yet; what was so before, should it be given up.
#[derive(Clone)]
pub struct Owed {
    /// The change that it follows.
    pub title: Option<String>,
    /// What the change before it did.
    pub change: Option<Change>,
    /// The presets that were at hand.
    pub library: Arc<Library>,
}

/// What is computed beside the frames: the document or the change being tried, whichever was asked for last.
pub struct Computing {
    /// The job.
    pub job: Job<Computed>,
    /// The number of the newest request, and for whom it is.
    pub asked: Option<(u64, For)>,
    /// The document's run is not there yet.
    pub owed: Option<Owed>,
    /// What there is of it so far.
    pub so_far: Option<Projection>,
    /// What broke off and was not told yet, with what became of it.
    pub broken: Option<(Broken, &'static str)>,
}

impl Default for Computing {
    fn default() -> Self {
        Self { job: Job::new("Computing the bench"), asked: None, owed: None, so_far: None, broken: None }
    }
}

impl Computing {
    /// Asks for a scenario to be computed, in place of what was asked for before; false where there is no thread to do it.
    pub fn ask(&mut self, wake: &Wake, order: Order, whose: For, finishes: bool) -> bool {
        let asked = self.job.ask(wake, move |work| {
            order.computed(work, finishes, Some(&|projection| work.so_far(Computed { projection, workshop: None })))
        });
        self.asked = asked.ok().map(|number| (number, whose));
        self.asked.is_some()
    }

    /// Gives up what was asked for.
    pub fn cancel(&mut self) {
        self.job.cancel();
        self.asked = None;
        self.so_far = None;
    }

    /// Gives up what was asked for by one of the two. Tells whether there was anything.
    pub fn cancel_for(&mut self, whose: For) -> bool {
        let is_it = self.asked.is_some_and(|(_, of)| of == whose);
        if is_it {
            self.cancel();
        }
        is_it
    }
}

/// The day shown in full, where a run is too long to keep every day so.
pub struct FullDay {
    /// The job.
    pub job: Job<Projection>,
    /// The run and the day (from 0) that it was asked for last, and the number of that request.
    pub asked: Option<(u64, usize, u64)>,
}

impl Default for FullDay {
    fn default() -> Self {
        Self { job: Job::new("Drawing the day in full"), asked: None }
    }
}

/// What is being computed beside the frames, to be told with its progress.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beside {
    /// The document.
    Document,
    /// The change being tried.
    Trial,
    /// The settled day.
    Settled,
    /// The day shown in full.
    FullDay,
}

/// Something that is being computed.
#[derive(Clone, Debug, PartialEq)]
pub struct Running {
    /// What it is.
    pub what: Beside,
    /// How far it is.
    pub underway: Underway,
}
