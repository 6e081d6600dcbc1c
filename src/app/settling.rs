//! The settled day, found on a thread of its own: the window never waits for it.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use std::time::Instant;

use eframe::egui::Context;

use super::projection::Projection;
use crate::engine::run::{LaneRun, Ready, Run, Settled};
use crate::scenario::Scenario;

/// After so many days a lane counts as not settling: salt in a large root zone can take half a year.
pub const MOST_DAYS: u32 = 366;

/// A request: what to settle, and for which state of the bench.
struct Asked {
    edition: u64,
    scenario: Arc<Scenario>,
    lanes: Vec<Ready>,
}

/// A thread that settles.
struct Worker {
    ask: Sender<Asked>,
    done: Receiver<(u64, Projection)>,
}

/// What is known of the settled day.
#[derive(Default)]
pub struct Settling {
    worker: Option<Worker>,
    /// The newest edition asked for; the thread drops whatever is older.
    newest: Arc<AtomicU64>,
    asked: Option<u64>,
    found: Option<(u64, Projection)>,
    /// Why there is no thread, if there is none.
    failed: Option<String>,
}

impl Settling {
    /// The settled day of an edition, once it is found.
    #[must_use]
    pub fn found(&self, edition: u64) -> Option<&Projection> {
        self.found.as_ref().filter(|f| f.0 == edition).map(|f| &f.1)
    }

    /// Why it will never be found, if so.
    #[must_use]
    pub fn failed(&self) -> Option<&str> {
        self.failed.as_deref()
    }

    /// Whether an edition was asked for already.
    #[must_use]
    pub fn was_asked(&self, edition: u64) -> bool {
        self.asked == Some(edition)
    }

    /// Asks for the settled day of an edition. The window is drawn anew when it is found.
    pub fn ask(&mut self, ctx: &Context, edition: u64, scenario: Arc<Scenario>, lanes: Vec<Ready>) {
        self.asked = Some(edition);
        self.failed = None;
        self.newest.store(edition, Ordering::Relaxed);
        if self.worker.is_none() {
            match start(ctx.clone(), Arc::clone(&self.newest)) {
                Ok(worker) => self.worker = Some(worker),
                Err(e) => self.failed = Some(format!("no thread could be started to settle: {e}")),
            }
        }
        if let Some(worker) = &self.worker
            && worker.ask.send(Asked { edition, scenario, lanes }).is_err()
        {
            self.worker = None;
            self.failed = Some("settling stopped; change something to try again".to_owned());
        }
    }

    /// Takes what was found since, if it is of this edition, and gives back what it replaces.
    pub fn take(&mut self, edition: u64) -> Option<Option<Projection>> {
        let done = self.worker.as_ref()?.done.try_iter().filter(|d| d.0 == edition).last()?;
        Some(self.found.replace(done).map(|f| f.1))
    }

    /// Forgets what was found: it was of another bench.
    pub fn forget(&mut self) {
        self.found = None;
    }
}

fn start(ctx: Context, newest: Arc<AtomicU64>) -> std::io::Result<Worker> {
    let (ask, asked) = channel::<Asked>();
    let (tell, done) = channel();
    let work = move || {
        while let Ok(first) = asked.recv() {
            // Only the newest is worth settling.
            let asked = asked.try_iter().last().unwrap_or(first);
            let edition = asked.edition;
            let go_on = || newest.load(Ordering::Relaxed) == edition;
            if let Some(projection) = settle(asked, go_on) {
                if tell.send((edition, projection)).is_err() {
                    return;
                }
                ctx.request_repaint();
            }
        }
    };
    thread::Builder::new().name("settling".to_owned()).spawn(work)?;
    Ok(Worker { ask, done })
}

/// Lane by lane, so that a core is left for the window.
fn settle(asked: Asked, go_on: impl Fn() -> bool) -> Option<Projection> {
    let began = Instant::now();
    let days: Option<Vec<(Settled, LaneRun)>> = asked.lanes.iter().map(|l| l.settled_day(MOST_DAYS, &go_on)).collect();
    let (settled, lanes) = days?.into_iter().unzip();
    let millis = began.elapsed().as_secs_f64() * 1e3;
    Some(Projection::of_settled(asked.scenario, Run { lanes }, settled, millis))
}
