//! How exact the bench is, found on a thread of its own when it is asked for; given up when the bench changes or nobody looks any more.

use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};

use eframe::egui::Context;

use super::background::Background;
use crate::scenario::Scenario;
use crate::scenario::presets::Library;
use crate::studies::exactness::{Exactness, exactness};

/// Progress is kept in so many parts.
const PARTS: f64 = 1000.0;

/// What is known of it. Editions number the states of the bench.
pub struct Finding {
    thread: Background<Result<Exactness, String>>,
    /// The number of the newest request; none is ever used again.
    number: u64,
    progress: Arc<AtomicU32>,
    stands: Stands,
}

/// How things stand.
enum Stands {
    /// Nobody asked.
    Closed,
    /// It is being found for an edition.
    Running(u64),
    /// It was found for an edition, or it is said why not.
    Found(u64, Result<Exactness, String>),
    /// The bench has changed since it was asked for.
    Outdated,
}

/// How things stand, to be drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Known<'a> {
    /// It is being found; this share (0–1) is done.
    Running(f32),
    /// It is known.
    Found(&'a Exactness),
    /// Why it cannot be known.
    Failed(&'a str),
    /// The bench has changed since it was asked for.
    Outdated,
}

impl Default for Finding {
    fn default() -> Self {
        Self { thread: Background::new("exactness"), number: 0, progress: Arc::default(), stands: Stands::Closed }
    }
}

impl Finding {
    /// How things stand; `None` where nobody asked.
    #[must_use]
    pub fn known(&self) -> Option<Known<'_>> {
        Some(match &self.stands {
            Stands::Closed => return None,
            #[allow(clippy::cast_possible_truncation)]
            Stands::Running(_) => Known::Running((f64::from(self.progress.load(Ordering::Relaxed)) / PARTS) as f32),
            Stands::Found(_, Ok(found)) => Known::Found(found),
            Stands::Found(_, Err(why)) => Known::Failed(why),
            Stands::Outdated => Known::Outdated,
        })
    }

    /// Asks for it. The window is drawn anew when it is found.
    pub fn ask(&mut self, ctx: &Context, edition: u64, scenario: Arc<Scenario>, library: Library) {
        self.number += 1;
        // Of its own: work that is given up may still tell how far it is.
        let progress = Arc::<AtomicU32>::default();
        self.progress = Arc::clone(&progress);
        let work = move |go_on: &dyn Fn() -> bool| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a share of PARTS
            let so_far = |share: f64| progress.store((PARTS * share) as u32, Ordering::Relaxed);
            exactness(&scenario, &library, go_on, &so_far).map_err(|e| e.to_string()).transpose()
        };
        self.stands = match self.thread.ask(ctx, self.number, work) {
            Ok(()) => Stands::Running(edition),
            Err(why) => Stands::Found(edition, Err(why)),
        };
    }

    /// Says at once why it cannot be found for an edition.
    pub fn refuse(&mut self, edition: u64, why: &str) {
        self.thread.give_up();
        self.stands = Stands::Found(edition, Err(why.to_owned()));
    }

    /// Takes what was found since; what is of another edition is given up.
    pub fn follow(&mut self, edition: u64) {
        if let Some((number, found)) = self.thread.take()
            && let Stands::Running(of) = self.stands
            && number == self.number
        {
            self.stands = Stands::Found(of, found);
        }
        if let Stands::Running(of) | Stands::Found(of, _) = self.stands
            && of != edition
        {
            self.thread.give_up();
            self.stands = Stands::Outdated;
        }
    }

    /// Gives it up and forgets it. Tells whether there was anything.
    pub fn close(&mut self) -> bool {
        self.thread.give_up();
        !matches!(std::mem::replace(&mut self.stands, Stands::Closed), Stands::Closed)
    }
}
